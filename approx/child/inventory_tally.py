"""What one form shows: each consonant in its place, clusters, vowels, syllable shapes, length and variety."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from approx.child.demands import position_of
from approx.child.inventory_criterion import Criterion, sound_of
from approx.ipa.features import is_nucleus
from approx.ipa.word import UNIDENTIFIED, UNKNOWN_CONSONANT, UNKNOWN_VOWEL, Word

_KNOWN_KIND = (UNKNOWN_CONSONANT, UNKNOWN_VOWEL)
"""Not identified, but known to be a consonant or a vowel: the shape is as certain as if they were."""


class Sight(NamedTuple):
    """One thing seen in a form. kind: consonant, cluster, vowel, shape, word shape or length; place "" where none."""

    kind: str
    item: str
    place: str
    certain: bool


def sights(word: Word, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> Iterator[Sight]:
    """Everything a form shows. A sound in doubt is never certain; one not identified is no sight of any sound.

    Members of a cluster are seen in its place too; the cluster is seen apart.
    """
    phones, count = word.phones, len(word.phones)
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)]
    first, last = (nuclei[0], nuclei[-1]) if nuclei else (count, count)
    sounds = [sound_of(phone, rule, language, adult) for phone in phones]
    for at, phone in enumerate(phones):
        if phone in UNIDENTIFIED:
            continue
        vowel = is_nucleus(phone)
        place = "" if vowel else position_of(at, count, first, last)
        yield Sight("vowel" if vowel else "consonant", sounds[at], place, at not in word.doubtful)
    for run, place in runs(word):
        if not any(phones[at] in UNIDENTIFIED for at in run):
            sure = not any(at in word.doubtful for at in run)
            yield Sight("cluster", " ".join(sounds[at] for at in run), place, sure)
    shapes = [syllable_shape(word, start, end) for start, end in pairwise((*word.starts, count))]
    for shape, sure in shapes:
        if shape:
            yield Sight("shape", shape, "", sure)
    if shapes and all(shape for shape, _ in shapes):
        yield Sight("word shape", "".join(shape for shape, _ in shapes), "", all(sure for _, sure in shapes))
        if nuclei:
            yield Sight("length", str(len(word.starts)), "", all(sure for _, sure in shapes))


def runs(word: Word) -> Iterator[tuple[range, str]]:
    """Clusters: two or more consonants at one side of one syllable, with the place in the word."""
    phones, count = word.phones, len(word.phones)
    nuclei = [at for at, phone in enumerate(phones) if is_nucleus(phone)]
    first, last = (nuclei[0], nuclei[-1]) if nuclei else (count, count)
    for start, end in pairwise((*word.starts, count)):
        inside = [at for at in nuclei if start <= at < end]
        left, right = (inside[0], inside[-1] + 1) if inside else (end, end)
        for a, b in ((start, left), (right, end)):
            if b - a > 1:
                yield range(a, b), "initial" if a == 0 and b <= first else "final" if a > last else "medial"


def syllable_shape(word: Word, start: int, end: int) -> tuple[str, bool]:
    """Shape of the sounds from `start` to `end`, and whether no doubt touches it; "" where it cannot be told."""
    shape, sure = "", True
    for at in range(start, end):
        phone = word.phones[at]
        if phone in UNIDENTIFIED and phone not in _KNOWN_KIND:
            return "", False
        shape += "V" if is_nucleus(phone) else "C"
        sure = sure and (phone in _KNOWN_KIND or at not in word.doubtful)
    return shape, sure


def variety_of(word: Word, rule: Criterion, language: str, adult: frozenset[str] = frozenset()) -> str:
    """What a form asks for: "same", "same consonant" or "any"; "" where a sound of it is not certain."""
    if word.doubtful or not word.phones:
        return ""
    sounds = [sound_of(phone, rule, language, adult) for phone in word.phones]
    if len({sound for sound, phone in zip(sounds, word.phones) if not is_nucleus(phone)}) > 1:
        return "any"
    spans = pairwise((*word.starts, len(sounds)))
    return "same" if len({tuple(sounds[start:end]) for start, end in spans}) == 1 else "same consonant"
