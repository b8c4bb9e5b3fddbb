"""Goal sentences: every measurable part in the sentence or marked as a gap, in English and Spanish."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from places import SAMPLES

from approx.api.samples.goals import goals
from approx.reports.document import GoalFacts, Paragraph
from approx.reports.text.goals import goal_text, goals_document

FULL = GoalFacts(
    "K07", "ten words of the shape CVC", "", 2, 10, "2026-04-07", 80, 10, 3, "none", "play with a familiar adult", "2026-09-01",
    "a probe of ten words",
)  # fmt: skip


def test_a_full_goal_in_one_sentence_with_its_level() -> None:
    found = goal_text(FULL)
    assert found.sentence == (
        "K07 will say ten words of the shape CVC in play with a familiar adult without cues, with at least 80% accuracy over 10 trials, in "
        "each of 3 consecutive sessions, by September 1, 2026. Counted by: a probe of ten words. Present level: 2 of 10 (20%) on April 7, 2026."
    )
    assert found.gaps == () and found.problems == ()


def test_spanish() -> None:
    facts = replace(FULL, target="diez palabras CVC", setting="el juego", measured_by="una prueba de diez palabras")
    found = goal_text(facts, "es-MX")
    assert found.sentence.startswith(
        "K07 dirá diez palabras CVC en el juego sin ayuda, con al menos un 80 % de acierto en 10 intentos"
    )
    assert "Nivel actual: 2 de 10 (20 %) el 7 de abril de 2026." in found.sentence


@pytest.mark.parametrize(
    ("changes", "gap"),
    [
        ({"target": " "}, "target"),
        ({"setting": ""}, "setting"),
        ({"help": ""}, "help"),
        ({"percent": None}, "percent"),
        ({"trials": None}, "trials"),
        ({"sessions": None}, "sessions"),
        ({"due": ""}, "due"),
        ({"measured_by": ""}, "measured_by"),
        ({"right": None}, "level"),
        ({"out_of": 0}, "level"),
    ],
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_each_missing_part_is_a_marked_gap(changes: dict[str, object], gap: str, language: str) -> None:
    found = goal_text(replace(FULL, **changes), language)  # type: ignore[arg-type]
    assert found.gaps == (gap,)
    assert found.sentence.count("[") == 1


def test_nothing_is_filled_in_silently() -> None:
    found = goal_text(GoalFacts())
    assert not any(char.isdigit() for char in found.sentence)
    assert len(found.gaps) == 9
    named = {field.name for field in fields(GoalFacts)} | {"level"}
    assert set(found.gaps) <= named


def test_help_and_form_by_name() -> None:
    sentence = goal_text(replace(FULL, help="model, then wait", target="spoon", form="pun")).sentence
    assert 'with no more cueing than "model, then wait"' in sentence
    assert "spoon (target form: pun)" in sentence


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"percent": 0}, "goal.percent"),
        ({"percent": 101}, "goal.percent"),
        ({"trials": 0}, "goal.number"),
        ({"sessions": -1}, "goal.number"),
        ({"right": 11}, "goal.level"),
        ({"right": 8}, "goal.met"),
    ],
)
def test_numbers_that_cannot_be(changes: dict[str, int], code: str) -> None:
    assert [problem.code for problem in goal_text(replace(FULL, **changes)).problems] == [code]  # type: ignore[arg-type]


def test_goals_with_gaps_are_marked_in_the_document() -> None:
    blocks = goals_document([FULL, replace(FULL, due="")], "Goals").blocks
    assert [isinstance(block, Paragraph) and block.gap for block in blocks] == [False, True]


def test_a_table_of_something_else_is_no_table_of_goals() -> None:
    """A sample has a child and a note as goals have; it makes no goal that is all gaps."""
    found = goals(SAMPLES / "m12.csv")
    assert not found.texts and [problem.code for problem in found.problems if problem.fatal] == ["goals.target"]
    assert all("is not read" in problem.message for problem in found.problems if not problem.fatal)
