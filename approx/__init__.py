"""approx: what a young child can say today, and the way back up to the adult word."""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"
__all__ = ["__version__", "processes", "score"]


def __getattr__(name: str) -> Any:
    """`approx.score` and `approx.processes` for DataFrames, loaded when they are first used."""
    if name in ("score", "processes"):
        from approx import frames

        return getattr(frames, name)
    raise AttributeError(f"module 'approx' has no attribute {name!r}")
