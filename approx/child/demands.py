"""What a form asks of a child that the child does not yet have: one list of demands, in one fixed order.

The same demands drive the search (fix the first one), the ladder (grant one more a rung) and every check that a form
is sayable. Order: length, clusters, equal syllables, shapes, consonants, vowels, equal consonants; left to right within each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

from approx.child.profile import Limits
from approx.ipa.features import FEATURES, features, is_nucleus
from approx.ipa.word import Word

_SON, _VOI = FEATURES.index("son"), FEATURES.index("voi")


class Demand(NamedTuple):
    """One thing a form needs: `what` names it, `first`..`last` are the sounds it stands on (last excluded).

    kind "length": item ("3",). "cluster": item (sounds..., position). "shape": item ("CVC",).
    "consonant": item (sound, position). "vowel": item (sound,). "variety": item (name of the child's limit,).
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
    phones: Sequence[str], starts: Sequence[int], limits: Limits, granted: frozenset[tuple[str, tuple[str, ...]]] = frozenset()
) -> Iterator[Demand]:
    """Everything in the form that is outside `limits` and not `granted` (by `Demand.key`)."""
    for demand in _outside(phones, starts, limits):
        if demand.key not in granted:
            yield demand


def _outside(phones: Sequence[str], starts: Sequence[int], limits: Limits) -> Iterator[Demand]:
    count = len(phones)
    if len(starts) > limits.max_syllables:
        yield Demand("length", (str(len(starts)),), 0, count)
    nuclei = [at for at in range(count) if is_nucleus(phones[at])]
    first, last = (nuclei[0], nuclei[-1]) if nuclei else (count, count)
    spans = list(zip(starts, (*starts[1:], count)))
    shapes: list[Demand] = []
    for start, end in spans:
        inside = [at for at in nuclei if start <= at < end]
        left, right = (inside[0], inside[-1] + 1) if inside else (end, end)
        for a, b in ((start, left), (right, end)):
            if b - a > 1:
                place = "initial" if b <= first and a == 0 else "final" if a > last else "medial"
                if (tuple(phones[a:b]), place) not in limits.clusters:
                    yield Demand("cluster", (*phones[a:b], place), a, b)
        shape = "C" * (left - start) + "V" * (right - left) + "C" * (end - right)
        if shape not in limits.shapes:
            shapes.append(Demand("shape", (shape,), start, end))
    for start in starts[1:]:
        if start < count and phones[start - 1] == phones[start]:
            yield Demand("cluster", (phones[start - 1], phones[start], "medial"), start - 1, start + 1)
    if limits.variety == "same" and _varied(phones, spans, "same"):
        yield Demand("variety", (limits.variety,), 0, count)
    yield from shapes
    vowels: list[Demand] = []
    for at, phone in enumerate(phones):
        if is_nucleus(phone):
            if phone not in limits.vowels:
                vowels.append(Demand("vowel", (phone,), at, at + 1))
        else:
            place = "initial" if at < first else "final" if at > last else "medial"
            if phone not in limits.consonants[place]:
                yield Demand("consonant", (phone, place), at, at + 1)
    yield from vowels
    if limits.variety == "same consonant" and _varied(phones, spans, limits.variety):
        yield Demand("variety", (limits.variety,), 0, count)


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
    return bool(word.phones) and next(_outside(word.phones, word.starts, limits), None) is None


def describe(demand: Demand) -> str:
    """The demand in plain words, for a ladder."""
    kind, item = demand.kind, demand.item
    if kind == "length":
        return f"{item[0]} syllables in a word"
    if kind == "cluster":
        return f"the cluster {''.join(item[:-1])} ({item[-1]})"
    if kind == "shape":
        return f"the syllable shape {item[0]}"
    if kind == "consonant":
        return f"{item[0]} ({item[1]})"
    if kind == "vowel":
        return f"the vowel {item[0]}"
    return "syllables that differ" if item[0] == "same" else "two different consonants in a word"
