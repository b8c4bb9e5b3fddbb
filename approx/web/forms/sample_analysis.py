"""A stored sample looked at again, and the samples of a child by day, so that two of them can be put side by side.

Scored by `score` and compared by `compare`, as the commands do it, so that both give the same digits.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from approx.api.samples.comparing import SampleComparison, compare
from approx.api.samples.converting import convert
from approx.api.samples.inventories import inventory
from approx.api.samples.scores import Scores, score
from approx.child.profile import POSITIONS
from approx.problems import Problem
from approx.records.database.rows import Refused, StoredChild, StoredSample, age_text
from approx.reports.text.profile import manner_of
from approx.samples.columns.headers import lay_out
from approx.samples.files.table import Table, table_of
from approx.web.forms.profile_form import MANNERS
from approx.web.server.desk import Desk

if TYPE_CHECKING:
    from approx.reports.document import Document
    from approx.reports.documents.sample_blocks import SamplePart
    from approx.samples.token import Token

SHOWN_CHANGES, SHOWN_WORDS = 8, 6


def read_again(stored: StoredSample, child: StoredChild) -> Sequence[Token]:
    """The tokens of the sample, read from what was typed by today's rules."""
    read = convert(table_of(stored.header, stored.cells()), language=child.languages[0]).sample
    return read.tokens if read else ()


def scored(table: Table, child: StoredChild, date: str) -> Scores:
    """A sample of the child with processes and inventory of each group beside the scores; the child's accents count as right.
    `date`: on which the child had the age of the norms."""
    return score(table, language=child.languages[0], accents=child.accents, age=age_text(child, date), evidence=True)


def analysis(stored: StoredSample, child: StoredChild) -> Scores:
    """The whole sample, scored."""
    return scored(table_of(stored.header, stored.cells()), child, stored.info.date)


@dataclass(frozen=True, slots=True)
class ShownPart:
    """One group as the page shows it first. `rows`: a manner, and for each position (sound, words, status) of its sounds.

    `changes`: (process, times, opportunities, words), those with most times first.
    """

    language: str
    tokens: int
    scored: int
    rows: tuple[tuple[str, tuple[tuple[tuple[str, int, str], ...], ...]], ...]
    changes: tuple[tuple[str, int, int, tuple[str, ...]], ...]


def shown_parts(found: Scores) -> tuple[ShownPart, ...]:
    """What the page shows first of each group: sounds by position, then the processes that were found."""
    return tuple(_shown(part) for part in found.evidence.parts) if found.evidence else ()


def _shown(part: SamplePart) -> ShownPart:
    cells: dict[str, dict[str, list[tuple[str, int, str]]]] = {}
    for cell in part.inventory.consonants:
        if cell.tokens or cell.tried_tokens:
            place = cells.setdefault(manner_of(cell.item), {}).setdefault(cell.place, [])
            place.append((cell.item, cell.words, cell.status))
    rows = tuple(
        (manner, tuple(tuple(cells[manner].get(place, ())) for place in POSITIONS))
        for manner in MANNERS
        if manner in cells
    )
    found = sorted(part.processes.tallies.items(), key=lambda item: (-item[1].occurrences, item[0]))
    changes = tuple(
        (name, tally.occurrences, tally.chances, tuple(list(tally.words)[:SHOWN_WORDS]))
        for name, tally in found
        if tally.occurrences
    )
    return ShownPart(part.inventory.language, part.score.tokens, part.score.scored, rows, changes[:SHOWN_CHANGES])


def profile_from(stored: StoredSample, child: StoredChild) -> str | None:
    """The child file of what was heard in the child's main language; None where nothing was."""
    tag = child.languages[0]
    rows = {
        token.row for token in read_again(stored, child) if token.language.partition("-")[0] == tag.partition("-")[0]
    }
    if not rows:
        return None
    table = _part_of(stored, rows, {"child": child.code, "language": tag})
    return inventory(table, language=tag).child_text(child.code, child.age)[0]


def _part_of(stored: StoredSample, kept: Container[int], labels: dict[str, str]) -> Table:
    """Some rows of a sample as one of their own, each in the row where it stands in the whole, the heading being row 1; with
    what the desk knows of them, which need not be among what was typed."""
    cells, header = stored.cells(), list(stored.header)
    places = dict(lay_out(header, cells[:200], "").at)
    for name in labels:
        if name not in places:
            places[name] = len(header)
            header.append(name)
    at = {places[name]: value for name, value in labels.items()}
    rows = []
    for number, typed in enumerate(cells, 2):
        row = (*typed, *[""] * len(header))[: len(header)]
        rows.append([at.get(place, cell) if number in kept else "" for place, cell in enumerate(row)])
    return table_of(header, rows)


@dataclass(frozen=True, slots=True)
class Moment:
    """One day of one sample in one language. `key` names it in an address; `rows`: of the sample, the heading being row 1."""

    key: str
    date: str
    title: str
    language: str
    tokens: int
    stored: StoredSample
    rows: frozenset[int]

    def table(self, code: str) -> Table:
        """That day as a sample of its own, with the child's code and the day."""
        return _part_of(self.stored, self.rows, {"child": code, "session_date": self.date})


def moments(desk: Desk, child: StoredChild) -> tuple[Moment, ...]:
    """Every day of every sample, earliest first. What was heard is read anew by today's rules."""
    there = desk.caseload.samples(child.code)
    out = []
    for info in () if isinstance(there, Refused) else there:
        stored = desk.caseload.sample(info.id)
        if isinstance(stored, Refused):
            continue
        days: dict[tuple[str, str], list[int]] = {}
        for token in read_again(stored, child):
            days.setdefault((token.session_date or info.date, token.language), []).append(token.row)
        for number, ((date, tag), rows) in enumerate(days.items()):
            out.append(Moment(f"{info.id}-{number}", date, info.title, tag, len(rows), stored, frozenset(rows)))
    return tuple(sorted(out, key=lambda each: each.date))


def evaluations(there: Sequence[Moment], key: str, child: StoredChild, tongue: str) -> list[Document]:
    """The section of an evaluation report on the day named, or the last one; nothing where there is no sample."""
    if not there:
        return []
    moment = {each.key: each for each in there}.get(key, there[-1])
    return scored(moment.table(child.code), child, moment.stored.info.date).evaluations(tongue)


def picked(there: Sequence[Moment], then: str, now: str) -> tuple[Moment, Moment] | None:
    """The two named; where none is named the first and the last; None where there are no two."""
    by_key = {each.key: each for each in there}
    if len(there) < 2:
        return None
    return by_key.get(then, there[0]), by_key.get(now, there[-1])


def compared(pair: tuple[Moment, Moment], child: StoredChild) -> SampleComparison:
    """Both under the same rules, the child's accents right in both; one sample against itself is no comparison."""
    if pair[0].key == pair[1].key:
        return SampleComparison((Problem("desk.same_sample", "the two samples are the same one", "choose two"),))
    then, now = (moment.table(child.code) for moment in pair)
    return compare(then, now, language=child.languages[0], accents=child.accents)
