"""Small parts that templates call: a term with its explanation, what is wrong with one field, beside that field, and what the
lower packages say in English: a sentence that is not listed in the page's language stays English and is marked as such for a
screen reader.

The terms and their explanations: `rules/pages/glossary.toml`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import count

from jinja2 import pass_context
from jinja2.runtime import Context
from markupsafe import Markup, escape

from approx.datafiles import read_toml, rules_path
from approx.problems import Problem

_NUMBERS = count(1)


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade or of the desk: how it is written, what it means, where the meaning comes from.

    `unsure`: the word of this language was found in no publication in it.
    """

    id: str
    word: str
    meaning: str
    source: str
    unsure: bool


@cache
def glossary(language: str) -> dict[str, Term]:
    """All terms of the pages by id, in order of their words."""
    found = (
        Term(
            each["id"],
            each[language],
            each[f"means_{language}"],
            each["source"],
            each.get(f"{language}_source", "").startswith("unsure"),
        )  # fmt: skip
        for each in read_toml(rules_path("pages/glossary.toml"))["term"]
    )
    return {term.id: term for term in sorted(found, key=lambda term: term.word.casefold())}


@pass_context
def explained(context: Context, name: str, text: str = "") -> Markup:
    """A term that opens its explanation where it stands. `text`: how it is written there, the term itself by default.

    A name the glossary lacks is a mistake of the program: KeyError.
    """
    term = glossary(context["language"])[name]
    here = f"means-{name}-{next(_NUMBERS)}"
    return Markup(
        '<button type="button" class="term" popovertarget="{here}">{text}</button>'
        '<span popover id="{here}" class="meaning"><strong>{word}</strong> {meaning}</span>'
    ).format(here=here, text=text or term.word, word=term.word, meaning=term.meaning)


_ALSO = {
    "set": ("set-size",), "goal": ("vowel-place", "unknown-value"), "minutes": ("too-short",), "goal_trials": ("trials",), "grammar": ("steps", "part"),
    "right": ("level",), "typed": ("input", "empty", "none-left"), "typed_phrases": ("frame",), "own": ("own-twice",),
    "text": ("empty_goal",), "passphrase": ("wrong_passphrase",), "file": ("no_zip", "no_export", "zip", "bomb", "twice", "row", "newer"),
}  # fmt: skip
"""Field to the ends of codes of what else is wrong with it."""


def belongs_to(problem: Problem, field: str) -> bool:
    """True where a problem is about a field of a form: its code ends in the field's name, or it names a column of it."""
    if problem.code == "records.value":
        return problem.symbol == field
    return problem.code.rpartition(".")[2].replace("-", "_") == field.replace("-", "_")


@pass_context
def fault(context: Context, field: str, *also: str) -> Markup:
    """What is wrong with one field, to stand beside it; nothing where nothing is. `also`: other names it goes by."""
    say = context["say_problem"]
    mine = [each for each in _of(context["problems"], (field, *_ALSO.get(field, ()), *also)) if each.fatal]
    lines = (
        Markup('<span class="fault" id="{}-fault" aria-live="assertive">{}</span>').format(field, say(each))
        for each in mine[:1]
    )
    return Markup("").join(lines)


@pass_context
def faulty(context: Context, field: str, *also: str) -> Markup:
    """The attributes of a field that is wrong."""
    wrong = any(each.fatal for each in _of(context["problems"], (field, *_ALSO.get(field, ()), *also)))
    return Markup(' aria-invalid="true" aria-errormessage="{}-fault"').format(field) if wrong else Markup("")


def _of(problems: Sequence[Problem], names: tuple[str, ...]) -> list[Problem]:
    return [each for each in problems if any(belongs_to(each, name) for name in names)]


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
