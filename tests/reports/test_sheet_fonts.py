"""The fonts inside the pages: every phonetic symbol of `rules/ipa/` has a glyph, marks have their places, the licence is kept."""

from __future__ import annotations

import re
from base64 import b64decode

import pytest
from fontTools.ttLib import TTFont

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.reports.documents.fonts import CUTS, FONTS, ipa_characters, text_characters
from approx.reports.report_words import PAGE_LANGUAGES
from approx.reports.sheets.as_html import font_faces


def glyphs(name: str) -> set[str]:
    return {chr(code) for code in TTFont(FONTS / name).getBestCmap()}


PHONETIC, PLAIN, BOLD = (glyphs(name) for name in ("ipa-regular.ttf", "text-regular.ttf", "text-bold.ttf"))


def test_every_symbol_and_mark_of_the_rules_has_a_glyph() -> None:
    wanted = {
        char
        for table, column in (("features", "symbol"), ("marks", "mark"), ("lookalikes", "read"), ("xsampa", "ipa"))
        for row in read_tsv(rules_path(f"ipa/{table}.tsv"))
        for char in row[column]
    }
    assert len(wanted) > 150 and not wanted - PHONETIC
    assert wanted <= ipa_characters()


def test_the_troublesome_ones_are_there() -> None:
    """Symbols that print as boxes with a poor font: voiceless r, tie bar, r-coloured vowels, stress, length, glottal stop."""
    assert set("ɹ̥t͡ʃd͡ʒɚɝˈˌːʔɡŋɾθð") <= PHONETIC


def test_every_form_of_the_lexicon_can_be_printed() -> None:
    for language in PAGE_LANGUAGES:
        assert not {char for row in read_tsv(rules_path(f"lexicon/{language}.tsv")) for char in row["ipa"]} - PHONETIC


@pytest.mark.parametrize("language", PAGE_LANGUAGES)
def test_every_letter_of_the_sentences_can_be_printed(language: str) -> None:
    def letters(value: object) -> set[str]:
        if isinstance(value, dict):
            return {char for each in value.values() for char in letters(each)}
        return {char for each in value for char in letters(each)} if isinstance(value, list) else set(str(value))

    found = letters(read_toml(rules_path(f"pages/{language}.toml")))
    found |= {char for row in read_tsv(rules_path(f"lexicon/{language}.tsv")) for char in row["word"]}
    assert not found - PLAIN and not found - BOLD


def test_plain_spelling_can_be_printed() -> None:
    for name in ("respelling", "respelling_es"):
        data = read_toml(rules_path(f"lexicon/{name}.toml"))
        found = {char for row in (*data["spellings"], *data["marks"]) for char in row["spelling"]} | {data["separator"]}
        assert not found - BOLD


def test_marks_are_placed_by_the_font() -> None:
    """Without the table of places a tie bar or a ring below stands beside its letter."""
    features = {
        record.FeatureTag for record in TTFont(FONTS / "ipa-regular.ttf")["GPOS"].table.FeatureList.FeatureRecord
    }
    assert {"mark", "mkmk"} <= features


def test_names_the_licence_reserves_are_not_used_and_the_licence_is_there() -> None:
    for _, name, family, style in CUTS:
        names = {record.nameID: str(record) for record in TTFont(FONTS / name)["name"].names}
        assert names[1] == family and names[2] == style
        assert not re.search(r"andika|charis|sil\b", f"{names[1]} {names[4]} {names[6]}", re.IGNORECASE)
        assert "SIL International" in names[0] and "OFL" in names[14]
    notice = (FONTS / "LICENSE.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in notice and "Andika" in notice and "Charis" in notice


def test_a_page_carries_the_fonts_as_they_are() -> None:
    inside = [b64decode(found) for found in re.findall(r"base64,([A-Za-z0-9+/=]+)", font_faces())]
    assert sorted(inside) == sorted((FONTS / name).read_bytes() for _, name, _, _ in CUTS)
    assert sum(map(len, inside)) < 250_000


def test_what_is_cut_is_what_is_stored() -> None:
    assert not text_characters() - PLAIN and not text_characters() - BOLD and not ipa_characters() - PHONETIC
