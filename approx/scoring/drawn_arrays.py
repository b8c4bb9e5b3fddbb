"""Resamples of a sample in arrays: how often each word is drawn, and the sums of every number.

Which words are drawn depends on the seed and the number of words alone, so that it is kept for samples of one size.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from approx.scoring.number_names import NUMBERS
from approx.scoring.number_rows import in_arrays

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Weights = NDArray[np.uint16]

_AT_ONCE = 2_000_000
"""Draws that are held at once."""
_FEW = 3
"""Numbers that are sooner added up draw by draw than by how often each word was drawn."""


def drawn(rows: Mapping[int, int], resamples: int, seed: int, small: int, large: int) -> Floats:
    """Sums over each resample: (resamples, numbers), whole numbers held as floats, which are exact up to 2**53.

    `rows`: packed rows -> how many words gave each. Up to `small` words are drawn as the standard library
    draws them, up to `large` by numpy; beyond that the sums come from the limit.
    """
    import numpy as np

    whole, times = in_arrays(rows)
    numbers = whole.astype(np.float64)
    words = int(times.sum())
    if words > large:
        return _from_limit(numbers, times, resamples, seed)
    of_words = np.repeat(numbers, times, axis=0)
    used = np.flatnonzero(numbers.any(axis=0))
    if words > small and len(used) <= _FEW:
        return _added_up(of_words, used, resamples, seed)
    if resamples * words <= _AT_ONCE:
        sums: Floats = _weights(words, resamples, seed, words <= small).astype(np.float64) @ of_words
        return sums
    parts = _drawn_weights(words, resamples, seed, words <= small)
    return np.concatenate([part.astype(np.float64) @ of_words for part in parts])


def _added_up(of_words: Floats, used: Any, resamples: int, seed: int) -> Floats:
    """Sums of the numbers that are used, from the words as they are drawn; the other sums are 0.

    Two numbers go into one while their sums are whole below 2**53, so that words are looked up once.
    """
    import numpy as np

    words = len(of_words)
    draw, size = _source(words, seed, False), max(1, _AT_ONCE // (4 * words))
    sums = np.zeros((resamples, of_words.shape[1]))
    if not len(used):
        return sums
    first, *rest = used.tolist()
    step = 2.0 ** int(words * of_words[:, first].max()).bit_length()
    together = len(rest) == 1 and step * words * of_words[:, rest[0]].max() < 2.0**53
    columns = [of_words[:, first] + step * of_words[:, rest[0]]] if together else list(of_words[:, used].T)
    for start in range(0, resamples, size):
        part = sums[start : start + size]
        chosen = draw(len(part))
        found = [column.take(chosen).sum(axis=1) for column in columns]
        part[:, used] = np.stack(np.divmod(found[0], step)[::-1] if together else found, axis=1)
    return sums


def added(sums: Floats, names: Sequence[str]) -> Floats:
    """Some of the numbers added up, one sum a resample."""
    total = sums[:, NUMBERS.index(names[0])]
    for name in names[1:]:
        total = total + sums[:, NUMBERS.index(name)]
    return total


@lru_cache(maxsize=24)
def _weights(words: int, resamples: int, seed: int, small: bool) -> Weights:
    import numpy as np

    return np.concatenate(list(_drawn_weights(words, resamples, seed, small)))


def _drawn_weights(words: int, resamples: int, seed: int, small: bool) -> Iterator[Weights]:
    """How often each word is drawn in each resample: (some resamples, words), until all are drawn."""
    import numpy as np

    left, size = resamples, max(1, _AT_ONCE // (4 * words))
    draw = _source(words, seed, small)
    while left:
        rows = min(left, size)
        cells = draw(rows) + (np.arange(rows) * words)[:, None]
        yield np.bincount(cells.ravel(), minlength=rows * words).astype(np.uint16).reshape(rows, words)
        left -= rows


def _source(words: int, seed: int, small: bool) -> Callable[[int], Any]:
    """Gives so many rows of words drawn. `small`: those of `random.Random(seed).choices`, by the same steps."""
    import numpy as np

    if not small:
        draws = np.random.default_rng(seed)
        return lambda rows: draws.integers(0, words, (rows, words))
    state = random.Random(seed).getstate()[1]
    steps = np.random.RandomState()
    steps.set_state(("MT19937", np.array(state[:-1], np.uint32), state[-1], 0, 0.0))
    return lambda rows: (steps.random_sample((rows, words)) * words).astype(np.int64)


def _from_limit(numbers: Floats, times: Any, resamples: int, seed: int) -> Floats:
    """Sums as resampling has them in the limit: normal, around n times the mean row, n times the rows' covariance apart."""
    import numpy as np

    words = times.sum()
    middle = times @ numbers / words
    apart = (numbers - middle) * np.sqrt(times)[:, None]
    values, directions = np.linalg.eigh(apart.T @ apart)
    normal = _normal(resamples, len(values), seed)
    sums = words * middle + (normal * np.sqrt(np.clip(values, 0, None))) @ directions.T
    drawn: Floats = np.clip(sums, 0, None).round()
    return drawn


@lru_cache(maxsize=4)
def _normal(resamples: int, columns: int, seed: int) -> Floats:
    import numpy as np

    normal: Floats = np.random.default_rng(seed).standard_normal((resamples, columns))
    return normal
