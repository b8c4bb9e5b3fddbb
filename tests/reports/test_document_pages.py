"""Reports on paper: page 1 carries the answer, nothing is smaller than 9 points, numbers, dates and paper are the region's."""

from __future__ import annotations

import re
from datetime import date
from functools import cache

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from babel import Locale
from babel.dates import format_date
from babel.numbers import format_decimal
from places import SAMPLES

import approx
from approx.api.samples.analysis import analyse
from approx.api.samples.goals import goals
from approx.datafiles import read_toml, rules_path
from approx.reports.document import BlankLine, Document, Grid, Heading, Picture, WritingSpace
from approx.reports.documents.documents import FORMATS, document_lines, printed
from approx.reports.documents.front_page import settings_code
from approx.reports.regions import day, number, paper_of
from approx.reports.report_words import words
from approx.scoring.measures.catalogue import MEASURES

SHORTEST_LINE_MM = {"a4": 210.0 - 32.0, "letter": 215.9 - 32.0}
NAMES = ("analysis", "processes", "comparison", "progress", "evaluation", "goals")
WITH_APPENDIX = NAMES[:4]


@cache
def report(name: str, language: str = "en-US") -> Document:
    sample, later = str(SAMPLES / "m12.csv"), str(SAMPLES / "m12_later.csv")
    makers = {
        "analysis": lambda: analyse(sample, age="4;5").document(language),
        "processes": lambda: approx.processes(sample).document(language, "4;5"),
        "comparison": lambda: approx.compare(sample, later).document(language),
        "progress": lambda: approx.progress(str(SAMPLES / "probes.csv")).document(language, "3;5"),
        "evaluation": lambda: analyse(sample, age="4;5").evaluations(language)[0],
        "goals": lambda: goals(str(SAMPLES / "goals.csv"), language=language).document(),
    }
    made = makers[name]()
    assert made is not None
    return made


def pages_of(name: str, language: str, paper: str) -> list[str]:
    opened = pypdfium2.PdfDocument(printed(report(name, language), ".pdf", paper))
    return [page.get_textpage().get_text_range() for page in opened]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("language", ["en-US", "es-ES"])
@pytest.mark.parametrize("name", WITH_APPENDIX)
def test_page_1_carries_the_answer_and_the_appendix_begins_on_page_2(name: str, language: str, paper: str) -> None:
    say = words(language)
    pages = pages_of(name, language, paper)
    appendix = say["appendix"]
    assert [number for number, text in enumerate(pages, 1) if appendix in text] == [2]
    assert say["view"] in pages[0] and say["criterion"] in pages[0]
    (code,) = set(re.findall(r"\b[0-9A-F]{6}\b", pages[0]))
    assert f"{code}:" in pages[-1]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_smaller_than_9_points(name: str, paper: str) -> None:
    opened = pypdfium2.PdfDocument(printed(report(name), ".pdf", paper))
    sizes = set()
    for page in opened:
        text = page.get_textpage()
        sizes |= {pdfium.FPDFText_GetFontSize(text.raw, at) for at in range(text.count_chars())}
    assert min(size for size in sizes if size > 1) >= 8.99
    for block in report(name).blocks:
        if isinstance(block, Picture):
            wide = float(re.findall(r'<svg[^>]* width="([\d.]+)"', block.svg)[0])
            least = min(float(size) for size in re.findall(r'font-size="([\d.]+)"', block.svg))
            assert least / wide * SHORTEST_LINE_MM[paper] / 25.4 * 72 >= 9


@pytest.mark.parametrize("name", NAMES)
def test_the_title_says_whose_how_old_what_and_when(name: str) -> None:
    title = report(name).title
    assert ("K07" if name == "progress" else "M12") in title
    if name not in ("comparison", "goals"):  # the sample tells no age, and nor do goals
        assert ("3;5" if name == "progress" else "4;5") in title
    assert name == "goals" or "2026" in title


