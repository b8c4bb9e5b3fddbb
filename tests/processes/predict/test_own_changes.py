"""What a sample puts into a child's file: words heard and changes seen, counted by hand here."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pandas as pd
import pytest
from places import DATA, SAMPLES

import approx
from approx.child import WordHeard, read_child_file, read_table
from approx.ipa import read
from approx.ipa.word import Word
from approx.practice.suggest.suggest import Suggester
from approx.processes.predict.own_changes import OwnForms, own_forms
from approx.processes.simplify.nearness import apart


def word(ipa: str) -> Word:
    return read(ipa).words[0]


def found(*rows: tuple[str, str, str, str]) -> OwnForms:
    return own_forms((gloss, word(adult), word(said), day, None) for gloss, adult, said, day in rows)


def test_changes_of_sounds_are_counted_where_they_stand_alone() -> None:
    own = found(
        ("tea", "ti", "ki", ""), ("toe", "toʊ", "koʊ", ""), ("two", "tu", "tu", ""),
        ("stop", "stɑp", "tɑp", ""), ("see", "si", "i", ""), ("sew", "soʊ", "oʊ", ""), ("sun", "sʌn", "hʌn", ""),
        ("banana", "bəˈnænə", "ˈnænə", ""),
    )  # fmt: skip
    # t: k in tea and toe, t in two; the t of stop has a neighbour. s: left off twice, h once
    assert own.changes == {
        ("t", "initial"): ("k", "t"), ("s", "initial"): ("∅", "h"), ("st", "initial"): ("t",), ("weak", "initial"): ("∅",),
    }  # fmt: skip
    assert own.times == {
        ("t", "initial"): (2, 1), ("s", "initial"): (2, 1), ("st", "initial"): (1,), ("weak", "initial"): (1,),
    }  # fmt: skip


def test_changes_of_clusters_and_syllables_are_counted() -> None:
    """Counted by hand: the number is one of different words, however often each was said."""
    own = found(
        ("spoon", "spun", "pun", ""), ("spoon", "spun", "pun", ""), ("spider", "ˈspaɪdɚ", "ˈfaɪdɚ", ""),
        ("blue", "blu", "bəˈlu", ""), ("hand", "hænd", "hæ", ""), ("sand", "sænd", "sæn", ""),
        ("apple", "ˈæpəl", "ˈæpo", ""), ("bear", "bɛɹ", "ˈbɛə", ""), ("dog", "dɔɡ", "dɔɡ", ""),
        ("potato", "pəˈteɪtoʊ", "ˈteɪtoʊ", ""), ("today", "təˈdeɪ", "təˈdeɪ", ""), ("elephant", "ˈɛləfənt", "ˈɛfənt", ""),
        ("water", "ˈwɔtɚ", "ˈwɔwɔ", ""),
    )  # fmt: skip
    counted = {key: dict(zip(own.changes[key], own.times[key])) for key in own.changes}
    assert counted == {
        ("ɹ", "final"): {"ə": 1},
        ("sp", "initial"): {"f": 1, "p": 1}, ("bl", "initial"): {"bəl": 1}, ("nd", "final"): {"n": 1, "∅": 1},
        ("əl", "final"): {"o": 1},
        ("weak", "initial"): {"kept": 1, "∅": 1}, ("weak", "medial"): {"∅": 1},
        ("weak", "final"): {"kept": 4, "again": 1},
    }  # fmt: skip


SOUNDS = """\
code = "X01"
[consonants]
all.established = "m b p t d n h w k ɡ f s l"
[vowels]
established = "i ɪ ɛ æ ɑ ʌ ə u oʊ eɪ aɪ ɔ ʊ"
[syllables]
established = ["V", "CV", "VC", "CVC"]
max_syllables = 3
[changes]
"""


def first(changes: str, asked: str) -> str:
    """The first form of a word for a child with these sounds, no cluster, and these changes."""
    profile, problems = read_table(tomllib.loads(SOUNDS + changes), SOUNDS + changes)
    assert not problems
    (answer,) = Suggester(profile).phrase(asked).words
    return answer.approximations[0].ipa


@pytest.mark.parametrize(
    ("changes", "asked", "form"),
    [
        ('"sp initial" = "s"', "spoon", "sun"),  # the member that stays
        ('"sp initial" = "s"\n"st initial" = "s"', "sky", "saɪ"),  # carried to a cluster that was not heard
        ('"sm initial" = "f"', "smoke", "foʊk"),  # two said as one
        ('"kɹ initial" = "t"', "crayon", "ˈteɪˌɑn"),  # no rule leads there
        ('"bl initial" = "bəl"', "blue", "bəˈlu"),
        ('"bl initial" = "bəl"\n"pl initial" = "pəl"', "glass", "ɡəˈlæs"),
        ('"nd final" = "∅"', "hand", "hæ"),
        ('"nd final" = "∅ 1, n 1"', "hand", "hæn"),  # once is no rule
        ('"ɹ final" = "ə"', "bear", "ˈbɛə"),
        ('"weak initial" = "∅"', "banana", "ˈnænə"),
        ('"weak initial" = "∅ 2, kept 3"', "banana", "bəˈnænə"),
        ('"weak final" = "again"', "bottle", "ˈbɑbɑ"),
        ('"weak final" = "again"', "banana", "bəˈnænə"),
        ('"eɪ" = "ɛ"\n"aɪ" = "ɑ"', "cow", "kɑ"),  # vowels: short for a diphthong
        ("", "spoon", "pun"),
    ],
)
def test_a_habit_of_clusters_and_syllables_is_followed(changes: str, asked: str, form: str) -> None:
    """Each child in words: what it says for one cluster, vowel or syllable, and so what is nearest for a word."""
    assert first(changes, asked) == form


def test_a_first_cluster_left_off_is_named_and_another_word_stands_beside_it() -> None:
    text = SOUNDS + '"sp initial" = "∅"'
    (answer,) = Suggester(read_table(tomllib.loads(text), text)[0]).phrase("spoon").words
    assert answer.approximations[0].ipa == "un"
    assert answer.approximations[0].atypical == ("initial consonant deletion",) and answer.instead


def test_a_ladder_puts_a_weak_syllable_back_and_says_so() -> None:
    text = SOUNDS + '"weak initial" = "∅"'
    (answer,) = Suggester(read_table(tomllib.loads(text), text)[0]).phrase("banana").words
    assert [(rung.ipa, rung.adds) for rung in answer.ladder] == [
        ("ˈnænə", None), ("bəˈnænə", "a weak syllable (initial)"),
    ]  # fmt: skip


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
        profile, problems = read_child_file(path)
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
    assert own.changes["k", "initial"][0] == "t" and own.times["k", "initial"][0] >= 2


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
    profile, _ = read_child_file(path)
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
    profile, _ = read_child_file(DATA / "judged4" / "profiles" / "Q06.toml")
    assert profile is not None
    (answer,) = Suggester(profile).phrase("juice").words
    assert answer.approximations[0].ipa == "dus"
