"""What the two ways of judging share: the slot of a target sound, its place, and the verdict on one sound for one.

Is one said sound its target, a distortion of it, or another sound? Marks and lists: `rules/ipa/marks.tsv`, `measures.toml`.
"""

from __future__ import annotations

from enum import IntEnum
from functools import cache, lru_cache
from typing import Any, NamedTuple

from approx.ipa.features import is_vowel, mark_kinds, split
from approx.ipa.word import UNINTELLIGIBLE, UNKNOWN_CONSONANT, UNKNOWN_SOUND, UNKNOWN_VOWEL, Word
from approx.scoring.alignment.costs import SYLLABIC, VOWEL, kind_of
from approx.scoring.judging.options import measure_data


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


INITIAL, MEDIAL, FINAL = "initial", "medial", "final"
STAND_INS = frozenset((UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND, UNINTELLIGIBLE))
"""Sounds that were not identified; none of them is right."""

DISTORTIONS = (Verdict.COMMON, Verdict.DISTORTED)


class Slot(NamedTuple):
    """One target sound: where it stands in its word, what was said for it ("" for nothing), and the verdict.

    Positions: initial is before the first vowel, final after the last, medial between; a vowel's are initial, medial and
    final by whether consonants stand around it in the word.
    """

    target: str
    position: str
    said: str
    verdict: Verdict
    vowel: bool


class JudgedWord(NamedTuple):
    """The slots of one word, and how many sounds were added that no target called for."""

    slots: tuple[Slot, ...]
    plain: tuple[Verdict, ...]
    """The verdict of each slot on its sound alone: without the rules of PCC on additions and final voicing.
    What rule 10 makes right (h left out, n for ŋ, in unstressed syllables) is right here too: PMLU and PWC go by it."""
    added: int
    form: tuple[str, ...]
    """What was said, an allophone of a target as that target, l̩ as əl: for asking whether two forms are the same."""
    syllabic: int = 0
    """Syllabic consonants among the targets, and how many of them were right."""
    syllabic_right: int = 0


def one_for_one(phone: str, said: str, language: str, lisp: bool, at_start: bool) -> Verdict:
    """Verdict on one sound said for one; a flap does not count where it begins what was said."""
    if said in STAND_INS or phone in STAND_INS:
        return Verdict.WRONG
    found = verdict(plain_symbol(phone), said, language, lisp)
    flap = at_start and said[0] in measure_data("allophones")["not_initial"] and phone[0] != said[0]
    return Verdict.WRONG if flap and found == Verdict.RIGHT else found


@lru_cache(maxsize=4096)
def positions(phones: tuple[str, ...]) -> tuple[str, ...]:
    """The place of each sound, as `Slot` has it."""
    nuclei = [at for at, phone in enumerate(phones) if kind_of(phone) == VOWEL or kind_of(phone) == SYLLABIC]
    if not nuclei:
        return (INITIAL,) * len(phones)
    out: list[str] = []
    for at, phone in enumerate(phones):
        if kind_of(phone) == VOWEL:
            out.append(INITIAL if at == 0 else FINAL if at == len(phones) - 1 else MEDIAL)
        elif kind_of(phone) == SYLLABIC:
            out.append(FINAL if at == len(phones) - 1 else MEDIAL)
        else:
            out.append(INITIAL if at < nuclei[0] else FINAL if at > nuclei[-1] else MEDIAL)
    return tuple(out)


def stressed_sounds(word: Word) -> list[bool]:
    """For each sound whether its syllable is stressed."""
    out: list[bool] = []
    for start, end, degree in zip(word.starts, (*word.starts[1:], len(word.phones)), word.stress):
        out += [degree > 0] * (end - start)
    return out


@cache
def plain_symbol(phone: str) -> str:
    """A syllabic consonant without its mark; anything else as it is."""
    return phone.replace("̩", "")


def dental_before_dental(phone: str, said: str, produced: tuple[str, ...], j: int) -> bool:
    """True where only a dental mark differs and the next sound said is θ or ð: an allophone, whoever wrote the mark."""
    return j + 1 < len(produced) and split(produced[j + 1])[0] in ("θ", "ð") and may_be_dental(phone, said)


def may_be_dental(phone: str, said: str) -> bool:
    """True where only a dental mark differs, on a sound that has it before θ and ð."""
    mark = measure_data("distortions")["dental_mark"]
    plain = phone.replace(mark, "")
    return plain in measure_data("allophones")["before_dental"].split() and said.replace(mark, "") == plain
