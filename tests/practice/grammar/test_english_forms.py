"""English word forms: a list written by hand for the spelling, the CMU dictionary for the sounds of endings."""

from __future__ import annotations

from functools import cache

import pytest
from places import DATA

from approx.datafiles import read_tsv, rules_path
from approx.practice.grammar.en.forms import ending_sound, inflected, irregular_plurals, possessive


def test_verbs_and_plurals_written_by_hand() -> None:
    """61 verbs in three forms and 62 plurals; every form can be said."""
    rows = read_tsv(DATA / "inflections.tsv")
    kinds = [row["kind"] for row in rows]
    assert len(rows) - kinds.count("plural") == 183 and kinds.count("plural") == 62
    made = [(row, inflected(row["word"], row["kind"])) for row in rows]
    wrong = [
        f"{row['word']} {row['kind']}: {form}" for row, form in made if form.spelled != row["expected"] or not form.ipa
    ]
    assert not wrong, "\n".join(wrong)


@cache
def cmu() -> dict[str, list[list[str]]]:
    """The dictionary read anew, line by line: word -> its pronunciations."""
    out: dict[str, list[list[str]]] = {}
    for line in rules_path("lexicon/cmudict.dict").read_text(encoding="utf-8").splitlines():
        word, *sounds = line.split(" #", 1)[0].split()
        out.setdefault(word.split("(")[0], []).append(sounds)
    return out


SLIPS = frozenset({"burrito", "gerbil", "paintbrush"})
"""Plurals for which the dictionary has S after a voiced sound, against its own thousands of others: its slips."""

ENDINGS = {
    "z": [["Z"]],
    "s": [["S"]],
    "ɪz": [["IH0", "Z"], ["AH0", "Z"]],
    "d": [["D"]],
    "t": [["T"]],
    "ɪd": [["IH0", "D"], ["AH0", "D"]],
    "ɪŋ": [["IH0", "NG"]],
}


def agrees(word: str, spelled: str, ending: str) -> bool:
    """Whether the dictionary has the form as its own entry of the word with this ending."""
    tails = ENDINGS[ending]
    return any(stem + tail == form for stem in cmu()[word] for tail in tails for form in cmu()[spelled])


def is_a_stem(word: str, spelled: str) -> bool:
    """Whether the dictionary's form is its word and an ending at all (not a homograph read otherwise)."""
    return any(form[: len(stem)] == stem for stem in cmu()[word] for form in cmu()[spelled])


@pytest.mark.slow
@pytest.mark.parametrize(("part", "kind"), [("noun", "plural"), ("verb", "third"), ("verb", "past"), ("verb", "ing")])
def test_endings_sound_as_in_the_dictionary(part: str, kind: str) -> None:
    """Every regular form of a word of the bank that the CMU dictionary has too."""
    words = {row["word"] for row in read_tsv(rules_path("lexicon/en.tsv")) if row["part_of_speech"] == part}
    wrong, compared = [], 0
    for word in sorted(words):
        if word not in cmu() or not word.isalpha() or word in SLIPS:
            continue
        form = inflected(word, kind)
        if not form.ending or form.spelled not in cmu() or not is_a_stem(word, form.spelled):
            continue
        compared += 1
        if not agrees(word, form.spelled, form.ending):
            wrong.append(f"{word} -> {form.spelled} {form.ending}: {cmu()[form.spelled]}")
    assert compared > 150
    assert not wrong, f"{len(wrong)} of {compared}\n" + "\n".join(wrong)


@pytest.mark.parametrize(
    ("stem", "kind", "expected"),
    [
        ("kʌp", "plural", "s"),
        ("bʌɡ", "plural", "z"),
        ("bi", "plural", "z"),
        ("bʌs", "plural", "ɪz"),
        ("ˈsænwɪt͡ʃ", "plural", "ɪz"),
        ("keɪd͡ʒ", "plural", "ɪz"),
        ("bæθ", "third", "s"),
        ("hɑp", "past", "t"),
        ("wɑʃ", "past", "t"),
        ("hʌɡ", "past", "d"),
        ("moʊ", "past", "d"),
        ("pæt", "past", "ɪd"),
        ("nɑd", "past", "ɪd"),
        ("iɡ", "ing", "ɪŋ"),
    ],
)
def test_the_last_sound_of_the_stem_decides(stem: str, kind: str, expected: str) -> None:
    assert ending_sound(stem, kind) == expected


@pytest.mark.parametrize(
    ("word", "kind", "ipa"),
    [
        ("say", "third", "sɛz"),
        ("do", "third", "dʌz"),
        ("have", "third", "hæz"),
        ("read", "past", "ɹɛd"),
        ("say", "past", "sɛd"),
        ("house", "plural", "ˈhaʊzɪz"),
        ("tooth", "plural", "tiθ"),
        ("knife", "plural", "naɪvz"),
        ("fish", "plural", "fɪʃ"),
        ("go", "past", "wɛnt"),
    ],
)
def test_irregular_forms_sound_as_people_say_them(word: str, kind: str, ipa: str) -> None:
    form = inflected(word, kind)
    assert form.ipa == ipa and form.ending == ""


@pytest.mark.parametrize(
    ("name", "spelled", "ending"), [("Ben", "Ben's", "z"), ("Pat", "Pat's", "s"), ("Max", "Max's", "ɪz")]
)
def test_possessives(name: str, spelled: str, ending: str) -> None:
    form = possessive(name)
    assert form.spelled == spelled and form.ending == ending and form.ipa.endswith(ending)


def test_a_reading_of_ones_own_is_the_stem() -> None:
    """A family says the word their way: its forms follow."""
    assert inflected("water", "third", "ˈwawa").ipa == "ˈwawaz"


def test_irregular_plurals_are_not_regular() -> None:
    """The table holds what the rule would get wrong, or what the library offers second."""
    assert {"foot", "tooth", "mouse", "person", "fish"} <= set(irregular_plurals())
