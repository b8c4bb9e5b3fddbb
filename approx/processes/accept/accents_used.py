"""Accepted adult forms for one run: which accents count as right, one set of rules a language."""

from __future__ import annotations

from collections.abc import Sequence

from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.accept.accept import Accepted, nearest_accepted, places, texts_of
from approx.processes.accept.accept_rules import AccentSet, load_accents
from approx.scoring.alignment.align import as_aimed


class Accents:
    """Accepted adult forms for a run: allophones and casual speech always, accents by name; one set a language.

    `cautions`: of each form given by `others`, what to think of before it is taken as right.
    """

    def __init__(self, names: Sequence[str]) -> None:
        self.names = tuple(names)
        self.problems: dict[str, Problem] = {}
        self.cautions: dict[str, tuple[str, ...]] = {}
        self._sets: dict[str, AccentSet] = {}
        self._heard_as: dict[tuple[str, Word], tuple[str, ...]] = {}

    def accepted(self, target: Word, produced: Word, language: str, gloss: str = "") -> Accepted:
        """The accepted adult form that the production matches best, with the changes that were accepted; the target
        itself, without any, if none is nearer. `gloss`: the words as spelled, which some rules ask for."""
        produced = as_aimed(target, produced)
        if not self._has_changes(target, produced, language):
            return Accepted(target)
        accents = self._sets[language]
        if gloss and not any(place.rule.words for place in places(target, accents)):
            gloss = ""  # the same answer for every gloss is found once
        return nearest_accepted(target, produced, accents, gloss)

    def others(self, target: Word, produced: Word, language: str, gloss: str = "") -> Sequence[Word]:
        """The same as `score_group` takes it: no form where the target itself is nearest."""
        found = self.accepted(target, produced, language, gloss)
        if found.word.phones == target.phones:
            return ()
        cautions = dict.fromkeys(change.caution for change in found.changes if change.caution)
        if cautions:
            self.cautions[found.word.ipa] = tuple(cautions)
        return (found.word,)

    def _has_changes(self, target: Word, produced: Word, language: str) -> bool:
        """Whether anything was said that a rule makes of a part of the target: most of what is said has nothing of it."""
        texts = self._heard_as.get((language, target))
        if texts is None:
            if language not in self._sets:
                found = self._sets[language] = load_accents(self.names, language)
                self.problems |= {problem.message: problem for problem in found.problems}
            texts = self._heard_as[language, target] = texts_of(target, self._sets[language])
        if produced.phones == target.phones:
            return False
        return any(map("".join(produced.phones).__contains__, texts))
