"""An invented child with something in every table, for the tests of the records."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from drawn_pictures import drawing
from places import ROOT

from approx.records.caseload import Caseload, open_caseload
from approx.records.database.rows import ProbeEntry, Refused, StoredSession, StoredTarget, Trial, TrialEntry

T = TypeVar("T")
PROFILE = (ROOT / "samples/k07.toml").read_text(encoding="utf-8")


def sure(answer: T | Refused) -> T:
    """The answer, which must not be a refusal."""
    assert not isinstance(answer, Refused), answer
    return answer


def opened(path: Path, passphrase: str | None = None) -> Caseload:
    return sure(open_caseload(path, passphrase))


def code_of(answer: object) -> str:
    """The code of the first problem of an answer, which must be a refusal."""
    assert isinstance(answer, Refused), answer
    return answer.problems[0].code


def tap(caseload: Caseload, session: int, target: int, help: str, result: int, key: str = "") -> Trial:
    """One trial, as a tap enters it."""
    made = sure(caseload.record_trials(session, [TrialEntry(target, help, result)], key)).last
    assert made is not None
    return made


@cache
def _filled() -> bytes:
    """A closed file with one filled child, made once."""
    with TemporaryDirectory() as folder:
        caseload = opened(Path(folder) / "caseload.sqlite")
        fill(caseload)
        caseload.close()
        return caseload.path.read_bytes()


def filled(path: Path) -> Caseload:
    """A caseload with K07 in every table."""
    path.write_bytes(_filled())
    return opened(path)


def fill(caseload: Caseload, code: str = "K07") -> tuple[StoredSession, StoredTarget]:
    """Every table gets a row of this child; its first session and target."""
    sure(
        caseload.add_child(code, age="3;2", age_on="2026-03-01", languages=("en-US", "es-MX"), note="likes the garden")
    )
    sure(caseload.save_profile(code, PROFILE.replace('"K07"', f'"{code}"'), 0, "tapped"))
    data = (ROOT / "samples/k07.csv").read_bytes()
    sure(caseload.add_sample_file(code, data, "k07.csv", title="first visit"))
    target = sure(caseload.add_target(code, "mud", "mʌd", form="mʌ", word_set="set 1", help="together"))
    session = sure(caseload.start_session(code, "2026-03-02", minutes=30, place="garden"))
    entries = [
        TrialEntry(target.id, "touch", 0, 2),
        TrialEntry(target.id, "together", 1),
        TrialEntry(target.id, "none", 2),
    ]
    sure(caseload.record_trials(session.id, entries))
    sure(caseload.add_phase(code, "A", 1, kind="baseline"))
    sure(caseload.add_phase(code, "B1", 5, word_sets=("set 1",)))
    sure(caseload.add_probes(code, [ProbeEntry(1, "set 1", 1, 2, words=(("mud", True), ("pot", False)))]))
    sure(caseload.add_goal(code, "Says mud with its last consonant.", baseline="1 of 10", due="2026-06-30"))
    sure(caseload.add_note(code, "2026-03-02", session_id=session.id, subjective="came in muddy", plan="more mud"))
    sure(caseload.put_picture(code, "mud", drawing()))
    return session, target
