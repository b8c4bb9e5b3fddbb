"""Progress charts: one thing measured a panel, probes over sessions, as SVG made without network, and the table beside each.

Nothing but shape and dash tells one series from another, so that a grey print and any theme carry the same meaning. The
theme "page" draws in `currentColor`, so an inline chart follows the text colour of its page, light or dark.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from statistics import median
from typing import Any

from approx.progress.phases import Panel, Point, Series, runs
from approx.reports.document import Grid
from approx.reports.report_words import words

WIDTH, HEIGHT = 640, 260
_FONT = "Approx Text, DejaVu Sans, Noto Sans, Arial, sans-serif"  # the first is the font of the PDF pages
_INNER_ROLES = re.compile(r' role="graphics-[a-z]+"| aria-roledescription="[^"]*"')
_CROSS = "M-1,-1L1,1M-1,1L1,-1"
_STYLES: tuple[tuple[str, list[int]], ...] = (
    ("circle", [1, 0]), (_CROSS, [6, 4]), ("diamond", [2, 3]), ("triangle-up", [9, 3, 2, 3]), ("square", [4, 2]),
)  # fmt: skip
"""Shape and dash of the first, second, ... series of a panel; the treated set comes first."""


@dataclass(frozen=True, slots=True)
class Theme:
    """Ink for everything, and the paper behind it ("" for none)."""

    ink: str
    paper: str = ""


THEMES = {"page": Theme("currentColor"), "light": Theme("#111111", "#ffffff"), "dark": Theme("#eeeeee", "#181818")}


@lru_cache(maxsize=256)
def chart_svg(panel: Panel, theme: str = "page", language: str = "en") -> str:
    """One panel as an SVG with a title and a description for screen readers. KeyError for an unknown theme.

    Intervals are thin bars, medians of phases flat lines, boundaries of phases upright lines: a thick one where the set's
    treatment begins. Probes are joined within a phase and never across its line.
    """
    import vl_convert

    svg: str = vl_convert.vegalite_to_svg(chart_spec(panel, theme, language))
    return _labelled(svg, chart_title(panel, language), about_chart(panel, language))


def warm() -> None:
    """Load the drawing library and draw one chart, so that the first page is as quick as the next."""
    points = tuple(Point(number, number, 3, "A" if number < 3 else "B") for number in (1, 2, 3))
    chart_svg(Panel("", "", "", (Series("", "", points, treated_from=3),), (), ()))


def chart_title(panel: Panel, language: str = "en") -> str:
    """The set's name and what is counted."""
    say = words(language)
    counted = f", {panel.measure}" if panel.measure else ""
    child = f"{panel.child}: " if panel.child else ""
    return f"{child}{panel.title or say['probes']}{counted}: {say['percent right']}"


def about_chart(panel: Panel, language: str = "en") -> str:
    """What the chart shows, in words: n, phases, where treatment begins, medians."""
    say = words(language)
    parts = [_items(panel, language)]
    start = panel.series[0].treated_from
    if start is not None and not panel.series[0].untreated:
        parts.append(say["treated from"].format(name=panel.title, session=start))
    for series in panel.series:
        levels = ", ".join(f"{run.phase or '-'} {_number(_median(run.points))} %" for run in runs(series.points))
        parts.append(f"{say['median']}, {_name(series, language)}: {levels}")
    return ". ".join(parts) + "."


def chart_table(panel: Panel, language: str = "en") -> Grid:
    """The numbers of the chart: a row a session, with date, phase, and each series as right/n, percent and interval."""
    say = words(language)
    head = [say["session"], say["date"], say["phase"]]
    for series in panel.series:
        name = _name(series, language)
        head += [f"{name}: {say['right of']}", f"{name}: %", f"{name}: {say['interval']}"]
    rows = []
    for session in panel.sessions:
        here = [next((point for point in series.points if point.session == session), None) for series in panel.series]
        known = next(point for point in here if point)
        row = [str(session), known.date, known.phase]
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
    name = series.name or words(language)["probes"]
    return (
        f"{name} ({words(language)['untreated']})" if series.untreated and "untreated" not in name.casefold() else name
    )


def _items(panel: Panel, language: str) -> str:
    say = words(language)
    sizes = sorted({point.out_of for series in panel.series for point in series.points})
    if len(sizes) == 1:
        return say["n alike"].format(n=sizes[0])
    return say["n differ"].format(low=sizes[0], high=sizes[-1])


