"""Is one said sound its target, a distortion of it, or another sound? Marks and lists: `rules/ipa/marks.tsv`, `measures.toml`."""

from __future__ import annotations

from enum import IntEnum
from functools import cache
from typing import Any

from approx.ipa.features import is_vowel, mark_kinds, split
from approx.scoring.options import measure_data


class Verdict(IntEnum):
    """From right to wrong. PCC takes RIGHT only, PCC-A up to COMMON, PCC-R up to DISTORTED."""

    RIGHT = 0
    COMMON = 1
    """A common clinical distortion: dentalized or lateralized sibilant, derhotacized, labialized or velarized l ɹ."""
    DISTORTED = 2
    """Any other distortion."""
    WRONG = 3
    """Lost, or another sound."""

    __hash__ = int.__hash__  # that of Enum is written in Python, and slots are hashed by the million


@cache
def verdict(target: str, said: str, language: str = "en", lisp: bool = False) -> Verdict:
    """One sound against its target, without regard to what stands around them.

    Allophones are right; the same symbol with other marks is a distortion; another symbol is wrong, but for those listed
    as distortions ([ɬ] for a sibilant, [ɜ] for ɝ, [ʋ] for ɹ). Source of the lists: Shriberg 1993 (from memory).

    >>> [verdict("s", said).name for said in ("s", "s̪", "s̃", "θ", "ɬ", "t")]
    ['RIGHT', 'COMMON', 'DISTORTED', 'WRONG', 'COMMON', 'WRONG']
    """
    if target == said:
        return Verdict.RIGHT
    base, marks = _split(target)
    said_base, said_marks = _split(said)
    data = measure_data("distortions")
    if base == said_base or said_base in measure_data("allophones").get(language, {}).get(base, "").split():
        return _by_marks(base, frozenset(marks) ^ frozenset(said_marks), data)
    if lisp and data["lisp"].get(base) == said_base:
        return Verdict.COMMON
    for name in ("lateralized", "derhotacized", "labiodental_r"):
        if base in data[name]["of"].split() and said_base in data[name]["as"].split():
            return Verdict.COMMON
    return Verdict.WRONG


def _by_marks(base: str, marks: frozenset[str], data: dict[str, Any]) -> Verdict:
    worst = Verdict.RIGHT
    for mark in marks:
        kind = mark_kinds().get(mark, ("", "distortion"))[1]
        if kind == "allophone" and (mark not in measure_data("allophones")["vowel_only"] or is_vowel(base)):
            continue
        right_place = "dentalized" if mark == data["dental_mark"] else "labialized_or_velarized"
        common = kind == "clinical" and base in data[right_place].split()
        worst = max(worst, Verdict.COMMON if common else Verdict.DISTORTED)
    return worst


@cache
def _split(symbol: str) -> tuple[str, str]:
    """Symbol without its marks (a diphthong whole, a syllabic consonant plain) and its marks."""
    kinds = mark_kinds()
    whole = {"ə˞": "ɚ", "ɜ˞": "ɝ"}
    for written, meant in whole.items():
        symbol = symbol.replace(written, meant)
    base = split(symbol)[0]
    if base and len(base) > 1 and base.rstrip("".join(kinds)) and not is_vowel(base) and "͡" not in base:
        base = base.rstrip("".join(kinds)) or base
    marks = "".join(char for char in symbol[len(base) :] if char in kinds)
    return base + "".join(char for char in symbol[len(base) :] if char not in kinds), marks


def base_symbol(symbol: str) -> str:
    """The sound without any of its marks; a diphthong whole."""
    return _split(symbol)[0]


@cache
def broad(symbol: str) -> str:
    """The sound without marks that are allophones."""
    base, marks = _split(symbol)
    kinds, vowel_only = mark_kinds(), measure_data("allophones")["vowel_only"]
    kept = [mark for mark in marks if kinds[mark][1] != "allophone" or (mark in vowel_only and not is_vowel(base))]
    return base + "".join(kept)
