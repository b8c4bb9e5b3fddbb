"""Scores of a whole sample, group by group: counts that add, measures with their intervals, what was left out and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from approx.ipa.word import Word
from approx.scoring.bands import Setting
from approx.scoring.catalogue import Score, evaluate
from approx.scoring.counts import Counts, Scored, chosen, total
from approx.scoring.options import Options, default_options
from approx.scoring.sample_token import Token
from approx.scoring.scored_word import left_out_reason, score_word

Accepting = Callable[[Word, Word, str], Sequence[Word]]
"""Adult form, what was said, language -> other adult forms that are as right (accent, casual speech)."""


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
    left_out: list[tuple[int, str]] = []
    kept: list[Token] = []
    for token in tokens:
        reason = _reason(token, picked)
        if reason:
            left_out.append((token.row, reason))
        else:
            kept.append(token)
    scored = chosen(list(_scored(kept, picked, accepting)), picked)
    counts = total(scored)
    ages = {token.age for token in kept if token.age is not None}
    setting = Setting(
        len(scored),
        language,
        frozenset(token.context for token in kept if token.context),
        ages.pop() if len(ages) == 1 else None,
    )
    return GroupScore(labels, len(tokens), len(scored), tuple(left_out), counts, evaluate(counts, picked, setting))


def _reason(token: Token, options: Options) -> str:
    """Why a token is not scored; "" if it is."""
    if token.kind in ("no gloss", "no response", "unintelligible"):
        return token.kind
    return left_out_reason(token.target, token.produced, options)


def _scored(tokens: Sequence[Token], options: Options, accepting: Accepting | None) -> Iterable[Scored]:
    """Each token's numbers; tokens that differ in nothing are worked out once.

    Every row is scored: the rule on a word said again at once (PCC, rule 4) is for running speech within one cell.
    """
    memo: dict[tuple[str, Word, Word], Scored] = {}
    for token in tokens:
        target, produced = token.target, token.produced
        if target is None or produced is None:
            continue
        word = (token.target_word or target.ipa).lower()
        key = (word, target, produced)
        if key not in memo:
            others = accepting(target, produced, token.language) if accepting else ()
            memo[key] = score_word(target, produced, options, word, others)
        yield memo[key]
