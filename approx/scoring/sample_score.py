"""Scores of a whole sample, group by group: counts that add, measures with their intervals, what was left out and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from approx.ipa.word import Word
from approx.scoring.bands import Setting
from approx.scoring.catalogue import Score, evaluate
from approx.scoring.counts import Counts, Scored, Tally, chosen, total
from approx.scoring.options import Options, default_options
from approx.scoring.sample_token import Pair, PairCounts, Token
from approx.scoring.scored_word import left_out_reason, score_word

Accepting = Callable[[Word, Word, str], Sequence[Word]]
"""Adult form, what was said, language -> other adult forms that are as right (accent, casual speech)."""
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
    language = tokens[0].language if tokens else "en-US"
    picked = replace(options or default_options(), language=language)
    reasons = [(token.row, _reason(token, picked)) for token in tokens]
    kept = [token for token, (_, reason) in zip(tokens, reasons) if not reason]
    scored = chosen(list(_scored(kept, picked, accepting)), picked)
    counts = total(scored)
    ages = {token.age for token in kept}
    contexts = frozenset(token.context for token in kept if token.context)
    setting = Setting(len(scored), language, contexts, ages.pop() if len(ages) == 1 else None)
    left_out = tuple((row, reason) for row, reason in reasons if reason)
    return GroupScore(labels, len(tokens), len(scored), left_out, counts, evaluate(counts, picked, setting))


def score_counts(
    found: PairCounts, options: Options | None = None, accepting: Accepting | None = None
) -> list[GroupScore]:
    """All measures of every group of counted pairs, grouped by the caller's columns and then by `INNER`.

    Each distinct pair is scored once and counted as often as it occurs, so that time and memory grow with the distinct
    pairs. Not for the option `repeats` other than "every": which attempt came first is not kept.
    """
    usual = options or default_options()
    names = found.by[: -len(INNER)]
    merged: dict[tuple[tuple[str, ...], str], list[tuple[str, str, tuple[str, ...]]]] = {}
    for key in found.groups:
        outer, (language, context, age) = key[: -len(INNER)], key[-len(INNER) :]
        merged.setdefault((outer, language), []).append((context, age, key))
    several = {outer for outer, _ in merged if sum(other == outer for other, _ in merged) > 1}
    memo: dict[Pair, Scored] = {}
    out: list[GroupScore] = []
    for (outer, language), parts in merged.items():
        picked = replace(usual, language=language or "en-US")
        tally, tokens, scored = Tally(), 0, 0
        left_out: list[tuple[int, str]] = []
        for _, _, key in parts:
            left_out += found.left_out.get(key, ())
            for pair, times in found.groups[key].items():
                tokens += times
                if _reason(pair, picked):
                    continue
                scored += times
                if pair not in memo:
                    memo[pair] = _one(pair, picked, accepting)
                tally.add(memo[pair], times)
        ages = {age for _, age, _ in parts}
        contexts = frozenset(context for context, _, _ in parts if context)
        age = ages.pop() if len(ages) == 1 else ""
        setting = Setting(scored, picked.language, contexts, int(age) if age.isdigit() else None)
        labels = dict(zip(names, outer)) | ({"language": language} if outer in several else {})
        counts = tally.counts()
        out.append(
            GroupScore(labels, tokens, scored, tuple(sorted(left_out)), counts, evaluate(counts, picked, setting))
        )
    return out


def _reason(token: Token | Pair, options: Options) -> str:
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
            memo[key] = _one(token, options, accepting)
        yield memo[key]


def _one(token: Token | Pair, options: Options, accepting: Accepting | None) -> Scored:
    target, produced = token.target, token.produced
    if target is None or produced is None:
        raise ValueError("a token without adult form or production is left out, not scored")
    others = accepting(target, produced, token.language) if accepting else ()
    return score_word(target, produced, options, (token.target_word or target.ipa).lower(), others)
