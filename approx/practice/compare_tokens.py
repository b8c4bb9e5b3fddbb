"""Tokens of two samples counted by one set of rules and put side by side: what a report is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.now_then import NowThen, ScoredSample, compare_samples, score_sample, shared_words
from approx.problems import Problem
from approx.processes.accents_used import Accents
from approx.processes.chances import default_options as default_chances
from approx.processes.explain import Explainer
from approx.processes.ruleset import load
from approx.scoring.options import default_options
from approx.scoring.sample_token import Token


def compare_tokens(
    then: Sequence[Token], now: Sequence[Token], accents: Sequence[str] = ()
) -> tuple[NowThen, tuple[Problem, ...]]:
    """Then and now of one child, one session each, at least one token; the words they share are counted apart as well.

    `accents`: varieties of rules/accents/ that count as right, beside those of the options; unknown ones are problems.
    """
    counter = _Counter(accents)
    found = counter.compared(then, now)
    return found, tuple(counter.accepted.problems.values())


class _Counter:
    """Counts both samples by one set of rules."""

    def __init__(self, accents: Sequence[str]) -> None:
        self.options = replace(default_options(), accents=tuple(sorted({*default_options().accents, *accents})))
        self.accepted, self.chances, self.rules = Accents(self.options.accents), default_chances(), load()
        self._explainers: dict[str, Explainer] = {}

    def explainer(self, language: str) -> Explainer:
        return self._explainers.setdefault(language, Explainer(self.rules, language))

    def scored(self, tokens: Sequence[Token]) -> ScoredSample:
        labels = {"child": tokens[0].child, "session_date": tokens[0].session_date}
        return score_sample(labels, tokens, self.options, self.chances, self.explainer, self.accepted, self.rules.hash)

    def compared(self, then: Sequence[Token], now: Sequence[Token]) -> NowThen:
        first, last = self.scored(then), self.scored(now)
        shared = set(shared_words(first, last))
        narrowed = [[token for token in tokens if _name(token) in shared] for tokens in (then, now)]
        same = (self.scored(narrowed[0]), self.scored(narrowed[1])) if all(narrowed) else None
        return compare_samples(first, last, self.chances, same)


def _name(token: Token) -> str:
    return (token.target_word or (token.target.ipa if token.target else "")).lower()
