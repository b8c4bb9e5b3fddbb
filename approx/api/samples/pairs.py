"""One pair of forms: the processes between them, and which sound stands for which."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import (
    Notation,
    accents_named,
    language_problem,
    loaded_rules,
    notation_problem,
    opportunity_options,
    path_problems,
    text_problems,
)
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.ipa import Word
    from approx.processes.accept.accept import AcceptedForm
    from approx.processes.explain.derivation import Derivation, Explanation
    from approx.processes.explain.opportunities import LostR
    from approx.scoring.alignment.align import Alignment


@dataclass(frozen=True)
class Explained(Result):
    """The derivation of one pair; `found` is None where a form could not be read.

    `accepted`: the form of the child's own variety from which the child set out, where that is not the adult form itself.
    """

    problems: tuple[Problem, ...] = ()
    found: Explanation | None = None
    accepted: AcceptedForm | None = None

    table_keys: ClassVar[TableKeys] = TableKeys(("reading", "unexplained"))

    @property
    def processes(self) -> tuple[str, ...]:
        """Names of the processes of the first reading."""
        return tuple(use.process for use in self.found.best.uses) if self.found else ()

    @property
    def readings(self) -> tuple[Derivation, ...]:
        """The first reading, then others that are as good."""
        return (self.found.best, *self.found.readings) if self.found else ()

    def to_dict(self) -> dict[str, Any]:
        """What `approx explain --json` prints."""
        from approx.reports.tables.processes import explanation_json

        said = {"problems": [problem.as_json() for problem in self.problems]}
        return (explanation_json(self.found, self.accepted) if self.found else {}) | said

    def to_table(self) -> TableRows:
        """A row a process of a reading."""
        from approx.reports.tables.processes import EXPLANATION_COLUMNS, explanation_rows

        return EXPLANATION_COLUMNS, explanation_rows(self.found) if self.found else ()

    def lines(self) -> list[str]:
        """The derivation, written adult > child."""
        from approx.reports.tables.processes import explanation_lines

        return explanation_lines(self.found, self.accepted) if self.found else []


def explain(
    target: str,
    produced: str,
    *,
    language: str = "en-US",
    accents: str | Iterable[str] = (),
    notation: Notation = "ipa",
    rules: str | Path | None = None,
    lost_r: LostR = "deletion",
    on_problem: OnProblem = "keep",
) -> Explained:
    """The processes that lead from an adult form to what the child said.

    Allophones, casual speech and the child's own variety are accepted as correct, as `processes` accepts them.

    Args:
        target: adult form, as typed.
        produced: what the child said, as typed.
        language: language tag.
        accents: dialects or accents (files of `rules/accents/`) whose forms count as correct.
        notation: how the forms are typed: "ipa" or "x-sampa".
        rules: a folder of your own rule files.
        lost_r: what to call an omitted postvocalic r: "deletion" or "vocalization".
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> approx.explain("spun", "pun").processes
    ('cluster reduction',)
    """
    names, unknown = accents_named(accents)
    options, wrong = opportunity_options(lost_r=lost_r)
    wrong += [*language_problem(language), *notation_problem(notation), *unknown]
    wrong += [*text_problems(target=target, produced=produced), *path_problems(rules=rules)]
    if wrong:
        return Explained(tuple(wrong)).kept(on_problem)
    pair, problems = read_pair(target, produced, language or "en-US", notation)
    if pair is None:
        return Explained(problems).kept(on_problem)
    from approx.processes.accept.accept import Accents
    from approx.processes.explain.explain import Explainer, explain_accepted

    ruleset, faults = loaded_rules(rules)
    found = explain_accepted(Explainer(ruleset, language or "en-US", options.lost_r), *pair, Accents(names))
    return Explained(joined_problems(problems, faults), *found).kept(on_problem)


@dataclass(frozen=True)
class Aligned(Result):
    """The links of one pair; `found` is None where a form could not be read."""

    problems: tuple[Problem, ...] = ()
    found: Alignment | None = None

    table_keys: ClassVar[TableKeys] = TableKeys(())

    @property
    def links(self) -> tuple[tuple[int | None, int | None], ...]:
        """(place in the adult form, place in the production), both from 0; None where a sound was added or lost."""
        return self.found.links if self.found else ()

    def to_dict(self) -> dict[str, Any]:
        """What `approx align --json` prints."""
        said = {"problems": [problem.as_json() for problem in self.problems]}
        return (self.found.as_json() if self.found else {}) | said

    def to_table(self) -> TableRows:
        """A row a link: the adult sound and the child's, "" for none."""
        return ("target", "produced"), self._sounds("", "")

    def lines(self) -> list[str]:
        """A line a link; + is a sound that was added, - one that was lost."""
        return [f"{adult}\t{child}" for adult, child in self._sounds("+", "-")]

    def _sounds(self, added: str, lost: str) -> list[tuple[str, str]]:
        if self.found is None:
            return []
        adult, child = self.found.target, self.found.produced
        return [(added if i is None else adult[i], lost if j is None else child[j]) for i, j in self.found.links]


def align(
    target: str,
    produced: str,
    *,
    language: str = "en-US",
    notation: Notation = "ipa",
    on_problem: OnProblem = "keep",
) -> Aligned:
    """Which sound of a production stands for which sound of its target.

    Args:
        target: adult form, as typed.
        produced: what the child said, as typed.
        language: language tag.
        notation: how the forms are typed: "ipa" or "x-sampa".
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> approx.align("spun", "pun").links
    ((0, None), (1, 0), (2, 1), (3, 2))
    """
    wrong = [*language_problem(language), *notation_problem(notation)]
    wrong += text_problems(target=target, produced=produced)
    if wrong:
        return Aligned(tuple(wrong)).kept(on_problem)
    pair, problems = read_pair(target, produced, language or "en-US", notation)
    if pair is None:
        return Aligned(problems).kept(on_problem)
    from approx.scoring.alignment.align import align_forms as link
    from approx.scoring.alignment.align import as_aimed

    return Aligned(problems, link(pair[0], as_aimed(*pair))).kept(on_problem)


def read_pair(
    target: str, produced: str, language: str, notation: str
) -> tuple[tuple[Word, Word] | None, tuple[Problem, ...]]:
    """Both forms; a word left off whole (0, ∅, -) is a form without sounds."""
    from approx.ipa import Word, read
    from approx.samples.cells.forms import joined_words

    problems: list[Problem] = []
    words: list[Word] = []
    for name, typed in (("target", target), ("production", produced)):
        reading = read(typed, language, notation)
        problems += [problem.at(name) for problem in reading.problems]
        if reading.omitted and name == "production":
            words.append(Word((), (), ()))
        elif reading.words:
            words.append(joined_words(reading.words, typed.split()))
        else:
            problems.append(
                Problem(
                    "pair.empty",
                    worded("the {name} '{typed}' contains no sound", name=name, typed=typed),
                    "write IPA, such as spun",
                    name,
                )
            )
    fatal = any(problem.fatal for problem in problems)
    return (None if fatal or len(words) != 2 else (words[0], words[1])), tuple(problems)
