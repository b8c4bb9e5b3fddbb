"""How much a phrase asks of the mouth: syllables, places of articulation, and the jumps between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from approx.ipa.features import features, is_nucleus
from approx.ipa.word import Word

_COR, _LAB, _HI, _BACK = 12, 14, 15, 17


@dataclass(frozen=True, slots=True)
class ArticulatoryLoad:
    """Counts over a whole phrase. `places` in the order first met; `jumps`: neighbours in time at different places."""

    syllables: int
    places: tuple[str, ...]
    jumps: int


def place_of(sound: str) -> str:
    """labial, coronal, dorsal or glottal, from the features; w counts as labial."""
    values = features(sound)
    if values is None:
        return "unknown"
    if values[_LAB] == 1:
        return "labial"
    if values[_COR] == 1:
        return "coronal"
    return "dorsal" if values[_HI] == 1 or values[_BACK] == 1 and sound[:1] not in "hʔɦ" else "glottal"


def load(words: Sequence[Word]) -> ArticulatoryLoad:
    """The load of some words said one after the other (common practice, no source; glottal sounds make no jump)."""
    path = [place_of(sound) for word in words for sound in word.phones if not is_nucleus(sound)]
    oral = [place for place in path if place not in ("glottal", "unknown")]
    jumps = sum(one != other for one, other in zip(oral, oral[1:]))
    return ArticulatoryLoad(sum(len(word.starts) for word in words), tuple(dict.fromkeys(path)), jumps)
