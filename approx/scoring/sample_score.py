"""Scores of a whole sample, group by group: counts that add, measures with their intervals, what was left out and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from approx.ipa.word import Word
from approx.scoring.bands import Setting
from approx.scoring.catalogue import Evaluation, Score, evaluate
from approx.scoring.counts import Counts, Scored, chosen, total
from approx.scoring.group_counts import MANY, Accepting, InArrays, OneByOne, score_pair
from approx.scoring.options import Options, default_options
from approx.scoring.sample_token import PairCounts, Token
from approx.scoring.scored_word import left_out_reason

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
