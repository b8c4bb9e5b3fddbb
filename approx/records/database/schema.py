"""The tables of a caseload, as they are at schema version `VERSION`.

Every column says what it holds: the comments here are the data dictionary that goes into an export. Texts are never
NULL (unknown is ""), numbers may be. `trashed` is "" for a row in use, else the token that brings it back. `version`
counts the savings of a row. A table's columns that only serve the program are named in `INNER_COLUMNS`.

Changing a table takes three steps: change it here, raise `VERSION`, add a step to `approx.records.database.migrations`. A test
compares a new file with one brought up from every earlier version.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, MetaData, Table, Text, text

if TYPE_CHECKING:
    from sqlalchemy import Row, Select

    # the columns of a row are those its query names, which these types cannot tell
    FoundRow = Row[*tuple[Any, ...]]
    Query = Select[*tuple[Any, ...]]

VERSION = 4
APPLICATION_ID = 0x41505258
""""APRX", in the header of the file, tells a caseload from any other SQLite file."""

INNER_COLUMNS = frozenset({"id", "version", "trashed", "key"})

METADATA = MetaData()


def _text(name: str, comment: str, default: str = "") -> Column[str]:
    return Column(name, Text, nullable=False, server_default=text(f"'{default}'"), comment=comment)


def _number(name: str, comment: str, *checks: str, null: bool = False) -> Column[int]:
    limits = [CheckConstraint(check) for check in checks]
    return Column(name, Integer, *limits, nullable=null, comment=comment)


def _of(table: str, comment: str) -> Column[int]:
    """A reference to a row that owns this one; it goes when the owner is deleted for good."""
    return Column(f"{table}_id", Integer, ForeignKey(f"{_PLURAL[table]}.id", ondelete="CASCADE"), nullable=False,
                  comment=comment)  # fmt: skip


_PLURAL = {"child": "children", "sample": "samples", "session": "sessions", "target": "targets"}
_CHILD = "code of the child"


def _table(name: str, *columns: Column[str] | Column[int], trash: bool = True) -> Table:
    inner: list[Column[str] | Column[int]] = [Column("id", Integer, primary_key=True, comment="number of the row")]
    if trash:
        inner.append(
            Column("version", Integer, nullable=False, server_default=text("1"), comment="how often it was saved")
        )
        inner.append(_text("trashed", "token to bring a deleted row back"))
    return Table(name, METADATA, *inner, *columns, sqlite_autoincrement=True)


children = _table(
    "children",
    Column("code", Text(collation="NOCASE"), CheckConstraint("code <> ''"), nullable=False, comment=_CHILD),
    _text("age", "age in years;months on the day age_on"),
    _text("age_on", "day on which the age was noted"),
    _text("birth_month", "year and month of birth, such as 2023-05"),
    _text("languages", "language tags with blanks between, the main one first"),
    _text("accents", "accents that count as right, with '; ' between"),
    _text("note", "free text"),
    _text("made", "day on which the child was entered"),
)
profiles = _table(
    "profiles",
    _of("child", _CHILD),
    _number("number", "1 for the first profile of the child, 2 for the next", "number > 0"),
    _text("text", "child file (TOML)"),
    _text("date", "day on which it was saved"),
    _text("source", "where it came from, in words"),
)
samples = _table(
    "samples",
    _of("child", _CHILD),
    _text("date", "day of the sample"),
    _text("title", "name given to the sample"),
    _text("file", "name of the file it came from"),
    _text("context", "how it was gathered: word, imitated, talk"),
    _text("transcriber", "who transcribed, as initials or a role"),
    _text("note", "free text"),
    _text("header", "heading of the typed table, a JSON list"),
)
sample_rows = _table(
    "sample_rows",
    _of("sample", "number of the sample"),
    _number("row", "row in the typed table, the heading is row 1", "row > 1"),
    _text("cells", "cells as typed, a JSON list in the order of the heading"),
    _text("read_target", "adult form as read, IPA"),
    _text("read_produced", "what the child said as read, IPA, attempts with ' / ' between"),
    _text("kind", "how the row was taken: scored, omitted, no gloss, no response, unintelligible, refused, blank"),
    trash=False,
)
choices = _table(
    "choices",
    _of("child", _CHILD),
    _text("word", "the word"),
    _text("ipa", "form chosen for it, IPA"),
    _text("reason", "why, in words"),
    _text("date", "day of the choice"),
    _number("rung", "rung of the ladder, 1 is the lowest", "rung > 0", null=True),
    _number("rungs", "how many rungs the ladder has", "rungs >= rung", null=True),
    _text("chosen_by", "clinician or tool", "clinician"),
)
targets = _table(
    "targets",
    _of("child", _CHILD),
    _text("word", "the word in work"),
    _text("adult", "its adult form, IPA"),
    _text("word_set", "probe set it belongs to"),
    _text("state", "active, resting, met, or control (probed, never treated)", "active"),
    _text("help", "help level to start with"),
    _text("since", "day on which work on it began"),
    _text("carrier", "phrase it is practised in, ___ for the word"),
)
sessions = _table(
    "sessions",
    _of("child", _CHILD),
    _text("date", "day of the session"),
    _number("number", "number of the session, counted for this child", "number > 0"),
    _number("minutes", "length in minutes", "minutes >= 0", null=True),
    _text("place", "where"),
    _text("note", "free text"),
)
trials = _table(
    "trials",
    _of("session", "number of the session's row"),
    Column("target_id", Integer, ForeignKey("targets.id"), nullable=False, comment="number of the target's row"),
    _number("number", "order within the session", "number > 0"),
    _text("form", "form aimed at that day, IPA"),
    _text("help", "help level: touch, together, after-me, model-wait, none"),
    _number("result", "2 form reached, 1 one part off, 0 not reached", "result BETWEEN 0 AND 2"),
    _text("at", "moment of the entry, UTC"),
    _text("key", "mark of the tap, so that a repeated request is one try"),
)
probes = _table(
    "probes",
    _of("child", _CHILD),
    _number("session", "number of the session", "session > 0"),
    _text("word_set", "name of the set of words"),
    _number("treated", "1 if the set is treated at some time, 0 if never", "treated IN (0, 1)"),
    _number("right", "words said right without help", '"right" >= 0'),
    _number("out_of", "words asked", 'out_of > 0 AND out_of >= "right"'),
    _text("date", "day of the probe"),
    _text("words", "each word and whether it was right, a JSON list", "[]"),
    _text("note", "free text"),
)
phases = _table(
    "phases",
    _of("child", _CHILD),
    _text("name", "short name, such as A or B1"),
    _number("first_session", "session with which it begins", "first_session > 0"),
    _text("kind", "baseline, treatment or maintenance", "treatment"),
    _text("word_sets", "sets of words in treatment, a JSON list", "[]"),
    _text("note", "free text"),
)
goals = _table(
    "goals",
    _of("child", _CHILD),
    _text("text", "the goal as a sentence"),
    _text("baseline", "level at the start"),
    _text("condition", "given what"),
    _text("criterion", "how well"),
    _text("measure", "how it is measured"),
    _text("due", "by when"),
    _text("made", "day on which it was written"),
    _text("state", "open, met or closed", "open"),
)
notes = _table(
    "notes",
    _of("child", _CHILD),
    Column(
        "session_id", Integer, ForeignKey("sessions.id", ondelete="SET NULL"), comment="number of the session's row"
    ),
    _text("date", "day of the note"),
    _text("subjective", "what was told and seen"),
    _text("objective", "what was counted"),
    _text("assessment", "what it means, written by the clinician"),
    _text("plan", "what comes next"),
)

pictures = _table(
    "pictures",
    _of("child", _CHILD),
    Column("word", Text(collation="NOCASE"), nullable=False, comment="the word it shows"),
    Column("image", Text, nullable=False, comment="photo or drawing, a small JPEG in base64"),
    _text("made", "day on which it was put in"),
)

_IN_USE = text("trashed = ''")


def _once(name: str, *columns: Column[str] | Column[int]) -> None:
    """Rows in use differ in these columns; a deleted row stands in nobody's way."""
    Index(name, *columns, unique=True, sqlite_where=_IN_USE)


