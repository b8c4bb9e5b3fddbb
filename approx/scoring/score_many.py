"""Many words scored at once: the same numbers as `scored_word.score_word`, with the alignments worked out in arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from approx.ipa.word import Word
from approx.scoring.costs import Prepared, prepare
from approx.scoring.counts import Scored
from approx.scoring.fast_align import align_many
from approx.scoring.options import Options, default_options
from approx.scoring.scored_word import score_word

_AT_ONCE = 20_000
"""Pairs that are laid side by side; more would only take memory."""

Pair = tuple[Word, Word, str]
"""Target, production, and the name of the word across tokens ("" for its target form)."""


def score_many(pairs: Sequence[Pair], options: Options | None = None) -> Iterator[Scored]:
    """Numbers of many words, in order. Give each distinct pair once and add it as often as it was said (`Tally.add`).

    Needs numpy; for a few words `score_word` is quicker to start.
    """
    chosen = options or default_options()
    kept: dict[Word, Prepared] = {}
    rows: dict[int, int] = {}
    for start in range(0, len(pairs), _AT_ONCE):
        part = pairs[start : start + _AT_ONCE]
        sides: list[list[Prepared]] = [[], []]
        for pair in part:
            for side, form in zip(sides, pair[:2]):
                found = kept.get(form)
                if found is None:
                    found = kept[form] = prepare(form)
                side.append(found)
        links = align_many(*sides)
        for (target, produced, word), alignment in zip(part, links):
            scored = score_word(target, produced, chosen, word, alignment=alignment)
            # Few rows of numbers are different: one object for equal ones keeps the counts of many groups small.
            yield scored._replace(packed=rows.setdefault(scored.packed, scored.packed))
        kept.clear()
