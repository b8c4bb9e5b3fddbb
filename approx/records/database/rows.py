"""The rows a caseload gives out, sessions, trials and their counts among them: frozen, plain values only.

Dates are ISO text (2026-03-02), moments are ISO text in UTC (2026-03-02T14:05:09Z), ages years;months ("3;2"); a child's age on
a day follows from an age noted on some day, or from the month of birth.
`version` counts the savings of a row: hand it back with a change, so that a change made meanwhile in another tab is
not lost. Text that is not known is "", a number that is not known is None. A call that cannot do what was asked
returns `Refused` (or `Conflict`, which is a `Refused` too) and changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from approx.problems import Problem

TargetState = Literal["active", "resting", "met", "control"]
"""Of a word in therapy; control: probed, never treated."""
PhaseKind = Literal["baseline", "treatment", "maintenance"]
GoalState = Literal["open", "met", "closed"]


def age_in_months(child: StoredChild, day: str) -> int | None:
    """Whole months on a day (ISO). None if neither age nor birth month is known, or the day lies before birth.

    From a birth month, the day of birth is taken for the first of it, so the age may be a month too high; from a noted
    age, months are counted from the day it was noted, so it may be a month too low.
    """
    on = date.fromisoformat(day)
    if child.birth_month:
        year, month = map(int, child.birth_month.split("-"))
        months = 12 * (on.year - year) + on.month - month
    elif child.age:
        years, part = map(int, child.age.split(";"))
        noted = date.fromisoformat(child.age_on) if child.age_on else on
        since = 12 * (on.year - noted.year) + on.month - noted.month - (on.day < noted.day)
        months = 12 * years + part + since
    else:
        return None
    return months if months >= 0 else None


def age_text(child: StoredChild, day: str) -> str:
    """The age on a day as years;months, "" if it is not known."""
    months = age_in_months(child, day)
    return "" if months is None else f"{months // 12};{months % 12}"


@dataclass(frozen=True, slots=True)
class StoredSession:
    """One visit. `number` counts a child's sessions; probes and phases use the same numbers. `minutes`: None if open."""

    id: int
    version: int
    child: str
    date: str
    number: int
    minutes: int | None = None
    place: str = ""
    note: str = ""
    trials: int = 0


@dataclass(frozen=True, slots=True)
class Trial:
    """One try. `form` is the form aimed at that day; `result` 2 it was reached, 1 nearly (one part off), 0 not."""

    id: int
    session_id: int
    target_id: int
    number: int
    word: str
    form: str
    help: str
    result: int
    at: str = ""


@dataclass(frozen=True, slots=True)
class TrialEntry:
    """`times` alike trials of a target, as a paper grid gives them."""

    target_id: int
    help: str
    result: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class StoredTally:
    """Counts of trials, never percentages. `reached + near + missed` are the trials."""

    reached: int = 0
    near: int = 0
    missed: int = 0

    @property
    def trials(self) -> int:
        """Trials of all results."""
        return self.reached + self.near + self.missed

    def __add__(self, other: StoredTally) -> StoredTally:
        return StoredTally(self.reached + other.reached, self.near + other.near, self.missed + other.missed)


@dataclass(frozen=True, slots=True)
class TargetTotals:
    """One target and form in one session: all trials, and by cue level from most help to none."""

    target_id: int
    word: str
    form: str
    all: StoredTally
    by_help: tuple[tuple[str, StoredTally], ...]


@dataclass(frozen=True, slots=True)
class Totals:
    """One session: all trials, by cue level (every level, most help first), and by target in order of first use."""

    all: StoredTally
    by_help: tuple[tuple[str, StoredTally], ...]
    by_target: tuple[TargetTotals, ...]
    last: Trial | None = None

    @property
    def without_help(self) -> StoredTally:
        """Trials of the level that is no help at all, the last one."""
        return self.by_help[-1][1]


