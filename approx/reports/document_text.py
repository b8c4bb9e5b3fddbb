"""A document as lines for the terminal."""

from __future__ import annotations

from approx.reports.report_types import Bullets, Document, Grid, Heading, Paragraph, Picture, WritingSpace


def document_lines(document: Document) -> list[str]:
    """Title, then every block; a picture by its words, an empty box by its name."""
    lines = [document.title, ""]
    for block in document.blocks:
        match block:
            case Heading(text, level):
                lines += ["", "  " * (level - 1) + text]
            case Paragraph(text, _, _):
                lines += [f"  {line}" for line in text.split("\n")]
            case Bullets(items, _):
                lines += [f"  - {item}" for item in items]
            case Grid():
                lines += [*grid_lines(block), ""]
            case Picture(_, about):
                lines.append(f"  {about}")
            case WritingSpace(label, _):
                lines.append(f"  [{label}: ________]")
    return lines


def grid_lines(grid: Grid) -> list[str]:
    """A table as text, columns under each other."""
    table = [grid.head, *grid.rows]
    widths = [max(len(row[column]) for row in table) for column in range(len(grid.head))]
    return [f"  {grid.title}"] + [
        ("    " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths))).rstrip() for row in table
    ]
