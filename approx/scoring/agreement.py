"""Agreement of two transcribers of the same productions: point to point, kappa, and where they differ.

Both transcriptions of a token are laid side by side by `approx.scoring.alignment.align`; each slot is an agreement or not, and a
sound that one of them alone heard is a slot of disagreement. Broad compares base symbols, narrow the marks too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from approx.ipa.word import Word
from approx.scoring.alignment.align import align_forms
from approx.scoring.alignment.costs import VOWEL, kind_of
from approx.scoring.judging.judge import judge
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.judging.slots import Slot, Verdict, base_symbol
from approx.scoring.measures.accuracy import MeasureValue, percent

_KEPT = 20_000
"""Pairs of forms that are remembered: a long sample says most of its words again."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One slot that differs: which token (from 0), which place in each transcription, and what each wrote ("" for nothing).

    `narrow_only`: the base symbols are the same, the marks are not.
    """

    token: int
    one: str
    other: str
    vowel: bool
    narrow_only: bool
    at_one: int | None
    at_other: int | None


AGREEMENT_PARTS = ("broad", "narrow", "consonants_broad", "consonants_narrow", "vowels_broad", "vowels_narrow")
"""The fields of `Agreement` that are shares of agreeing slots."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """Agreements of all tokens. `hits` of each value are agreeing slots, `out_of` all slots."""

    broad: MeasureValue
    narrow: MeasureValue
    consonants_broad: MeasureValue
    consonants_narrow: MeasureValue
    vowels_broad: MeasureValue
    vowels_narrow: MeasureValue
    kappa: float | None
    """Cohen's kappa on right/wrong of target consonants; None without targets or where chance agreement is 1."""
    differences: tuple[Difference, ...]


def agreement(
    pairs: Iterable[tuple[Word, Word]], targets: Iterable[Word | None] = (), options: ScoringOptions | None = None
) -> Agreement:
    """Agreement over tokens transcribed by two people; with targets, kappa on their judgements too.

    `targets` has the adult form of each token, None where there is none. Undefined values are None with a reason.
    Point to point: agreements / (agreements + disagreements), of consonants, of vowels and of both; broad compares base
    symbols, narrow their marks too. Source: general method; see McSweeny & Shriberg 1995, Phonology Project Tech. Rep. 2
    (from memory). 85 % broad is a usual floor (common practice, no source); narrow is always lower.

    >>> from approx.ipa import read
    >>> agreement([(read("tʌk").words[0], read("tʌt").words[0])]).broad.hits
    2
    """
    kept, adult, links_of = list(pairs), list(targets), lru_cache(_KEPT)(align_forms)
    tally = {(vowel, narrow): [0, 0] for vowel in (True, False) for narrow in (True, False)}
    differences: list[Difference] = []
    for token, (one, other) in enumerate(kept):
        for i, j in links_of(one, other).links:
            left = one.phones[i] if i is not None else ""
            right = other.phones[j] if j is not None else ""
            vowel = kind_of(left or right) == VOWEL
            broad = bool(left and right) and base_symbol(left) == base_symbol(right)
            for narrow in (False, True):
                pair = tally[vowel, narrow]
                pair[0] += broad and (not narrow or left == right)
                pair[1] += 1
            if left != right:
                differences.append(Difference(token, left, right, vowel, broad, i, j))
    values = {key: percent(hits, out_of, "no sounds to compare") for key, (hits, out_of) in tally.items()}
    return Agreement(
        _both(values, False),
        _both(values, True),
        values[False, False],
        values[False, True],
        values[True, False],
        values[True, True],
        kappa(*_judgements(kept, adult, options or default_scoring_options())),
        tuple(differences),
    )


def _both(values: dict[tuple[bool, bool], MeasureValue], narrow: bool) -> MeasureValue:
    one, other = values[True, narrow], values[False, narrow]
    return percent(one.hits + other.hits, one.out_of + other.out_of, "no sounds to compare")


def _judgements(
    pairs: list[tuple[Word, Word]], targets: list[Word | None], options: ScoringOptions
) -> tuple[int, int, int, int]:
    """Target consonants right by both, by the first only, by the second only, by neither."""
    counts = [0, 0, 0, 0]

    @lru_cache(_KEPT)
    def slots(target: Word, said: Word) -> tuple[Slot, ...]:
        return judge(target, said, align_forms(target, said), options).slots

    for target, (one, other) in zip(targets, pairs):
        if target is None:
            continue
        for left, right in zip(slots(target, one), slots(target, other)):
            if not left.vowel:
                counts[2 * (left.verdict != Verdict.RIGHT) + (right.verdict != Verdict.RIGHT)] += 1
    return counts[0], counts[1], counts[2], counts[3]


def kappa(both_right: int, only_one: int, only_other: int, both_wrong: int) -> float | None:
    """Cohen's kappa of two judges on right/wrong: (agreement - chance) / (1 - chance).

    None for no judgements, or where chance alone would agree always. Source: Cohen 1960, Educ Psychol Meas 20:37-46.

    >>> round(kappa(70, 5, 5, 20), 4)
    0.7333
    """
    total = both_right + only_one + only_other + both_wrong
    if not total:
        return None
    agreed = (both_right + both_wrong) / total
    one, other = (both_right + only_one) / total, (both_right + only_other) / total
    chance = one * other + (1 - one) * (1 - other)
    return None if chance == 1 else (agreed - chance) / (1 - chance)
