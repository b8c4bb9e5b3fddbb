"""Reports on paper: page 1 carries the answer, nothing is smaller than 9 points, numbers, dates and paper are the region's."""

from __future__ import annotations

import csv
import re
from datetime import date
from functools import cache

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from babel import Locale
from babel.dates import format_date, format_skeleton
from babel.numbers import format_decimal
from fast_cases import only
from places import SAMPLES

import approx
from approx.api.samples.goals import goals
from approx.datafiles import read_toml, rules_path
from approx.reports.document import BlankLine, Document, Grid, Heading, Picture, WritingSpace
from approx.reports.documents.documents import FORMATS, document_lines, printed
from approx.reports.documents.front_page import settings_code
from approx.reports.regions import day, number, paper_of, short_day, table_day
from approx.reports.report_words import report_words, variant_name
from approx.scoring.measures.catalogue import MEASURES

SHORTEST_LINE_MM = {"a4": 210.0 - 32.0, "letter": 215.9 - 32.0}
NAMES = ("analysis", "processes", "comparison", "progress", "evaluation", "goals")
WITH_APPENDIX = NAMES[:4]


@cache
def report(name: str, language: str = "en-US") -> Document:
    sample, later = str(SAMPLES / "m12.csv"), str(SAMPLES / "m12_later.csv")
    makers = {
        "analysis": lambda: approx.score(sample, age="4;5", evidence=True).document(language),
        "processes": lambda: approx.processes(sample).document(language, "4;5"),
        "comparison": lambda: approx.compare(sample, later).document(language),
        "progress": lambda: approx.progress(str(SAMPLES / "probes.csv")).document(language, "3;5"),
        "evaluation": lambda: approx.score(sample, age="4;5", evidence=True).evaluations(language)[0],
        "goals": lambda: goals(str(SAMPLES / "goals.csv"), language=language).document(),
    }
    made = makers[name]()
    assert made is not None
    return made


@cache
def pdf(name: str, language: str, paper: str) -> bytes:
    return printed(report(name, language), ".pdf", paper)


def pages_of(name: str, language: str, paper: str) -> list[str]:
    opened = pypdfium2.PdfDocument(pdf(name, language, paper))
    return [page.get_textpage().get_text_range() for page in opened]


USUAL = [("en-US", "letter"), pytest.param("es-ES", "a4", marks=pytest.mark.slow)]
UNUSUAL = [pytest.param("en-US", "a4", marks=pytest.mark.slow), pytest.param("es-ES", "letter", marks=pytest.mark.slow)]


@pytest.mark.parametrize(("language", "paper"), [*USUAL, *UNUSUAL])
@pytest.mark.parametrize("name", WITH_APPENDIX)
def test_page_1_carries_the_answer_and_the_appendix_begins_on_page_2(name: str, language: str, paper: str) -> None:
    say = report_words(language)
    pages = pages_of(name, language, paper)
    appendix = say["appendix"]
    assert [number for number, text in enumerate(pages, 1) if appendix in text] == [2]
    assert say["view"] in pages[0] and say["criterion"] in pages[0]
    (code,) = set(re.findall(r"\b[0-9A-F]{6}\b", pages[0]))
    assert f"{code}:" in pages[-1]


@pytest.mark.parametrize("paper", only(("a4", "letter"), "letter"))
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_smaller_than_9_points(name: str, paper: str) -> None:
    opened = pypdfium2.PdfDocument(pdf(name, "en-US", paper))
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
                found = re.fullmatch(r"([\d.]+)%", row[1]) if len(row) == 5 else None
                counts = re.fullmatch(r"(\d+) / (\d+)", row[2]) if found else None
                if found and counts:
                    assert float(found[1]) == pytest.approx(100 * int(counts[1]) / int(counts[2]), abs=0.05)


def test_an_evaluation_leaves_blank_what_only_the_clinician_knows() -> None:
    found = report("evaluation")
    say = report_words("en")
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
    english = {text for text in report_words("en").values() if len(text) > 12 and "{" not in text}
    spanish = "\n".join(document_lines(report(name, "es-MX")))
    assert [text for text in english if text in spanish and text not in report_words("es").values()] == []


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


def test_dates_in_tables_are_those_of_unicode_for_every_region() -> None:
    tags = [
        *("en-US", "en-CA", "en-PH", "en-PR", "en-GB", "en-IE", "en-AU", "en-NZ", "en-IN"),
        *("es-ES", "es-MX", "es-US", "es-PR", "es-AR", "es-BO", "es-CL", "es-CO", "es-CR", "es-CU", "es-DO", "es-EC"),
        *("es-GT", "es-NI", "es-PA", "es-PE", "es-PH", "es-PY", "es-SV", "es-UY", "es-VE"),
    ]
    for tag in tags:
        locale = Locale.parse(tag, sep="-")
        for month in range(1, 13):
            when = date(2026, month, 5)
            assert table_day(when.isoformat(), tag).replace("\xa0", " ") == format_date(
                when, "medium", locale=locale
            ), tag
        if tag == "en-CA":
            continue  # its day and month in figures stand in two orders in the source; here as in its longer dates
        figures = [part for part in re.split(r"\D+", format_skeleton("Md", date(2026, 3, 12), locale=locale)) if part]
        assert [int(part) for part in re.split(r"\D+", short_day("2026-03-12", tag))] == [
            int(part) for part in figures
        ], tag
    assert table_day("spring", "en") == "spring"


