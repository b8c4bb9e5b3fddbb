"""Phrases as JSON (keys are only ever added to) and as rows for a spreadsheet."""

from __future__ import annotations

from typing import Any

from approx.practice.phrases.phrase_types import (
    Frame,
    GrammarLadder,
    GrammarStep,
    Phrase,
    PhraseAnswer,
    PhraseWord,
)

PHRASE_COLUMNS = (
    "kind", "number", "phrase", "adult_sentence", "today_ipa", "today_spelled", "adult_ipa", "relation", "frame", "use",
    "new", "closeness", "syllables", "places", "jumps", "clashes", "adds", "builds_on", "warnings", "source",
)  # fmt: skip


def phrases_json(answer: PhraseAnswer) -> dict[str, Any]:
    """The whole answer; `ladder` is null where none was asked for."""
    return {
        "child": answer.child,
        "language": answer.language,
        "signature": answer.signature,
        "problems": [problem.as_json() for problem in answer.problems],
        "phrases": [_phrase(phrase) for phrase in answer.phrases],
        "frames": [_frame(frame) for frame in answer.frames],
        "ladder": _ladder(answer.ladder) if answer.ladder else None,
    }


def _phrase(phrase: Phrase) -> dict[str, Any]:
    return {
        "words": [_word(part) for part in phrase.parts],
        "telegraphic": phrase.telegraphic,
        "adult_sentence": phrase.adult_sentence,
        "adult_ipa": phrase.adult_ipa,
        "today": {"ipa": phrase.today_ipa, "spelled": phrase.today_spelled},
        "relation": phrase.relation,
        "frame": phrase.frame or None,
        "use": phrase.use,
        "new": list(phrase.new),
        "closeness": phrase.closeness,
        "cost": phrase.cost,
        "load": {"syllables": phrase.load.syllables, "places": list(phrase.load.places), "jumps": phrase.load.jumps},
        "clashes": list(phrase.clashes),
    }


def _word(part: PhraseWord) -> dict[str, Any]:
    return {
        "word": part.word,
        "role": part.role,
        "adult": part.adult_ipa,
        "today": part.today_ipa,
        "spelled": part.today_spelled,
        "cost": part.cost,
        "new": list(part.new),
    }


def _frame(frame: Frame) -> dict[str, Any]:
    return {
        "id": frame.id,
        "frame": frame.text,
        "use": frame.use,
        "relation": frame.relation,
        "source": frame.source,
        "fixed": [_word(part) for part in frame.fixed],
        "today_spelled": frame.today_spelled,
        "new": list(frame.new),
        "cost": frame.cost,
        "missing": list(frame.missing),
        "phrases": [_phrase(phrase) for phrase in frame.phrases],
    }


def _ladder(ladder: GrammarLadder) -> dict[str, Any]:
    return {
        "phrase": ladder.phrase,
        "adult_sentence": ladder.adult_sentence,
        "order": ladder.order,
        "order_source": ladder.order_source,
        "steps": [_step(step) for step in ladder.steps],
    }


def _step(step: GrammarStep) -> dict[str, Any]:
    return {
        "number": step.number,
        "builds_on": step.builds_on or None,
        "step": step.step,
        "main": step.main,
        "phrase": step.phrase,
        "adds": step.adds or None,
        "adult_ipa": step.adult_ipa,
        "today": {"ipa": step.today_ipa, "spelled": step.today_spelled},
        "new": list(step.new),
        "warnings": list(step.warnings),
        "source": step.source,
    }


PhraseRow = dict[str, "str | int | float | None"]


def phrases_rows(answer: PhraseAnswer) -> list[PhraseRow]:
    """One row a phrase, a filled frame or a grammar step, in the order shown."""
    rows = [_phrase_row("phrase", number, phrase) for number, phrase in enumerate(answer.phrases, 1)]
    for frame in answer.frames:
        rows += [_phrase_row("frame", number, phrase) for number, phrase in enumerate(frame.phrases, 1)]
    for step in answer.ladder.steps if answer.ladder else ():
        row: PhraseRow = {
            "kind": "step" if step.main else "side step",
            "number": step.number,
            "phrase": step.phrase,
            "adult_sentence": answer.ladder.adult_sentence if answer.ladder else "",
            "today_ipa": step.today_ipa,
            "today_spelled": step.today_spelled,
            "adult_ipa": step.adult_ipa,
            "new": "; ".join(step.new),
            "adds": step.adds,
            "builds_on": step.builds_on or None,
            "warnings": "; ".join(step.warnings),
            "source": step.source,
        }
        rows.append(row)
    return [{column: row.get(column) for column in PHRASE_COLUMNS} for row in rows]


def _phrase_row(kind: str, number: int, phrase: Phrase) -> PhraseRow:
    return {
        "kind": kind,
        "number": number,
        "phrase": phrase.telegraphic,
        "adult_sentence": phrase.adult_sentence,
        "today_ipa": phrase.today_ipa,
        "today_spelled": phrase.today_spelled,
        "adult_ipa": phrase.adult_ipa,
        "relation": phrase.relation,
        "frame": phrase.frame,
        "use": phrase.use,
        "new": "; ".join(phrase.new),
        "closeness": round(phrase.closeness, 2),
        "syllables": phrase.load.syllables,
        "places": ", ".join(phrase.load.places),
        "jumps": phrase.load.jumps,
        "clashes": "; ".join(phrase.clashes),
    }
