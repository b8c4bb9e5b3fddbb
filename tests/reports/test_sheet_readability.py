"""The family page is easy to read: school grade 5 or below in English, very easy in Spanish (textstat's own formulas)."""

from __future__ import annotations

import importlib
import re
from functools import cache
from types import ModuleType

import pytest

from approx.datafiles import rules_path
from approx.reports.report_words import wording

MOST_GRADE = 5.0
EASY = 80.0
"""Flesch's scale in its Spanish forms: 80 to 90 is easy (Fernández Huerta), over 80 very easy (Szigriszt-Pazos)."""


HARD = "Individuals demonstrating phonological simplification necessitate intervention."


@pytest.fixture
def textstat(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The formulas, with the CMU dictionary as shipped, in place of the copy of it that textstat would load from the network."""
    module = importlib.import_module("textstat.backend.counts._count_syllables")
    monkeypatch.setattr(module, "get_cmudict", lambda tag: _spoken() if tag.startswith("en") else None)
    return importlib.import_module("textstat")


@cache
def _spoken() -> dict[str, list[list[str]]]:
    """The words of these sentences, each with its readings as lists of sounds."""
    wanted = set(re.findall(r"[a-z']+", " ".join([*sentences("en"), *letter("en"), HARD]).lower()))
    out: dict[str, list[list[str]]] = {}
    for line in rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines():
        word, *sounds = line.split()
        if word in wanted:
            out[word] = [sounds]
    return out


def sentences(language: str) -> list[str]:
    """Every sentence a family reads, with an example word where one stands."""
    own = wording(language)["family"]
    said = {**own, "you": f"{own['you']}: mud", "child": f"{own['child']}: muh"}
    flat = [
        line for key, value in said.items() if key != "days" for line in (value if isinstance(value, list) else [value])
    ]
    return [line if line[-1] in ".?!" else f"{line}." for line in flat]


def letter(language: str) -> list[str]:
    """Every sentence a teacher reads, with an example word where one stands."""
    own = wording(language)["letter"]
    flat = [line for value in own.values() for line in (value if isinstance(value, list) else [value])]
    return [line.replace("{word}", "mud") if line[-1] in ".?!”»" else f"{line}." for line in flat]


def test_the_letter_is_at_grade_five_or_below_by_two_formulas(textstat: ModuleType) -> None:
    textstat.set_lang("en_US")
    text = " ".join(letter("en"))
    assert textstat.flesch_kincaid_grade(text) <= MOST_GRADE and textstat.coleman_liau_index(text) <= MOST_GRADE
    assert textstat.coleman_liau_index(HARD) > MOST_GRADE
    textstat.set_lang("es")
    text = " ".join(letter("es"))
    assert textstat.fernandez_huerta(text) >= EASY and textstat.szigriszt_pazos(text) >= EASY


def test_english_is_at_grade_five_or_below(textstat: ModuleType) -> None:
    textstat.set_lang("en_US")
    text = " ".join(sentences("en"))
    assert textstat.flesch_kincaid_grade(text) <= MOST_GRADE and textstat.coleman_liau_index(text) <= MOST_GRADE
    assert textstat.flesch_kincaid_grade(HARD) > MOST_GRADE


def test_no_english_sentence_by_itself_is_above_grade_five(textstat: ModuleType) -> None:
    textstat.set_lang("en_US")
    assert not [line for line in sentences("en") if textstat.flesch_kincaid_grade(line) > MOST_GRADE]


def test_spanish_is_very_easy(textstat: ModuleType) -> None:
    textstat.set_lang("es")
    text = " ".join(sentences("es"))
    assert textstat.fernandez_huerta(text) >= EASY and textstat.szigriszt_pazos(text) >= EASY
    hard = "La intervención fonológica necesita fundamentación metodológica."
    assert textstat.fernandez_huerta(hard) < EASY


@pytest.mark.parametrize("language", ["en", "es"])
def test_one_idea_a_line(language: str) -> None:
    """No list sentence has more than eight words, a comma list or an "and"."""
    own = wording(language)["family"]
    lines = [line for key in ("how_lines", "stuck_lines", "step_lines") for line in own[key]]
    assert len(lines) == 14
    for line in lines:
        assert len(line.split()) <= 8 and not {"and", "or", "because", "if", "y", "o", "porque", "si"} & set(
            line.lower().split()
        )


@pytest.mark.parametrize("language", ["en", "es"])
def test_sentences_for_a_teacher_are_short(language: str) -> None:
    """No sentence of the letter has more than ten words."""
    spoken = [part for line in letter(language) for part in re.split(r"(?<=[.?!:]) ", line)]
    assert [part for part in spoken if len(part.split()) > 10] == [] and len(spoken) > 15
