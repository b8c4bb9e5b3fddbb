"""Counts of one process over a sample; they add."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from approx.processes.chances import ChanceOptions


@dataclass(slots=True)
class Tally:
    """Counts of one process: they add over samples. `words`: where it happened; `not_in`: where it could have."""

    occurrences: int = 0
    chances: int = 0
    words: dict[str, None] = field(default_factory=dict)
    not_in: dict[str, None] = field(default_factory=dict)
    rules: Counter[str] = field(default_factory=Counter)

    @property
    def percent(self) -> float | None:
        """None where there was no chance."""
        return 100.0 * self.occurrences / self.chances if self.chances else None

    def standing(self, options: ChanceOptions) -> str:
        """active, frequent, seen (under the criterion), not seen, or not enough chances.

        The criterion is the caller's: so many percent of enough chances (`criterion = "percent"`), or so many
        instances, however many chances there were ("instances": Dodd, Holm, Zhu & Crosbie 2003, Clin Linguist Phon
        17:617-643, as cited; five).
        """
        if options.criterion == "instances":
            if self.occurrences >= options.instances:
                percent = self.percent or 0.0
                enough = self.chances >= options.least_chances
                return "frequent" if enough and percent >= options.frequent_percent else "active"
            return "seen" if self.occurrences else "not seen"
        if self.chances < options.least_chances:
            return "not enough chances"
        percent = self.percent or 0.0
        if percent >= options.frequent_percent:
            return "frequent"
        if percent >= options.active_percent:
            return "active"
        return "seen" if self.occurrences else "not seen"

    def active(self, options: ChanceOptions) -> bool:
        """True if the process counts as one the child has, by the caller's criterion."""
        return self.standing(options) in ("active", "frequent")