_once("one_code", children.c.code)
_once("one_profile_number", profiles.c.child_id, profiles.c.number)
_once("one_target", targets.c.child_id, targets.c.word, targets.c.adult)
_once("one_session_number", sessions.c.child_id, sessions.c.number)
_once("one_probe", probes.c.child_id, probes.c.session, probes.c.word_set)
_once("one_phase_start", phases.c.child_id, phases.c.first_session)
_once("one_picture", pictures.c.child_id, pictures.c.word)
Index("one_key", trials.c.session_id, trials.c.key, trials.c.number, unique=True, sqlite_where=text("key <> ''"))
for _large in (trials, probes, sessions):
    # what was deleted lately is looked for among all children: few rows of many
    Index(f"deleted_{_large.name}", _large.c.trashed, sqlite_where=text("trashed > ''"))
Index("samples_of_child", samples.c.child_id)
Index("rows_of_sample", sample_rows.c.sample_id, sample_rows.c.row, unique=True)
Index("choices_of_child", choices.c.child_id, choices.c.word)
Index("days_of_sessions", sessions.c.child_id, sessions.c.trashed, sessions.c.date)
Index("days_of_probes", probes.c.child_id, probes.c.trashed, probes.c.date)
Index("trials_of_session", trials.c.session_id, trials.c.trashed, trials.c.help, trials.c.result)
Index("trials_of_target", trials.c.target_id)
Index("goals_of_child", goals.c.child_id)
Index("notes_of_child", notes.c.child_id)