@pytest.mark.parametrize("name", ("analysis", "processes"))
def test_numbers_on_paper_are_those_of_the_command(name: str) -> None:
    """Every value, count and interval that the command prints stands on the page to the digit."""
    sample = str(SAMPLES / "m12.csv")
    text = "\n".join(document_lines(report(name)))
    if name == "analysis":
        shown = approx.score(sample).groups[0].measures
        for score in shown.values():
            if score.value is not None and score.low is not None and score.high is not None:
                digits = 1 if MEASURES[score.name].unit == "percent" else 2
                for value in (score.value, score.low, score.high):
                    assert f"{value:.{digits}f}" in text, score
    for process, tally in approx.processes(sample).groups[0].tallies.items():
        if tally.occurrences:
            assert re.search(rf"{process}\s+{tally.occurrences} / {tally.chances}\s+{tally.percent:.0f} ", text)


def test_hits_and_out_of_make_the_value_beside_them() -> None:
    for block in report("analysis").blocks:
        if isinstance(block, Grid):
            for row in block.rows:
                found = re.fullmatch(r"([\d.]+) %", row[1]) if len(row) == 5 else None
                counts = re.fullmatch(r"(\d+) / (\d+)", row[2]) if found else None
                if found and counts:
                    assert float(found[1]) == pytest.approx(100 * int(counts[1]) / int(counts[2]), abs=0.05)


def test_an_evaluation_leaves_blank_what_only_the_clinician_knows() -> None:
    found = report("evaluation")
    say = words("en")
    heads = [block.text for block in found.blocks if isinstance(block, Heading)]
    places = [heads.index(say[name]) for name in ("sounds heard", "sounds said instead", "changes", "scores")]
    assert places == sorted(places)
    assert {say["intelligibility"], say["hearing"], say["mouth"], say["summary"]} <= set(heads)
    assert sum(isinstance(block, WritingSpace) for block in found.blocks) == 4
    assert [block.labels for block in found.blocks if isinstance(block, BlankLine)] == [("Signature", "Date")]
    assert not re.search(
        "(?i)delay|disorder|apraxia|eligible", "\n".join(document_lines(found)).partition("Cautions")[0]
    )


@pytest.mark.parametrize("name", NAMES)
def test_spanish_leaves_no_word_of_the_english_page(name: str) -> None:
    """No sentence of the program is left in English; what was typed, and names of columns, stay as they are."""
    english = {text for text in words("en").values() if len(text) > 12 and "{" not in text}
    spanish = "\n".join(document_lines(report(name, "es-MX")))
    assert [text for text in english if text in spanish and text not in words("es").values()] == []


def test_numbers_and_dates_are_those_of_unicode_for_every_region() -> None:
    tags = [
        *("en-US", "en-CA", "en-PH", "en-PR", "en-GB", "en-IE", "en-AU", "en-NZ", "en-IN"),
        *("es-ES", "es-MX", "es-US", "es-PR", "es-AR", "es-BO", "es-CL", "es-CO", "es-CR", "es-CU", "es-DO", "es-EC"),
        *("es-GT", "es-NI", "es-PA", "es-PE", "es-PH", "es-PY", "es-SV", "es-UY", "es-VE"),
    ]
    for tag in tags:
        locale = Locale.parse(tag, sep="-")
        assert number(45.5, 1, tag) == format_decimal(45.5, format="0.0", locale=locale), tag
        assert day("2026-03-02", tag) == format_date(date(2026, 3, 2), "long", locale=locale), tag


def test_paper_by_region() -> None:
    assert [paper_of(tag) for tag in ("en-US", "es-MX", "en", "es", "es-ES", "en-GB", "fr-CA")] == [
        "letter", "letter", "letter", "a4", "a4", "a4", "letter",
    ]  # fmt: skip
    assert set(FORMATS) == {".html", ".docx", ".pdf"}


def test_the_code_of_the_settings_tells_rules_apart() -> None:
    assert settings_code("a:1") == settings_code("a:1") != settings_code("a:2")
    assert re.fullmatch("[0-9A-F]{6}", settings_code(""))


def test_every_standing_and_context_has_words_in_both_languages() -> None:
    table = read_toml(rules_path("report_words.toml"))
    for language in ("en", "es"):
        assert {f"context {name}" for name in ("word", "imitated", "talk")} <= set(table[language])
