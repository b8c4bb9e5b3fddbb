"""Agreement of two transcribers as JSON and as lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from approx.reports.plurals import counted
from approx.scoring.agreement import PARTS, Agreement
from approx.scoring.measures.accuracy import Value


def agreement_json(found: Agreement, words: Sequence[str], alone: int) -> dict[str, Any]:
    """Every part with hits and n, kappa, and the list of differences."""
    out: dict[str, Any] = {name: _value(getattr(found, name)) for name in PARTS}
    out["kappa"] = found.kappa
    out["tokens"] = len(words)
    out["left_alone"] = alone
    out["differences"] = [
        {
            "word": words[each.token],
            "one": each.one,
            "other": each.other,
            "vowel": each.vowel,
            "narrow_only": each.narrow_only,
        }
        for each in found.differences
    ]
    return out


def _value(value: Value) -> dict[str, Any]:
    return {"hits": value.hits, "out_of": value.out_of, "value": value.value, "reason": value.reason}


DIFFERENCE_COLUMNS = ("word", "one", "other", "vowel", "narrow_only")


def difference_rows(found: Agreement, words: Sequence[str]) -> list[tuple[str, str, str, str, str]]:
    """A row a sound that the two wrote differently; "" for no sound."""
    return [
        (words[each.token], each.one, each.other, "yes" if each.vowel else "no", "yes" if each.narrow_only else "no")
        for each in found.differences
    ]


def agreement_lines(found: Agreement, words: Sequence[str]) -> list[str]:
    """For the terminal."""
    lines = [f"{counted(len(words), 'token')} in both files"]
    for name in PARTS:
        value: Value = getattr(found, name)
        text = "-" if value.value is None else f"{value.value:.1f} %"
        lines.append(f"  {name.replace('_', ', ')}: {text} ({value.hits} of {value.out_of})")
    kappa = "-" if found.kappa is None else f"{found.kappa:.2f}"
    lines.append(f"  kappa on right or wrong of target consonants: {kappa}")
    lines += [
        f"  {words[each.token]}: {each.one or 'nothing'} / {each.other or 'nothing'}" for each in found.differences
    ]
    lines.append("Expect disagreement, more with fine detail (common practice: 85 % broad is a usual floor).")
    return lines
