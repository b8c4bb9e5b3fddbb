"""What a sample puts into a child's file: words heard and changes seen, counted by hand here."""

from __future__ import annotations

import tomllib
from pathlib import Path

from places import SAMPLES

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
