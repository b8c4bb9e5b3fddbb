"""Sessions and tries, against the invented log of one session and the invented probes of nineteen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from filled_caseload import code_of, fill, opened, sure, tap

from approx.records.caseload import Caseload
from approx.records.database.rows import Conflict, ProbeEntry, StoredTally, TrialEntry

# Section 8 of the invented scenario: help by its digit, score, for each try. By hand: 50 tries, 33 / 14 / 3; without
# help 6, 5 of them reached.
LOG = (
    ("mud", "mʌd", "mʌ", "4433322221", "1222122122"),
    ("more", "mɔɹ", "mo", "2211000000", "2222212222"),
    ("Bo", "boʊ", "boʊ", "3332222111", "1122221222"),
    ("honey", "ˈhʌni", "ˈhʌni", "4443333222", "0112212221"),
    ("up", "ʌp", "ʌp", "4444333332", "0011221222"),
)
HELP = {"4": "touch", "3": "together", "2": "after-me", "1": "model-wait", "0": "none"}
PROBES = {  # section 7: set 1, set 2, untreated, by session
    "set 1": "1 2 1 2 2 4 4 6 6 7 8 8 8 9 8 9 9 8 8",
    "set 2": "0 1 0 1 1 0 1 1 1 2 1 2 3 5 5 6 8 8 7",
    "untreated": "1 1 1 1 1 1 2 2 2 3 3 3 3 4 4 4 5 5 5",
}


@pytest.fixture
def caseload(tmp_path: Path) -> Caseload:
    made = opened(tmp_path / "caseload.sqlite")
    sure(made.add_child("K07"))
    return made


def test_the_log_of_one_session(caseload: Caseload) -> None:
    session = sure(caseload.start_session("K07", "2026-03-02"))
    for word, adult, form, helps, scores in LOG:
        target = sure(caseload.add_target("K07", word, adult, form=form))
        for digit, score in zip(helps, scores, strict=True):
            trial = tap(caseload, session.id, target.id, HELP[digit], int(score))
            assert (trial.word, trial.form, trial.help, trial.result) == (word, form, HELP[digit], int(score))
    totals = sure(caseload.totals(session.id))
    assert totals.all == StoredTally(33, 14, 3) and totals.all.trials == 50
    assert totals.without_help == StoredTally(5, 1, 0)
    assert [level for level, _ in totals.by_help] == list(HELP.values())
    assert sum((tally for _, tally in totals.by_help), StoredTally()) == totals.all
    assert [part.word for part in totals.by_target] == ["mud", "more", "Bo", "honey", "up"]
    assert [part.all for part in totals.by_target] == [
        StoredTally(7, 3, 0), StoredTally(9, 1, 0), StoredTally(7, 3, 0), StoredTally(5, 4, 1), StoredTally(5, 3, 2),
    ]  # fmt: skip
    assert totals.last is not None and (totals.last.word, totals.last.number) == ("up", 50)
    assert sure(caseload.session(session.id)).trials == 50


def test_a_paper_grid_gives_the_same_counts(caseload: Caseload) -> None:
    session = sure(caseload.start_session("K07"))
    entries = []
    for word, adult, form, helps, scores in LOG:
        target = sure(caseload.add_target("K07", word, adult, form=form))
        entries += [TrialEntry(target.id, HELP[digit], int(score)) for digit, score in zip(helps, scores, strict=True)]
    totals = sure(caseload.record_trials(session.id, entries, key="grid"))
    assert totals.all == StoredTally(33, 14, 3)
    assert sure(caseload.record_trials(session.id, entries, key="grid")) == totals


def test_the_probes_of_nineteen_sessions_fall_into_their_phases(caseload: Caseload) -> None:
    for name, first, kind, sets in (("A", 1, "baseline", ()), ("B1", 5, "treatment", ("set 1",)),
                                    ("B2", 13, "treatment", ("set 1", "set 2")), ("M", 19, "maintenance", ())):  # fmt: skip
        sure(caseload.add_phase("K07", name, first, kind=kind, word_sets=sets))
    for word_set, counts in PROBES.items():
        for session, right in enumerate(counts.split(), 1):
            sure(
                caseload.add_probes(
                    "K07", [ProbeEntry(session, word_set, int(right), 10, treated=word_set != "untreated")]
                )
            )
    probes = sure(caseload.probes("K07"))
    assert len(probes) == 57
    by_phase = {
        name: [probe.right for probe in probes if (probe.phase, probe.word_set) == (name, "set 1")]
        for name in ("A", "B1", "B2", "M")
    }
    assert by_phase == {"A": [1, 2, 1, 2], "B1": [2, 4, 4, 6, 6, 7, 8, 8], "B2": [8, 9, 8, 9, 9, 8], "M": [8]}
    pairs = [(a, b) for a in by_phase["A"] for b in by_phase["B1"]]
    assert (sum(b > a for a, b in pairs) + sum(a == b for a, b in pairs) / 2, len(pairs)) == (31, 32)
    assert {probe.word_set for probe in probes if not probe.treated} == {"untreated"}
    assert sure(caseload.progress("K07")).probes == probes
    assert code_of(caseload.add_probes("K07", [ProbeEntry(3, "set 1", 5, 10)])) == "records.twice"
    assert code_of(caseload.add_phase("K07", "C", 13)) == "records.twice"


def test_a_probe_is_checked(caseload: Caseload) -> None:
    assert code_of(caseload.add_probes("K07", [ProbeEntry(1, "set 1", 11, 10)])) == "records.value"
    assert code_of(caseload.add_probes("K07", [ProbeEntry(0, "set 1", 1, 10)])) == "records.value"
    assert (
        code_of(caseload.add_probes("K07", [ProbeEntry(1, "set 1", 2, 2, words=(("mud", True), ("pot", False)))]))
        == "records.value"
    )
    sure(caseload.add_probes("K07", [ProbeEntry(1, "set 1", 1, 2, words=(("mud", True), ("pot", False)))]))
    (probe,) = sure(caseload.probes("K07"))
    assert probe.words == (("mud", True), ("pot", False)) and probe.phase == ""


def test_the_last_try_is_taken_back_and_brought_back(caseload: Caseload) -> None:
    session, target = sure(caseload.start_session("K07")), sure(caseload.add_target("K07", "mud", "mʌd"))
    first = tap(caseload, session.id, target.id, "none", 2)
    second = tap(caseload, session.id, target.id, "touch", 0)
    gone = sure(caseload.undo_trial(session.id))
    assert caseload.trials(session.id) == (first,) and gone.away.label == "mud"
    assert gone.totals == caseload.totals(session.id)
    sure(caseload.restore(gone.away.token))
    assert caseload.trials(session.id) == (first, second)
    sure(caseload.undo_trial(session.id, first.id))
    assert caseload.trials(session.id) == (second,)
    third = tap(caseload, session.id, target.id, "none", 1)
    assert third.number == 3
    for _ in range(2):
        sure(caseload.undo_trial(session.id))
    assert code_of(caseload.undo_trial(session.id)) == "records.gone"


def test_a_tap_sent_twice_is_one_try(caseload: Caseload) -> None:
    session, target = sure(caseload.start_session("K07")), sure(caseload.add_target("K07", "mud", "mʌd"))
    first = tap(caseload, session.id, target.id, "none", 2, key="tap 1")
    assert tap(caseload, session.id, target.id, "none", 2, key="tap 1") == first
    other = tap(caseload, session.id, target.id, "none", 2, key="tap 2")
    assert caseload.trials(session.id) == (first, other)


def test_the_form_of_the_day_stays_with_the_try(caseload: Caseload) -> None:
    session, target = sure(caseload.start_session("K07")), sure(caseload.add_target("K07", "mud", "mʌd", form="mʌ"))
    tap(caseload, session.id, target.id, "none", 2)
    sure(caseload.choose_form("K07", "mud", "mʌb"))
    tap(caseload, session.id, target.id, "none", 1)
    totals = sure(caseload.totals(session.id))
    assert [(part.form, part.all) for part in totals.by_target] == [
        ("mʌ", StoredTally(1, 0, 0)),
        ("mʌb", StoredTally(0, 1, 0)),
    ]


def test_rubbish_is_no_try(caseload: Caseload) -> None:
    session, target = sure(caseload.start_session("K07")), sure(caseload.add_target("K07", "mud", "mʌd"))
    sure(caseload.add_child("M12"))
    other = sure(caseload.add_target("M12", "cup", "kʌp"))
    assert code_of(caseload.record_trials(session.id, [TrialEntry(target.id, "shouting", 2)])) == "records.value"
    assert code_of(caseload.record_trials(session.id, [TrialEntry(target.id, "none", 3)])) == "records.value"
    assert code_of(caseload.record_trials(session.id, [TrialEntry(other.id, "none", 2)])) == "records.other_child"
    assert code_of(caseload.record_trials(session.id, [TrialEntry(99, "none", 2)])) == "records.gone"
    assert code_of(caseload.record_trials(99, [TrialEntry(target.id, "none", 2)])) == "records.gone"
    assert code_of(caseload.record_trials(2**70, [TrialEntry(target.id, "none", 2)])) == "records.value"
    bad = [TrialEntry(target.id, "none", 2), TrialEntry(target.id, "none", 7)]
    assert code_of(caseload.record_trials(session.id, bad)) == "records.value"
    assert code_of(caseload.record_trials(session.id, [TrialEntry(target.id, "none", 2, 10**9)])) == "records.value"
    assert code_of(caseload.record_trials(session.id, [TrialEntry(target.id, "none", 2, -1)])) == "records.value"
    assert caseload.trials(session.id) == ()


def test_sessions_number_themselves(caseload: Caseload) -> None:
    assert [sure(caseload.start_session("K07")).number for _ in range(2)] == [1, 2]
    assert sure(caseload.start_session("K07", number=9)).number == 9
    assert sure(caseload.start_session("K07")).number == 10
    assert code_of(caseload.start_session("K07", number=9)) == "records.twice"
    assert code_of(caseload.start_session("K07", "02/03/2026")) == "records.value"
    seen = sure(caseload.sessions("K07"))[0]
    sure(caseload.save_session(replace(seen, minutes=45)))
    assert isinstance(caseload.save_session(replace(seen, minutes=30)), Conflict)
    assert code_of(caseload.save_session(replace(sure(caseload.session(seen.id)), number=9))) == "records.twice"


def test_progress_holds_each_session_with_its_tries(caseload: Caseload) -> None:
    sure(caseload.delete_child_for_good("K07"))
    session, _ = fill(caseload)
    (entry,) = sure(caseload.progress("K07")).sessions
    assert entry == (sure(caseload.session(session.id)), StoredTally(1, 1, 2), StoredTally(1, 0, 0))


def test_a_session_that_was_put_away_is_gone_for_every_question(caseload: Caseload) -> None:
    """Named by its number where it is put away; refused for its trials and for a second delete; not among the latest."""
    sure(caseload.delete_child_for_good("K07"))
    session, _ = fill(caseload)
    other = sure(caseload.start_session("K07"))
    assert [each.session.id for each in sure(caseload.latest_sessions(9))] == [other.id, session.id]
    assert [each.session.id for each in sure(caseload.latest_sessions(1))] == [other.id]
    assert sure(caseload.delete_session(session.id)).label == f"session {session.number}"
    assert code_of(caseload.trials(session.id)) == "records.gone"
    assert code_of(caseload.delete_session(session.id)) == "records.gone"
    assert [each.session.id for each in sure(caseload.latest_sessions(9))] == [other.id]
    assert caseload.trials(other.id) == ()
