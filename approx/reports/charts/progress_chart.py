"""Charts by the conventions of single-case work: sets treated in turn as panels under each other on one axis of sessions,
a stepped line where treatment of each begins, phases named, series labelled at their ends; and the table beside each.

Drawn as plain SVG elements, so that the picture is the same on screen, on paper and in a document. Nothing but shape, dash and
words tells one series from another. The theme "page" draws in `currentColor`, so an inline chart follows its page.
Conventions (zero lifted, no line across a phase or a gap): Ledford & Gast 2018, Single Case Research Methodology (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from html import escape
from statistics import median
from textwrap import wrap

from approx.datafiles import PACKAGE
from approx.progress.phases import Panel, PhaseRun, Point, Series, phase_runs
from approx.reports.document import Grid
from approx.reports.regions import percent_sign, short_day, table_day
from approx.reports.report_words import report_words
from approx.wording import fill_pattern

_FONT = "Approx Text, DejaVu Sans, Noto Sans, Arial, sans-serif"  # the first is the font of the PDF pages
_LEFT, _RIGHT, _TOP, _PANEL, _BETWEEN, _BELOW = 58.0, 120.0, 50.0, 190.0, 44.0, 58.0
WIDEST, NARROWEST = 670, 300
"""How wide a chart may be: beyond, nothing is gained; below, dates and names no longer stand beside each other."""
_LIFT = 10.0
"""How far 0 % stands above the axis, so that points at zero are seen."""
_RIGHT_NARROW = 84.0  # on a phone the names at the ends of lines are cut; the words below name them whole
_ABOVE = 11.0
"""How far above its panel the name of a phase stands, clear of points at 100 %."""
_BESIDE, _HIGH = 7.0, 85.0
"""How far a point is moved that would cover another; and above which percentage its n stands below it."""
_LETTER = 6.6  # mean width of a letter at 12 px
_TITLE, _BOLD = 15, 1.15  # size of the title, and how much wider bold letters run
_STYLES = (("circle", ""), ("cross", "6 4"), ("diamond", "2 3"), ("triangle", "9 3 2 3"), ("square", "4 2"))
"""Shape and dash of the first, second, ... series of a panel; the treated set comes first."""
_MANY = 25
"""More sessions than this leave no room for whiskers and for each date."""
_GAP = 3
"""A pause of more than three times the usual days between sessions, and of more than two weeks, breaks line and axis (common
practice, no source)."""


@dataclass(frozen=True, slots=True)
class Theme:
    """Ink for everything, and the paper behind it ("" for none)."""

    ink: str
    paper: str = ""


THEMES = {"page": Theme("currentColor"), "light": Theme("#111111", "#ffffff"), "dark": Theme("#eeeeee", "#181818")}


@lru_cache(maxsize=256)
def chart_svg(panel: Panel, theme: str = "page", language: str = "en", width: int = WIDEST) -> str:
    """One panel by itself, `width` px wide. KeyError for an unknown theme."""
    return stacked_svg((panel,), theme, language, width)


def stacked_svg(stack: Sequence[Panel], theme: str = "page", language: str = "en", width: int = WIDEST) -> str:
    """Panels of one child under each other, as an SVG with a title and a description for screen readers. ValueError for none.

    Whiskers are 95 % intervals of the treated set, left out where there are many sessions; flat lines are medians of phases;
    thin upright lines stand between phases, the thick stepped one where treatment of each panel's set begins. Probes are joined
    within a phase, never across its line or across a long pause.
    """
    if not stack:
        raise ValueError("no panel to draw")
    ordered = sorted(stack, key=lambda panel: (panel.series[0].treated_from is None, panel.series[0].treated_from or 0))
    return _Drawing(ordered, THEMES[theme], language, min(max(width, NARROWEST), WIDEST)).svg()


def chart_title(panel: Panel, language: str = "en") -> str:
    """The set's name and what is counted."""
    say = report_words(language)
    counted = f", {panel.measure}" if panel.measure else ""
    child = f"{panel.child}: " if panel.child else ""
    return f"{child}{panel.title or say['probes']}{counted}: {say['percent right']}"


