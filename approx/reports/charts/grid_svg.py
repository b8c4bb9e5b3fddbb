"""Grids of numbers as SVG: shaded in grey, a number in every cell, a title for each cell for screen readers."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

_CELL, _HEAD = 34, 30


def grid_svg(
    title: str,
    about: str,
    columns: Sequence[str],
    rows: Sequence[str],
    cells: Sequence[Sequence[tuple[str, float | None]]],
    head: int = _HEAD,
) -> str:
    """A grid; each cell is (text, share from 0 to 1 or None for an empty cell). Dark means much; text is always there.

    `title` names the picture, `about` says how to read it. Grey alone carries no meaning: every share is written too.
    """
    width, height = head + _CELL * len(columns) + 2, _HEAD + _CELL * len(rows) + 2
    parts = [
        f'<svg role="img" viewBox="0 0 {width} {height}" width="{width}" height="{height}" xmlns="http://www.w3.org/2000/svg">',
        f"<title>{escape(title)}</title><desc>{escape(about)}</desc>",
    ]
    for number, name in enumerate(columns):
        x = head + _CELL * number + _CELL / 2
        parts.append(f'<text x="{x}" y="{_HEAD - 9}" text-anchor="middle" class="h">{escape(name)}</text>')
    for line, name in enumerate(rows):
        y = _HEAD + _CELL * line
        parts.append(f'<text x="{head - 7}" y="{y + 22}" text-anchor="end" class="h">{escape(name)}</text>')
        for number, (text, share) in enumerate(cells[line]):
            x = head + _CELL * number
            if share is None:
                parts.append(f'<rect x="{x}" y="{y}" width="{_CELL}" height="{_CELL}" fill="#fff" stroke="#bbb"/>')
                continue
            level = round(255 - 100 * max(0.0, min(1.0, share)))
            tip = escape(f"{name}, {columns[number]}: {text}")
            parts.append(
                f'<g><title>{tip}</title><rect x="{x}" y="{y}" width="{_CELL}" height="{_CELL}" '
                f'fill="rgb({level},{level},{level})" stroke="#555"/>'
                f'<text x="{x + _CELL / 2}" y="{y + 21}" text-anchor="middle">{escape(text)}</text></g>'
            )
    return "".join(parts) + "</svg>"


def grid_table(
    title: str, columns: Sequence[str], rows: Sequence[str], cells: Sequence[Sequence[tuple[str, float | None]]]
) -> str:
    """The same numbers as a table, for a screen reader and for copying."""
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in ("", *columns))
    body = "".join(
        f'<tr><th scope="row">{escape(name)}</th>' + "".join(f"<td>{escape(text)}</td>" for text, _ in line) + "</tr>"
        for name, line in zip(rows, cells)
    )
    return f"<details><summary>{escape(title)} as a table</summary><table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></details>"
