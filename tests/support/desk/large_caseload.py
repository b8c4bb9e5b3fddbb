"""A caseload of many children, put into the tables directly: for what must hold at any size."""

from __future__ import annotations

from pathlib import Path

from filled_caseload import opened
from sqlalchemy import insert

from approx.records.caseload import Caseload
from approx.records.database import schema

WORDS = (("mud", "mʌd"), ("pot", "pɑt"), ("cup", "kʌp"))
HELP = ("touch", "together", "after-me", "model-wait", "none")


def large(path: Path, children: int, sessions: int, tries: int) -> Caseload:
    """So many children with so many sessions of so many tries each."""
    caseload = opened(path)
    with caseload._writing() as connection:
        connection.execute(
            insert(schema.children),
            [{"id": n, "code": f"L{n:04}", "languages": "en-US", "made": "2026-01-01"} for n in range(1, children + 1)],
        )
        connection.execute(
            insert(schema.targets),
            [{"id": (n - 1) * len(WORDS) + at, "child_id": n, "word": word, "adult": adult, "since": "2026-01-01"}
             for n in range(1, children + 1) for at, (word, adult) in enumerate(WORDS, 1)],
        )  # fmt: skip
        for n in range(1, children + 1):
            first = (n - 1) * sessions
            connection.execute(
                insert(schema.sessions),
                [{"id": first + at, "child_id": n, "date": f"2026-{1 + at % 12:02}-{1 + at % 28:02}", "number": at}
                 for at in range(1, sessions + 1)],
            )  # fmt: skip
            connection.execute(
                insert(schema.trials),
                [{"session_id": first + at, "target_id": (n - 1) * len(WORDS) + 1 + (n + at + number) % len(WORDS),
                  "number": number, "form": "mʌ", "help": HELP[(at * number) % 5], "result": (n * at + number) % 3,
                  "at": f"2026-{1 + at % 12:02}-{1 + at % 28:02}T09:{n % 60:02}:{number % 60:02}.000000Z"}
                 for at in range(1, sessions + 1) for number in range(1, tries + 1)],
            )  # fmt: skip
    return caseload
