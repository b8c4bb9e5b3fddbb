"""Options of scoring for a test: the defaults with what the test changes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from approx.scoring.judging.options import ScoringOptions, default_scoring_options


def options_with(**changes: str | bool | float | tuple[str, ...]) -> ScoringOptions:
    """The defaults with some fields changed. TypeError names a field that does not exist."""
    values: dict[str, Any] = dict(changes)
    return replace(default_scoring_options(), **values)
