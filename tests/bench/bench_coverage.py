"""How often intervals hold the true value: ours beside resampling and beside the exact interval that takes sounds as independent.

    python tests/bench/bench_coverage.py [SAMPLES]

Samples are simulated: words of 1 to 4 consonants, each word with a chance of its own (beta-binomial, `alike` is the
correlation of the sounds of one word), so many words, so often right. For each row: the share of samples whose interval
holds the true percentage (goal 95), by
  ours    `intervals.of_sounds`, the code that scores run,
  BCa     bias-corrected and accelerated bootstrap over words, 999 resamples (`scipy.stats.bootstrap`),
  middle  the middle 95 % of the same kind of resamples (percentile bootstrap),
  C-P     Clopper-Pearson over sounds, as if they were independent (`scipy.stats.beta`),
and the mean width of ours in points. A row below 93 is marked short, one above 97 wide. The table in DEVELOPERS.md is what
this prints. Nothing is asserted: a test (`tests/scoring/measures/test_coverage.py`) checks a few rows.
"""

from __future__ import annotations

import sys
import warnings
from typing import Any

import numpy as np
import scipy  # its parts are loaded where they are used
from numpy.typing import NDArray

from approx.scoring.measures.intervals import Interval, moments_of, of_sounds

Ints = NDArray[np.int64]
SIZES = (1, 2, 2, 3, 3, 4)
"""Consonants of words: about as many of each as in English words for children (common practice, no source)."""
WORDS, SHARES, ALIKE = (10, 20, 50, 100), (0.05, 0.2, 0.5, 0.8, 0.95), (0.0, 0.2, 0.5)
RESAMPLED = 120
"""Samples of a row that are resampled too: that is slow."""


def simulated(share: float, words: int, alike: float, samples: int, seed: int = 1) -> tuple[Ints, Ints]:
    """(samples, words): consonants right, and consonants."""
    rng = np.random.default_rng(seed)
    sizes = rng.choice(SIZES, (samples, words))
    if alike:
        more = (1 - alike) / alike
        return rng.binomial(sizes, rng.beta(share * more, (1 - share) * more, (samples, words))), sizes
    return rng.binomial(sizes, share), sizes


def ours(right: Ints, sizes: Ints) -> Interval:
    """The interval of one sample."""
    parts: dict[tuple[int, int], int] = {}
    for part in zip(right.tolist(), sizes.tolist()):
        parts[part] = parts.get(part, 0) + 1
    return of_sounds(moments_of(parts))


def covered(found: list[tuple[float, float]], share: float) -> float:
    """Percent of intervals that hold the share."""
    return 100 * float(np.mean([low - 1e-9 <= share <= high + 1e-9 for low, high in found]))


def resampled(right: Ints, sizes: Ints, method: Any) -> tuple[float, float]:
    """The bootstrap of scipy; where it has no answer (nothing varies) the single value."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = scipy.stats.bootstrap(
            (right, sizes), lambda r, s, axis: r.sum(axis) / s.sum(axis), paired=True, vectorized=True, n_resamples=999,
            method=method, rng=np.random.default_rng(1),
        ).confidence_interval  # fmt: skip
    share = right.sum() / sizes.sum()
    return (share, share) if np.isnan(found.low) else (float(found.low), float(found.high))


def independent(right: Ints, sizes: Ints) -> list[tuple[float, float]]:
    """Clopper-Pearson of every sample: the quantiles of two beta distributions."""
    hits, of = right.sum(1), sizes.sum(1)
    low = np.where(hits > 0, scipy.stats.beta.ppf(0.025, hits, of - hits + 1), 0.0)
    high = np.where(hits < of, scipy.stats.beta.ppf(0.975, hits + 1, of - hits), 1.0)
    return list(zip(low.tolist(), high.tolist()))


def main(samples: int) -> None:
    print("| alike | words | true % | ours | | width | BCa | middle | C-P |\n|---|---|---|---|---|---|---|---|---|")
    for alike in ALIKE:
        for words in WORDS:
            for share in SHARES:
                right, sizes = simulated(share, words, alike, samples)
                mine = [ours(*each) for each in zip(right, sizes)]
                own = covered([(each.low / 100, each.high / 100) for each in mine], share)
                width = np.mean([each.high - each.low for each in mine])
                few = list(zip(right[:RESAMPLED], sizes[:RESAMPLED]))
                bca, middle = (
                    covered([resampled(*each, method) for each in few], share) for method in ("BCa", "percentile")
                )
                exact = covered(independent(right, sizes), share)
                mark = "short" if own < 93 else "wide" if own > 97 else ""
                print(
                    f"| {alike:.1f} | {words} | {100 * share:.0f} | {own:.1f} | {mark} | {width:.0f} | {bca:.0f} | {middle:.0f} "
                    f"| {exact:.0f} |",
                    flush=True,
                )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5000)
