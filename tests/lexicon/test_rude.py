"""What a family would not want to hear or read, by sounds and by letters; who is warned, and what is never spelled out."""

from __future__ import annotations

import pytest

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.rude import off_family_page, rude_sounds, rude_spelling


def strengths(ipa: str, language: str = "en-US", adult: str = "") -> list[str]:
    return [note.strength for note in rude_sounds(ipa, language, adult)]


@pytest.mark.parametrize(
    ("ipa", "language", "strength"),
    [
        ("fʌk", "en-US", "never"), ("ˈfaɪɚˌfʌk", "en-US", "never"), ("kʌntɹi", "en-US", "never"), ("pipi", "en-US", "laughed_at"),
        ("pu", "en-US", "laughed_at"), ("pup", "en-US", "laughed_at"), ("ˈputa", "es-MX", "never"), ("ˈkaka", "es", "laughed_at"),
        ("ˈhoto", "es-MX", "never"),
    ],
)  # fmt: skip
def test_rude_forms(ipa: str, language: str, strength: str) -> None:
    assert strength in strengths(ipa, language)


@pytest.mark.parametrize("ipa", ["dʌk", "ʃit", "bɑl", "kʌp", "ˈpʌpi", "bus", "pun", ""])
def test_clean_forms(ipa: str) -> None:
    assert strengths(ipa) == []


def test_a_variety_warns_its_own_children_and_those_of_unknown_variety() -> None:
    """`pico` is rude in Chile, a beak elsewhere; `bollocks` words stay in their country too."""
    assert strengths("ˈpiko", "es-CL") and strengths("ˈpiko", "es") and strengths("ˈpiko", "es-419")
    assert not strengths("ˈpiko", "es-MX")
    assert strengths("ɑɹs", "en-GB") and strengths("ɑɹs", "en") and not strengths("ɑɹs", "en-US")
    assert strengths("fʌk", "deu-Latn") == []


def test_the_adult_form_of_the_word_aimed_at_needs_no_warning() -> None:
    assert not strengths("hoʊ", adult="hoʊ") and strengths("hoʊ", adult="ɹoʊ")
    assert strengths("ˈpipi", adult="pi")
    assert not strengths("mɔɹ pi", adult="mɔɹ pi") and strengths("mɔ pi", adult="mɔɹ piz")


def test_words_run_together_are_heard() -> None:
    assert strengths("æ soʊl") == [] and strengths("æs hoʊl") == ["never"] * len(strengths("æs hoʊl"))
    assert "never" in strengths("dʌ fʌ kɑ")
    assert "laughed_at" in strengths("pi pi")


def test_a_slur_is_never_spelled_out() -> None:
    for language in ("en", "es"):
        for row in read_tsv(rules_path(f"lexicon/rude_{language}.tsv")):
            if row["kind"] == "slur":
                notes = [note for note in rude_sounds(row["form"], language) if note.kind == "slur"]
                assert notes and all(row["spelling"] not in (note.heard_as, note.note) for note in notes)
                assert not any(note.note for note in notes)


def test_spellings_whole_and_by_piece() -> None:
    assert rude_spelling("fuhk") and rude_spelling("FUH-k") and rude_spelling("TIT-ee") and rude_spelling("poop")
    assert not rude_spelling("duck") and not rude_spelling("sheet") and not rude_spelling("poon")
    assert rude_spelling("PU-ta", "es-MX") and not rude_spelling("PU-ta", "deu-Latn")


def test_what_is_left_off_a_page_for_a_family() -> None:
    assert off_family_page("fʌk", "fuhk", "en-US", "tɹʌk", "truck")
    assert off_family_page("pɪhs", "piss", "en-US", "fɪʃ", "fish")
    assert off_family_page("pu", "poo", "en-US", "pul", "pool")
    assert not off_family_page("ˈpɑti", "potty", "en-US", "ˈpɑti", "potty")
    assert not off_family_page("pun", "poon", "en-US", "spun", "spoon")
