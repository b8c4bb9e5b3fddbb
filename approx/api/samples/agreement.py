"""Agreement of two transcribers over one sample, with the list of their differences."""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from approx.api.options import language_problem
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems
from approx.api.samples.sample_input import SampleSource, open_tokens
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.ipa import Word
    from approx.scoring.agreement import Agreement

    _Pair = tuple[Word, Word, Word | None, str]
    _Form = tuple[str, Word | None, Word | None]
    """A word as written, its adult form, and how it was transcribed."""

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
    """Agreement between two transcribers. Rows are matched by child, date and word, and repeats of a word in order.

    Args:
        one: one transcriber's sample, as in `score`; up to 300,000 rows are read.
        other: the other transcriber's sample.
        language: language tag of rows that do not name one.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> same = approx.agree("samples/m12.csv", "samples/m12.csv")
    >>> same.found.broad.value, len(same.words)
    (100.0, 25)
    """
    wrong = language_problem(language)
    if wrong:
        return TranscriberAgreement(tuple(wrong)).kept(on_problem)
    from approx.scoring.agreement import agreement

    first, second = (_Transcript(source, language or "en-US") for source in (one, other))
    unread = joined_problems(first.problems, second.problems)
    if not (first.rows and second.rows) and fatal(unread):  # what could not be read is not missing in the other
        return TranscriberAgreement(unread).kept(on_problem)
    shared, only_first, only_second = _matched(first, second)
    named = [_alone(first, at, _IN_FIRST) for at in only_first[:_NAMED]]
    named += [_alone(second, at, _IN_SECOND) for at in only_second[: _NAMED - len(named)]]
    problems = joined_problems(unread, named)
    pairs, beyond = _bounded(_pairs(first, second, shared))
    alone = len(only_first) + len(only_second)
    if beyond:
        message = worded(
            "the forms are too long to be aligned; {tokens} {tokens:token|tokens} at the end {tokens:is|are} not compared",
            tokens=beyond,
        )
        problems = (*problems, Problem("sample.bound", message, "compare them in parts"))
    if not pairs:
        none = Problem("agree.none", "the two files share no transcribed token", "same words in both files")
        return TranscriberAgreement((*problems, none), None, (), alone).kept(on_problem)
    found = agreement([(a, b) for a, b, _, _ in pairs], [target for _, _, target, _ in pairs])
    return TranscriberAgreement(problems, found, tuple([word for _, _, _, word in pairs]), alone).kept(on_problem)


class _Transcript:
    """The tokens of one file by child, date and word, as numbers: of a million rows, tokens of two files would take a gigabyte.

    `of_word`: their places in the file, in order. By place: `rows`, and `forms`, the number of a form in `different`.
    """

    def __init__(self, source: SampleSource, language: str) -> None:
        from approx.samples.rows.reader import SIDE_BY_SIDE

        tokens = open_tokens(source, language, SIDE_BY_SIDE)
        log = tokens.reader.log
        self.rows, self.forms = array("I"), array("I")
        self.of_word: dict[tuple[str, str, str], array[int]] = {}
        numbers: dict[_Form, int] = {}
        for place, token in enumerate(tokens):
            word = token.target_word.lower() or (token.target.ipa if token.target else "")
            self.of_word.setdefault((token.child, token.session_date, word), array("I")).append(place)
            self.rows.append(token.row)
            self.forms.append(numbers.setdefault((token.target_word, token.target, token.produced), len(numbers)))
        self.different = list(numbers)
        self.file, self.problems = tokens.reader.table.file, log.problems()


def _matched(first: _Transcript, second: _Transcript) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Places of one token in both files, the n-th of a word with the n-th of it; and places of those in one file only.
    Each in the order of its file, or of the first."""
    shared: list[tuple[int, int]] = []
    only_first: list[int] = []
    only_second: list[int] = []
    nothing = array("I")
    for key, here in first.of_word.items():
        there = second.of_word.get(key, nothing)
        shared += zip(here, there)  # noqa: B905 - of one word, one file may have more tokens
        only_first += here[len(there) :]
        only_second += there[len(here) :]
    for key, there in second.of_word.items():
        if key not in first.of_word:
            only_second += there
    return sorted(shared), sorted(only_first), sorted(only_second)


def _pairs(first: _Transcript, second: _Transcript, shared: Iterable[tuple[int, int]]) -> list[_Pair]:
    """What both heard of each shared token, with its adult form and word; equal ones are one object."""
    known: dict[tuple[int, int], _Pair | None] = {}
    out = []
    for places in shared:
        numbers = first.forms[places[0]], second.forms[places[1]]
        if numbers not in known:
            (word, target, one), (_, aimed, other) = first.different[numbers[0]], second.different[numbers[1]]
            known[numbers] = None if one is None or other is None else (one, other, target or aimed, word)
        if pair := known[numbers]:
            out.append(pair)
    return out


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


def _alone(transcript: _Transcript, place: int, pattern: str) -> Problem:
    word, target, produced = transcript.different[transcript.forms[place]]
    form = target or produced  # without a gloss the form tells which token it is
    named = word or (f"/{form.ipa}/" if form else "")
    message = worded(pattern, target_word=named, row=transcript.rows[place])
    return Problem("agree.alone", message, "left out of agreement", transcript.file, fatal=False)