def about_chart(panel: Panel, language: str = "en") -> str:
    """What the chart shows, in words: n, phases, where treatment begins, medians."""
    say = report_words(language)
    parts = [_items(panel, language)]
    start = panel.series[0].treated_from
    if start is not None and not panel.series[0].untreated:
        parts.append(fill_pattern(say["treated from"], name=panel.title, session=start))
    sign = percent_sign(language)
    for series in panel.series:
        levels = ", ".join(
            f"{run.phase} {_number(_median(run.points))}{sign}".strip() for run in phase_runs(series.points)
        )
        parts.append(f"{say['median']}, {_name(series, language)}: {levels}")
    return ". ".join(parts) + "."


def chart_table(panel: Panel, language: str = "en") -> Grid:
    """The numbers of the chart: a row a session, with date, phase, and each series as right/n, percent and interval."""
    say = report_words(language)
    head = [say["session"], say["date"], say["phase"]]
    for series in panel.series:
        name = _name(series, language)
        head += [f"{name}: {say['right of']}", f"{name}: %", f"{name}: {say['interval']}"]
    rows = []
    for session in panel.sessions:
        here = [next((point for point in series.points if point.session == session), None) for series in panel.series]
        known = next(point for point in here if point)
        row = [str(session), table_day(known.date, language), known.phase]
        for point in here:
            row += _cells(point)
        rows.append(tuple(row))
    return Grid(chart_title(panel, language), tuple(head), tuple(rows))


def _cells(point: Point | None) -> list[str]:
    if point is None:
        return ["-", "-", "-"]
    interval = point.interval
    ends = f"{interval.low:.0f} - {interval.high:.0f}" if interval else "-"
    return [f"{point.right} / {point.out_of}", _number(point.percent), ends]


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _median(points: tuple[Point, ...]) -> float:
    return float(median(100 * point.share for point in points))


def _name(series: Series, language: str) -> str:
    name = series.name or report_words(language)["probes"]
    return (
        f"{name} ({report_words(language)['untreated']})"
        if series.untreated and "untreated" not in name.casefold()
        else name
    )


def _items(panel: Panel, language: str) -> str:
    say = report_words(language)
    sizes = sorted({point.out_of for series in panel.series for point in series.points})
    if len(sizes) == 1:
        return fill_pattern(say["n alike"], n=sizes[0])
    return fill_pattern(say["n differ"], low=sizes[0], high=sizes[-1])


