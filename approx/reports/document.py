"""What reports are made of: plain facts in, a document of plain blocks out, and nothing computed on the way.

Facts (`ProgressFacts`, `NoteFacts`, `GoalFacts`, and `practice.compare_samples.ComparedSamples`) are filled by whoever has the numbers: a
command from files, a page from the caseload. A `Document` is a title and blocks; `document_html`, `document_docx` and `document_pdf`
print the same blocks, so a report says the same in every format.
"""

from __future__ import annotations

from dataclasses import dataclass

from approx.progress.criteria import Readiness, RungHistory
from approx.progress.phases import Panel


@dataclass(frozen=True, slots=True)
class Heading:
    """`level` 1 stands below the title."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text. `gap`: the clinician fills it in; it is printed so that nobody overlooks it."""

    text: str
    gap: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True)
class Bullets:
    """One line a point."""

    items: tuple[str, ...]
    small: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: `head` a cell a column, every row as long. The first cell of a row is its heading. `title` names it."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart as SVG that needs nothing from elsewhere. `about` says in words what it shows, to those who cannot see it;
    `caption` is printed below, "" for `about`."""

    svg: str
    about: str
    caption: str = ""

    @property
    def below(self) -> str:
        """What is printed below."""
        return self.caption or self.about


@dataclass(frozen=True, slots=True)
class WritingSpace:
    """An empty box to write in, headed by `label`, `lines` lines high; one that `grows` takes what is left of its page where
    the format can tell."""

    label: str
    lines: int = 5
    grows: bool = False


@dataclass(frozen=True, slots=True)
class BlankLine:
    """Lines to fill in by hand, side by side, each with its name before it: signature, date."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """On paper the next block begins a new page."""


Block = Heading | Paragraph | Bullets | Grid | Picture | WritingSpace | BlankLine | PageBreak


@dataclass(frozen=True, slots=True)
class Document:
    """A report. `language` is the tag of its text, with the region whose paper, numbers and dates it has ("en", "es-MX")."""

    title: str
    blocks: tuple[Block, ...]
    language: str = "en"


@dataclass(frozen=True, slots=True)
class ProgressFacts:
    """Probes of one child: a panel a treated word set (with the untreated words over the same sessions), criteria met
    or not, how long each rung has lasted, cautions to print, and how all of it was made.
    """

    child: str
    panels: tuple[Panel, ...]
    readiness: tuple[Readiness, ...] = ()
    rungs: tuple[RungHistory, ...] = ()
    cautions: tuple[str, ...] = ()
    signature: str = ""
    age: str = ""
    language: str = ""
    """That the child speaks; its region is that of the page."""


@dataclass(frozen=True, slots=True)
class Trials:
    """Counts of trials: the form aimed at was `reached`, `near` (one part off), or `missed`."""

    reached: int = 0
    near: int = 0
    missed: int = 0

    @property
    def all(self) -> int:
        """How many trials."""
        return self.reached + self.near + self.missed


@dataclass(frozen=True, slots=True)
class TriedTarget:
    """Trials at one target in one session. `form` is the form aimed at. `alone`: those without help, None where not recorded."""

    word: str
    form: str
    trials: Trials
    alone: Trials | None = None


@dataclass(frozen=True, slots=True)
class NoteFacts:
    """What is known of one session. `said`: what the family or the child said; `observed`: what was seen; both as noted.

    `total`, `alone`: all trials, and those without help. `helps`: (help, trials), most help first. `before`: the session before.
    `probes`: (word set, right, out of), without help. `plan`: what was agreed. What is empty is a gap for the clinician.
    """

    child: str
    date: str
    session: int | None = None
    minutes: int | None = None
    said: str = ""
    observed: str = ""
    targets: tuple[TriedTarget, ...] = ()
    total: Trials | None = None
    alone: Trials | None = None
    helps: tuple[tuple[str, Trials], ...] = ()
    before: tuple[TriedTarget, ...] = ()
    before_date: str = ""
    probes: tuple[tuple[str, int, int], ...] = ()
    plan: str = ""


@dataclass(frozen=True, slots=True)
class GoalFacts:
    """A goal as its parts: who will do what, given what, how well, by when, how measured. What is empty or None is a gap that
    the clinician fills; nothing is filled in silently.

    `right` of `out_of`: present level, in a probe of `level_date`. `percent` of `trials` in each of `sessions` sessions: the
    criterion. `help`: the most help allowed, "none" for no help.
    """

    child: str = ""
    target: str = ""
    form: str = ""
    right: int | None = None
    out_of: int | None = None
    level_date: str = ""
    percent: int | None = None
    trials: int | None = None
    sessions: int | None = None
    help: str = ""
    setting: str = ""
    due: str = ""
    measured_by: str = ""