def chart_spec(panel: Panel, theme: str = "page", language: str = "en") -> dict[str, Any]:
    """The panel as a Vega-Lite specification, in which every number of the picture can be read."""
    look, say = THEMES[theme], words(language)
    title = {
        "text": chart_title(panel, language), "subtitle": [_items(panel, language), say["how to read"]],
        "anchor": "start", "frame": "group", "color": look.ink, "subtitleColor": look.ink, "font": _FONT,
        "subtitleFont": _FONT, "fontSize": 15, "subtitleFontSize": 12, "offset": 8,
    }  # fmt: skip
    axis = {
        "labelColor": look.ink, "titleColor": look.ink, "tickColor": look.ink, "domainColor": look.ink, "gridColor": look.ink,
        "gridOpacity": 0.15, "labelFont": _FONT, "titleFont": _FONT, "labelFontSize": 12, "titleFontSize": 12,
    }  # fmt: skip
    x, y = _axes(panel, language)
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "width": WIDTH,
        "height": HEIGHT,
        "padding": {"left": 6, "right": 12, "top": 6, "bottom": 6},
        "background": look.paper or "transparent",
        "title": title,
        "encoding": {"x": x},
        "layer": [
            *_phases(panel, look),
            *_intervals(panel, look, y),
            *_series(panel, look, y),
            *_key(panel, look, language),
        ],
        "config": {"aria": False, "axis": axis, "axisX": {"grid": False}, "view": {"stroke": None}},
    }


