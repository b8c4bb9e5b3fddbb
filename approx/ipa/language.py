"""What one language counts as one sound, and how its syllables may begin (`rules/languages/*.toml`)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from approx.datafiles import read_toml, rules_path


@dataclass(frozen=True, slots=True)
class Language:
    """Inventory, onset rules and writing habits of one language; `code` is its BCP 47 tag or primary part.

    `respelled`: two symbols that are one diphthong -> how it is written here. `rhotic`: a vowel and ɹ that
    are one vowel unless a vowel follows. `doubtful`: symbols seldom meant as typed -> what may be meant; read
    with doubt. `never_stressed`: vowels of weak syllables; `never_together`: two consonants that do not meet within a foot.
    `noted`: symbols outside the inventory that are kept as typed -> what may be meant.
    """

    code: str
    consonants: tuple[str, ...]
    vowels: tuple[str, ...]
    diphthongs: frozenset[str]
    affricates: frozenset[str]
    onsets: frozenset[tuple[str, ...]]
    never_first: frozenset[str]
    never_stressed: frozenset[str]
    never_together: frozenset[tuple[str, ...]]
    respelled: dict[str, str]
    rhotic: dict[str, str]
    doubtful: dict[str, str]
    noted: dict[str, str]


_FILES = {"en": "en-us", "es": "es"}


@lru_cache(maxsize=256)
def language(tag: str = "en-US") -> Language:
    """The language of a BCP 47 tag (`en-US`, `es-MX`) or an epitran code (`deu-Latn`); others are generic."""
    primary = tag.lower().replace("_", "-").split("-")[0]
    return _load(_FILES.get({"eng": "en", "spa": "es"}.get(primary, primary), "generic"))


@cache
def _load(name: str) -> Language:
    table = read_toml(rules_path(f"languages/{name}.toml"))
    return Language(
        code=table["code"],
        consonants=tuple(table["consonants"].split()),
        vowels=tuple(table["vowels"].split() + table["diphthongs"].split()),
        diphthongs=frozenset(table["diphthongs"].split()),
        affricates=frozenset(table["affricates"].split()),
        onsets=frozenset(_onset(text) for text in table["onsets"].split()),
        never_first=frozenset(table["never_first"].split()),
        never_stressed=frozenset(table["never_stressed"].split()),
        never_together=frozenset(_onset(text) for text in table["never_together"].split()),
        respelled=table["respelled"],
        rhotic=table["rhotic"],
        doubtful=table["doubtful"],
        noted=table["noted"],
    )


def _onset(text: str) -> tuple[str, ...]:
    """The symbols of an onset written without blanks; a tie bar binds its neighbours."""
    out: list[str] = []
    for char in text:
        if char == "͡" or (out and out[-1].endswith("͡")):
            out[-1] += char
        else:
            out.append(char)
    return tuple(out)
