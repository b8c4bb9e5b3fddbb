"""What a form asks of a child that the child does not yet have: one list of demands, in one fixed order.

The same demands drive the search (fix the first one), the ladder (grant one more a rung) and every check that a form
is sayable. Order: length, weak syllables, clusters, equal syllables, shapes, consonants, vowels, equal consonants; left to right within each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from approx.child.profile import AGAIN, Limits
from approx.ipa.features import FEATURES, features, is_nucleus
from approx.ipa.word import Word
from approx.wording import worded

_SON, _VOI = FEATURES.index("son"), FEATURES.index("voi")


class Demand(NamedTuple):
    """One thing a form needs: `what` names it, `first`..`last` are the sounds it stands on (last excluded).

    kind "length": item ("3",). "cluster": item (sounds..., position). "shape": item ("CVC",).
    "consonant": item (sound, position). "vowel": item (sound,). "variety": item (name of the child's limit,). "weak": item
    (position,), a weak syllable where the child does not keep one.
    """

    kind: str
    item: tuple[str, ...]
    first: int
    last: int

    @property
    def key(self) -> tuple[str, tuple[str, ...]]:
        """Equal for the same demand in two places."""
        return self.kind, self.item


def position_of(at: int, count: int, first_vowel: int, last_vowel: int) -> str:
    """initial before the first vowel, final after the last, medial between; in a word without vowel all is initial."""
    if at < first_vowel:
        return "initial"
    return "final" if at > last_vowel else "medial"


def demands(
    phones: tuple[str, ...],
    starts: Sequence[int],
    limits: Limits,
    granted: frozenset[tuple[str, tuple[str, ...]]] = frozenset(),
    stress: Sequence[int] = (),
) -> Iterator[Demand]:
    """Everything in the form that is outside `limits` and not `granted` (by `Demand.key`)."""
    for demand in all_demands(phones, starts, limits, stress):
        if demand.key not in granted:
            yield demand


def all_demands(
    phones: tuple[str, ...], starts: Sequence[int], limits: Limits, stress: Sequence[int] = ()
) -> tuple[Demand, ...]:
    """Everything in the form that is outside `limits`, nothing granted; of weak syllables only where `stress` is given.

    Every syllable has a vowel, or the word has none. What one syllable asks depends only on its sounds and on
    whether it opens or closes the word, so it is found once and kept with the limits: the search asks this of every
    form it meets.
    """
    count, known, last = len(phones), limits.known, len(starts) - 1
    first: list[Demand] = []
    shapes: list[Demand] = []
    consonants: list[Demand] = []
    vowels: list[Demand] = []
    if last >= limits.max_syllables:
        first.append(Demand("length", (str(last + 1),), 0, count))
    if limits.weak and stress and last:
        first += _weak(phones, (*starts, count), stress, limits)
    for number, start in enumerate(starts):
        key = phones[start : starts[number + 1] if number < last else count], start, number == last
        asked = known.get(key)
        if asked is None:
            asked = known[key] = _standing_at(*key, limits)
        if asked is not _NOTHING:
            first += asked[0]
            shapes += asked[1]
            consonants += asked[2]
            vowels += asked[3]
    for start in starts[1:]:
        if phones[start - 1] == phones[start]:
            first.append(Demand("cluster", (phones[start - 1], phones[start], "medial"), start - 1, start + 1))
    if limits.variety == "any":
        return (*first, *shapes, *consonants, *vowels)
    if limits.variety == "same" and _varied(phones, list(zip(starts, (*starts[1:], count))), "same"):
        first.append(Demand("variety", (limits.variety,), 0, count))
    out = (*first, *shapes, *consonants, *vowels)
    if limits.variety == "same consonant" and _varied(phones, [], limits.variety):
        return (*out, Demand("variety", (limits.variety,), 0, count))
    return out


def weak_syllables(stress: Sequence[int]) -> Iterator[tuple[int, str]]:
    """Number and position of each unstressed syllable: initial before the stress, final at the end, medial between."""
    main = stress.index(1) if 1 in stress else len(stress)
    for number, degree in enumerate(stress):
        if not degree and main < len(stress):
            yield number, "initial" if number < main else "final" if number == len(stress) - 1 else "medial"


def _weak(phones: Sequence[str], bounds: Sequence[int], stress: Sequence[int], limits: Limits) -> Iterator[Demand]:
    """Weak syllables the child does not keep; one that is the stressed syllable again is no demand where that is said."""
    for number, place in weak_syllables(stress):
        said = limits.weak.get(place)
        start, end = bounds[number], bounds[number + 1]
        main = stress.index(1)
        alike = phones[start:end] == phones[bounds[main] : bounds[main + 1]]
        if said is not None and not (said == AGAIN and (alike or len(stress) > 2)):
            yield Demand("weak", (place,), start, end)


SyllableDemands = tuple[list[Demand], list[Demand], list[Demand], list[Demand]]
"""Demands of one syllable: clusters, shape, consonants, vowels."""
_NOTHING: SyllableDemands = ([], [], [], [])


def _standing_at(sounds: tuple[str, ...], start: int, closes: bool, limits: Limits) -> SyllableDemands:
    """What a syllable asks that begins with this sound of its word; `closes` says whether it is the last."""
    place = sounds, "opens" if not start else "follows", closes
    asked: SyllableDemands | None = limits.known.get(place)
    if asked is None:
        asked = limits.known[place] = _of_syllable(sounds, not start, closes, limits)
    if not start or asked is _NOTHING:
        return asked
    clusters, shapes, consonants, vowels = (
        [Demand(kind, item, low + start, high + start) for kind, item, low, high in found] for found in asked
    )
    return clusters, shapes, consonants, vowels


def _of_syllable(sounds: tuple[str, ...], opens: bool, closes: bool, limits: Limits) -> SyllableDemands:
    """What a syllable asks by its own places; `opens` and `closes` say whether it is the first and the last of its word."""
    count = len(sounds)
    nuclei = [at for at, phone in enumerate(sounds) if is_nucleus(phone)]
    left, right = (nuclei[0], nuclei[-1] + 1) if nuclei else (count, count)
    before, after = "initial" if opens else "medial", "final" if closes else "medial"
    clusters: list[Demand] = []
    if left > 1 and (sounds[:left], before) not in limits.clusters:
        clusters.append(Demand("cluster", (*sounds[:left], before), 0, left))
    if count - right > 1 and (sounds[right:], after) not in limits.clusters:
        clusters.append(Demand("cluster", (*sounds[right:], after), right, count))
    shape = "C" * left + "V" * (right - left) + "C" * (count - right)
    shapes = [Demand("shape", (shape,), 0, count)] if shape not in limits.shapes else []
    vowels = [Demand("vowel", (sounds[at],), at, at + 1) for at in nuclei if sounds[at] not in limits.vowels]
    consonants: list[Demand] = []
    for low, high, place in ((0, left, before), (left, right, "medial"), (right, count, after)):
        if not limits.consonants[place].issuperset(sounds[low:high]):
            consonants += [
                Demand("consonant", (sounds[at], place), at, at + 1)
                for at in range(low, high)
                if at not in nuclei and sounds[at] not in limits.consonants[place]
            ]
    return (clusters, shapes, consonants, vowels) if clusters or shapes or consonants or vowels else _NOTHING


@cache
def alike(one: str, other: str) -> bool:
    """True for two sounds that run together across a syllable edge: the same, or apart in voicing alone (d and t)."""
    if one == other:
        return True
    left, right = features(one), features(other)
    if left is None or right is None or left[_SON] == 1 or is_nucleus(one):
        return False
    return all(a == b for at, (a, b) in enumerate(zip(left, right)) if at != _VOI)


def _varied(phones: Sequence[str], spans: list[tuple[int, int]], variety: str) -> bool:
    if variety == "same":
        return len({tuple(phones[start:end]) for start, end in spans}) > 1
    return len({phone for phone in phones if not is_nucleus(phone)}) > 1


def sayable(word: Word, limits: Limits) -> bool:
    """True if the word asks for nothing outside the limits and has a sound at all."""
    return bool(word.phones) and not all_demands(word.phones, word.starts, limits, word.stress)


def describe(demand: Demand) -> str:
    """The demand in plain words, for a ladder."""
    kind, item = demand.kind, demand.item
    if kind == "length":
        return worded("{count} {count:syllable|syllables} in a word", count=item[0])
    if kind == "cluster":
        return worded("the cluster {sound} ({position})", sound="".join(item[:-1]), position=item[-1])
    if kind == "shape":
        return worded("the syllable shape {sound}", sound=item[0])
    if kind == "consonant":
        return worded("{sound} ({position})", sound=item[0], position=item[1])
    if kind == "vowel":
        return worded("the vowel {sound}", sound=item[0])
    if kind == "weak":
        return worded("a weak syllable ({position})", position=item[0])
    return "syllables that differ" if item[0] == "same" else "two different consonants in a word"
