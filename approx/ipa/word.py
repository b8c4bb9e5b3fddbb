"""One word as sounds in syllables: what every other room passes around."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from approx.ipa.features import is_nucleus, is_vowel, split
from approx.ipa.language import Language
from approx.ipa.syllables import syllable_starts

UNKNOWN_CONSONANT, UNKNOWN_VOWEL, UNKNOWN_SOUND, UNINTELLIGIBLE = "C", "V", "*", "xxx"
"""Stand-ins for sounds that were heard but not identified, and for a stretch nobody understood."""

_JOINED = {"tʃ", "dʒ", "aɪ", "aʊ", "ɔɪ", "eɪ", "oʊ", "ai", "ei", "oi", "au", "ou", "eu", "ui", "iu", "ɔi", "əɹ", "ɜɹ",
           "ʌɪ", "oɪ", "ɑɪ", "ɑʊ", "æʊ", "əʊ", "eʊ"}


@dataclass(frozen=True, slots=True)
class Segment:
    """One sound: a consonant, a vowel, a diphthong or an affricate, with its marks."""

    text: str
    doubtful: bool = False

    @property
    def base(self) -> str:
        """The symbol without its marks; a diphthong whole."""
        base, rest = split(self.text)
        return self.text if rest[-1:] and is_vowel(rest[-1]) else base or self.text

    @property
    def is_vowel(self) -> bool:
        return is_vowel(self.text) or self.text == UNKNOWN_VOWEL


@dataclass(frozen=True, slots=True)
class Syllable:
    """Onset, nucleus and coda as segments; stress 1 main, 2 secondary, 0 none."""

    onset: tuple[Segment, ...]
    nucleus: tuple[Segment, ...]
    coda: tuple[Segment, ...]
    stress: int = 0

    @property
    def shape(self) -> str:
        """C and V in order; a syllabic consonant is V, as a diphthong is."""
        return "C" * len(self.onset) + "V" * len(self.nucleus) + "C" * len(self.coda)


@dataclass(frozen=True, slots=True)
class Word:
    """Sounds in order, where each syllable starts, its stress, and which sounds were doubtful.

    `phones`: one symbol a sound. `starts`: index of the first sound of each syllable. `stress`: one degree a syllable.
    `omitted`: sounds marked as left off by the transcriber ("-a"): at the start, at the end.
    """

    phones: tuple[str, ...]
    starts: tuple[int, ...]
    stress: tuple[int, ...]
    doubtful: frozenset[int] = frozenset()
    omitted: tuple[bool, bool] = (False, False)

    @property
    def ipa(self) -> str:
        """Canonical text: stress marks in words of two or more syllables; a dot only where two sounds would join."""
        if len(self.starts) < 2:
            return "".join(self.phones)
        marks = {start: "ˈˌ"[degree - 1] for start, degree in zip(self.starts, self.stress) if degree}
        out = ""
        for at, phone in enumerate(self.phones):
            out += marks.get(at) or ("." if out and out[-1] + phone in _JOINED else "")
            out += phone
        return out

    @property
    def segments(self) -> tuple[Segment, ...]:
        return tuple(Segment(phone, at in self.doubtful) for at, phone in enumerate(self.phones))

    @property
    def syllables(self) -> tuple[Syllable, ...]:
        segments, out = self.segments, []
        for start, end, degree in zip(self.starts, (*self.starts[1:], len(self.phones)), self.stress):
            core = [at for at in range(start, end) if is_nucleus(self.phones[at]) or self.phones[at] == UNKNOWN_VOWEL]
            first, last = (core[0], core[-1] + 1) if core else (end, end)
            out.append(Syllable(segments[start:first], segments[first:last], segments[last:end], degree))
        return tuple(out)

    def __str__(self) -> str:
        return self.ipa


def build(
    phones: Sequence[str],
    stressed: dict[int, int],
    cuts: Iterable[int],
    lang: Language,
    doubtful: Iterable[int] = (),
    omitted: tuple[bool, bool] = (False, False),
) -> Word:
    """A word from sounds, {index where a stress mark stood: degree} and written cuts.

    A word of one vowel is stressed; where a longer word has no mark, the first syllable is (measures: WCM, default).
    """
    starts = syllable_starts(phones, {*cuts, *stressed}, lang)
    stress = [0] * len(starts)
    for at, degree in stressed.items():
        place = max((number for number, start in enumerate(starts) if start <= at), default=None)
        if place is not None:
            stress[place] = degree
    if stress and 1 not in stress:
        stress[stress.index(2) if 2 in stress else 0] = 1
    return Word(tuple(phones), starts, tuple(stress), frozenset(doubtful), omitted)
