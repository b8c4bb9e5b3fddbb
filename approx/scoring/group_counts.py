"""From counted pairs to counts of groups: each distinct pair scored once, added as often as it was said.

`OneByOne` starts at once and is for small samples; `InArrays` gives the same for many pairs, sooner and in less memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from approx.ipa.word import Word
from approx.scoring.counts import Counts, Scored, Tally
from approx.scoring.options import Options
from approx.scoring.sample_token import Pair, Token
from approx.scoring.scored_word import left_out_reason, score_word

if TYPE_CHECKING:
    from approx.scoring.score_table import ScoreTable

Accepting = Callable[[Word, Word, str], Sequence[Word]]
"""Adult form, what was said, language -> other adult forms that are as right (accent, casual speech)."""
Group = Sequence[Mapping[Pair, int]]
"""Pairs of a group with how often each was said, in one part or several."""
MANY = 3000
"""Distinct pairs from which on arrays are sooner done than loaded."""


def name_of(pair: Pair | Token) -> str:
    """What a word is called across its tokens: as it was written, or its adult form."""
    return (pair.target_word or (pair.target.ipa if pair.target else "")).lower()


def is_scored(pair: Pair, options: Options) -> bool:
    """True if tokens of this pair are scored; what was not wholly understood, only where the options say so."""
    if pair.kind in ("no gloss", "no response"):
        return False
    return pair.kind == "scored" or not left_out_reason(pair.target, pair.produced, options)


def both_forms(pair: Pair | Token) -> tuple[Word, Word]:
    """Adult form and production of a pair that is scored. ValueError for one that is not."""
    if pair.target is None or pair.produced is None:
        raise ValueError("a token without adult form or production is left out, not scored")
    return pair.target, pair.produced


def score_pair(pair: Pair | Token, options: Options, accepting: Accepting | None) -> Scored:
    """One pair that is scored, against the accepted adult form that it matches best."""
    target, produced = both_forms(pair)
    others = accepting(target, produced, pair.language) if accepting else ()
    return score_word(target, produced, options, name_of(pair), others)


class OneByOne:
    """Counts of groups of one language, pair by pair."""

    def __init__(
        self, groups: Sequence[Group], options: Options, accepting: Accepting | None, with_forms: bool = True
    ) -> None:
        self.groups, self.options, self.accepting = groups, options, accepting
        self._known: dict[Pair, Scored] = {}

    def counts(self, number: int) -> tuple[int, Counts]:
        """How many tokens a group has, and the counts of those that are scored."""
        tally, tokens = Tally(), 0
        for part in self.groups[number]:
            for pair, times in part.items():
                tokens += times
                if is_scored(pair, self.options):
                    if pair not in self._known:
                        self._known[pair] = score_pair(pair, self.options, self.accepting)
                    tally.add(self._known[pair], times)
        return tokens, tally.counts()


class InArrays:
    """The same for many pairs: all of them are scored first, in arrays."""

    def __init__(
        self, groups: Sequence[Group], options: Options, accepting: Accepting | None, with_forms: bool
    ) -> None:
        import numpy as np

        from approx.scoring.score_table import ScoreTable

        self._with_forms = with_forms
        numbers: dict[Pair, int] = {}
        self._groups = [_numbered(group, numbers) for group in groups]
        self._counted = np.array([is_scored(pair, options) for pair in numbers], bool)
        scored = [pair for pair, counted in zip(numbers, self._counted.tolist()) if counted]
        del numbers
        self._place = np.cumsum(self._counted) - 1
        targets, said = list[Word](), list[Word]()
        for pair in scored:
            target, produced = both_forms(pair)
            targets.append(target)
            said.append(produced)
        names = [name_of(pair) for pair in scored]
        rivals: list[tuple[int, str]] = []
        for at, pair in enumerate(scored) if accepting else ():
            for other in accepting(targets[at], said[at], pair.language) if accepting else ():
                rivals.append((at, other.ipa))
                targets.append(other)
                said.append(said[at])
                names.append(names[at])
        self._table = ScoreTable(targets, said, names, options)
        self._best, self._accepted = _best(self._table, len(scored), rivals)

    def counts(self, number: int) -> tuple[int, Counts]:
        """How many tokens a group has, and the counts of those that are scored."""
        which, times = self._groups[number]
        tokens = int(times.sum())
        counted = self._counted[which]
        which, times = self._place[which[counted]], times[counted]
        accepted: dict[tuple[str, str], int] = {}
        for at, count in zip(which.tolist(), times.tolist()) if self._accepted else ():
            if at in self._accepted:
                key = self._table.name(at), self._accepted[at]
                accepted[key] = accepted.get(key, 0) + count
        return tokens, self._table.counts(self._best[which], times, self._with_forms, accepted)


def _numbered(group: Group, numbers: dict[Pair, int]) -> tuple[Any, Any]:
    """The pairs of a group by number, new ones with the next, and how often each was said."""
    import numpy as np

    number, size = numbers.setdefault, sum(map(len, group))
    which = np.fromiter((number(pair, len(numbers)) for part in group for pair in part), np.int32, size)
    return which, np.fromiter((count for part in group for count in part.values()), np.int32, size)


def _best(table: ScoreTable, size: int, rivals: Sequence[tuple[int, str]]) -> tuple[Any, dict[int, str]]:
    """For each pair the row of the adult form with the fewest wrong sounds, and which form that is if not the target."""
    import numpy as np

    best = np.arange(size)
    accepted: dict[int, str] = {}
    for row, (at, ipa) in enumerate(rivals, size):
        now = int(best[at])
        if (table.wrong[row], not table.right[row]) < (table.wrong[now], not table.right[now]):
            best[at], accepted[at] = row, ipa
    return best, accepted
