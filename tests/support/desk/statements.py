"""What SQLite itself is asked while something is done with a caseload."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import event

from approx.records.caseload import Caseload


@contextmanager
def statements_of(caseload: Caseload) -> Iterator[list[str]]:
    """Every statement of the block as SQLite runs it, BEGIN and COMMIT with the others, whoever asked for it."""
    said: list[str] = []
    traced: list[object] = []
    engine = caseload._now[0]

    def watch(raw: object, *rest: object) -> None:
        raw.set_trace_callback(said.append)  # type: ignore[attr-defined]
        traced.append(raw)

    event.listen(engine, "checkout", watch)
    try:
        yield said
    finally:
        event.remove(engine, "checkout", watch)
        for raw in traced:
            raw.set_trace_callback(None)  # type: ignore[attr-defined]
