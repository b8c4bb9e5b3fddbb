"""Scores of a whole sample, group by group: counts that add, measures with their intervals, what was left out and why.

From counted pairs to counts of groups: each distinct pair scored once, added as often as it was said.

`OneByOne` starts at once and is for small samples; `InArrays` gives the same for many pairs, sooner and in less memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from approx.ipa.word import Word
from approx.samples.token import Pair, PairCounts, Token
from approx.scoring.alignment.align import two_vowels
from approx.scoring.judging.counts import Counts, Scored, Tally, chosen, total
from approx.scoring.judging.options import Options, default_options
from approx.scoring.judging.scored_word import left_out_reason, score_word
from approx.scoring.measures.bands import Setting
from approx.scoring.measures.catalogue import Evaluation, Score, evaluate

if TYPE_CHECKING:
    from approx.scoring.bulk.score_table import ScoreTable

Accepting = Callable[[Word, Word, str, str], Sequence[Word]]
"""Adult form, what was said, language, the word as spelled -> other adult forms that are as right (accent, casual speech)."""
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
    return pair.target, two_vowels(pair.target, pair.produced)


def score_pair(pair: Pair | Token, options: Options, accepting: Accepting | None) -> Scored:
    """One pair that is scored, against the accepted adult form that it matches best."""
    target, produced = both_forms(pair)
    others = accepting(target, produced, pair.language, pair.target_word) if accepting else ()
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

        from approx.scoring.bulk.score_table import ScoreTable

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
            for other in accepting(targets[at], said[at], pair.language, pair.target_word) if accepting else ():
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


__all__ = ["INNER", "Accepting", "GroupScore", "score_counts", "score_group"]

INNER = ("language", "context", "age")
"""Columns that `score_counts` needs beside those of the grouping: never mixed, or told with the band."""


@dataclass(frozen=True, slots=True)
class GroupScore:
    """One group of tokens. `labels`: the columns it was grouped by. `left_out`: (row, reason)."""

    labels: dict[str, str]
    tokens: int
    scored: int
    left_out: tuple[tuple[int, str], ...]
    counts: Counts
    measures: dict[str, Score]


def score_group(
    labels: dict[str, str], tokens: Sequence[Token], options: Options | None = None, accepting: Accepting | None = None
) -> GroupScore:
    """All measures of some tokens of one language; the option `language` is taken from the tokens."""
    found = count_group(tokens, options, accepting)
    ages = {token.age for token in found.kept}
    contexts = frozenset(token.context for token in found.kept if token.context)
    words = found.counts["words"]
    setting = Setting(words, found.options.language, contexts, ages.pop() if len(ages) == 1 else None)
    measures = evaluate(found.counts, found.options, setting)
    return GroupScore(labels, len(tokens), words, found.left_out, found.counts, measures)


@dataclass(frozen=True, slots=True)
class CountedGroup:
    """Tokens of one language counted, with the options in this language. `kept`: those not left out; `left_out`: (row,
    reason)."""

    options: Options
    counts: Counts
    kept: Sequence[Token]
    left_out: tuple[tuple[int, str], ...]


def count_group(
    tokens: Sequence[Token], options: Options | None = None, accepting: Accepting | None = None
) -> CountedGroup:
    """What `score_group` evaluates."""
    language = tokens[0].language if tokens else "en-US"
    picked = replace(options or default_options(), language=language)
    reasons = [(token.row, _reason(token, picked)) for token in tokens]
    kept = [token for token, (_, reason) in zip(tokens, reasons) if not reason]
    counts = total(chosen(list(_scored(kept, picked, accepting)), picked))
    return CountedGroup(picked, counts, kept, tuple((row, reason) for row, reason in reasons if reason))


def score_counts(
    found: PairCounts,
    options: Options | None = None,
    accepting: Accepting | None = None,
    keep_counts: bool = True,
    many: int = MANY,
    told: Callable[[int, int], None] | None = None,
) -> list[GroupScore]:
    """All measures of every group of counted pairs, grouped by the caller's columns and then by `INNER`.

    Each distinct pair is scored once and counted as often as it occurs, so that time and memory grow with the distinct
    pairs. Not for the option `repeats` other than "every": which attempt came first is not kept.
    From `many` pairs on they are scored in arrays, which changes no number. Without `keep_counts` the counts of a group
    hold the accepted forms only, so that many groups need little room. `told` is called with how many groups are counted, of how many.
    """
    usual = options or default_options()
    groups: dict[tuple[tuple[str, ...], str], list[tuple[str, ...]]] = {}
    for key in found.groups:
        groups.setdefault((key[: -len(INNER)], key[-len(INNER)]), []).append(key)
    languages: dict[str, list[tuple[str, ...]]] = {}
    for outer, language in groups:
        languages.setdefault(language, []).append(outer)
    several = Counter(outer for outer, _ in groups)
    evaluation = Evaluation()
    counted: list[tuple[tuple[str, ...], str, int, Counts]] = []
    for language, outers in languages.items():
        picked = replace(usual, language=language or "en-US")
        pairs = [[found.groups[key] for key in groups[outer, language]] for outer in outers]
        way = InArrays if sum(len(part) for group in pairs for part in group) >= many else OneByOne
        counter = way(pairs, picked, accepting, keep_counts)
        for number, outer in enumerate(outers):
            tokens, counts = counter.counts(number)
            evaluation.add(counts, picked, _setting(groups[outer, language], counts["words"], picked.language))
            kept = counts if keep_counts else Counts(accepted=counts.accepted)
            counted.append((outer, language, tokens, kept))
            if told:
                told(len(counted), len(groups))
    out: dict[tuple[tuple[str, ...], str], GroupScore] = {}
    for (outer, language, tokens, counts), measures in zip(counted, evaluation.scores()):
        keys = groups[outer, language]
        labels = dict(zip(found.by, outer)) | ({"language": language} if several[outer] > 1 else {})
        left_out = sorted(entry for key in keys for entry in found.left_out.get(key, ()))
        words = measures["pwc"].out_of
        out[outer, language] = GroupScore(labels, tokens, words, tuple(left_out), counts, measures)
    return [out[key] for key in groups]


def _setting(keys: Sequence[tuple[str, ...]], words: int, language: str) -> Setting:
    """What the band of a group is to caution about, from the `INNER` columns of its parts."""
    ages = {key[-1] for key in keys}
    contexts = frozenset(key[-2] for key in keys if key[-2])
    age = ages.pop() if len(ages) == 1 else ""
    return Setting(words, language, contexts, int(age) if age.isdigit() else None)


def _reason(token: Token, options: Options) -> str:
    """Why a token is not scored; "" if it is."""
    if token.kind in ("no gloss", "no response"):
        return token.kind
    reason = left_out_reason(token.target, token.produced, options)
    return "unintelligible" if token.kind == "unintelligible" and reason else reason


def _scored(tokens: Sequence[Token], options: Options, accepting: Accepting | None) -> Iterable[Scored]:
    """Each token's numbers; tokens that differ in nothing are worked out once.

    Every row is scored: the rule on a word said again at once (PCC, rule 4) is for running speech within one cell.
    """
    memo: dict[tuple[str, Word, Word], Scored] = {}
    for token in tokens:
        if token.target is None or token.produced is None:
            continue
        key = (token.target_word, token.target, token.produced)
        if key not in memo:
            memo[key] = score_pair(token, options, accepting)
        yield memo[key]
