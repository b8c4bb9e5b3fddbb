"""The numbers of `rules/search.toml`: how dear a change is at its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from approx.datafiles import read_toml, rules_path


@dataclass(frozen=True, slots=True)
class Weights:
    """Multipliers by place, surcharges, the cost of nearest sounds, and the bounds of a search."""

    stressed_vowel: float
    other_vowel: float
    first_consonant: float
    closing_consonant: float
    other_consonant: float
    unforced_deletion: float
    unforced_syllable: float
    sound_in_hand: float
    runs_together: float
    emerging: float
    atypical: float
    consonant_base: float
    consonant_per: float
    vowel_base: float
    vowel_per: float
    offered: int
    expansions: int
    longest_word: int
    spread: float
    closeness_half: float


@cache
def weights() -> Weights:
    """Read once a run."""
    table = read_toml(rules_path("search.toml"))
    return Weights(**{k: v for part in ("weights", "extra", "nearest", "bounds") for k, v in table[part].items()})


def closeness(cost: float) -> float:
    """1 for the adult form itself, falling by half every `closeness_half` units of cost."""
    return float(0.5 ** (cost / weights().closeness_half))
