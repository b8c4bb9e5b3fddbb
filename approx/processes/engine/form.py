"""A form on its way from the adult word: sounds, syllables, stress, and which adult sound each one comes from."""

from __future__ import annotations

from typing import NamedTuple

from approx.ipa.features import is_nucleus
from approx.ipa.language import Language
from approx.ipa.syllables import syllable_starts
from approx.ipa.word import Word, written


class Form(NamedTuple):
    """Sounds, index of each syllable's first sound, stress degree a syllable, adult index a sound (-1: inserted); in a
    phrase the first sound of each word after the first, where a rule finds the edge of a word too."""

    phones: tuple[str, ...]
    starts: tuple[int, ...]
    stress: tuple[int, ...]
    origins: tuple[int, ...]
    edges: tuple[int, ...] = ()

    @property
    def word(self) -> Word:
        """The form as a word."""
        return Word(self.phones, self.starts, self.stress)

    @property
    def ipa(self) -> str:
        """Its text, as `Word.ipa` writes it."""
        return written(self.phones, self.starts, self.stress)

    def recut(self, lang: Language) -> Form:
        """The form cut as a reader of its text would cut it: by onset rules, except where a stress mark shows a cut."""
        starts = self.starts
        if len(starts) < 2:
            return self
        phones, out, vowel = self.phones, [0], -1
        number = 1
        for at, phone in enumerate(phones):
            if not is_nucleus(phone):
                continue
            if vowel >= 0:
                if number == len(starts):
                    return self
                start = starts[number]
                marked = self.stress[number] and vowel < start <= at
                out.append(start if marked else vowel + _cut(phones[vowel : at + 1], lang))
                number += 1
            vowel = at
        cut = tuple(out)
        return self if cut == starts or number < len(starts) else Form(phones, cut, self.stress, self.origins)

    def syllable_at(self, at: int) -> int:
        """Number of the syllable a sound stands in."""
        number = 0
        for start in self.starts[1:]:
            if start > at:
                break
            number += 1
        return number


_CUTS: dict[tuple[str, tuple[str, ...]], int] = {}


def _cut(stretch: tuple[str, ...], lang: Language) -> int:
    """Where the second syllable of a stretch from vowel to vowel begins; kept, for the stretches are few."""
    key = lang.code, stretch
    found = _CUTS.get(key)
    if found is None:
        found = _CUTS[key] = syllable_starts(stretch, (), lang)[1]
    return found


def form_of(word: Word) -> Form:
    """The adult word as the start of a derivation."""
    return Form(word.phones, word.starts, word.stress, tuple(range(len(word.phones))), word.edges)


def respan(phones: list[str], origins: list[int], owners: list[int], stress: tuple[int, ...]) -> Form:
    """A form from sounds that each name the syllable (by old number, any order-preserving key) they belong to.

    A syllable left without a vowel joins its neighbour; a syllable that starts with a vowel takes the consonant
    before it (maximal onset), so that what is left is cut as a listener would.
    """
    keys: list[int] = []
    cores: dict[int, int] = {}
    for at, owner in enumerate(owners):
        if not keys or keys[-1] != owner:
            keys.append(owner)
        if is_nucleus(phones[at]):
            cores[owner] = cores.get(owner, 0) + 1
    if len(cores) != len(keys) and cores:
        owners = _merged(owners, cores)
    starts = [at for at in range(len(owners)) if at == 0 or owners[at] != owners[at - 1]]
    degrees = tuple(stress[owners[start]] for start in starts)
    for number in range(1, len(starts)):
        at = starts[number]
        if is_nucleus(phones[at]) and not is_nucleus(phones[at - 1]) and at - 1 > starts[number - 1]:
            starts[number] = at - 1
    if degrees and 1 not in degrees:
        best = degrees.index(2) if 2 in degrees else 0
        degrees = (*degrees[:best], 1, *degrees[best + 1 :])
    return Form(tuple(phones), tuple(starts), degrees, tuple(origins))


def _merged(owners: list[int], cores: dict[int, int]) -> list[int]:
    """Sounds of a syllable without vowel go to the next one that has a vowel, else to the one before."""
    out = list(owners)
    for at in range(len(out) - 1, -1, -1):
        if out[at] not in cores and at + 1 < len(out):
            out[at] = out[at + 1]
    for at in range(1, len(out)):
        if out[at] not in cores:
            out[at] = out[at - 1]
    return out