__all__ = [
    "StoredChild", "ChildSummary", "StoredChoice", "Conflict", "Erased", "Exported", "StoredGoal", "Imported", "StoredNote", "StoredPhase", "StoredProbe",
    "PhaseEntry", "ProbeEntry", "Progress", "RecentSession", "Refused", "StoredRow", "SampleInfo", "SampleRow", "StoredSession", "StoredProfile", "StoredSample", "StoredTally",
    "StoredTarget", "TargetTotals", "Totals", "Trashed", "Trial", "TrialEntry",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Refused:
    """Nothing was changed; `problems` says why, all of it, at least one."""

    problems: tuple[Problem, ...]

    @property
    def message(self) -> str:
        """The first problem in one line, for a place where only one fits."""
        return self.problems[0].message


@dataclass(frozen=True, slots=True)
class Conflict(Refused):
    """The row was changed meanwhile by someone else: `current` is the row as it stands now."""

    current: StoredRow


@dataclass(frozen=True, slots=True)
class StoredChild:
    """One child, known by a code. Age is given as `age` on the day `age_on`, or as `birth_month` (2023-05), or not.

    `languages` are tags (en-US), the first one the main one; `accents` are names of the files in rules/accents/.
    `remarks`: the code looks like a name, for example.
    """

    id: int
    version: int
    code: str
    age: str = ""
    age_on: str = ""
    birth_month: str = ""
    languages: tuple[str, ...] = ("en-US",)
    accents: tuple[str, ...] = ()
    note: str = ""
    made: str = ""
    remarks: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class ChildSummary:
    """One line of the caseload page: the child, and what there is of it."""

    child: StoredChild
    samples: int
    sessions: int
    active_targets: int
    last_session: str = ""
    last_probe: str = ""
    has_profile: bool = False


@dataclass(frozen=True, slots=True)
class StoredProfile:
    """One saved state of a child's profile. `text` is a child file (TOML), the form that counts.

    `version` numbers a child's profiles from 1; the highest is the present one. `source`: where it came from, in words.
    """

    id: int
    version: int
    text: str
    date: str
    source: str = ""
    remarks: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class SampleInfo:
    """A sample without its rows. `file` is the name of the file it came from, never its folder."""

    id: int
    version: int
    child: str
    date: str
    title: str = ""
    file: str = ""
    context: str = ""
    transcriber: str = ""
    note: str = ""
    rows: int = 0


@dataclass(frozen=True, slots=True)
class SampleRow:
    """One row as it was typed, and what was read: `cells` in the order of the heading.

    `row` counts the heading as row 1. `read_target` and `read_produced` are IPA; several attempts of one cell stand
    with " / " between them. `kind` is that of `approx.scoring` ("scored", "no gloss", ...), "refused" for a row that
    could not be read, "blank" for one that holds nothing.
    """

    row: int
    cells: tuple[str, ...]
    read_target: str = ""
    read_produced: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class StoredSample:
    """A sample as it was typed: `approx.samples.rows.sample.sample_of(sample.header, sample.cells())` reads it again."""

    info: SampleInfo
    header: tuple[str, ...]
    rows: tuple[SampleRow, ...]
    remarks: tuple[Problem, ...] = ()

    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The typed rows, without the heading."""
        return tuple(row.cells for row in self.rows)


@dataclass(frozen=True, slots=True)
class StoredChoice:
    """A form chosen for a word on a day, and why. The latest of a word is the form aimed at now.

    `rung` counts from 1 (lowest) `of` so many rungs, None where no ladder was used. `by`: "clinician" or "tool".
    """

    id: int
    version: int
    child: str
    word: str
    ipa: str
    reason: str = ""
    date: str = ""
    rung: int | None = None
    of: int | None = None
    by: str = "clinician"


@dataclass(frozen=True, slots=True)
class StoredTarget:
    """A word in work. `form` is the form chosen last for this word, the adult form where none is chosen.

    `word_set`: name of the probe set it belongs to. `state`: "active", "resting", "met" or "control" (a word that is
    probed and not treated). `help`: cue level to start with, see rules/cue_levels.toml.
    """

    id: int
    version: int
    child: str
    word: str
    adult: str
    form: str
    word_set: str = ""
    state: TargetState = "active"
    help: str = ""
    since: str = ""
    rung: int | None = None
    of: int | None = None
    carrier: str = ""


@dataclass(frozen=True, slots=True)
class StoredProbe:
    """Words of one set said without help in one session: `right` of `out_of`.

    `treated` is False for words that are never practised. `phase` is the name of the phase the session falls in, ""
    before the first. `words`: each word and whether it was right, where that was noted.
    """

    id: int
    version: int
    child: str
    session: int
    word_set: str
    right: int
    out_of: int
    treated: bool = True
    date: str = ""
    phase: str = ""
    words: tuple[tuple[str, bool], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class StoredPhase:
    """From session `first_session` on, until the next phase. `kind`: "baseline", "treatment" or "maintenance".

    `word_sets`: the sets in treatment during it.
    """

    id: int
    version: int
    child: str
    name: str
    first_session: int
    kind: PhaseKind = "treatment"
    word_sets: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class ProbeEntry:
    """A probe to be added, see `StoredProbe`."""

    session: int
    word_set: str
    right: int
    out_of: int
    treated: bool = True
    date: str = ""
    words: tuple[tuple[str, bool], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class PhaseEntry:
    """A phase to be added, see `StoredPhase`."""

    name: str
    first_session: int
    kind: PhaseKind = "treatment"
    word_sets: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class StoredGoal:
    """A goal sentence, and the parts a measurable one names. `state`: "open", "met" or "closed"."""

    id: int
    version: int
    child: str
    text: str
    baseline: str = ""
    condition: str = ""
    criterion: str = ""
    measure: str = ""
    due: str = ""
    made: str = ""
    state: GoalState = "open"


@dataclass(frozen=True, slots=True)
class StoredNote:
    """A note in four parts, of one session or of none."""

    id: int
    version: int
    child: str
    date: str
    session_id: int | None = None
    subjective: str = ""
    objective: str = ""
    assessment: str = ""
    plan: str = ""


@dataclass(frozen=True, slots=True)
class StoredPicture:
    """A photo or a drawing that stands for a word of this child. The image itself is asked for by its id."""

    id: int
    child: str
    word: str
    made: str


@dataclass(frozen=True, slots=True)
class Trashed:
    """Something was put away. `restore(token)` brings it back. `kind` is "child", "session", "trial", ...

    `label` names it for a line such as "Session 3 deleted. Undo". In a list of what was deleted, `child` is the code and
    `at` the moment (ISO, UTC).
    """

    token: str
    kind: str
    label: str
    child: str = ""
    at: str = ""


@dataclass(frozen=True, slots=True)
class UndoneTrial:
    """A trial was taken back. `totals`: the session without it."""

    away: Trashed
    totals: Totals


@dataclass(frozen=True, slots=True)
class RecentSession:
    """A session of any child, with the number of notes that were written from it."""

    session: StoredSession
    notes: int


@dataclass(frozen=True, slots=True)
class Erased:
    """A child, or a picture by its word, deleted for good: `rows` gone with it; `copies` of the file were removed too.

    `remarks`: another window kept the file from being cleaned at once, for example.
    """

    code: str
    rows: int
    copies: tuple[str, ...] = ()
    remarks: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Exported:
    """A zip in memory, the name to offer for it, and remarks (a text too long for a sheet's cell, for example)."""

    name: str
    data: bytes
    remarks: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Imported:
    """The children taken in, by code, and how many rows of each table."""

    codes: tuple[str, ...]
    rows: tuple[tuple[str, int], ...]
    remarks: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Progress:
    """All that a progress page of one child draws, from one look at the file."""

    child: StoredChild
    probes: tuple[StoredProbe, ...]
    phases: tuple[StoredPhase, ...]
    choices: tuple[StoredChoice, ...]
    sessions: tuple[tuple[StoredSession, StoredTally, StoredTally], ...]
    """Each session, its tally, and its tally of trials without help."""


StoredRow = (
    StoredChild
    | StoredProfile
    | SampleInfo
    | StoredSample
    | StoredChoice
    | StoredTarget
    | StoredSession
    | StoredProbe
    | StoredPhase
    | StoredGoal
    | StoredNote
)
