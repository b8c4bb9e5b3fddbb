"""Printed pages as HTML: as stored, escaped, self-contained, grey, tagged with languages; nothing of the child for the family."""

from __future__ import annotations

import re
from functools import cache
from html.parser import HTMLParser

import pytest
from golden_sheets import BEE, FOLDER, MUD, PHRASE, SPANISH, WORDS, pages, printing, stored, word

from approx.datafiles import read_toml, rules_path
from approx.practice.listening.frames import is_frame
from approx.practice.listening.listening import listening
from approx.reports.report_words import PAGE_LANGUAGES, page_language, wording
from approx.reports.sheets.as_html import TEMPLATE_FOLDER as TEMPLATES
from approx.reports.sheets.as_html import page_html
from approx.reports.sheets.card_pages import cards_page, listen_page, match_page
from approx.reports.sheets.family_page import family_page
from approx.reports.sheets.page_types import FamilyPage, Printing, SessionPage
from approx.reports.sheets.printed_rows import is_plain, size_of
from approx.reports.sheets.session_page import session_page

PAGES = pages()


@cache
def printed(name: str) -> str:
    return page_html(PAGES[name])


class Reader(HTMLParser):
    """Tags as they open and close, and the text in elements of the class `ipa` with their language."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.ipa: list[tuple[str, str]] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self._phonetic = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.seen.append((tag, found))
        self._phonetic = str(found.get("lang")) if found.get("class") == "ipa" else ""
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        if self._phonetic and data.strip():
            self.ipa.append((self._phonetic, data))


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_as_it_was_read_and_kept(name: str) -> None:
    """`python tests/support/golden_sheets.py` writes them anew, to be read before they are kept."""
    assert stored(PAGES[name]) == (FOLDER / f"{name}.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_tags_are_closed_and_tables_have_heads(name: str) -> None:
    reader = read(printed(name))
    assert not reader.open and not reader.wrong
    assert all("scope" in found for tag, found in reader.seen if tag == "th")
    assert sum(tag == "h1" for tag, _ in reader.seen) >= (name != "cards")


@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_loaded_from_elsewhere(name: str) -> None:
    without_fonts = re.sub(r"url\(data:font/ttf;base64,[A-Za-z0-9+/=]+\)", "", printed(name))
    assert "data:font/ttf" in printed(name)
    assert not re.search(
        r"https?:|//|url\(|src=|href=|@import|<script", without_fonts.replace("src: }", "").replace("src:  }", "")
    )


def test_style_has_no_colour_and_no_grey_that_a_poor_printer_would_lose() -> None:
    style = (TEMPLATES / "print.css").read_text(encoding="utf-8")
    colours = set(re.findall(r"#[0-9a-fA-F]{3,8}\b|rgba?\([^)]*\)|hsl\([^)]*\)", style))
    assert colours == {"#000", "#fff"}


@pytest.mark.parametrize("name", PAGES)
def test_languages_are_marked(name: str) -> None:
    reader = read(printed(name))
    html = next(found for tag, found in reader.seen if tag == "html")
    assert html["lang"] == PAGES[name].printing.language
    assert all(tag in ("en-US-fonipa", "es-MX-fonipa") for tag, _ in reader.ipa)
    expected = name.split("_", maxsplit=1)[0] in ("session", "group", "plan", "contrast", "hear")
    assert bool(reader.ipa) == expected


def test_words_in_another_language_than_the_page_are_marked() -> None:
    html = page_html(family_page((MUD,), printing("es"))[0])
    assert '<html lang="es">' in html and 'lang="en-US">mud</b>' in html


def test_what_was_typed_is_escaped() -> None:
    html = stored(session_page((PHRASE,), Printing("en", code="<script>", date='"&')))
    assert "more mud &lt;b&gt;" in html and "&lt;script&gt;" in html and "&#34;&amp;" in html
    assert "<script>" not in html and "<b>\n" not in html


@pytest.mark.parametrize(("count", "sheets"), [(1, [1]), (8, [8]), (9, [5, 4]), (17, [6, 6, 5])])
def test_eight_targets_a_page(count: int, sheets: list[int]) -> None:
    page = session_page([MUD] * count, printing())
    assert [len(sheet) for sheet in page.sheets] == sheets
    reader = read(page_html(page))
    assert sum(tag == "i" for tag, _ in reader.seen) == 10 * count + 5  # five places for probes, once
    assert [row.number for sheet in page.sheets for row in sheet] == list(range(1, count + 1))


def test_every_target_has_what_the_clinician_needs() -> None:
    html = stored(PAGES["session"])
    text = " ".join(re.sub(r"<[^>]+>", "", html).split())
    for needed in (
        "mʌd",
        "muh",
        "rung 1 of 2",
        "said as adults say it",
        "nothing yet",
        "check the reading",
        "act out: hop",
        "2026-03-02",
        "2026-03-05",
    ):
        assert needed in text, needed
    assert html.count('class="totals"') == 2 * 9 and html.count('class="probe"') == 2


FAMILY = {name: page for name, page in PAGES.items() if isinstance(page, FamilyPage)}


@pytest.mark.parametrize("name", FAMILY)
def test_the_family_page_has_no_code_and_no_phonetic_letter(name: str) -> None:
    text = re.sub(r"<[^>]+>", " ", stored(FAMILY[name]))
    assert "X01" not in printed(name) and FAMILY[name].printing.code == ""
    strange = {char for char in text if char.isalpha() and not is_plain(char)}
    assert not strange and "/" not in text and "[" not in text


def test_a_form_without_plain_spelling_is_not_shown_to_the_family() -> None:
    odd = word("shoe", "ʃu", "shoe", "ʎu", "/ʎ/oo", rungs=2)
    page, problems = family_page((odd,), printing())
    assert page.words[0].says == "" and page.words[0].instead == wording("en")["family"]["ask"]
    assert [problem.code for problem in problems] == ["family.spelling"]


def test_a_word_that_is_not_sayable_yet_is_for_listening() -> None:
    page, _ = family_page(WORDS, printing())
    assert page.words[5].instead == wording("en")["family"]["listen"]
    assert page.words[7].instead == wording("en")["family"]["full"]


def test_the_sentence_about_capitals_stands_only_where_there_are_some() -> None:
    assert family_page((BEE, MUD), printing())[0].capitals == ""
    assert "BIG" in family_page(WORDS, printing())[0].capitals


def test_too_many_words_for_a_week_are_told() -> None:
    page, problems = family_page([MUD] * 7, printing())
    assert [problem.code for problem in problems] == ["family.many"] and [len(sheet) for sheet in page.sheets] == [4, 3]
    assert not family_page([MUD] * 6, printing())[1]


def test_the_family_reads_nothing_smaller_than_14_points() -> None:
    style = (TEMPLATES / "print.css").read_text(encoding="utf-8")
    sizes = [
        float(size)
        for rule in re.findall(r"\.family[^{]*\{[^}]*\}", style)
        for size in re.findall(r"font-size: ([\d.]+)pt", rule)
    ]
    assert min(sizes) >= 14 and 14.0 in sizes
    assert 'class="small"' not in (TEMPLATES / "family.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "frame"),
    [
        ("more ___", True),
        ("___ up", True),
        ("more ...", True),
        ("I want … now", True),
        ("more mud", False),
        ("a_b", False),
    ],
)
def test_what_a_frame_is(text: str, frame: bool) -> None:
    assert is_frame(text) is frame


def test_a_frame_with_two_places_is_refused() -> None:
    page, problems = cards_page((MUD,), ("___ and ___", "no ___"), "en-US", printing())
    assert [(frame.before, frame.after) for frames in page.frames for frame in frames] == [("no", "")]
    assert [problem.code for problem in problems] == ["cards.frame"] and problems[0].symbol == "___ and ___"


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("mud", "big"),
        ("hippopotamus", "small"),
        ("refrigerator", "small"),
        ("a very long phrase of words", "small"),
        ("supercalifragilistic", "tiny"),
        ("spaghetti", "mid"),
        ("", "big"),
    ],
)
def test_sizes_go_by_length(text: str, size: str) -> None:
    assert size_of(text) == size


def test_strips_of_a_page_have_letters_of_one_size() -> None:
    found, _ = listening(["hat", "cup", "refrigerator"], "en-US", 1)
    page = match_page(found, printing())
    assert {strip.size for strips in (*page.pictures, *page.words) for strip in strips} == {"small"}


def test_both_languages_have_the_same_sentences_with_the_same_places() -> None:
    one, other = (read_toml(rules_path(f"pages/{language}.toml")) for language in PAGE_LANGUAGES)
    assert {section: list(keys) for section, keys in one.items()} == {
        section: list(keys) for section, keys in other.items()
    }
    for section, keys in one.items():
        for key, value in keys.items():
            assert type(other[section][key]) is type(value)
            places = [sorted(re.findall(r"\{\w+\}", str(text))) for text in (value, other[section][key])]
            assert places[0] == places[1], (section, key)


def test_every_category_of_the_bank_has_a_name_on_the_page() -> None:
    from approx.datafiles import read_tsv

    for language in PAGE_LANGUAGES:
        used = {row["category"] for row in read_tsv(rules_path(f"lexicon/{language}.tsv"))}
        assert used <= set(wording(language)["categories"])


@pytest.mark.parametrize(
    ("tag", "language"), [("en-US", "en"), ("es-MX", "es"), ("spa", "es"), ("de-DE", None), ("", None)]
)
def test_language_of_a_page(tag: str, language: str | None) -> None:
    assert page_language(tag) == language


def test_no_page_speaks_of_a_diagnosis() -> None:
    for language in PAGE_LANGUAGES:
        text = (rules_path(f"pages/{language}.toml")).read_text(encoding="utf-8").lower()
        assert not re.search(r"diagnos|disorder|apraxia|trastorno|dispraxia|eligib", text)


def test_the_spanish_session_page_is_spanish_throughout() -> None:
    page = PAGES["session_es"]
    assert isinstance(page, SessionPage) and len(page.sheets[0]) == len(SPANISH)
    text = re.sub(r"<[^>]+>", " ", stored(page))
    assert not re.search(r"\b(the|of|next|rung|word|help)\b", text)


def test_what_the_child_points_to_has_pictures() -> None:
    """A child who does not read cannot point to words: where three rows can have pictures, words without one are left aside."""
    found, _ = listening(["hat", "cup", "Nana", "spoon", "more"], "en-US", 3)
    page = listen_page(found, printing())
    drawn = dict(page.signs)
    assert len(page.matches) == 4 and all(word in drawn for model, words in page.matches for word in (model, *words))
    few, _ = listening(["more", "again", "up", "hat"], "en-US", 3)
    plain = listen_page(few, printing())
    assert {model for model, _ in plain.matches} == {"more", "again", "up", "hat"}


def test_strips_are_written_as_the_cards_laid_on_them() -> None:
    found, _ = listening(["mama", "Nana", "hat"], "en-US", 1)
    assert {strip.model for strip in found.strips} == {"mama", "Nana", "hat"}


def test_nothing_unsafe_is_to_be_handled() -> None:
    """By hand: what no child should be told to fetch or hide, and what cannot be handed over."""
    for language, words in (
        ("en-US", ["knife", "medicine", "scissors", "toilet", "soup"]),
        ("es-MX", ["cuchillo", "medicina", "inodoro"]),
    ):
        found, _ = listening([*words, "hat" if language == "en-US" else "gorro"], language, 2)
        assert found.directions and not {word for each in found.directions for word in each.words} & set(words)


def test_a_day_is_written_as_the_region_does() -> None:
    from places import SAMPLES

    from approx.api.practice.sheets import sheet

    for language, shown in (("en", "March 5, 2026"), ("es", "5 de marzo de 2026")):
        html = sheet(
            "family", str(SAMPLES / "k07.toml"), words="mud, hat", language=language, next_date="2026-03-05"
        ).html()
        assert shown in html and "2026-03-05" not in html
    assert "Thursday" in sheet("family", str(SAMPLES / "k07.toml"), words="mud", next_date="Thursday").html()


def test_a_letter_says_you_to_its_reader() -> None:
    """The sentences of a family page would call the child the teacher's own."""
    assert "your child" not in stored(PAGES["letter"]).casefold()
