"""The public face of the records: open a caseload, ask it, change it.

    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     caseload = open_caseload(Path(folder) / "caseload.sqlite")
    ...     child = caseload.add_child("K07", age="3;2")
    ...     again = caseload.add_child("K07")
    ...     caseload.close()
    >>> child.code, isinstance(again, Refused)
    ('K07', True)

Every call that changes something returns the new row, or `Refused` with all that is wrong (`Conflict`, with the row as
it stands now, where the version handed back is stale); `isinstance(answer, Refused)` is the one check a page needs.
Nothing raises for what a user or the disk can cause. A `Caseload` may be used from several threads at once.

The methods stand by topic: `child_records` (children, profiles), `sample_records`, `target_records` (targets, chosen
forms), `session_records` (sessions, trials), `progress_records` (probes, phases), `note_records` (goals, notes),
`picture_records` (pictures of words), `trash` (undo, delete for good), `export`, `import_`, `locked` (passphrase).
"""

from __future__ import annotations

from pathlib import Path

from approx.records.database.locked import Lock
from approx.records.database.opening import caseload_path
from approx.records.database.refusals import answered
from approx.records.database.rows import Refused
from approx.records.exchange.export import Export
from approx.records.exchange.import_ import Import
from approx.records.tables.child_records import ChildRecords
from approx.records.tables.note_records import NoteRecords
from approx.records.tables.picture_records import PictureRecords
from approx.records.tables.progress_records import ProgressRecords
from approx.records.tables.sample_records import SampleRecords
from approx.records.tables.session_records import SessionRecords
from approx.records.tables.target_records import TargetRecords
from approx.records.tables.trash import Trash


class Caseload(
    ChildRecords,
    SampleRecords,
    TargetRecords,
    SessionRecords,
    ProgressRecords,
    NoteRecords,
    PictureRecords,
    Trash,
    Export,
    Import,
    Lock,
):
    """An open caseload."""


def open_caseload(path: Path | None = None, passphrase: str | None = None) -> Caseload | Refused:
    """The caseload in a file, which is made if there is none; with a passphrase a new file is locked from the start.

    `path` None: APPROX_DESK if it is set, else the platform's place. Codes of a refusal to look for: `records.locked`
    (it needs a passphrase), `records.wrong_passphrase`, `records.not_locked`, `records.not_caseload`, `records.newer`.
    """
    return _opened(path, passphrase)


@answered
def _opened(path: Path | None, passphrase: str | None) -> Caseload:
    caseload = Caseload(caseload_path(path), passphrase)
    caseload.purge()
    return caseload
