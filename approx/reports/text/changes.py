"""What was read otherwise than typed, a line each."""

from __future__ import annotations

from approx.reports.plurals import often
from approx.samples.token import CellChange


def change_line(change: CellChange) -> str:
    """One kind of change: what was typed, what was read, why, how often, and where first."""
    what = f"read '{change.typed}' as '{change.read}'" if change.read else f"'{change.typed}'"
    return f"{what}: {change.why}, {often(change.times)}, first in row {change.row}"
