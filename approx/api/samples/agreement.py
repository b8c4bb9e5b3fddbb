"""Agreement of two transcribers over one sample, with the list of their differences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import language_problem
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.samples.sample_input import SampleSource, read_tokens, table_from
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.ipa import Word
    from approx.samples.token import Token
    from approx.scoring.agreement import Agreement

    _Pair = tuple[Word, Word, Word | None, str]

_NAMED = 50
"""Tokens of one file only that are named; the others are counted."""
LONG_PAIR, MOST_CELLS = 2_500, 4_000_000
"""Sounds of one form times those of the other, from where on a pair counts as long; and of all long pairs together."""


@dataclass(frozen=True)
class TranscriberAgreement(Result):
    """How far two transcriptions agree. `words`: the glosses of the tokens compared; `alone`: tokens in one file only.

    `found` is None where the two share no transcribed token.
    """

    problems: tuple[Problem, ...] = ()
    found: Agreement | None = None
    words: tuple[str, ...] = ()
    alone: int = 0

    table_keys: ClassVar[TableKeys] = TableKeys(("word",))

    def to_dict(self) -> dict[str, Any]:
        """What `approx agree --json` prints."""
        from approx.reports.tables.comparison import agreement_json

        said = {"problems": [problem.as_json() for problem in self.problems]}
        return (agreement_json(self.found, self.words, self.alone) if self.found else {}) | said

    def to_table(self) -> TableRows:
        """A row a sound that the two wrote differently."""
        from approx.reports.tables.comparison import DIFFERENCE_COLUMNS, difference_rows

        return DIFFERENCE_COLUMNS, difference_rows(self.found, self.words) if self.found else ()

    def lines(self) -> list[str]:
        """Percentages with their counts, then every difference."""
        from approx.reports.tables.comparison import agreement_lines

        return agreement_lines(self.found, self.words) if self.found else []


def agree(
    one: SampleSource, other: SampleSource, *, language: str = "en-US", on_problem: OnProblem = "keep"
) -> TranscriberAgreement:
    """Agreement of two transcribers: rows are matched by child, date, word and attempt, else by order.

    Args: one, other: a sample each, as of `score`. language: tag of rows without one of their own.

    >>> import approx
    >>> same = approx.agree("samples/m12.csv", "samples/m12.csv")
    >>> same.found.broad.value, len(same.words)
    (100.0, 25)
    """
    wrong = language_problem(language)
    if wrong:
        return TranscriberAgreement(tuple(wrong)).kept(on_problem)
    from approx.scoring.agreement import agreement

    tables = [table_from(source) for source in (one, other)]
    samples = [read_tokens(table, language or "en-US") for table in tables]
    first, second = (dict(_keyed(sample.tokens)) for sample in samples)
    shared = [key for key in first if key in second]
    alone = [_alone(first[key], _IN_FIRST, tables[0].file) for key in first if key not in second]
    alone += [_alone(second[key], _IN_SECOND, tables[1].file) for key in second if key not in first]
    problems = joined_problems(*(sample.problems for sample in samples), alone[:_NAMED])
    pairs = [
        (a.produced, b.produced, a.target or b.target, a.target_word)
        for a, b in ((first[key], second[key]) for key in shared)
        if a.produced is not None and b.produced is not None
    ]
    pairs, beyond = _bounded(pairs)
    if beyond:
        message = worded(
            "the forms are too long to be aligned; {tokens} {tokens:token|tokens} at the end {tokens:is|are} not compared",
            tokens=beyond,
        )
        problems = (*problems, Problem("sample.bound", message, "compare them in parts"))
    if not pairs:
        none = Problem("agree.none", "the two files share no transcribed token", "same words in both files")
        return TranscriberAgreement((*problems, none), None, (), len(alone)).kept(on_problem)
    heard = [(a, b) for a, b, _, _ in pairs if a and b]
    found = agreement(heard, [target for _, _, target, _ in pairs])
    return TranscriberAgreement(problems, found, tuple(word for _, _, _, word in pairs), len(alone)).kept(on_problem)


def _bounded(pairs: list[_Pair]) -> tuple[list[_Pair], int]:
    """The pairs that are laid side by side, and how many are not: long forms take as long as one times the other."""
    cost = 0
    for at, (one, other, _, _) in enumerate(pairs):
        cells = len(one.phones) * len(other.phones)
        cost += cells if cells > LONG_PAIR else 0
        if cost > MOST_CELLS:
            return pairs[:at], len(pairs) - at
    return pairs, 0


_IN_FIRST = "'{target_word}' (row {row}) is in the first file only"
_IN_SECOND = "'{target_word}' (row {row}) is in the second file only"


def _alone(token: Token, pattern: str, file: str) -> Problem:
    message = worded(pattern, target_word=token.target_word, row=token.row)
    return Problem("agree.alone", message, "left out of agreement", file, fatal=False)


def _keyed(tokens: Iterable[Token]) -> Iterator[tuple[tuple[str, str, str, int], Token]]:
    """Tokens by child, date, word, and the how-many-eth of that word."""
    seen: dict[tuple[str, str, str], int] = {}
    for token in tokens:
        word = token.target_word.lower() or (token.target.ipa if token.target else "")
        key = (token.child, token.session_date, word)
        seen[key] = seen.get(key, 0) + 1
        yield (*key, seen[key]), token
