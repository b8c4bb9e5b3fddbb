"""Files of every earlier version open, keep what they held, and leave a copy of how they were."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from filled_caseload import code_of, opened, sure
from places import ROOT

from approx.records.caseload import open_caseload
from approx.records.database import migrations
from approx.records.database.connection import cipher
from approx.records.database.rows import StoredTally
from approx.records.database.schema import VERSION

EARLIER = list(range(1, VERSION))


def of_version(path: Path, version: int, passphrase: str | None = None) -> Path:
    """A file as that version made it."""
    raw: Any = (sqlite3 if passphrase is None else cipher()).connect(str(path))
    if passphrase is not None:
        raw.execute(f"PRAGMA key = '{passphrase}'")
    raw.executescript((ROOT / f"tests/data/records_v{version}.sql").read_text(encoding="utf-8"))
    raw.commit()
    raw.close()
    return path


def layout(path: Path) -> dict[str, object]:
    """Columns, references and indexes of each table, whatever the order in which columns were added."""
    raw = sqlite3.connect(path)
    tables = [row[0] for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    found: dict[str, object] = {}
    for table in tables:
        columns = sorted(tuple(row)[1:] for row in raw.execute(f"PRAGMA table_info({table})"))
        references = sorted(tuple(row)[2:] for row in raw.execute(f"PRAGMA foreign_key_list({table})"))
        indexes = sorted(
            (name, unique, partial, [row[2] for row in raw.execute(f"PRAGMA index_info({name})")])
            for _, name, unique, _, partial in raw.execute(f"PRAGMA index_list({table})")
        )
        found[table] = (columns, references, indexes)
    raw.close()
    return found


def test_there_is_a_file_of_every_earlier_version() -> None:
    assert EARLIER and all((ROOT / f"tests/data/records_v{version}.sql").exists() for version in EARLIER)
    assert len(migrations.STEPS) == VERSION - 1


@pytest.mark.parametrize("version", EARLIER)
def test_an_earlier_file_becomes_as_a_new_one(tmp_path: Path, version: int) -> None:
    old = of_version(tmp_path / "old.sqlite", version)
    opened(tmp_path / "new.sqlite").close()
    opened(old).close()
    assert layout(old) == layout(tmp_path / "new.sqlite")
    raw = sqlite3.connect(old)
    assert raw.execute("PRAGMA user_version").fetchone() == (VERSION,)


@pytest.mark.parametrize("version", EARLIER)
@pytest.mark.parametrize("passphrase", [None, pytest.param("correct horse", marks=pytest.mark.slow)])
def test_nothing_is_lost_and_a_copy_is_left(tmp_path: Path, version: int, passphrase: str | None) -> None:
    old = of_version(tmp_path / "c.sqlite", version, passphrase)
    caseload = opened(old, passphrase)
    assert [remark.code for remark in caseload.remarks] == ["records.migrated"]
    (first, second), progress = sure(caseload.sessions("K07")), sure(caseload.progress("K07"))
    # the form chosen last on or before the day; the adult form where none was chosen
    assert [trial.form for trial in sure(caseload.trials(first.id))] == ["mʌ", "ʌp"]
    assert [trial.form for trial in sure(caseload.trials(second.id))] == ["mʌb"]
    assert [tally for _, tally, _ in progress.sessions] == [StoredTally(1, 1, 0), StoredTally(1, 0, 0)]
    (note,) = sure(caseload.notes("K07"))
    assert (note.subjective, note.objective, note.session_id) == ("worked at the sand table", "", first.id)
    assert progress.phases[0].word_sets == () and len(progress.probes) == 1 and len(progress.choices) == 2
    assert caseload.check() is None
    (copy,) = (path for path in tmp_path.iterdir() if ".copy-" in path.name)
    assert copy.name in caseload.remarks[0].message
    assert (b"sand table" in copy.read_bytes()) == (passphrase is None)
    caseload.close()
    assert opened(old, passphrase).remarks == ()
    again = opened(copy, passphrase)  # the copy is a whole caseload of its own
    assert len(sure(again.trials(first.id))) == 2


def test_a_step_that_fails_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = of_version(tmp_path / "c.sqlite", 1)

    def fails(connection: Any) -> None:
        connection.exec_driver_sql("DELETE FROM trials")
        connection.exec_driver_sql("UPDATE nothing SET a = 1")

    steps = migrations.STEPS
    monkeypatch.setattr(migrations, "STEPS", (steps[0], fails))
    assert code_of(open_caseload(old)) == "records.disk"
    monkeypatch.setattr(migrations, "STEPS", steps)
    caseload = opened(old)
    assert len(sure(caseload.trials(1))) == 2


def test_a_file_of_a_later_version_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "c.sqlite"
    opened(path).close()
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA user_version = {VERSION + 1}")
    raw.close()
    before = path.read_bytes()
    assert code_of(open_caseload(path)) == "records.newer"
    assert path.read_bytes() == before
