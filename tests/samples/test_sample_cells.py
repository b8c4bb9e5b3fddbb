"""Dates, ages, headings and other cells that need a decision."""

from __future__ import annotations

import pytest

from approx.samples.cells.dates import mangled, read_age, read_date
from approx.samples.cells.forms import CellReader
from approx.samples.columns.headers import lay_out
from approx.samples.token import COLUMNS
from approx.samples.vocabulary import sheet_rules


@pytest.mark.parametrize(
    ("typed", "day_first", "iso"),
    [
        ("2026-03-02", None, "2026-03-02"),
        ("2026/3/2", None, "2026-03-02"),
        ("2026-03-02 00:00:00", None, "2026-03-02"),
        ("2026-03-02T09:30", None, "2026-03-02T09:30"),
        ("20260302", None, "2026-03-02"),
        ("46083", None, "2026-03-02"),  # 46,083 days after 1899-12-30
        ("25569", None, "1970-01-01"),  # a number often seen: the first day of Unix time
        ("2.3.2026", None, "2026-03-02"),  # with points the day comes first
        ("25/03/2026", None, "2026-03-25"),
        ("03/25/2026", None, "2026-03-25"),
        ("03/03/2026", None, "2026-03-03"),
        ("03/04/2026", True, "2026-04-03"),
        ("03/04/2026", False, "2026-03-04"),
        ("2 March 2026", None, "2026-03-02"),
        ("March 2, 2026", None, "2026-03-02"),
        ("2nd Mar 2026", None, "2026-03-02"),
        ("02-Mar-26", None, "2026-03-02"),
        ("2 de marzo de 2026", None, "2026-03-02"),
        ("29/02/2024", None, "2024-02-29"),
    ],
)
def test_dates_with_one_reading(typed: str, day_first: bool | None, iso: str) -> None:
    assert read_date(typed, day_first)[0] == iso
    assert read_date(typed, day_first)[2] is None


@pytest.mark.parametrize("typed", ["03/04/2026", "3-4-2026", "02/03/26", "2026-02-30", "31/04/2026", "Mar-26", "9:30"])
def test_dates_without_one_reading_are_kept_as_typed_and_named(typed: str) -> None:
    value, why, problem = read_date(typed)
    assert (value, why) == (typed, "")
    assert problem is not None and problem.fatal and problem.symbol == typed and problem.hint


def test_a_label_for_a_session_is_kept_with_a_remark() -> None:
    value, _, problem = read_date("before the block")
    assert value == "before the block"
    assert problem is not None and not problem.fatal


@pytest.mark.parametrize(
    ("typed", "months"),
    [
        ("3;2", 38),
        ("3;02", 38),
        ("3;2.15", 38),
        ("38 months", 38),
        ("38 mo", 38),
        ("3 years 2 months", 38),
        ("3y 2m", 38),
        ("38", 38),
        ("24", 24),  # nobody is 24 years old here; below, a number may be of years
    ],
)
def test_ages(typed: str, months: int) -> None:
    assert read_age(typed) == (months, None)


@pytest.mark.parametrize("typed", ["3:02", "3.2", "3,2", "3;14", "4", "23", "2026-03-02", "three", "3-2"])
def test_ages_that_are_not_clear(typed: str) -> None:
    months, problem = read_age(typed)
    assert months is None and problem is not None and problem.symbol == typed


def test_a_small_number_is_an_age_in_a_column_of_months() -> None:
    assert read_age("18", months_column=True) == (18, None)
    assert lay_out(["produced_ipa", "Age (months)"], [], "").age_in_months
    assert not lay_out(["produced_ipa", "Age"], [], "").age_in_months


@pytest.mark.parametrize("form", ["pi", "-i", "mʌd", "a1b", "0", "mar", "ɡo-do", "ˈmay"])
def test_forms_are_not_taken_for_dates(form: str) -> None:
    assert mangled(form) == ""


@pytest.mark.parametrize(
    ("header", "places"),
    [
        (["word", "adult", "child"], {"target_word": 0, "target_ipa": 1, "produced_ipa": 2}),
        (["child", "gloss", "ipa"], {"child": 0, "target_word": 1, "produced_ipa": 2}),
        (["child", "target", "produced"], {"child": 0, "target_ipa": 1, "produced_ipa": 2}),
        (["target", "target_ipa", "said"], {"target_word": 0, "target_ipa": 1, "produced_ipa": 2}),
        (["PRODUCED_IPA", "Target Word"], {"produced_ipa": 0, "target_word": 1}),
        (
            ["palabra", "ipa objetivo", "producción", "fecha"],
            {"target_word": 0, "target_ipa": 1, "produced_ipa": 2, "session_date": 3},
        ),
        (["date", "session", "said"], {"session_date": 0, "produced_ipa": 2}),
    ],
)
def test_headings(header: list[str], places: dict[str, int]) -> None:
    assert lay_out(header, [], "").at == places


def test_target_is_the_word_where_only_it_has_plain_letters() -> None:
    rows = [[word, "tʌp"] for word in ("cup", "pea", "spoon", "cake", "soap")]
    assert "target_word" in lay_out(["target", "said"], rows, "").at
    assert "target_ipa" in lay_out(["target", "said"], [*rows, ["kʌp", "tʌp"]], "").at


def test_a_heading_stands_in_one_list_only_and_every_list_is_a_column() -> None:
    from approx.datafiles import read_toml, rules_path
    from approx.samples.vocabulary import plain

    table = read_toml(rules_path("sample_headers.toml"))
    words = [plain(word) for words in table["columns"].values() for word in words]
    assert sorted(words) == sorted(set(words))
    assert not set(words) & set(map(plain, table["either"]["headings"]))
    assert set(table["columns"]) == set(COLUMNS)
    assert set(table["weak"]) <= set(COLUMNS)
    assert sheet_rules().months["mar"] == sheet_rules().months["marzo"] == 3
    assert sheet_rules().months["may"] == sheet_rules().months["mayo"] == 5


@pytest.mark.parametrize(
    ("typed", "stress"),
    [("ˈfid hɚ", (1, 0)), ("'fid hɚ", (1, 0)), ("fid hɚ", (1, 1)), ("bɪɡ ˈpʌpi", (1, 1, 0)), ("ʌ ˈoʊ", (0, 1))],
)
def test_stress_of_words_in_one_cell(typed: str, stress: tuple[int, ...]) -> None:
    """Where a word of one syllable is typed with a mark, one without has no stress; a mark in a longer word says nothing."""
    (word,) = CellReader("ipa").production(typed, "en-US").attempts
    assert word is not None and word.stress == stress
