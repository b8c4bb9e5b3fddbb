"""Bars of counts as SVG: one or two a row, on one scale from 0 to 100 %, each with its count of its opportunities beside it.

Drawn in `currentColor`, so that the picture follows its page; shade alone carries no meaning.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from approx.reports.regions import percent_text
from approx.wording import fill_pattern

WIDTH = 670
"""Of every chart, so that 12 px are at least 9 pt on A4 and Letter."""
_BOTH, _BAR, _HEAD, _FOOT = 480, 17, 6, 22
"""Width of names and bars together, and heights."""
_LEAST, _MOST, _LETTER = 150.0, 270.0, 7.7
"""Bounds of the room for names, and the width of a letter in the widest of the fonts below."""
Bar = tuple[str, int, int]
"""Name of the bar ("" for the only one of a row), times, of so many."""


def bars_svg(
    title: str, about: str, rows: Sequence[tuple[str, Sequence[Bar]]], of: str, tag: str, marks: Sequence[float] = ()
) -> str:
    """Rows of (name, bars). `of`: how a count is written, with {hits} and {out_of}. `marks`: percentages to mark with a
    broken line. A bar without an opportunity is not drawn; its place says so by a dash."""
    label = max(_LEAST, min(_MOST, 16 + _LETTER * max((len(name) for name, _ in rows), default=0)))
    scale = _BOTH - label
    parts: list[str] = []
    y = float(_HEAD)
    for name, bars in rows:
        parts.append(_text(label - 8, y + (_BAR * len(bars)) / 2 + 4, name, "end"))
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
            parts.append(_text(label + scale + 8, y + 13, f"{which} {said}".strip(), "start"))
            y += _BAR
        y += 7
    floor = y + 2
    for tick in (0, 20, 40, 60, 80, 100):
        x = label + scale * tick / 100
        parts.append(_line(x, floor, x, floor + 4))
        parts.append(_text(x, floor + 17, percent_text(tick, 0, tag) if tick == 100 else str(tick), "middle"))
    parts.append(_line(label, _HEAD, label, floor) + _line(label, floor, label + scale, floor))
    for mark in marks:
        x = label + scale * mark / 100
        parts.append(_line(x, _HEAD, x, floor, "4 3"))
    height = floor + _FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {WIDTH} {height:.0f}" width="{WIDTH}" '
        f'height="{height:.0f}" font-family="Approx Text, Approx Phonetic, DejaVu Sans, Noto Sans, Arial, sans-serif">'
        f"<title>{escape(title)}</title><desc>{escape(about)}</desc>{''.join(parts)}</svg>"
    )


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="12" text-anchor="{anchor}" fill="currentColor">{escape(text)}</text>'
    )


def _line(x1: float, y1: float, x2: float, y2: float, dash: str = "") -> str:
    more = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="currentColor"{more}/>'
