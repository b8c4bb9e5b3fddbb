"""Likely forms of new words as JSON (keys are a promise), as rows, and as lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from approx.processes.predict.predict import Prediction
from approx.reports.report_words import counted

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
