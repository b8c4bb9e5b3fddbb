"""Grids of counts as SVG: shaded by share, the count in every cell, a title for each cell for screen readers.

Drawn in `currentColor`, so that the picture follows its page; shade alone carries no meaning.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

_CELL, _ROW, _HEAD, _SIDE, _BETWEEN, _WIDTH = 44, 26, 22, 66, 14, 670
_MOST = (_WIDTH - _SIDE) // _CELL
_SOUNDS = "Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif"
GridCell = tuple[str, float | None]
"""Text, and its share from 0 to 1; None for an empty cell."""


def grid_svg(
    title: str, about: str, columns: Sequence[str], rows: Sequence[str], cells: Sequence[Sequence[GridCell]]
) -> str:
    """A grid, a list of cells a row; more columns than fit go on below, in equal parts. `title` names the picture, `about`
    says how to read it."""
    parts = -(-len(columns) // _MOST) or 1
    each = -(-len(columns) // parts)
    block = _HEAD + _ROW * len(rows) + _BETWEEN
    drawn = "".join(
        _block(part * block, columns[at : at + each], rows, [line[at : at + each] for line in cells])
        for part, at in enumerate(range(0, len(columns), each or 1))
    )
    height = parts * block
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {_WIDTH} {height}" width="{_WIDTH}" '
        f'height="{height}" font-family="Approx Text, Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif">'
        f"<title>{escape(title)}</title><desc>{escape(about)}</desc>{drawn}</svg>"
    )


def _block(top: int, columns: Sequence[str], rows: Sequence[str], cells: Sequence[Sequence[GridCell]]) -> str:
    parts = [
        _text(_SIDE + _CELL * (at + 0.5), top + _HEAD - 7, name, "middle", 14, _SOUNDS)
        for at, name in enumerate(columns)
    ]
    for line, name in enumerate(rows):
        y = top + _HEAD + _ROW * line
        parts.append(_text(_SIDE - 7, y + 17, name, "end"))
        for at, (text, share) in enumerate(cells[line]):
            x = _SIDE + _CELL * at
            shade = 0.0 if share is None else 0.4 * max(0.0, min(1.0, share))
            frame = f'<rect x="{x}" y="{y}" width="{_CELL}" height="{_ROW}" fill="currentColor" fill-opacity="{shade:.2f}" stroke="currentColor" stroke-opacity="{0.3 if share is None else 1}"/>'
            if share is None:
                parts.append(frame)
                continue
            tip = escape(f"{columns[at]}, {name}: {text}")
            parts.append(f"<g><title>{tip}</title>{frame}{_text(x + _CELL / 2, y + 17, text, 'middle')}</g>")
    return "".join(parts)


def _text(x: float, y: float, text: str, anchor: str, size: int = 12, font: str = "") -> str:
    more = f' font-family="{font}"' if font else ""
    return f'<text x="{x:g}" y="{y:g}" font-size="{size}" text-anchor="{anchor}" fill="currentColor"{more}>{escape(text)}</text>'