class _Drawing:
    """One picture: its panels, its axis of sessions, and the SVG elements put down so far."""

    def __init__(self, stack: Sequence[Panel], look: Theme, language: str, width: int) -> None:
        self.stack, self.look, self.language = stack, look, language
        self.say = report_words(language)
        self.sessions = sorted({session for panel in stack for session in panel.sessions})
        self.dates = {
            point.session: point.date
            for panel in stack for series in panel.series for point in series.points if point.date
        }  # fmt: skip
        self.pauses = _pauses(self.sessions, self.dates)
        self.width = width
        self.inner = width - _LEFT - (_RIGHT if width > 480 else _RIGHT_NARROW)
        self.title = wrap(self.named(), int((width - _LEFT) / (_LETTER * _TITLE / 12 * _BOLD)))
        self.above = _TOP + 18 * (len(self.title) - 1)
        self.height = self.above + len(stack) * _PANEL + (len(stack) - 1) * _BETWEEN + _BELOW
        self.out: list[str] = []

    def named(self) -> str:
        """What the picture shows, for its title."""
        if len(self.stack) == 1:
            return chart_title(self.stack[0], self.language)
        child = f"{self.stack[0].child}: " if self.stack[0].child else ""
        return f"{child}{', '.join(panel.title for panel in self.stack)}: {self.say['percent right']}"

    def svg(self) -> str:
        """The whole picture."""
        name = self.named()
        about = " ".join(about_chart(panel, self.language) for panel in self.stack)
        size = f'viewBox="0 0 {self.width} {self.height:g}" width="{self.width}" height="{self.height:g}"'
        for row, line in enumerate(self.title):
            self.text(_LEFT, 18 + 18 * row, line, size=_TITLE, weight="bold")
        self.text(_LEFT, self.above - 15, _items(self.stack[0], self.language), size=12)
        for number, panel in enumerate(self.stack):
            self.panel(number, panel)
        self.steps()
        self.axis()
        paper = f'<rect width="100%" height="100%" fill="{self.look.paper}"/>' if self.look.paper else ""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(name, quote=True)}" {size} '
            f'font-family="{_FONT}"><title>{escape(name)}</title><desc>{escape(about)}</desc>{paper}{"".join(self.out)}</svg>'
        )

    def top(self, number: int) -> float:
        return self.above + number * (_PANEL + _BETWEEN) + 14

    def x(self, session: float) -> float:
        """Sessions stand at equal distances; between two of them a place is in proportion."""
        first, last = self.sessions[0], self.sessions[-1]
        return _LEFT + self.inner * (session - first + 0.7) / (last - first + 1.4)

    def y(self, number: int, percent: float) -> float:
        return self.top(number) + (_PANEL - 14 - _LIFT) * (1 - percent / 100)

    def panel(self, number: int, panel: Panel) -> None:
        """Scale, phases with their names, and every series."""
        floor = self.top(number) + _PANEL - 14
        self.line(_LEFT, self.top(number), _LEFT, floor, 1)
        self.line(_LEFT, floor, _LEFT + self.inner, floor, 1)
        for percent in range(0, 101, 20):
            y = self.y(number, percent)
            self.line(_LEFT - 5, y, _LEFT, y, 1)
            self.text(_LEFT - 9, y + 4, str(percent), anchor="end")
        self.phases(number, panel)
        ends = []
        for at, series in enumerate(panel.series):
            self.series(number, at, series, whiskers=at == 0 and len(self.sessions) <= _MANY)
            if series.points:
                last = max(series.points, key=lambda point: point.session)
                ends.append((self.y(number, last.percent), last, _name(series, self.language)))
        ends.sort(key=lambda end: end[0])
        for y, (_, last, name) in zip(_apart([end[0] for end in ends], floor - 6), ends):
            room = max(4, int((self.width - self.x(last.session) - 17) / _LETTER))
            self.text(
                self.x(last.session) + 17, y + 4, name if len(name) <= room else name[: room - 1] + "…", name="end"
            )
        middle = self.top(number) + (_PANEL - 14) / 2
        self.out.append(
            f'<text transform="translate(16 {middle:.1f}) rotate(-90)" text-anchor="middle" font-size="12" '
            f'fill="{self.look.ink}">{escape(self.say["percent"])}</text>'
        )

    def phases(self, number: int, panel: Panel) -> None:
        """Thin lines between phases, and the phases' names above the panel."""
        found = _phase_runs(panel)
        start = panel.series[0].treated_from
        for earlier, later in zip(found, found[1:]):
            first = later.points[0].session
            if first != start:
                x = self.x((earlier.points[-1].session + first) / 2)
                self.line(x, self.top(number), x, self.top(number) + _PANEL - 14, 0.8, dash="3 3", name="phase")
        for run in found:
            middle = (run.points[0].session + run.points[-1].session) / 2
            self.text(self.x(middle), self.top(number) - _ABOVE, run.phase, size=12, anchor="middle", name="phase-name")

    def steps(self) -> None:
        """The thick line: down a panel where its set's treatment begins, across to where the next one's does."""
        places = []
        for number, panel in enumerate(self.stack):
            start = panel.series[0].treated_from
            before = [session for session in self.sessions if start is not None and session < start]
            if start is not None and before and not panel.series[0].untreated:
                places.append((number, self.x((before[-1] + start) / 2)))
        path = ""
        for number, x in places:
            top, floor = self.top(number), self.top(number) + _PANEL - 14
            path += f"M{x:.1f},{top:.1f}V{floor:.1f}" if not path else f"V{top - 27:.1f}H{x:.1f}V{floor:.1f}"
        if path:
            self.out.append(f'<path class="step" d="{path}" fill="none" stroke="{self.look.ink}" stroke-width="2.2"/>')

    def series(self, number: int, at: int, series: Series, whiskers: bool) -> None:
        """Medians, whiskers, lines within phases, points, and n where probes differ in it."""
        shape, dash = _STYLES[at % len(_STYLES)]
        earlier = {(p.session, p.percent) for each in self.stack[number].series[:at] for p in each.points}
        differ = len({point.out_of for each in self.stack[number].series for point in each.points}) > 1
        for run in phase_runs(series.points):
            # a point on that of another set is put beside it, so that both are seen
            beside = [_BESIDE * at * ((point.session, point.percent) in earlier) for point in run.points]
            places = [(self.x(p.session) + moved, self.y(number, p.percent)) for p, moved in zip(run.points, beside)]
            level = self.y(number, _median(run.points))
            self.line(
                places[0][0] - 6, level, places[-1][0] + 6, level, 3 if at == 0 else 1.5, opacity=0.3, name="median"
            )
            for (one, here), (other, there) in zip(zip(run.points, places), list(zip(run.points, places))[1:]):
                if not any(one.session <= pause < other.session for pause in self.pauses):
                    self.line(*here, *there, 1.5, dash=dash, name="probes")
            for point, (x, y) in zip(run.points, places):
                if whiskers and point.interval is not None:
                    low, high = (self.y(number, end) for end in (point.interval.low, point.interval.high))
                    self.line(x, low, x, high, 1, opacity=0.25, name="whisker")
                self.out.append(self.mark(shape, x, y, point))
                if differ:
                    above = at == 0 and point.percent <= _HIGH
                    self.text(x, y - 9 if above else y + 17, f"n {point.out_of}", anchor="middle", name="n")

    def mark(self, shape: str, x: float, y: float, point: Point) -> str:
        """One probe; its numbers stand in it."""
        filled = self.look.ink if shape == "circle" else self.look.paper or "none"
        paths = {
            "circle": "M-4,0a4,4 0 1,0 8,0a4,4 0 1,0 -8,0", "cross": "M-4,-4L4,4M-4,4L4,-4", "diamond": "M0,-5L5,0L0,5L-5,0Z",
            "triangle": "M0,-5L5,4L-5,4Z", "square": "M-4,-4H4V4H-4Z",
        }  # fmt: skip
        return (
            f'<path class="point" data-session="{point.session}" data-right="{point.right}" data-n="{point.out_of}" '
            f'transform="translate({x:.1f} {y:.1f})" d="{paths[shape]}" fill="{filled}" stroke="{self.look.ink}" stroke-width="1.6"/>'
        )

    def axis(self) -> None:
        """Sessions and their dates below the last panel; a break where there was a long pause."""
        floor = self.top(len(self.stack) - 1) + _PANEL - 14
        each = self.inner / max(1, len(self.sessions))
        shown = range(0, len(self.sessions), max(1, round(18 / each + 0.5)))
        after = [self.sessions.index(pause) + 1 for pause in self.pauses]
        dated = _spaced([0, *after, *range(len(self.sessions))], max(1, round(42 / each + 0.5)))
        for at, session in enumerate(self.sessions):
            x = self.x(session)
            self.line(x, floor, x, floor + 4, 1)
            if at in shown:
                self.text(x, floor + 17, str(session), anchor="middle", name="session")
            if at in dated and session in self.dates:
                self.text(x, floor + 32, short_day(self.dates[session], self.language), anchor="middle", name="date")
        for pause in self.pauses:
            later = self.sessions[self.sessions.index(pause) + 1]
            x = self.x((pause + later) / 2)
            for number in range(len(self.stack)):
                y = self.top(number) + _PANEL - 14
                self.line(x - 5, y + 5, x + 1, y - 5, 1.2, name="break")
                self.line(x, y + 5, x + 6, y - 5, 1.2)
        years = sorted({day[:4] for day in self.dates.values()})
        title = f"{self.say['session']}, {self.say['date']} ({' - '.join(years)})" if years else self.say["session"]
        self.text(_LEFT + self.inner / 2, floor + (50 if years else 35), title, anchor="middle")

    def line(
        self, x1: float, y1: float, x2: float, y2: float, width: float, *, dash: str = "", opacity: float = 1, name: str = ""
    ) -> None:  # fmt: skip
        more = f' stroke-dasharray="{dash}"' if dash else ""
        more += f' stroke-opacity="{opacity:g}"' if opacity < 1 else ""
        more += f' class="{name}"' if name else ""
        self.out.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{self.look.ink}" stroke-width="{width:g}"{more}/>'
        )

    def text(
        self, x: float, y: float, text: str, *, size: float = 12, anchor: str = "start", weight: str = "normal", name: str = ""
    ) -> None:  # fmt: skip
        more = f' class="{name}"' if name else ""
        more += f' font-weight="{weight}"' if weight != "normal" else ""
        self.out.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{self.look.ink}"{more}>{escape(text)}</text>'
        )


