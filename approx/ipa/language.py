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
    with doubt. `never_first`, `never_last`: consonants that begin, or end, no word. `never_stressed`: vowels of weak syllables;
    `never_together`: two consonants that do not meet within a foot. `vowel_glides`: glides that before a vowel are part of it.
    `clusters_in_syllables`: a cluster is of one syllable, so that what ends a syllable is a last consonant, whatever follows.
    `noted`: symbols outside the inventory that are kept as typed -> what may be meant.
    """

    code: str
    consonants: tuple[str, ...]
    vowels: tuple[str, ...]
    diphthongs: frozenset[str]
    affricates: frozenset[str]
    onsets: frozenset[tuple[str, ...]]
    never_first: frozenset[str]
    never_last: frozenset[str]
    never_stressed: frozenset[str]
    never_together: frozenset[tuple[str, ...]]
    vowel_glides: frozenset[str]
    clusters_in_syllables: bool
    respelled: dict[str, str]
    rhotic: dict[str, str]
    doubtful: dict[str, str]
    noted: dict[str, str]

    def consonants_at(self, position: str) -> tuple[str, ...]:
        """The consonants that words have there: "initial", "medial" or "final"."""
        barred = {"initial": self.never_first, "final": self.never_last}.get(position, ())
        return tuple([sound for sound in self.consonants if sound not in barred])


@lru_cache(maxsize=256)
def language(tag: str = "en-US") -> Language:
    """The language of a BCP 47 tag (`en-US`, `es-MX`) or an epitran code (`deu-Latn`); one without a file is generic."""
    primary = tag.lower().replace("_", "-").split("-")[0]
    return _load(_files().get({"eng": "en", "spa": "es"}.get(primary, primary), "generic"))


@cache
def _files() -> dict[str, str]:
    """The file of each language, by its primary tag: that of General American is `en-us`."""
    return {path.stem.partition("-")[0]: path.stem for path in sorted(rules_path("languages").glob("*.toml"))}


@cache
def _load(name: str) -> Language:
    table = read_toml(rules_path(f"languages/{name}.toml"))

    def listed(key: str) -> list[str]:
        return str(table.get(key, "")).split()

    return Language(
        code=table["code"],
        consonants=tuple(listed("consonants")),
        vowels=tuple(listed("vowels") + listed("diphthongs")),
        diphthongs=frozenset(listed("diphthongs")),
        affricates=frozenset(listed("affricates")),
        onsets=frozenset(map(_onset, listed("onsets"))),
        never_first=frozenset(listed("never_first")),
        never_last=frozenset(listed("never_last")),
        never_stressed=frozenset(listed("never_stressed")),
        never_together=frozenset(map(_onset, listed("never_together"))),
        vowel_glides=frozenset(listed("vowel_glides")),
        clusters_in_syllables=table.get("clusters_in_syllables", False),
        respelled=table.get("respelled", {}),
        rhotic=table.get("rhotic", {}),
        doubtful=table.get("doubtful", {}),
        noted=table.get("noted", {}),
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
