"""approx: what a young child can say today, and the way back up to the adult word."""

from __future__ import annotations

from typing import Any

from approx.version import __version__

__all__ = ["__version__", "score"]


def __getattr__(name: str) -> Any:
    """`approx.score` for DataFrames, loaded when it is first used (processes: `approx.frames.processes`)."""
    if name == "score":
        from approx.frames import score

        return score
    raise AttributeError(f"module 'approx' has no attribute {name!r}")
