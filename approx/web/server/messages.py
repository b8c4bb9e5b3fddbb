"""What the lower packages say in English, on a page: a sentence that is not listed in the page's language stays English and is
marked as such for a screen reader."""

from __future__ import annotations

import re

from markupsafe import Markup, escape

from approx.problems import Problem

_FREQUENCY = re.compile(r" \(zipf [^)]*\)")
"""Codes of frequency, which say nothing to a reader of the pages."""


def shown_in(text: str, language: str) -> Markup:
    """A sentence in the language of a page, escaped; marked as English where no translation is listed for it."""
    from approx.reports.messages import said_in  # the first page does without the reports

    said = said_in(text, language) if any(sign.isalpha() for sign in text) else text
    if said is None:
        return Markup('<span lang="en">{}</span>').format(text)
    return escape(_FREQUENCY.sub("", said))


def own_in(text: str, language: str) -> str:
    """What a person or this program wrote into the caseload: said in the language where it is a sentence of ours, else as it is."""
    from approx.reports.messages import said_in

    return said_in(text, language) or text


def source_text(text: str, language: str) -> str:
    """A source of `rules/`: our own words in the language, citations as they are."""
    from approx.reports import messages

    return messages.source_in(text, language)


def problem_in(problem: Problem, language: str, line: str = "") -> Markup:
    """What is wrong and the way out, as one sentence. `line`: where it stands, as the page says it."""
    parts = [shown_in(text, language) for text in (problem.message, problem.hint) if text]
    sentence = Markup("; ").join(parts)
    return Markup("{} {}").format(line, sentence) if line else sentence
