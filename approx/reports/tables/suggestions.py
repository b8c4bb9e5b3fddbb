"""Suggestions and predictions as JSON (the keys are a promise, see the design page), as rows, and as lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from approx.practice.suggest.answer import Answer, Approximation, ArticulatoryLoad, PhraseForm, Suggestion
from approx.practice.suggest.clashes import Clash
from approx.wording import counted

if TYPE_CHECKING:
    from approx.processes.predict.predict import Prediction

SUGGESTION_COLUMNS = (
    "word", "adult", "adult_spelled", "read_from", "sure", "rank", "form", "spelled", "cost", "closeness",
    "processes", "wcm", "ipc", "adult_wcm", "adult_ipc", "clashes", "ladder", "note",
)  # fmt: skip


def answer_json(answer: Answer) -> dict[str, Any]:
    """The whole answer; `phrase`, `phrase_forms` and `load` are left out for a list."""
    out: dict[str, Any] = {} if answer.phrase is None else {"phrase": answer.phrase}
    out |= {"child": answer.child, "signature": answer.signature}
    out["problems"] = [problem.as_json() for problem in answer.problems]
    out["words"] = [_word(word) for word in answer.words]
    if answer.phrase is not None:
        out["phrase_forms"] = [_phrase_form(form) for form in answer.phrase_forms]
        out["adult_load"] = _load(answer.adult_load) if answer.adult_load else None
    return out


def _word(word: Suggestion) -> dict[str, Any]:
    adult = word.adult
    return {
        "word": word.word,
        "adult": adult.ipa if adult else None,
        "adult_spelled": word.spelled,
        "read_from": word.read_from,
        "sure": word.sure,
        "note": word.note,
        "other_readings": list(word.other_readings),
        "complexity": {"wcm": word.wcm, "ipc": word.ipc},
        "dropped_when_short": word.dropped,
        "approximations": [_approximation(form) for form in word.approximations],
        "ladder": [{"ipa": step.ipa, "spelled": step.spelled, "adds": step.adds} for step in word.ladder],
        "near": {"ipa": word.near.ipa, "spelled": word.near.spelled, "needs": list(word.near.needs)}
        if word.near
        else None,
        "untested": list(word.untested),
        "instead": word.instead,
        "remarks": list(word.remarks),
    }


def _approximation(form: Approximation) -> dict[str, Any]:
    return {
        "ipa": form.ipa,
        "spelled": form.spelled,
        "cost": form.cost,
        "closeness": form.closeness,
        "chosen": form.chosen,
        "heard": form.heard,
        "heard_on": form.heard_on,
        "atypical": list(form.atypical),
        "steps": [
            {"rule": step.rule, "process": step.process, "before": step.before, "after": step.after}
            for step in form.steps
        ],
        "complexity": {"wcm": form.wcm, "ipc": form.ipc},
        "clashes": clash_objects(form.clashes),
    }


def clash_objects(clashes: Sequence[Clash]) -> list[dict[str, str]]:
    """Clashes as JSON; `strength` only where a rude word has one."""
    strong = ({"strength": clash.strength} if clash.strength else {} for clash in clashes)
    return [{"word": clash.word, "kind": clash.kind} | more for clash, more in zip(clashes, strong)]


def _phrase_form(form: PhraseForm) -> dict[str, Any]:
    return {
        "kind": form.kind,
        "ipa": form.ipa,
        "spelled": form.spelled,
        "load": _load(form.load),
        "clashes": clash_objects(form.clashes),
    }


def _load(load: ArticulatoryLoad) -> dict[str, Any]:
    return {"syllables": load.syllables, "places": list(load.places), "jumps": load.jumps}


def answer_rows(answer: Answer) -> list[dict[str, str | int | float | None]]:
    """One row a form, in the order shown; a word without forms keeps a row."""
    rows: list[dict[str, str | int | float | None]] = []
    for word in answer.words:
        base: dict[str, str | int | float | None] = {
            "word": word.word,
            "adult": word.adult.ipa if word.adult else "",
            "adult_spelled": word.spelled,
            "read_from": word.read_from,
            "sure": "yes" if word.sure else "no",
            "adult_wcm": word.wcm,
            "adult_ipc": word.ipc,
            "ladder": " > ".join(step.ipa for step in word.ladder),
            "note": word.note,
        }
        for rank, form in enumerate(word.approximations, 1):
            rows.append(
                base
                | {
                    "rank": rank,
                    "form": form.ipa,
                    "spelled": form.spelled,
                    "cost": round(form.cost, 2),
                    "closeness": round(form.closeness, 2),
                    "processes": "; ".join(dict.fromkeys(step.process for step in form.steps)),
                    "wcm": form.wcm,
                    "ipc": form.ipc,
                    "clashes": "; ".join(f"{clash.word} ({clash.kind})" for clash in form.clashes),
                }
            )
        if not word.approximations:
            rows.append(base)
    return [{column: row.get(column) for column in SUGGESTION_COLUMNS} for row in rows]


PREDICTION_COLUMNS = ("word", "target", "rank", "form", "p")


def prediction_json(word: str, found: Prediction) -> dict[str, Any]:
    """One word with the probabilities of its forms, and of all others together."""
    return {
        "word": word,
        "target": found.target.ipa,
        "forms": [{"ipa": form.ipa, "p": round(form.p, 6)} for form in found.forms],
        "other": round(found.other, 6),
    }


def prediction_rows(word: str, found: Prediction) -> Iterator[tuple[str, str, int | None, str, float]]:
    """A row a form, likeliest first; the last row, without a rank, is for all others."""
    for rank, form in enumerate(found.forms, 1):
        yield word, found.target.ipa, rank, form.ipa, round(form.p, 6)
    yield word, found.target.ipa, None, "", round(found.other, 6)


def prediction_lines(tokens: int, words: Iterable[tuple[str, Prediction]], probes: Sequence[str]) -> list[str]:
    """For the terminal."""
    lines = [f"from {counted(tokens, 'token')}; small samples predict loosely"]
    for word, each in words:
        forms = "  ".join(f"{form.ipa} {form.p:.0%}" for form in each.forms)
        lines.append(f"{word} {each.target.ipa}: {forms}  other {each.other:.0%}")
    if probes:
        lines.append("most worth trying next: " + ", ".join(probes))
    return lines
