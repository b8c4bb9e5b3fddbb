"""Words built from known ones, endings, compounds, and the letters as the last resort."""

from __future__ import annotations

import pytest
from places import DATA

from approx.datafiles import read_tsv, rules_path
from approx.lexicon import pronunciations
from approx.lexicon.english.endings import attach, stems
from approx.lexicon.english.letters import read_letters
from approx.lexicon.pronunciation import parse_ipa

FORMS = read_tsv(DATA / "english_forms.tsv")


@pytest.mark.parametrize("row", FORMS, ids=[row["word"] for row in FORMS])
def test_built_words_say_what_they_are_built_from(row: dict[str, str]) -> None:
    first = pronunciations(row["word"])[0]
    assert first.ipa in row["ipa"].split("|")
    assert first.source == row["source"]
    assert row["built"] in first.note
    assert not first.sure


@pytest.mark.parametrize(
    ("stem", "spelling", "ending", "whole"),
    [
        ("kæt", "cat", "s", "kæts"),
        ("dɔɡ", "dog", "s", "dɔɡz"),
        ("bʌs", "bus", "es", "ˈbʌsɪz"),
        ("d͡ʒʌmp", "jump", "ed", "d͡ʒʌmpt"),
        ("hʌɡ", "hug", "ed", "hʌɡd"),
        ("weɪt", "wait", "ed", "ˈweɪtɪd"),
        ("lɔŋ", "long", "er", "ˈlɔŋɡɚ"),
        ("stɹɔŋ", "strong", "est", "ˈstɹɔŋɡəst"),
        ("sɪŋ", "sing", "er", "ˈsɪŋɚ"),
        ("ˈwɪɡəl", "wiggle", "y", "ˈwɪɡli"),
        ("ˈtɪkəl", "tickle", "ing", "ˈtɪkəlɪŋ"),
    ],
)
def test_endings_follow_the_last_sound(stem: str, spelling: str, ending: str, whole: str) -> None:
    rows = [row for _, row in stems(spelling.removesuffix("e") + ending) if row.spelling == ending]
    assert attach(parse_ipa(stem), spelling, rows[0])[0].ipa() == whole


def test_a_stem_in_schwa_and_l_offers_both_forms() -> None:
    assert [reading.ipa for reading in pronunciations("snuggling")] == ["ˈsnʌɡəlɪŋ", "ˈsnʌɡlɪŋ"]


def test_hoping_comes_from_hope_and_hopping_from_hop() -> None:
    assert ("hope", "ing") in {(stem, ending.spelling) for stem, ending in stems("hoping")}
    assert pronunciations("zigging")[0].note.startswith("built from zig ")
    assert pronunciations("smiley")[0].ipa == "ˈsmaɪli"


@pytest.mark.parametrize("word", ["Hoppity", "Zottie", "Cartonny"])
def test_doubled_letters_and_scraps_make_no_compound(word: str) -> None:
    assert pronunciations(word)[0].source != "compound"


@pytest.mark.parametrize(
    ("word", "ipa"),
    [
        ("Zibby", "ˈzɪbi"),
        ("Tobo", "ˈtoʊboʊ"),
        ("Kiko", "ˈkikoʊ"),
        ("Wuggles", "ˈwʌɡəlz"),
        ("Snorple", "ˈsnɔɹpəl"),
        ("Gromby", "ˈɡɹɑmbi"),
        ("Sploosh", "spluʃ"),
        ("Glimp", "ɡlɪmp"),
        ("Frindle", "ˈfɹɪndəl"),
        ("Chubbers", "ˈt͡ʃʌbɚz"),
        ("Yubbo", "ˈjʌboʊ"),
        ("Pimba", "ˈpɪmbə"),
        ("Thwipsy", "ˈθwɪpsi"),
        ("smooshed", "smuʃt"),
        ("Spagglepuff", "ˈspæɡəlˌpʌf"),
        ("Kneeblo", "ˈniblo"),
        ("blaym", "bleɪm"),
        ("zzt", "zt"),
    ],
)
def test_letters_read_names_and_nonsense(word: str, ipa: str) -> None:
    sounds = read_letters(word)
    assert sounds is not None
    assert sounds.ipa().replace("oʊ", "o") == ipa.replace("oʊ", "o")


def test_a_guess_says_that_it_is_one() -> None:
    first = pronunciations("Glimp")[0]
    assert (first.source, first.sure) == ("spelling rules", False)
    assert "guess" in first.note


def test_each_letter_rule_has_an_example_with_its_letters() -> None:
    rows = read_tsv(rules_path("lexicon/letters.tsv"))
    assert len(rows) > 150
    bad = [r for r in rows if r["letters"] not in r["example"].lower() and not r["example"].startswith("silent")]
    assert bad == []


def test_each_ending_has_an_example() -> None:
    rows = read_tsv(rules_path("lexicon/endings.tsv"))
    assert [row["ending"] for row in rows if not row["example"].endswith(row["ending"])] == []
    assert {undo for row in rows for undo in row["undo"].split(",")} == {"keep", "undouble", "e", "y"}


def test_parts_of_a_word_with_hyphens_are_joined() -> None:
    assert pronunciations("dog-cat-cow")[0].ipa == "ˈdɔɡˌkætˌkaʊ"
    assert pronunciations("cup-of-tea")[0].ipa == "ˈkʌpəvˌti"
    assert pronunciations("snorp-dog")[0].source == "spelling rules"
