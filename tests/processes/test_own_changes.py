"""What a sample puts into a child's file: words heard and changes seen, counted by hand here."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pandas as pd
from places import DATA, SAMPLES

import approx
from approx.child import WordHeard, read_child
from approx.ipa import read
from approx.ipa.word import Word
from approx.practice.suggest.suggest import Suggester
from approx.processes.predict.own_changes import OwnForms, own_forms
from approx.processes.simplify.nearness import apart


def word(ipa: str) -> Word:
    return read(ipa).words[0]


def found(*rows: tuple[str, str, str, str]) -> OwnForms:
    return own_forms((gloss, word(adult), word(said), day) for gloss, adult, said, day in rows)


def test_changes_are_counted_in_single_sounds_only() -> None:
    own = found(
        ("tea", "ti", "ki", ""), ("toe", "toʊ", "koʊ", ""), ("two", "tu", "tu", ""),
        ("stop", "stɑp", "tɑp", ""), ("see", "si", "i", ""), ("sew", "soʊ", "oʊ", ""), ("sun", "sʌn", "hʌn", ""),
        ("banana", "bəˈnænə", "ˈnænə", ""),
    )  # fmt: skip
    # t: k in tea and toe, t in two; the t of stop has a neighbour. s: left off twice, h once, which is one word only
    assert own.changes == {("t", "initial"): ("k",), ("s", "initial"): ("∅",)}
    assert own.change_counts["t", "initial"] == "k 2, t 1 of 3"


def test_the_form_heard_most_often_then_the_latest() -> None:
    own = found(
        ("Soup", "sup", "tup", "2026-03-02"), ("soup", "sup", "tup", "2026-03-09"), ("soup", "sup", "sup", "2026-03-16"),
        ("pie", "paɪ", "baɪ", "2026-03-02"), ("pie", "paɪ", "paɪ", "2026-03-09"), ("key", "ki", "ti", "in March"),
    )  # fmt: skip
    assert own.heard == {
        "soup": WordHeard("tup", "2026-03-09"), "pie": WordHeard("paɪ", "2026-03-09"), "key": WordHeard("ti"),
    }  # fmt: skip
    assert own.heard_counts["soup"] == "2 of 3"


def test_a_sample_written_to_a_child_file_drives_what_is_suggested(tmp_path: Path) -> None:
    """No suggestion is farther from the adult word than what was heard for it."""
    for name in ("m12", "k07"):
        path = tmp_path / f"{name}.toml"
        assert not approx.inventory(SAMPLES / f"{name}.csv").to_child(path)
        profile, problems = read_child(path)
        assert profile is not None and not [problem for problem in problems if problem.fatal]
        assert profile.heard and tomllib.loads(path.read_text(encoding="utf-8"))["heard"]
        rows = [(label, "", number) for number, label in enumerate(profile.heard, 1) if " " not in label]
        for answer in Suggester(profile).list(rows).words:
            assert answer.adult is not None
            far = apart(answer.adult, word(profile.heard[answer.word].form))
            assert answer.approximations, answer.word
            assert all(apart(answer.adult, form.word) <= far for form in answer.approximations), answer.word
            assert any(form.heard for form in answer.approximations), answer.word


def test_m12_says_t_for_k() -> None:
    """His velars are fronted ten times of ten (scenario, section 6)."""
    own = approx.inventory(SAMPLES / "m12.csv").groups[0].own
    assert own.changes["k", "initial"] == ("t",)


NO_FIRST = """
cup kʌp ʌp, cat kæt æt, top tɑp ɑp, two tu u, sun sʌn ʌn, soup sup up, fish fɪʃ ɪʃ, foot fʊt ʊt, leaf lif if, look lʊk ʊk,
dog dɔɡ ɔɡ, duck dʌk ʌk, bus bʌs ʌs, bed bɛd ɛd, pot pɑt ɑt, pig pɪɡ ɪɡ, mom mɑm mɑm, milk mɪlk mɪk, mouse maʊs maʊs, map mæp mæp
"""


def test_a_habit_is_carried_to_a_sound_that_was_not_heard(tmp_path: Path) -> None:
    """A child who leaves off eight first consonants and keeps one was never heard to try t͡ʃ: chip is foretold and offered
    without it; the change is unusual, so it is named and another word stands beside it. Nasals, which it keeps, are kept."""
    rows = [row.split() for row in NO_FIRST.replace("\n", " ").split(",")]
    frame = pd.DataFrame(
        [{"child": "X01", "target_word": w, "target_ipa": adult, "produced_ipa": said} for w, adult, said in rows]
    )
    path = tmp_path / "child.toml"
    assert not approx.inventory(frame).to_child(path)
    profile, _ = read_child(path)
    assert profile is not None and not any(sound == "t͡ʃ" for sound, _ in profile.changes)
    (foretold,) = approx.predict(frame, ["chip"]).words
    assert foretold.prediction.forms[0].ipa == "ɪp" and foretold.prediction.forms[0].p > 0.7
    (answer,) = Suggester(profile).phrase("chip").words
    first = answer.approximations[0]
    assert first.ipa == "ɪp" and first.atypical == ("initial consonant deletion",) and answer.instead
    (nose,) = Suggester(profile).phrase("nut").words
    assert nose.approximations[0].ipa == "mʌt"


def test_a_habit_of_some_sounds_is_not_carried_to_others() -> None:
    """Two first sounds of many left off are no habit: juice keeps a stop (judged, see tests/data/judged4)."""
    profile, _ = read_child(DATA / "judged4" / "profiles" / "Q06.toml")
    assert profile is not None
    (answer,) = Suggester(profile).phrase("juice").words
    assert answer.approximations[0].ipa == "dus"