def _spaced(wanted: Sequence[int], step: int) -> set[int]:
    """Those of the places that stand at least `step` from each other, the first named before the others."""
    found: set[int] = set()
    for at in wanted:
        if all(abs(at - other) >= step for other in found):
            found.add(at)
    return found


def _apart(wanted: Sequence[float], lowest: float, room: float = 14.0) -> list[float]:
    """Heights of labels, from top to bottom, moved so that none covers another or stands below the panel."""
    found: list[float] = []
    for y in wanted:
        found.append(max(y, found[-1] + room) if found else y)
    limit = lowest
    for at in range(len(found) - 1, -1, -1):
        found[at] = min(found[at], limit)
        limit = found[at] - room
    return found


def _phase_runs(panel: Panel) -> tuple[PhaseRun, ...]:
    """The phases of a panel over the sessions of all its series."""
    by_session: dict[int, Point] = {}
    for series in panel.series:
        for point in series.points:
            by_session.setdefault(point.session, point)
    return phase_runs(by_session.values())


def _pauses(sessions: Sequence[int], dates: dict[int, str]) -> tuple[int, ...]:
    """The sessions after which there was a long pause."""
    days = []
    for one, other in zip(sessions, sessions[1:]):
        try:
            days.append((one, (date.fromisoformat(dates[other]) - date.fromisoformat(dates[one])).days))
        except (KeyError, ValueError):
            continue
    if not days:
        return ()
    usual = median(length for _, length in days)
    return tuple(session for session, length in days if length > _GAP * usual and length > 14)


def svg_png(svg: str, width: int = 1520, ink: str = "#111111") -> bytes:
    """A drawing as PNG of `width` pixels, drawn by the typesetter that makes the PDF pages, for documents that cannot hold SVG."""
    import typst

    folder = PACKAGE / "reports"
    made = typst.compile(
        folder / "templates" / "picture.typ", font_paths=[folder / "fonts"], ignore_system_fonts=True, format="png",
        ppi=72 * width / 760,  # the template sets it 760 pt wide
        sys_inputs={"svg": svg.replace("currentColor", ink)},
    )  # fmt: skip
    return bytes(made) if isinstance(made, (bytes, bytearray)) else b"".join(made or ())
