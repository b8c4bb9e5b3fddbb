"""Children, profiles, chosen forms, targets, goals and notes: in, out, changed, and refused in plain words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from filled_caseload import PROFILE, code_of, fill, opened, sure

from approx.records.caseload import Caseload, open_caseload
from approx.records.database.opening import FILE_NAME, caseload_path
from approx.records.database.rows import Conflict, Refused
from approx.records.tables.checks import cue_levels, trial_results


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    return opened(tmp_path / "caseload.sqlite")


def test_a_child_comes_back_as_it_was_entered(caseload: Caseload) -> None:
    sure(
        caseload.add_child(
            " K07 ", birth_month="2023-01", languages=("es-MX", "en-US"), accents=("casual", "glottal-t")
        )
    )
    child = sure(caseload.child("k07"))
    assert (child.code, child.birth_month, child.languages) == ("K07", "2023-01", ("es-MX", "en-US"))
    assert child.accents == ("casual", "glottal-t") and child.remarks == () and child.version == 1
    assert [line.child for line in sure(caseload.children())] == [child]


def test_everything_survives_closing(tmp_path: Path) -> None:
    first = opened(tmp_path / "c.sqlite")
    fill(first)
    before = (first.children(), first.progress("K07"), first.profile("K07"), first.samples("K07"), first.notes("K07"))
    first.close()
    assert sorted(found.name for found in tmp_path.iterdir()) == ["c.sqlite"]
    again = opened(tmp_path / "c.sqlite")
    assert again.remarks == ()
    after = (again.children(), again.progress("K07"), again.profile("K07"), again.samples("K07"), again.notes("K07"))
    assert after == before


def test_a_code_that_looks_like_a_name_is_remarked(caseload: Caseload) -> None:
    plain = ("K07", "Room 3-12", "KIT", "K.07", "AB", "Ab 12")
    named = ("Anna Smith", "Anna", "AnnaSmith", "anna.smith", "Ángel Ruiz", "O Brien", "Smith_Anna")
    children = [sure(caseload.add_child(code)) for code in plain + named]
    assert [child.code for child in children if child.remarks] == list(named)
    assert all(not problem.fatal and problem.code == "records.name" for child in children for problem in child.remarks)


def test_a_code_that_could_do_harm_is_refused(caseload: Caseload) -> None:
    bad = ("", "  ", "../K07", "a/b", "a\\b", ".hidden", "K07.", "C:", "K\x0007", "K\x0707", "x" * 41, "con", "Nul.txt",
           "a..b", "<b>", "K07;--", "\ud800", "\u202eK07")  # fmt: skip
    assert {code: code_of(caseload.add_child(code)) for code in bad} == dict.fromkeys(bad, "records.value")
    assert caseload.children() == ()


def test_quotes_of_sql_are_only_letters(caseload: Caseload) -> None:
    sure(caseload.add_child("K07", note="'; DROP TABLE children; --"))
    assert sure(caseload.child("K07")).note == "'; DROP TABLE children; --"
    assert code_of(caseload.child("' OR 1=1 --")) == "records.no_child"


def test_all_that_is_wrong_is_said_at_once(caseload: Caseload) -> None:
    answer = caseload.add_child("K07", age="3.2", birth_month="2023-13", languages=("english!",))
    assert isinstance(answer, Refused) and [problem.symbol for problem in answer.problems] == [
        "age", "birth_month", "languages",
    ]  # fmt: skip
    assert all(problem.hint for problem in answer.problems)


def test_the_same_code_twice_is_refused_whatever_its_capitals(caseload: Caseload) -> None:
    sure(caseload.add_child("K07"))
    assert code_of(caseload.add_child("k07")) == "records.twice"


def test_a_stale_save_brings_back_what_stands_there(caseload: Caseload) -> None:
    seen = sure(caseload.add_child("K07"))
    mine = sure(caseload.save_child(replace(seen, note="mine")))
    answer = caseload.save_child(replace(seen, note="theirs"))
    assert isinstance(answer, Conflict) and answer.current == mine
    assert sure(caseload.child("K07")).note == "mine"
    assert sure(caseload.save_child(replace(mine, note="both"))).version == 3


def test_a_new_code_goes_into_profile_and_sample(caseload: Caseload) -> None:
    fill(caseload)
    sure(caseload.save_child(replace(sure(caseload.child("K07")), code="Q19")))
    profile = sure(caseload.profile("Q19"))
    assert profile is not None and 'code     = "Q19"' in profile.text and profile.remarks == ()
    sample = sure(caseload.sample(sure(caseload.samples("Q19"))[0].id))
    assert {row.cells[0] for row in sample.rows} == {"Q19"}
    assert code_of(caseload.child("K07")) == "records.no_child"


def test_profiles_have_a_history_and_no_stale_one_is_taken(caseload: Caseload) -> None:
    sure(caseload.add_child("K07"))
    assert caseload.profile("K07") is None
    first = sure(caseload.save_profile("K07", PROFILE, 0, "tapped"))
    second = sure(caseload.save_profile("K07", PROFILE + "\n# later\n", first.version))
    answer = caseload.save_profile("K07", PROFILE + "\n# other tab\n", first.version)
    assert isinstance(answer, Conflict) and answer.current == caseload.profile("K07") == second
    assert [found.version for found in sure(caseload.profile_history("K07"))] == [2, 1]
    assert sure(caseload.profile_history("K07"))[1].text == PROFILE


def test_a_profile_that_cannot_be_read_is_refused(caseload: Caseload) -> None:
    sure(caseload.add_child("K07"))
    bad = {
        "code = ": "child.syntax", "": "child.empty", 'code = "K07"\nage = "three"': "child.age",
        'code = "M12"': "records.other_child", "a" * 200_000: "child.syntax", "a = " + "[" * 5000: "child.syntax",
        '[consonants]\nall.established = "m"\nall.absent = "m"': "child.contradiction",
    }  # fmt: skip
    assert {text: code_of(caseload.save_profile("K07", text, 0)) for text in bad} == bad
    assert caseload.profile("K07") is None


def test_choices_are_kept_with_day_and_reason(caseload: Caseload) -> None:
    sure(caseload.add_child("K07"))
    old = sure(caseload.choose_form("K07", "mud", "mʌ", "no final consonants", date="2026-03-01", rung=1, of=3))
    new = sure(caseload.choose_form("K07", "mud", "mʌb", "closes now", date="2026-04-01", rung=2, of=3, seen=old.id))
    assert sure(caseload.choices("K07")) == (new,)
    assert sure(caseload.choice_history("K07", "mud")) == (old, new)
    answer = caseload.choose_form("K07", "mud", "mʌd", "from the other tab", seen=old.id)
    assert isinstance(answer, Conflict) and answer.current == new
    assert code_of(caseload.choose_form("K07", "mud", "m§d")).startswith("ipa")
    assert code_of(caseload.choose_form("K07", "mud", "mʌd", rung=4, of=3)) == "records.value"


def test_a_target_aims_at_the_form_chosen_last(caseload: Caseload) -> None:
    sure(caseload.add_child("K07"))
    target = sure(caseload.add_target("K07", "mud", "mʌd"))
    assert target.form == "mʌd" and target.rung is None
    sure(caseload.choose_form("K07", "mud", "mʌ", rung=1, of=3))
    (target,) = sure(caseload.targets("K07"))
    assert (target.form, target.rung, target.of) == ("mʌ", 1, 3)
    resting = sure(caseload.save_target(replace(target, state="resting")))
    assert caseload.targets("K07", "active") == () and caseload.targets("K07", "resting") == (resting,)
    assert isinstance(caseload.save_target(replace(target, state="met")), Conflict)
    assert code_of(caseload.save_target(replace(resting, state="cured"))) == "records.value"
    assert code_of(caseload.add_target("K07", "mud", "mʌd")) == "records.twice"


def test_goals_and_notes_change_by_version(caseload: Caseload) -> None:
    session, _ = fill(caseload)
    (goal,), (note,) = sure(caseload.goals("K07")), sure(caseload.notes("K07"))
    assert sure(caseload.save_goal(replace(goal, state="met"))).state == "met"
    assert isinstance(caseload.save_goal(replace(goal, text="other")), Conflict)
    changed = sure(caseload.save_note(replace(note, assessment="closes one word in ten")))
    assert (changed.session_id, changed.assessment, changed.subjective) == (
        session.id,
        "closes one word in ten",
        "came in muddy",
    )
    assert isinstance(caseload.save_note(replace(note, plan="other")), Conflict)
    sure(caseload.add_child("M12"))
    assert code_of(caseload.add_note("M12", session_id=session.id)) == "records.other_child"


def test_what_is_not_there_is_said_so(caseload: Caseload) -> None:
    asked = (caseload.child("K07"), caseload.profile("K07"), caseload.samples("K07"), caseload.targets("K07"),
             caseload.progress("K07"), caseload.delete_child("K07"), caseload.export_child("K07"))  # fmt: skip
    assert {code_of(answer) for answer in asked} == {"records.no_child"}
    gone = (
        caseload.sample(7),
        caseload.session(7),
        caseload.totals(7),
        caseload.undo_trial(7),
        caseload.delete_goal(7),
    )
    assert {code_of(answer) for answer in gone} == {"records.gone"}
    assert code_of(caseload.restore("")) == code_of(caseload.restore("made up")) == "records.gone"


def test_the_place_is_asked_for_or_set_or_the_platforms(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("APPROX_DESK", raising=False)
    assert caseload_path().parts[-2:] == ("approx", FILE_NAME)
    monkeypatch.setenv("APPROX_DESK", str(tmp_path))
    assert caseload_path() == tmp_path / FILE_NAME
    monkeypatch.setenv("APPROX_DESK", str(tmp_path / "mine.db"))
    assert caseload_path() == tmp_path / "mine.db"
    assert caseload_path(tmp_path / "asked.db") == tmp_path / "asked.db"
    assert sure(open_caseload()).path == tmp_path / "mine.db"


def test_only_the_owner_may_read_a_new_file(tmp_path: Path) -> None:
    caseload = opened(tmp_path / "new folder" / "c.sqlite")
    sure(caseload.add_child("K07"))
    assert {found.stat().st_mode & 0o077 for found in caseload.path.parent.iterdir()} == {0}


@pytest.mark.parametrize(
    "content", [b"hello", b"PK\x03\x04" + bytes(500), b"\x00" * 100, b"SQLite format 3\x00 and no more"]
)
def test_another_file_is_named_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "other"
    path.write_bytes(content)
    assert code_of(open_caseload(path)) in ("records.not_caseload", "records.damaged")
    assert path.read_bytes() == content


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    import sqlite3

    path = tmp_path / "other.sqlite"
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE songs (name)")
    raw.commit()
    raw.close()
    assert code_of(open_caseload(path)) == "records.not_caseload"


def test_a_place_that_cannot_be_written_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    assert code_of(open_caseload(tmp_path / "file" / "c.sqlite")) == "records.disk"


def test_help_goes_from_most_to_none_and_the_digits_say_so() -> None:
    numbers = [level.number for level in cue_levels()]
    assert numbers == sorted(numbers, reverse=True) and numbers[-1] == 0 and cue_levels()[-1].id == "none"
    assert len({level.id for level in cue_levels()}) == len(numbers) and all(level.source for level in cue_levels())
    assert [result.score for result in trial_results()] == [2, 1, 0]
    assert cue_levels()[-1].label("es-MX") == "sin ayuda" and cue_levels()[-1].label("fr") == "no cues"
