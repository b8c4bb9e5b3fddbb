"""Scores of a whole sample, group by group: counts that add, measures with their intervals, what was left out and why.

Each distinct pair of tokens or counted pairs is scored once and added as often as it was said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from approx.ipa.word import Word
from approx.samples.token import Pair, PairCounts, Token
from approx.scoring.alignment.align import MANY
from approx.scoring.bulk.chosen_pairs import SlotCounts
from approx.scoring.bulk.counted_groups import Accepting, counted_groups, reason_left_out
from approx.scoring.judging.counts import Counts, chosen, total
from approx.scoring.judging.options import ScoringOptions, default_scoring_options
from approx.scoring.measures.bands import Setting
from approx.scoring.measures.breakdown import SoundRow, sounds_by_position
from approx.scoring.measures.catalogue import Score, evaluate

__all__ = ["SCORING_COLUMNS", "Accepting", "CountedGroup", "GroupScore", "count_group", "score_counts", "score_group"]

SCORING_COLUMNS = ("language", "context", "age")
"""Columns that `score_counts` needs beside those of the grouping: never mixed, or told with the band."""


@dataclass(frozen=True, slots=True)
class GroupScore:
    """One group of tokens. `labels`: the columns it was grouped by. `left_out`: (row, reason)."""

    labels: dict[str, str]
    tokens: int
    scored: int
    left_out: tuple[tuple[int, str], ...]
    counts: Counts
    measures: Mapping[str, Score]

    @property
    def sounds(self) -> tuple[SoundRow, ...]:
        """What was said for each target sound in each position."""
        slots = self.counts.slots
        return slots.sounds() if isinstance(slots, SlotCounts) else sounds_by_position(slots)


@dataclass(frozen=True, slots=True)
class CountedGroup:
    """Tokens of one language counted, with the options in this language. `kept`: those not left out; `left_out`: (row,
    reason)."""

    options: ScoringOptions
    counts: Counts
    kept: Sequence[Token]
    left_out: tuple[tuple[int, str], ...]


def score_group(
    labels: dict[str, str],
    tokens: Sequence[Token],
    options: ScoringOptions | None = None,
    accepting: Accepting | None = None,
    age: int | None = None,
) -> GroupScore:
    """All measures of some tokens of one language; the option `language` is taken from the tokens.

    `age`: of the child, in months, where no token gives one (child file, caseload).
    """
    found = count_group(tokens, options, accepting)
    contexts = frozenset(token.context for token in found.kept if token.context)
    setting = Setting(found.counts["words"], found.options.language, contexts, _age({t.age for t in found.kept}, age))
    measures = evaluate(found.counts, found.options, setting)
    return GroupScore(labels, len(tokens), len(found.kept), found.left_out, found.counts, measures)


def count_group(
    tokens: Sequence[Token], options: ScoringOptions | None = None, accepting: Accepting | None = None
) -> CountedGroup:
    """What `score_group` evaluates.

    Every row is scored: the rule on a word said again at once (PCC, rule 4) is for running speech within one cell.
    """
    language = tokens[0].language if tokens else "en-US"
    picked = replace(options or default_scoring_options(), language=language)
    known: dict[tuple[str, Word | None, Word | None, str], Pair] = {}
    kept: list[Token] = []
    pairs: list[Pair] = []
    left_out: list[tuple[int, str]] = []
    for token in tokens:
        key = (token.target_word, token.target, token.produced, token.kind)
        pair = known.get(key)
        if pair is None:
            pair = known[key] = Pair(token.target_word, token.target, token.produced, token.kind, token.language)
        if reason := reason_left_out(pair, picked):
            left_out.append((token.row, reason))
        else:
            kept.append(token)
            pairs.append(pair)
    groups = counted_groups([[Counter(pairs)]], picked, accepting)
    if picked.repeats == "every":
        (result,) = groups.each()
        counts = result.counts
    else:
        counts = total(chosen([groups.scored(pair) for pair in pairs], picked))
    return CountedGroup(picked, counts, kept, tuple(left_out))


def score_counts(
    found: PairCounts,
    options: ScoringOptions | None = None,
    accepting: Accepting | None = None,
    keep_counts: bool = True,
    many: int = MANY,
    told: Callable[[int, int], None] | None = None,
    age: int | None = None,
) -> list[GroupScore]:
    """All measures of every group of counted pairs, grouped by the caller's columns and then by `SCORING_COLUMNS`.

    Each distinct pair is scored once and counted as often as it occurs, so that time and memory grow with the distinct
    pairs. Not for the option `repeats` other than "every": which attempt came first is not kept.
    From `many` pairs on they are scored in arrays, which changes no number. Without `keep_counts` the counts of a group
    hold the sounds and the accepted forms only, so that many groups need little room. `told` is called with how many groups
    are counted, of how many. `age`: as of `score_group`.
    """
    usual = options or default_scoring_options()
    groups: dict[tuple[tuple[str, ...], str], list[tuple[str, ...]]] = {}
    for key in found.groups:
        groups.setdefault((key[: -len(SCORING_COLUMNS)], key[-len(SCORING_COLUMNS)]), []).append(key)
    languages: dict[str, list[tuple[str, ...]]] = {}
    for outer, language in groups:
        languages.setdefault(language, []).append(outer)
    several = Counter(outer for outer, _ in groups)
    out: dict[tuple[tuple[str, ...], str], GroupScore] = {}
    for language, outers in languages.items():
        picked = replace(usual, language=language or "en-US")
        pairs = [[found.groups[key] for key in groups[outer, language]] for outer in outers]
        counted = counted_groups(pairs, picked, accepting, keep_counts, many)
        for outer, one in zip(outers, counted.each(), strict=True):
            keys = groups[outer, language]
            measures = one.measures(_setting(keys, one.words, picked.language, age))
            labels = dict(zip(found.by, outer)) | ({"language": language} if several[outer] > 1 else {})
            left_out = sorted(entry for key in keys for entry in found.left_out.get(key, ()))
            out[outer, language] = GroupScore(labels, one.tokens, one.scored, tuple(left_out), one.counts, measures)
            if told:
                told(len(out), len(groups))
    return [out[key] for key in groups]


def _setting(keys: Sequence[tuple[str, ...]], words: int, language: str, age: int | None) -> Setting:
    """What is known of a group for its band, from the `SCORING_COLUMNS` columns of its parts."""
    contexts = frozenset(key[-2] for key in keys if key[-2])
    ages = {int(key[-1]) if key[-1].isdigit() else None for key in keys}
    return Setting(words, language, contexts, _age(ages, age))


def _age(said: set[int | None], given: int | None) -> int | None:
    """The one age that the tokens say, else the one that is given; None where the tokens say several."""
    known = said - {None}
    if len(known) > 1:
        return None
    return known.pop() if known else given
