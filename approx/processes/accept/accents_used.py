"""Accepted adult forms for one run: which accents count as right, one set of rules a language."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.accept.accept import Accepted, Variants, nearest_accepted, nearest_of_many, places, variants_of
from approx.processes.accept.accept_rules import AccentSet, load_accents
from approx.scoring.alignment.align import Linker, as_aimed, one_by_one


class _Target(NamedTuple):
    """An adult form with what the rules may make of parts of it, and whether some of these hold for some words alone."""

    word: Word
    texts: tuple[str, ...]
    by_word: bool


class Accents:
    """Accepted adult forms for a run: allophones and casual speech always, accents by name; one set a language.

    `cautions`: of each form given by `others`, what to think of before it is taken as right.
    """

    def __init__(self, names: Sequence[str]) -> None:
        self.names = tuple(names)
        self.problems: dict[str, Problem] = {}
        self.cautions: dict[str, tuple[str, ...]] = {}
        self._sets: dict[str, AccentSet] = {}
        self._targets: dict[tuple[str, Word], _Target] = {}

    def accepted(self, target: Word, produced: Word, language: str, gloss: str = "") -> Accepted:
        """The accepted adult form that the production matches best, with the changes that were accepted; the target
        itself, without any, if none is nearer. `gloss`: the words as spelled, which some rules ask for."""
        produced, known = as_aimed(target, produced), self._target(target, language)
        if not _has_changes(known, produced):
            return Accepted(target)
        return nearest_accepted(target, produced, self._sets[language], gloss if known.by_word else "")

    def accepted_of_many(
        self, asked: Sequence[tuple[Word, Word, str]], language: str, linker: Linker = one_by_one
    ) -> list[Accepted]:
        """The same for many (target, produced, gloss), in order; `linker` aligns many forms at once."""
        known: dict[int, _Target] = {}  # by identity: the forms are held by `asked`
        variants: dict[tuple[int, str], Variants] = {}
        out: list[Accepted | None] = []
        search: list[tuple[Variants, Word]] = []
        unchanged: dict[int, Accepted] = {}
        for target, produced, gloss in asked:
            number = id(target)
            found = known.get(number)
            if found is None:
                found = known[number] = self._target(target, language)
                unchanged[number] = Accepted(target)
            produced = as_aimed(target, produced)
            if not _has_changes(found, produced):
                out.append(unchanged[number])
                continue
            key = number, gloss if found.by_word else ""
            if key not in variants:
                variants[key] = variants_of(target, self._sets[language], key[1])
            search.append((variants[key], produced))
            out.append(None)
        rest = iter(nearest_of_many(search, linker))
        return [next(rest) if one is None else one for one in out]

    def others(self, asked: Sequence[tuple[Word, Word, str]], language: str, linker: Linker) -> list[Sequence[Word]]:
        """The same as scoring takes it: no form where the target itself is nearest."""
        out: list[Sequence[Word]] = []
        for (target, _, _), found in zip(asked, self.accepted_of_many(asked, language, linker)):
            same = found.word.phones == target.phones
            out.append(() if same else (found.word,))
            cautions = () if same else dict.fromkeys(change.caution for change in found.changes if change.caution)
            if cautions:
                self.cautions[found.word.ipa] = tuple(cautions)
        return out

    def _target(self, target: Word, language: str) -> _Target:
        found = self._targets.get((language, target))
        if found is None:
            if language not in self._sets:
                accents = self._sets[language] = load_accents(self.names, language)
                self.problems |= {problem.message: problem for problem in accents.problems}
            where = places(target, self._sets[language])
            texts = tuple({place.text: None for place in where})
            found = self._targets[language, target] = _Target(target, texts, any(place.rule.words for place in where))
        return found


def _has_changes(target: _Target, produced: Word) -> bool:
    """Whether anything was said that a rule makes of a part of the target: most of what is said has nothing of it."""
    if produced.phones == target.word.phones:
        return False
    return any(map("".join(produced.phones).__contains__, target.texts))
