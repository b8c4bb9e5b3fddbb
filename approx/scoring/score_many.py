"""Many words scored at once: the same numbers as `scored_word.score_word`, worked out in arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from approx.ipa.word import Word
from approx.scoring.counts import Scored
from approx.scoring.options import Options, default_options
from approx.scoring.score_table import ScoreTable

Pair = tuple[Word, Word, str]
"""Target, production, and the name of the word across tokens ("" for its target form)."""


def score_many(pairs: Sequence[Pair], options: Options | None = None) -> Iterator[Scored]:
    """Numbers of many words, in order. Give each distinct pair once and add it as often as it was said (`Tally.add`).

    Needs numpy; for a few words `score_word` is quicker to start.
    """
    targets, said, names = zip(*pairs) if pairs else ((), (), ())
    return iter(ScoreTable(targets, said, names, options or default_options()))
