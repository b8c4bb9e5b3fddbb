"""What reading a text gives back: its words, what was changed (once a kind), what is wrong (and where)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from unicodedata import normalize

from approx.ipa.word import Word
from approx.problems import Problem
from approx.wording import worded

_SHOWN = 40


@dataclass(frozen=True, slots=True)
class ReadingChange:
    """One kind of change made while reading: what was typed, what it was read as, why, how often.

    Where both are the same, the symbol was kept and `why` says what else may have been meant.
    """

    typed: str
    read: str
    why: str
    times: int = 1


@dataclass(slots=True, unsafe_hash=True)  # never changed; a frozen one takes four times as long to make
class Reading:
    """What was typed and what was read: words, changes (one a kind) and problems.

    No words: nothing was said, or nothing could be read.
    """

    typed: str
    words: tuple[Word, ...]
    changes: tuple[ReadingChange, ...] = ()
    problems: tuple[Problem, ...] = ()
    omitted: bool = False
    """True where the whole text says that the word was left off."""

    @property
    def ipa(self) -> str:
        """The words in canonical text, a blank between them."""
        return " ".join(word.ipa for word in self.words)


class ReadingNotes:
    """Changes and problems while one text is read.

    `columns` has the typed column of each character that is read; without it, they are those of `typed` decomposed.
    """

    def __init__(self, typed: str, columns: Sequence[int] = ()) -> None:
        self.typed, self.columns = typed, columns
        self.counts: dict[tuple[str, str, str], int] = {}
        self.problems: list[Problem] = []

    def changed(self, typed: str, read_as: str, why: str) -> None:
        """One change more of its kind."""
        key = (typed, read_as, why)
        self.counts[key] = self.counts.get(key, 0) + 1

    def wrong(self, code: str, symbol: str, at: int, said: str, hint: str) -> None:
        """A problem with the symbol at character `at`; `said` ends the sentence that the symbol begins."""
        points = " ".join(f"U+{ord(char):04X}" for char in symbol)
        name = f"'{symbol}' {points}" if len(symbol) == 1 else f"'{symbol}'"
        shown = self.typed.strip()
        shown = shown if len(shown) <= _SHOWN else shown[:_SHOWN] + "…"
        where = worded(" in '{text}'", text=shown) if symbol != shown else ""
        message = worded("{symbol}{where} {said}", symbol=name, where=where, said=said)
        if not self.columns:
            self.columns = [at for at, char in enumerate(self.typed, 1) for _ in normalize("NFD", char)]
        column = self.columns[at] if at < len(self.columns) else None
        self.problems.append(Problem(f"ipa.{code}", message, hint, column=column, symbol=symbol))

    @property
    def changes(self) -> tuple[ReadingChange, ...]:
        """Every kind of change once, in the order first met."""
        return tuple(ReadingChange(*key, times) for key, times in self.counts.items())
