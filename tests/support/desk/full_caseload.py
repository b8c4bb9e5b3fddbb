"""A full caseload, invented: 500 children with 200 sessions each, put in at once."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from filled_caseload import PROFILE, opened

CHILDREN, SESSIONS, TRIES, TRIES_OF_ONE = 500, 200, 4, 60
PHASES = (("A", 1, "baseline"), ("B1", 5, "treatment"), ("B2", 100, "treatment"), ("M", 190, "maintenance"))


def fill_up(path: Path, tries: int = TRIES) -> None:
    """100,000 sessions, 300,000 probes, and `tries` tries a session; the first child has 60 in each."""
    opened(path).close()
    raw = sqlite3.connect(path)
    run = raw.executemany
    children, sessions = range(1, CHILDREN + 1), range(1, SESSIONS + 1)
    run("INSERT INTO children (id, code, age, age_on, languages, made) VALUES (?, ?, '3;2', '2026-01-01', 'en-US', '2026-01-01')",
        ((child, f"K{child:03}") for child in children))  # fmt: skip
    run("INSERT INTO profiles (child_id, number, text, date) VALUES (?, ?, ?, '2026-01-01')",
        ((child, number, PROFILE.replace("K07", f"K{child:03}")) for child in children for number in range(1, 6)))  # fmt: skip
    run("INSERT INTO targets (id, child_id, word, adult) VALUES (?, ?, ?, 'mʌd')",
        ((10 * child + word, child, f"word {word}") for child in children for word in range(10)))  # fmt: skip
    run("INSERT INTO choices (child_id, word, ipa, date) VALUES (?, ?, 'mʌ', ?)",
        ((child, f"word {word}", f"2026-{month:02}-01") for child in children for word in range(10) for month in (1, 2, 3)))  # fmt: skip
    run("INSERT INTO phases (child_id, name, first_session, kind) VALUES (?, ?, ?, ?)",
        ((child, *phase) for child in children for phase in PHASES))  # fmt: skip
    run("INSERT INTO sessions (id, child_id, date, number) VALUES (?, ?, ?, ?)",
        ((child * 1000 + number, child, f"2026-{1 + number % 12:02}-{1 + number % 28:02}", number)
         for child in children for number in sessions))  # fmt: skip
    run("INSERT INTO probes (child_id, session, word_set, treated, \"right\", out_of, date) VALUES (?, ?, ?, ?, ?, 10, '2026-01-01')",
        ((child, number, word_set, word_set != "untreated", min(10, number * 7 % 5 + number // 40))
         for child in children for number in sessions for word_set in ("set 1", "set 2", "untreated")))  # fmt: skip
    run("INSERT INTO trials (session_id, target_id, number, form, help, result) VALUES (?, ?, ?, 'mʌ', ?, ?)",
        ((child * 1000 + number, 10 * child + tried % 10, tried + 1, ("none", "together", "touch")[tried % 3], tried % 3)
         for child in children for number in sessions for tried in range(TRIES_OF_ONE if child == 1 else tries)))  # fmt: skip
    raw.commit()
    raw.close()
