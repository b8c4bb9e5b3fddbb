"""Pictures of words: every one is of a word of the bank, is in its font, and stands for one thing."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
from fontTools.ttLib import TTFont

from approx.datafiles import read_tsv, rules_path
from approx.lexicon.pictures import picture
from approx.reports.documents.fonts import FONTS, PRIVATE

LANGUAGES = ("en", "es")
ROWS = read_tsv(rules_path("pictures.tsv"))
TAKEN = [row for row in ROWS if row["codepoint"]]
PICTORIAL = (range(0x2190, 0x2C00), range(0x1F300, 0x1FB00), PRIVATE)
SKIN_TONES = range(0x1F3FB, 0x1F400)
LETTERS_OF_FLAGS = range(0x1F1E6, 0x1F200)
# Weapons, death, drink, smoking, what is rude or frightens.
UNFIT = {
    *(0x2694, 0x26B0, 0x26B1, 0x2620, 0x1F52A, 0x1F52B, 0x1F5E1, 0x1F4A3, 0x1F9E8, 0x1FA93, 0x1F3F9, 0x1FA83, 0x1FA96),
    *(0x1F480, 0x1FAA6, 0x1F479, 0x1F47A, 0x1F47F, 0x1F608, 0x1F9DF, 0x1F9DB, 0x1F631, 0x1F92E, 0x1F489),
    *(0x1F377, 0x1F378, 0x1F37A, 0x1F37B, 0x1F37E, 0x1F942, 0x1F6AC, 0x1F595, 0x1F346, 0x1F351, 0x1F4A9, 0x1F459),
}


def glyph_font(name: str) -> TTFont:
    return TTFont(FONTS / name)


def code(row: dict[str, str]) -> int:
    return int(row["codepoint"], 16)


def bank(language: str) -> dict[tuple[str, str], bool]:
    """Word and part of speech: whether the bank calls it picturable."""
    rows = read_tsv(rules_path(f"lexicon/{language}.tsv"))
    return {
        (row["word"], row["part_of_speech"]): row["picturable"] == "yes"
        for row in rows
        if row["part_of_speech"] in ("noun", "verb")
    }


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_is_in_the_bank_once_and_picturable(language: str) -> None:
    known = bank(language)
    words = [(row["word"], row["part_of_speech"]) for row in ROWS if row["language"] == language]
    assert len(words) == len(set(words)) > 300
    assert [word for word in words if not known.get(word)] == []


def test_every_picture_is_in_its_font_and_the_fonts_hold_no_other() -> None:
    named = {code(row) for row in TAKEN}
    plain, more = (set(glyph_font(name).getBestCmap()) for name in ("pictures.ttf", "pictures-more.ttf"))
    assert more == {each for each in named if each in PRIVATE}
    assert plain == {each for each in named if each not in PRIVATE}


@pytest.mark.parametrize("name", ["pictures.ttf", "pictures-more.ttf"])
def test_every_glyph_is_drawn(name: str) -> None:
    """A glyph without ink would print as a gap; one far outside of the line would run into its neighbours."""
    font = glyph_font(name)
    for each, glyph_name in font.getBestCmap().items():
        glyph = font["glyf"][glyph_name]
        width = font["hmtx"][glyph_name][0]
        assert glyph.numberOfContours != 0, hex(each)
        assert glyph.xMin >= -100 and glyph.xMax <= width + 100, hex(each)
        assert max(glyph.xMax - glyph.xMin, glyph.yMax - glyph.yMin) >= 0.3 * width, hex(each)


def test_single_plain_signs_only() -> None:
    for row in TAKEN:
        assert re.fullmatch(r"[0-9A-F]{4,5}", row["codepoint"]), row
        assert any(code(row) in block for block in PICTORIAL), row
        assert code(row) not in SKIN_TONES and code(row) not in LETTERS_OF_FLAGS, row


def test_nothing_rude_or_frightening() -> None:
    assert [row for row in TAKEN if code(row) in UNFIT] == []


def test_one_code_point_has_one_drawing() -> None:
    names = {(row["codepoint"], row["name"]) for row in TAKEN}
    assert len({point for point, _ in names}) == len({name for _, name in names}) == len(names)


def test_words_with_one_picture_name_each_other() -> None:
    """Synonyms may share a picture; each row then lists the others, so that none shares by mistake."""
    together: dict[tuple[str, str], set[str]] = defaultdict(set)
    for row in TAKEN:
        together[row["language"], row["codepoint"]].add(row["word"])
    assert any(len(words) > 1 for words in together.values())
    for row in TAKEN:
        others = together[row["language"], row["codepoint"]] - {row["word"]}
        listed = set(row["note"].removeprefix("shared with ").split(", ")) - {""}
        assert listed == others, row


def test_different_things_have_different_pictures() -> None:
    """Pairs that stand on one page often: a page with both would show the same thing twice."""
    for first, second in (
        ("mama", "papa"),
        ("boy", "girl"),
        ("man", "dad"),
        ("cat", "dog"),
        ("pea", "bean"),
        ("pot", "pan"),
        ("bee", "bug"),
        ("cup", "bowl"),
        ("house", "barn"),
        ("tub", "bath"),
        ("oven", "stove"),
        ("coffee", "tea"),
    ):
        shown = picture(first, "en"), picture(second, "en")
        assert None not in shown and shown[0] != shown[1], (first, second)


def test_what_has_no_picture_says_why() -> None:
    without = [row for row in ROWS if not row["codepoint"]]
    assert {row["drawable"] for row in without} == {"yes", "no"} and {row["drawable"] for row in TAKEN} == {"yes"}
    for row in without:
        start = "cannot be drawn: " if row["drawable"] == "no" else "dropped: "
        assert row["note"].startswith(start) and len(row["note"]) > len(start) + 5, row
        assert picture(row["word"], row["language"], row["part_of_speech"]) is None, row


@pytest.mark.parametrize("language", LANGUAGES)
def test_sixty_percent_of_what_can_be_drawn_has_a_picture(language: str) -> None:
    """Nouns and verbs that the bank calls picturable, without those that one picture cannot show."""
    never = {
        (row["word"], row["part_of_speech"]) for row in ROWS if row["language"] == language and row["drawable"] == "no"
    }
    wanted = {word for word, drawable in bank(language).items() if drawable} - never
    shown = [word for word in wanted if picture(word[0], language, word[1])]
    assert len(shown) >= 0.6 * len(wanted), (len(shown), len(wanted))
    header = rules_path("pictures.tsv").read_text(encoding="utf-8").replace("\n# ", " ")
    assert f"{language} {len(shown)} of {len(wanted)}" in header


def test_the_header_tells_the_coverage_that_is_reached() -> None:
    """Counted against the nouns and verbs that the bank itself calls picturable, row by row."""
    header = " ".join(
        line[2:] for line in rules_path("pictures.tsv").read_text(encoding="utf-8").splitlines() if line[0] == "#"
    )
    for language in LANGUAGES:
        for part in ("noun", "verb"):
            wanted = {word for (word, kind), drawable in bank(language).items() if kind == part and drawable}
            shown = {word for word in wanted if picture(word, language, part)}
            share = f"{language} {part}s {len(shown)} of {len(wanted)} ({round(100 * len(shown) / len(wanted))} %)"
            assert share in header


def test_the_licences_are_kept_beside_the_fonts() -> None:
    text = (FONTS / "PICTURES-LICENSE.txt").read_text(encoding="utf-8")
    for wanted in ("Copyright 2013 Google LLC", "SIL OPEN FONT LICENSE Version 1.1", "MIT License", "ISC License"):
        assert wanted in text
    assert "Apache License" in text
    for collection in {row["name"].split(" ")[0] for row in TAKEN if code(row) in PRIVATE}:
        assert f"  {collection} " in text, collection


def test_the_cut_fonts_have_names_of_their_own() -> None:
    for name, family in (("pictures.ttf", "Approx Pictures"), ("pictures-more.ttf", "Approx More Pictures")):
        names = {record.nameID: record.toUnicode() for record in glyph_font(name)["name"].names}
        assert names[1] == family and names[4] == f"{family} Regular"
        assert not [number for number in (1, 3, 4, 6, 16, 18, 25) if "noto" in names.get(number, "").lower()]


def test_look_up() -> None:
    assert picture("apple", "en") == "🍏"
    assert picture("Apple", "en-US") == picture("manzana", "es-MX") == "🍏"
    assert picture("papa", "es") == "🥔" and picture("papá", "es") != "🥔" != picture("papa", "en")
    assert picture("apple", "en", "verb") is None
    assert picture("apple", "es") is None and picture("because", "en") is None and picture("", "en") is None


def test_one_spelling_two_things() -> None:
    """The noun goes first when the part of speech is not told; a verb never borrows the picture of another thing."""
    assert picture("fly", "en") == picture("fly", "en", "noun") == "🪰"
    assert picture("fly", "en", "verb") is None
    water, watering = picture("water", "en", "noun"), picture("water", "en", "verb")
    assert water and watering and water != watering
    assert picture("run", "en") == picture("run", "en", "verb")
