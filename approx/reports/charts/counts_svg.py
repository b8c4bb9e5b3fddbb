"""Counts as SVG: bars, one or two a row, on one scale from 0 to 100 %, each with its count of its opportunities beside it; grids
shaded by share, the count in every cell, a title for each cell for screen readers.

Drawn in `currentColor`, so that the picture follows its page; shade alone carries no meaning.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from approx.reports.regions import percent_text
from approx.wording import fill_pattern

WIDTH = 670
"""Of every chart, so that 12 px are at least 9 pt on A4 and Letter."""
_BOTH, _BAR, _ABOVE, _FOOT = 480, 17, 6, 22
"""Of bars: width of names and bars together, and heights."""
_LEAST, _MOST, _LETTER = 150.0, 270.0, 7.7
"""Bounds of the room for names, and the width of a letter in the widest of the fonts below."""
Bar = tuple[str, int, int]
"""Name of the bar ("" for the only one of a row), times, of so many."""
_CELL, _ROW, _HEADING, _SIDE, _BETWEEN = 44, 26, 22, 66, 14
"""Measures of a grid: its cells, the rows and columns of names, the room between its parts."""
_MOST_COLUMNS = (WIDTH - _SIDE) // _CELL
_SOUNDS = "Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif"
GridCell = tuple[str, float | None]
"""Text, and its share from 0 to 1; None for an empty cell."""


def bars_svg(
    title: str, about: str, rows: Sequence[tuple[str, Sequence[Bar]]], of: str, tag: str, marks: Sequence[float] = ()
) -> str:
    """Rows of (name, bars). `of`: how a count is written, with {hits} and {out_of}. `marks`: percentages to mark with a
    broken line. A bar without an opportunity is not drawn; its place says so by a dash."""
    label = max(_LEAST, min(_MOST, 16 + _LETTER * max((len(name) for name, _ in rows), default=0)))
    scale = _BOTH - label
    parts: list[str] = []
    y = float(_ABOVE)
    for name, bars in rows:
        parts.append(_bar_text(label - 8, y + (_BAR * len(bars)) / 2 + 4, name, "end"))
        for at, (which, hits, out_of) in enumerate(bars):
            share = hits / out_of if out_of else 0.0
            last = at == len(bars) - 1
            if share:
                parts.append(
                    f'<rect x="{label:g}" y="{y + 2:.1f}" width="{scale * min(share, 1):.1f}" height="{_BAR - 4}" '
                    f'fill="currentColor" fill-opacity="{0.55 if last else 0.15}" stroke="currentColor"/>'
                )
            said = "-"
            if out_of:
                said = f"{fill_pattern(of, hits=hits, out_of=out_of)} ({percent_text(100 * share, 0, tag)})"
            parts.append(_bar_text(label + scale + 8, y + 13, f"{which} {said}".strip(), "start"))
            y += _BAR
        y += 7
    floor = y + 2
    for tick in (0, 20, 40, 60, 80, 100):
        x = label + scale * tick / 100
        parts.append(_line(x, floor, x, floor + 4))
        parts.append(_bar_text(x, floor + 17, percent_text(tick, 0, tag) if tick == 100 else str(tick), "middle"))
    parts.append(_line(label, _ABOVE, label, floor) + _line(label, floor, label + scale, floor))
    for mark in marks:
        x = label + scale * mark / 100
        parts.append(_line(x, _ABOVE, x, floor, "4 3"))
    height = floor + _FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {WIDTH} {height:.0f}" width="{WIDTH}" '
        f'height="{height:.0f}" font-family="Approx Text, Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif">'
        f"<title>{escape(title)}</title><desc>{escape(about)}</desc>{''.join(parts)}</svg>"
    )


def _bar_text(x: float, y: float, text: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="12" text-anchor="{anchor}" fill="currentColor">{escape(text)}</text>'
    )


def _line(x1: float, y1: float, x2: float, y2: float, dash: str = "") -> str:
    more = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="currentColor"{more}/>'


def grid_svg(
    title: str, about: str, columns: Sequence[str], rows: Sequence[str], cells: Sequence[Sequence[GridCell]]
) -> str:
    """A grid, a list of cells a row; more columns than fit go on below, in equal parts. `title` names the picture, `about`
    says how to read it."""
    parts = -(-len(columns) // _MOST_COLUMNS) or 1
    each = -(-len(columns) // parts)
    block = _HEADING + _ROW * len(rows) + _BETWEEN
    drawn = "".join(
        _block(part * block, columns[at : at + each], rows, [line[at : at + each] for line in cells])
        for part, at in enumerate(range(0, len(columns), each or 1))
    )
    height = parts * block
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" '
        f'height="{height}" font-family="Approx Text, Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif">'
        f"<title>{escape(title)}</title><desc>{escape(about)}</desc>{drawn}</svg>"
    )


def _block(top: int, columns: Sequence[str], rows: Sequence[str], cells: Sequence[Sequence[GridCell]]) -> str:
    parts = [
        _cell_text(_SIDE + _CELL * (at + 0.5), top + _HEADING - 7, name, "middle", 14, _SOUNDS)
        for at, name in enumerate(columns)
    ]
    for line, name in enumerate(rows):
        y = top + _HEADING + _ROW * line
        parts.append(_cell_text(_SIDE - 7, y + 17, name, "end"))
        for at, (text, share) in enumerate(cells[line]):
            x = _SIDE + _CELL * at
            shade = 0.0 if share is None else 0.4 * max(0.0, min(1.0, share))
            frame = f'<rect x="{x}" y="{y}" width="{_CELL}" height="{_ROW}" fill="currentColor" fill-opacity="{shade:.2f}" stroke="currentColor" stroke-opacity="{0.3 if share is None else 1}"/>'
            if share is None:
                parts.append(frame)
                continue
            tip = escape(f"{columns[at]}, {name}: {text}")
            parts.append(f"<g><title>{tip}</title>{frame}{_cell_text(x + _CELL / 2, y + 17, text, 'middle')}</g>")
    return "".join(parts)


def _cell_text(x: float, y: float, text: str, anchor: str, size: int = 12, font: str = "") -> str:
    more = f' font-family="{font}"' if font else ""
    return f'<text x="{x:g}" y="{y:g}" font-size="{size}" text-anchor="{anchor}" fill="currentColor"{more}>{escape(text)}</text>'