@pytest.mark.parametrize("language", ["en-US", "es-ES"])
@pytest.mark.parametrize("name", NAMES)
def test_no_date_is_left_as_it_is_typed(name: str, language: str) -> None:
    assert re.findall(r"\d{4}-\d\d-\d\d", "\n".join(document_lines(report(name, language)))) == []


def kinds_of_varieties() -> set[str]:
    """What the rules of `rules/accents/` say is accepted."""
    found: set[str] = set()
    for file in sorted(rules_path("accents").glob("*.toml")):
        found |= {rule["kind"] for rule in read_toml(file).get("rule", ()) if rule.get("kind")}
    return found


def test_what_varieties_accept_has_a_spanish_name() -> None:
    named = read_toml(rules_path("pages/variants_es.toml"))["said"]
    assert set(named) == kinds_of_varieties() and len(named) > 100
    assert {variant_name(kind, "es-MX") for kind in named} == set(named.values())
    assert variant_name("vowel before ɹ", "en-US") == variant_name("vowel before ɹ", "fr") == "vowel before ɹ"


@pytest.mark.parametrize("sample", ["k07", "t03"])
def test_a_spanish_report_names_varieties_in_spanish(sample: str) -> None:
    made = approx.score(str(SAMPLES / f"{sample}.csv"), evidence=True).document("es-MX")
    assert made is not None
    text = "\n".join(document_lines(made))
    english = [kind for kind in kinds_of_varieties() if re.search(" (for|in|of|left|before|after) ", kind)]
    assert [kind for kind in english if f"({kind}" in text or f", {kind}" in text] == []
    assert "vocal ante ɹ" in text or "e o por eɪ oʊ" in text


def test_the_comparison_prints_the_digits_of_the_command() -> None:
    """Value, counts and interval of every measure that both print, then and now."""
    grids = [block for block in report("comparison").blocks if isinstance(block, Grid)]
    rows = {row[0]: row for grid in grids if len(grid.head) == 5 for row in grid.rows}
    seen = 0
    for file, at in (("m12.csv", 1), ("m12_later.csv", 3)):
        for score in approx.score(str(SAMPLES / file)).groups[0].measures.values():
            row = rows.get(MEASURES[score.name].title)
            if row is None or score.value is None or score.low is None or score.high is None:
                continue
            percent = MEASURES[score.name].unit == "percent"
            digits, sign = (1, "%") if percent else (2, "")
            assert row[at] == f"{score.value:.{digits}f}{sign} ({score.hits} / {score.out_of})"
            assert row[at + 1] == f"{score.low:.{digits}f} – {score.high:.{digits}f}"
            seen += 1
    assert seen > 15


def test_the_progress_report_prints_the_counts_that_were_typed() -> None:
    """Right of each probe, its percent, and the day, from the file itself."""
    grids = [block for block in report("progress").blocks if isinstance(block, Grid)]
    with (SAMPLES / "probes.csv").open(encoding="utf-8", newline="") as stream:
        typed = list(csv.DictReader(stream))
    seen = 0
    for row in typed:
        head = f"{row['word_set']}: correct / n"
        for grid in (grid for grid in grids if head in grid.head):
            shown = next(line for line in grid.rows if line[0] == row["session"])
            at = grid.head.index(head)
            right, out_of = int(row["right"]), int(row["out_of"])
            assert shown[at : at + 2] == (f"{right} / {out_of}", f"{100 * right / out_of:g}")
            assert shown[1].replace("\xa0", " ") == format_date(
                date.fromisoformat(row["session_date"]), "medium", "en_US"
            )
            seen += 1
    assert seen == len(typed) + 19  # the untreated words stand beside both sets


def test_right_of_tried_and_what_was_said_instead_add_up() -> None:
    """In the table of sounds the counts of what was said instead make what was not right."""
    say = report_words("en")
    grid = next(
        block for block in report("evaluation").blocks if isinstance(block, Grid) and block.title == say["substitutes"]
    )
    cells = [cell for row in grid.rows for cell in row[1:] if ":" in cell]
    for cell in cells:
        counts, _, instead = cell.partition(": ")
        right, out_of = map(int, counts.split(" / "))
        assert right + sum(int(part.split()[-1]) for part in instead.split(", ")) == out_of, cell
    assert len(cells) > 12


@pytest.mark.parametrize("paper", only(("a4", "letter"), "letter"))
@pytest.mark.parametrize("name", WITH_APPENDIX)
def test_no_page_of_a_report_is_left_nearly_empty(name: str, paper: str) -> None:
    """A handful of lines is not put on a page by itself, and page 1 is filled by the box to write in."""
    filled = [ends_at(page) for page in pypdfium2.PdfDocument(pdf(name, "en-US", paper))]
    assert filled[0] > 0.9 and min(filled) > 0.2, filled


def ends_at(page: pypdfium2.PdfPage) -> float:
    """How far down the page its last ink stands, the foot left aside."""
    shown = page.render(scale=0.5).to_pil().convert("L")
    width, height = shown.size
    ink = shown.point(lambda value: 255 if value < 200 else 0).crop((0, 0, width, int(height * 0.945))).getbbox()
    return ink[3] / height if ink else 0.0


def test_different_words_are_those_with_a_gloss() -> None:
    """By hand: the sample of K07 has 25 different glosses, and four forms without one, which are no words."""
    found = approx.score(str(SAMPLES / "k07.csv"), evidence=True)
    assert found.evidence is not None and found.evidence.parts[0].words == 25
