"""One pass over a sheet: each row into pairs of words, each distinct pair read once, nothing lost on the way."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from operator import itemgetter

from approx.problems import Problem
from approx.samples.columns.headers import MOST_COLUMNS, lay_out
from approx.samples.files.table import Table
from approx.samples.files.write import unguarded
from approx.samples.rows.labels import Labels
from approx.samples.rows.pairs import AIM_COLUMNS, LookUp, Noted, PairReader, RowTarget
from approx.samples.token import Log, Pair, row_ranges
from approx.wording import worded

RowPairs = tuple[Pair, ...]
MOST_WRONG, MOST_BLANK, MOST_PROBLEMS = 30_000, 200_000, 60_000
"""Different cells that are wrong, blank rows in a row, and problems (if there are half as many as rows), beyond which a file
is no sample and would take long to say so."""
_SHOWN, _LONGEST_REMARK = 60, 2_000
_PAIR_COST = 12
"""Two long forms take as long to align as so many letters to read as one times the other, divided by this."""
_IPA_ONLY = frozenset("ʌɪʊɛɑɔəɝɚɜɹɾʃʒθðŋɡʔˈˌː")
"""Signs that no spelling of a word has, but for a few languages."""
_ENOUGH_SPELLED = 4
"""Words typed alike in both columns that are no accident: "me" and "no" alone are."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """How far a file is read: rows; different pairs, and letters in them, where hardly one comes twice (no talk is
    like that)."""

    rows: int
    forms: int
    letters: int


COUNTED_BOUNDS = Bounds(2_000_000, 60_000, 800_000)
"""Of what counts distinct pairs."""
EXPLAINED = Bounds(2_000_000, 8_000, 80_000)
"""Of what explains each distinct pair."""
TOKENS = Bounds(1_000_000, 8_000, 80_000)
"""Of what goes through a sample token by token."""
SIDE_BY_SIDE = Bounds(300_000, 8_000, 80_000)
"""Of each of two samples whose tokens are laid side by side."""
HELD = Bounds(100_000, 10_000, 100_000)
"""Of what holds each token, and explains it."""


class SampleReader:
    """Go through it once: `for row, cells, pairs in reader`. Rows that are blank or refused do not come up.

    `pairs` are those of the attempts in the row, in order. Afterwards `rows`, `blank` and `refused` are complete, and
    after `finish` the log is. Memory grows with the distinct pairs of cells, not with the rows.
    """

    def __init__(
        self,
        table: Table,
        language: str = "en-US",
        look_up: LookUp | None = None,
        notation: str = "ipa",
        day_first: bool | None = None,
        bounds: Bounds = COUNTED_BOUNDS,
    ) -> None:
        self.table, self.bounds = table, bounds
        header = [unguarded(cell) for cell in table.header] if table.guarded else table.header
        if len(header) > MOST_COLUMNS:
            message = worded(
                "the heading row has {header} {header:cell|cells}; at most {most_columns} columns are read",
                header=f"{len(header):,}",
                most_columns=f"{MOST_COLUMNS:,}",
            )
            hint = "is it a sample, with line breaks?"
            table.problems.append(Problem("sample.bound", message, hint, table.file, 1))
            header, table.rows, table.preview = [], iter(()), []
        self.layout = lay_out(header, table.preview, table.file)
        self.log = Log(table.file)
        self.labels = Labels(self.layout, self.log, table.guarded, day_first)
        self.rows = self.blank = 0
        self.refused: list[int] = []
        self.forms = PairReader(self.layout, table.guarded, language, look_up, notation)
        self._silence = (Pair("", None, None, "no response", language, "no response"),)
        self._noted: list[Noted] = []
        self._told = self._forms = self._letters = self._aims = self._problems = self._wrong = 0
        self._blank_run = self._last_blank = 0
        self._bare: list[int] = []
        self._bare_text, self._bare_long = "", False
        self._stopped: tuple[int, str, str] | None = None

    def __iter__(self) -> Iterator[tuple[int, list[str], RowPairs]]:
        self._announce()
        if "produced_ipa" not in self.layout.at:
            self._no_productions()
            return
        said, aim_of = self.layout.at["produced_ipa"], self._aim_key()
        width, unclosed, skipped, heading = (
            self.layout.width,
            self.table.unclosed,
            self.table.skipped,
            self.table.header,
        )
        aims: dict[tuple[str, ...], RowTarget] = {}
        number, tokens, most = 1, 0, self.bounds.rows
        for number, cells in enumerate(islice(self.table.rows, most), 2):
            if self._stopped:
                number -= 1  # noqa: PLW2901 - of the last row that was read
                break
            if len(cells) != width or (unclosed and number + skipped in unclosed):
                fitted = self._fitted(cells, number)
                if fitted is None:
                    continue
                cells = fitted  # noqa: PLW2901 - the row, with as many cells as the heading
            key = aim_of(cells)
            aim = aims.get(key)
            if aim is None:
                aim = aims[key] = self.forms.aim(cells)
                self._letters += len(aim.typed)
                self._aims += bool(aim.typed)
            pairs = aim.known.get(cells[said])
            if pairs is None:
                if cells[said].endswith(heading[said]) and [cell.lstrip("\ufeff") for cell in cells] == heading:
                    self._refuse(number, "the heading again", "sheets that were joined keep one heading")
                    continue
                pairs = aim.known[cells[said]] = self.forms.pairs(aim, cells[said], number)
                self._one_more(number, len(cells[said]) + len(cells[said]) * len(aim.typed) // _PAIR_COST)
                if isinstance(pairs, Noted):
                    self._noted.append(pairs)
                    self._wrong += bool(pairs.problems)
                    if self._wrong > MOST_WRONG:
                        self.stop(
                            number,
                            worded("more than {most_wrong} different cells are wrong", most_wrong=f"{MOST_WRONG:,}"),
                            "is it a sample?",
                        )
            if isinstance(pairs, Noted):
                pairs = self._again(pairs, number)
                if not pairs:
                    continue
            elif not pairs:
                if not any(cell.strip() for cell in cells):
                    self.blank += 1
                    continue
                pairs = self._silence
                self._without(number, cells)
            tokens += len(pairs)
            if tokens > most:
                self.stop(number, worded("more than {rows} attempts", rows=f"{most:,}"), "split the file")
            yield number, cells, pairs
        self.rows = number - 1
        if self.rows >= most and next(iter(self.table.rows), None) is not None:
            self.stop(number, worded("more than {most_rows} rows", most_rows=f"{most:,}"), "split the file")
        if self._stopped:
            self._say_stopped()
        self._spelled(aims.values())

    def stop(self, row: int, why: str, hint: str) -> None:
        """Read no further than this row, and say so: beyond some bounds a file is no sample."""
        self._stopped = self._stopped or (row, why, hint)

    def _one_more(self, row: int, length: int) -> None:
        self._forms += 1
        self._letters += length
        if 5 * self._forms <= 4 * row:
            return
        if self._forms > self.bounds.forms:
            why = worded(
                "more than {forms} different pairs of adult form and production, hardly any of them repeated",
                forms=f"{self.bounds.forms:,}",
            )
            self.stop(row, why, "is it a sample? if it is, split the file")
        elif self._aims > self.bounds.forms // 2:
            why = worded(
                "more than {forms} different adult forms, hardly any of them repeated",
                forms=f"{self.bounds.forms // 2:,}",
            )
            self.stop(row, why, "is it a sample? if it is, split the file")
        elif self._letters > self.bounds.letters:
            why = worded(
                "more than {letters} letters in different forms, hardly any of them repeated",
                letters=f"{self.bounds.letters:,}",
            )
            self.stop(row, why, "is it a sample? if it is, split the file")

    def _say_stopped(self) -> None:
        if self._stopped:
            row, why, hint = self._stopped
            message = worded("{why}; the rows after row {row} are not read", why=why, row=row)
            self.log.wrong(Problem("sample.bound", message, hint, line=row))

    def _without(self, number: int, cells: Sequence[str]) -> None:
        """Remember a row that holds something, but neither a word nor a form."""
        text = ", ".join(cell.strip() for cell in cells if cell.strip())
        self._bare_text = self._bare_text or text[:_SHOWN]
        self._bare_long = self._bare_long or len(text) > _LONGEST_REMARK
        self._bare.append(number)
        if len(self._bare) > MOST_WRONG and 2 * len(self._bare) > number:
            why = worded("more than {rows} rows have neither a word nor a form", rows=f"{MOST_WRONG:,}")
            self.stop(number, why, "is it a sample?")

    def _name_bare(self) -> None:
        if self._bare:
            where = ", ".join(list(row_ranges(self._bare))[:20])
            message = worded(
                "{rows} {rows:row|rows} ({where}) {rows:has|have} neither a word nor a form: '{text}'; ignored",
                rows=len(self._bare), where=where, text=self._bare_text,
            )  # fmt: skip
            hint = "a remark belongs in the column note; another table, in a file of its own"
            self.log.wrong(Problem("sample.bare", message, hint, line=self._bare[0], fatal=self._bare_long))

    def _spelled(self, aims: Collection[RowTarget]) -> None:
        """Warn of a column of adult forms that holds the spelling: most of its cells are the word itself."""
        both = [aim for aim in aims if aim.gloss and aim.typed]
        same = [aim for aim in both if aim.gloss.casefold() == aim.typed.casefold()]
        if len(same) >= _ENOUGH_SPELLED and 2 * len(same) > len(both):
            heading = self.layout.heading("target_ipa")
            message = worded(
                "{heading} has the spelling in {same} of {both} {both:word|words}, such as '{typed}'",
                heading=heading,
                same=len(same),
                both=len(both),
                typed=same[0].typed,
            )
            hint = "write the adult forms in IPA, or leave the column empty to have them looked up"
            column = self.layout.at["target_ipa"] + 1
            self.log.wrong(Problem("sample.spelling", message, hint, line=1, column=column, fatal=False))
        turned = [aim for aim in both if _IPA_ONLY.intersection(aim.gloss) and aim.typed.isascii()]
        if len(turned) >= _ENOUGH_SPELLED and 2 * len(turned) > len(both):
            word, form = self.layout.heading("target_word"), self.layout.heading("target_ipa")
            message = worded(
                "{heading} has IPA and {other} does not in {turned} of {both} {both:word|words}, such as '{typed}'",
                heading=word, other=form, turned=len(turned), both=len(both), typed=turned[0].gloss,
            )  # fmt: skip
            column = self.layout.at["target_word"] + 1
            hint = "check whether the two headings are swapped"
            self.log.wrong(Problem("sample.turned", message, hint, line=1, column=column, fatal=False))

    def _control(self) -> None:
        """Name the rows with signs that no keyboard types: the file may be damaged, or no table."""
        rows: dict[str, list[int]] = {}
        for record, sign in sorted(self.table.control.items()):
            if record > self.table.skipped and "produced_ipa" in self.layout.at:
                rows.setdefault(sign, []).append(max(1, record - self.table.skipped))
        for sign, at in rows.items():
            where = ", ".join(list(row_ranges(at))[:20])
            message = worded(
                "the control character U+{sign} is in {at} {at:row|rows} ({where})",
                sign=f"{ord(sign):04X}",
                at=len(at),
                where=where,
            )
            hint = "the file may be damaged; type the cells again"
            self.log.wrong(Problem("sample.control", message, hint, line=at[0], symbol=sign, fatal=False))

    def _aim_key(self) -> Callable[[Sequence[str]], tuple[str, ...]]:
        places = [self.layout.at[column] for column in AIM_COLUMNS if column in self.layout.at]
        if len(places) > 1:
            return itemgetter(*places)
        return lambda cells: tuple([cells[place] for place in places])

    def _again(self, noted: Noted, number: int) -> RowPairs:
        """The pairs of cells that have something to say; none, and the row refused, where they cannot be read."""
        noted.uses += 1
        for problem in noted.problems:
            self.log.wrong(problem.at(line=number))
        self._problems += len(noted.problems)
        if self._problems > MOST_PROBLEMS and 2 * self._problems > number:
            why = worded("more than {problems} problems", problems=f"{MOST_PROBLEMS:,}")
            self.stop(number, why, "is it a sample? look at the first of them")
        if not noted.pairs:
            self.refused.append(number)
        return noted.pairs

    def _no_productions(self) -> None:
        for number, cells in enumerate(self.table.rows, 2):
            self.rows += 1
            if any(cell.strip() for cell in cells):
                self.refused.append(number)
            else:
                self.blank += 1
        if self.refused:
            rows = ", ".join(row_ranges(self.refused))
            message = worded(
                "not read, as there is no column of productions: {refused} {refused:row|rows} ({rows})",
                refused=len(self.refused),
                rows=rows,
            )
            self.log.wrong(Problem("sample.header", message, "", line=self.refused[0]))

    def _announce(self) -> None:
        for problem in (*self.table.problems, *self.layout.problems):
            self.log.wrong(problem)
        self._told = len(self.table.problems)
        for name, column, why in self.layout.renamed:
            self.log.change(column, (name, column, why), 1)

    def finish(self) -> None:
        """Tell the log what is known only at the end. To be called once, after the last row."""
        for problem in self.table.problems[self._told :]:
            self.log.wrong(problem)
        for noted in self._noted:
            for column, note in noted.notes:
                self.log.change(column, note, noted.first, noted.uses)
        self._control()
        self._name_bare()
        self.labels.finish()
        if not self.rows and not any(problem.fatal for problem in self.log.problems()):
            self.log.wrong(Problem("sample.empty", "no row below the heading", "", line=1))

    def _fitted(self, cells: list[str], number: int) -> list[str] | None:
        """The row with as many cells as the heading; None where it is blank, or refused and named."""
        width = self.layout.width
        if not any(cell.strip() for cell in cells):
            self.blank += 1
            self._blank_run = self._blank_run + 1 if self._last_blank == number - 1 else 1
            self._last_blank = number
            if self._blank_run >= MOST_BLANK:
                self.stop(
                    number,
                    worded("{most_blank} blank rows in succession", most_blank=f"{MOST_BLANK:,}"),
                    "delete the blank rows",
                )
            return None
        unclosed = number + self.table.skipped in self.table.unclosed
        if unclosed and len(cells) != width:
            hint = "close it, or write it twice inside a cell"
            self._refuse(number, "a quotation mark is opened and not closed", hint, symbol='"')
            return None
        beyond = next((at for at, cell in enumerate(cells[width:], width) if cell.strip()), None)
        if beyond is not None:
            message = worded(
                "{cells} {cells:cell|cells} in the row, {width} in the heading", cells=len(cells), width=width
            )
            hint = "a cell that contains a separator goes in quotation marks"
            self._refuse(number, message, hint, beyond + 1, cells[beyond])
            return None
        if unclosed:
            self.log.change("", ('"', "", "a quotation mark that is not closed"), number)
        return cells[:width] + [""] * (width - len(cells))

    def _refuse(self, number: int, message: str, hint: str, column: int | None = None, symbol: str = "") -> None:
        self.log.wrong(Problem("sample.row", message, hint, line=number, column=column, symbol=symbol))
        self.refused.append(number)
        if len(self.refused) > MOST_WRONG and 2 * len(self.refused) > number:
            self.stop(
                number,
                worded("more than {most_wrong} rows cannot be read", most_wrong=f"{MOST_WRONG:,}"),
                "is it a sample? look at the first of them",
            )