def _axes(panel: Panel, language: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Sessions in order, with their first and last date; percent from 0 to 100."""
    say, sessions = words(language), panel.sessions
    dates = sorted((point.session, point.date) for series in panel.series for point in series.points if point.date)
    span = f" ({dates[0][0]}: {dates[0][1]}, {dates[-1][0]}: {dates[-1][1]})" if dates else ""
    step = max(1, -(-len(sessions) // 25))
    x = {
        "field": "session", "type": "quantitative", "title": say["session"] + span,
        "scale": {"domain": [sessions[0] - 0.6, sessions[-1] + 0.6], "nice": False, "zero": False},
        "axis": {"values": list(sessions[::step]), "format": "d", "tickSize": 4},
    }  # fmt: skip
    y = {
        "field": "percent", "type": "quantitative", "title": say["percent right"],
        "scale": {"domain": [0, 100], "nice": False}, "axis": {"values": list(range(0, 101, 20))},
    }  # fmt: skip
    return x, y


def _nudge(at: int, panel: Panel) -> float:
    """Series stand a little apart, so that equal values of two do not cover each other."""
    apart = min(0.3, 0.013 * (panel.sessions[-1] - panel.sessions[0] + 2))
    return 0.0 if at == 0 else apart * (1 if at % 2 else -1) * ((at + 1) // 2)


def _layer(mark: dict[str, Any], rows: list[dict[str, Any]], **encoding: Any) -> dict[str, Any]:
    return {"data": {"values": rows}, "mark": mark, "encoding": encoding}


def _phases(panel: Panel, look: Theme) -> list[dict[str, Any]]:
    """Upright lines between phases and the phases' names above."""
    by_session: dict[int, Point] = {}
    for series in panel.series:
        for point in series.points:
            by_session.setdefault(point.session, point)
    found = runs(by_session.values())
    start = panel.series[0].treated_from
    lines: list[dict[str, Any]] = []
    names: tuple[list[dict[str, Any]], list[dict[str, Any]]] = ([], [])
    for earlier, later in zip(found, found[1:]):
        first = later.points[0].session
        at = (earlier.points[-1].session + first) / 2
        lines.append({"session": at, "width": 2.4 if first == start else 1.0})
    pixels = WIDTH / (panel.sessions[-1] - panel.sessions[0] + 1.2)
    row = 0
    for run in found:
        first, last = run.points[0].session, run.points[-1].session
        wide = 8 * len(run.phase) > pixels * (last - first + 1)  # such a name may run into the next: change the line
        row = 1 - row if wide else 0
        names[row].append({"session": (first + last) / 2, "phase": run.phase})
    width = {"field": "width", "type": "quantitative", "scale": None, "legend": None}
    head = {
        "type": "text",
        "color": look.ink,
        "font": _FONT,
        "fontSize": 13,
        "fontWeight": "bold",
        "baseline": "bottom",
    }
    return [
        _layer({"type": "rule", "color": look.ink, "opacity": 0.8}, lines, strokeWidth=width),
        *(
            _layer(head, rows, y={"value": high}, text={"field": "phase", "type": "nominal"})
            for high, rows in zip((-6, -22), names)
            if rows
        ),
    ]


def _intervals(panel: Panel, look: Theme, y: dict[str, Any]) -> list[dict[str, Any]]:
    rows = []
    for at, series in enumerate(panel.series):
        aside = _nudge(at, panel)
        for point in series.points:
            interval = point.interval
            if interval is not None:
                rows.append({"session": point.session + aside, "percent": interval.low, "high": interval.high})
    return [
        _layer({"type": "rule", "color": look.ink, "opacity": 0.35, "strokeWidth": 1}, rows, y=y, y2={"field": "high"})
    ]


def _series(panel: Panel, look: Theme, y: dict[str, Any]) -> list[dict[str, Any]]:
    """Of each series the medians of its phases, the lines within them, the probes, and n where probes differ in it."""
    layers: list[dict[str, Any]] = []
    sizes = {point.out_of for series in panel.series for point in series.points}
    apart = {"field": "run", "type": "nominal"}
    for at, series in enumerate(panel.series):
        rows: list[dict[str, Any]] = []
        levels: list[dict[str, Any]] = []
        aside = _nudge(at, panel)
        for number, run in enumerate(runs(series.points)):
            for point in run.points:
                where = {"session": point.session + aside, "percent": point.percent}
                rows.append(where | {"run": number, "n": f"n {point.out_of}"})
            ends = (run.points[0].session - 0.4, run.points[-1].session + 0.4)
            levels += [{"session": end, "percent": _median(run.points), "run": number} for end in ends]
        shape, dash = _STYLES[at % len(_STYLES)]
        level = {"type": "line", "color": look.ink, "strokeWidth": 4 if at == 0 else 1.2, "opacity": 0.3}
        line = {"type": "line", "color": look.ink, "strokeWidth": 1.6, "strokeDash": dash}
        layers += [_layer(level, levels, y=y, detail=apart), _layer(line, rows, y=y, detail=apart)]
        layers.append(_layer(_mark(shape, look, 60 if len(panel.sessions) <= 40 else 22), rows, y=y))
        if len(sizes) > 1:
            label = {"type": "text", "color": look.ink, "font": _FONT, "fontSize": 10, "dy": 16 if at % 2 else -12}
            layers.append(_layer(label, rows, y=y, text={"field": "n", "type": "nominal"}))
    return layers


def _mark(shape: str, look: Theme, size: int = 60) -> dict[str, Any]:
    fill = look.ink if shape == "circle" else "transparent"
    return {
        "type": "point",
        "shape": shape,
        "size": size,
        "stroke": look.ink,
        "fill": fill,
        "strokeWidth": 1.8,
        "opacity": 1,
    }


def _key(panel: Panel, look: Theme, language: str) -> list[dict[str, Any]]:
    """Which mark and line belong to which series, above the phases' names."""
    layers: list[dict[str, Any]] = []
    left, high = 6.0, {"value": -50}
    for at, series in enumerate(panel.series):
        shape, dash = _STYLES[at % len(_STYLES)]
        name = _name(series, language)
        rule = {"type": "rule", "color": look.ink, "strokeWidth": 1.6, "strokeDash": dash}
        text = {
            "type": "text",
            "text": name,
            "color": look.ink,
            "font": _FONT,
            "fontSize": 12,
            "align": "left",
            "baseline": "middle",
        }
        layers += [
            _layer(rule, [{}], x={"value": left}, x2={"value": left + 34}, y=high),
            _layer(_mark(shape, look), [{}], x={"value": left + 17}, y=high),
            _layer(text, [{}], x={"value": left + 42}, y=high),
        ]
        left += 66 + 7.2 * len(name)
    return layers


def _labelled(svg: str, title: str, about: str) -> str:
    """The SVG with its title and description. Roles of its lines and points go: the chart as a whole has one name."""
    head, _, rest = svg.partition(">")
    head += f' role="img" aria-label="{escape(title, quote=True)}">'
    return f"{head}<title>{escape(title)}</title><desc>{escape(about)}</desc>{_INNER_ROLES.sub('', rest)}"


def svg_png(svg: str, scale: float = 2.0, ink: str = "#111111") -> bytes:
    """The chart as PNG for documents that cannot hold SVG."""
    import vl_convert

    png: bytes = vl_convert.svg_to_png(svg.replace("currentColor", ink), scale=scale)
    return png
