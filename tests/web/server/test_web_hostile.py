"""Hostile text through every door, looked at in a real browser: pages, printed sheets, report files, an imported zip."""

from __future__ import annotations

import io
import re
import signal
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from desk_browser import known
from filled_caseload import PROFILE, opened, sure
from places import ROOT
from playwright.sync_api import Browser, Page
from pypdfium2 import PdfDocument
from running_desk import START
from typed_commands import run

from approx.records.database.rows import ProbeEntry, TrialEntry
from approx.reports.sheets.sheet_page import SHEET_KINDS
from approx.web.pages.report_pages import REPORT_PARTS

pytest_plugins = ["desk_browser"]
pytestmark = pytest.mark.slow

TAG = "<script>window.hit=1</script>"
NASTY = (
    TAG, '"><img src=x onerror=window.hit=1>', "'><svg onload=window.hit=1>", "</textarea><iframe src=javascript:1>",
    "{{7*7}} ${7*7} {% raw %}", '=HYPERLINK("http://evil.example","x")', "@SUM(A1)", "\u202etxt.exe\u2066", "W" * 200,
)  # fmt: skip
ALL = " ".join(NASTY[:8])
LINE = "".join(NASTY[:3]) + "=1+1"
EVERY_PART = "&".join(f"part={part}" for part in REPORT_PARTS) + "&then=1&now=2"
TYPED = "child,session_date,target_word,target_ipa,produced_ipa,note\n"


def sample_text(code: str) -> str:
    """A sample with each text as a word, a note and a production."""
    quoted = ['"' + text.replace('"', '""') + '"' for text in NASTY]
    rows = [f"{code},2026-03-02,{text},mʌd,mʌ,{text}" for text in quoted]
    rows += [f"{code},2026-03-02,mud,mʌd,{text}," for text in quoted[:4]]
    return TYPED + "\n".join([*rows, *[f"{code},2026-03-02,mud,mʌd,mʌ,"] * 6]) + "\n"


def fill_with(path: Path) -> bytes:
    """A caseload with hostile text in every column that takes text; its export."""
    caseload = opened(path)
    sure(caseload.add_child("K07", age="3;2", note=ALL))
    sure(caseload.save_profile("K07", PROFILE, 0, LINE))
    sure(caseload.add_sample_file("K07", sample_text("K07").encode(), LINE, title=LINE))
    later = sample_text("K07").replace("2026-03-02", "2026-05-02")
    sure(caseload.add_sample_file("K07", later.encode(), LINE, title=LINE))
    targets = [sure(caseload.add_target("K07", text[:90], "mʌd", form="mʌ", word_set=LINE)) for text in NASTY]
    session = sure(caseload.start_session("K07", "2026-03-02", place=LINE))
    sure(caseload.record_trials(session.id, [TrialEntry(target.id, "none", 2) for target in targets]))
    sure(caseload.add_phase("K07", LINE, 1))
    sure(caseload.add_probes("K07", [ProbeEntry(1, LINE, 1, 2, words=((TAG, True), (LINE, False)))]))
    sure(caseload.add_goal("K07", ALL, baseline=LINE, condition=LINE, criterion=LINE, measure=LINE))
    sure(caseload.add_note("K07", "2026-03-02", session_id=session.id, subjective=ALL, assessment=ALL, plan=ALL))
    sure(caseload.choose_form("K07", "mud", "mʌ", ALL))
    out = sure(caseload.export_all()).data
    caseload.close()
    return out


@pytest.fixture(scope="module")
def imported(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """A running desk whose file took in such an export."""
    folder = tmp_path_factory.mktemp("hostile")
    caseload = opened(folder / "c.sqlite")
    sure(caseload.import_zip(fill_with(folder / "first.sqlite")))
    caseload.close()
    running = subprocess.Popen(
        [sys.executable, "-c", START, str(caseload.path)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    assert running.stdout
    yield running.stdout.readline().strip(), caseload.path
    running.send_signal(signal.SIGINT)
    running.wait(20)


def watched(page: Page) -> list[str]:
    """What a page must never do, as it happens."""
    said: list[str] = []
    page.on("dialog", lambda dialog: said.append(f"dialog {dialog.message}"))
    page.on("pageerror", lambda error: said.append(f"error {error}"))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("request", lambda asked: said.append(asked.url) if "evil" in asked.url else None)
    return said


def strange_parts(page: Page) -> list[object]:
    """Anything that came out of a text: what a script did, elements nobody of us makes, handlers, links elsewhere."""
    found: list[object] = page.evaluate(
        """() => [window.hit, ...[...document.querySelectorAll('iframe, object, embed, img[src=x], svg[onload], [onerror]')]
        .map(e => e.outerHTML), ...[...document.querySelectorAll('a[href]')].map(a => a.href)
        .filter(h => !h.startsWith(location.origin) && !h.startsWith('file:') && !h.startsWith('#'))].filter(e => e !== undefined)"""
    )
    return found


PAGES = (
    "", "sounds", "samples", "words", "phrases", "phrase?text=%3Cscript%3Ewindow.hit%3D1%3C%2Fscript%3E", "sessions",
    "progress", "goals", "notes", "notes/1", "sheets", "report", "history", "pictures", "delete",
    "compare", f"report?{EVERY_PART}", "progress/chart/0", f"phrase/answer?text={quote(TAG)}", f"words?find={quote(TAG)}&sort={quote(TAG)}",
    *(f"sheet?kind={kind}&typed={quote(LINE)}&typed_phrases={quote(LINE)}&date={quote(TAG)}&number={quote(TAG)}" for kind in SHEET_KINDS),
    *(f"sheet?kind={kind}" for kind in SHEET_KINDS), f"sheet?kind={quote(TAG)}&paper={quote(TAG)}&language={quote(TAG)}",
)  # fmt: skip
ALONE = (
    "/", "/files", "/glossary", "/browsers", "/parts", f"/group?code={quote(TAG)}", f"/read?text={quote(TAG)}", "/deleted", "/sample/1",
    "/sample/1/rows", "/sample/1/sounds", "/session/1", "/session/1/grid", f"/?find={quote(TAG)}", f"/child/{quote(TAG, '')}",
    f"/nowhere/{quote(TAG)}", f"/language/{quote(TAG, '')}?next={quote(TAG)}", f"/sheet/{quote(TAG, '')}.a4.css", "/sample/2",
)  # fmt: skip
FILES = (
    *(f"child/K07/sheet.{form}?kind={kind}&date={quote(TAG)}" for kind in SHEET_KINDS if kind != "plan" for form in ("pdf", "docx")),
    *(f"child/K07/{name}.{form}" for name in ("compare", "notes", "notes/1", "goals", "progress") for form in ("pdf", "docx")),
    *(f"sample/1/{name}.{form}" for name in ("analysis", "evaluation") for form in ("pdf", "docx")),
    *(f"child/K07/report.{form}?{EVERY_PART}" for form in ("pdf", "docx")),
    "child/K07/samples/template.csv", "child/K07/export", "export",
)  # fmt: skip


def test_every_page_shows_it_as_text(chromium: Browser, imported: tuple[str, Path]) -> None:
    url, _ = imported
    home = url.split("?", maxsplit=1)[0].rstrip("/")
    page = known(chromium.new_context(viewport={"width": 900, "height": 800}), url).new_page()
    said, shown = watched(page), 0
    for path in [*(f"/child/K07/{name}".rstrip("/") for name in PAGES), *ALONE]:
        answer = page.goto(home + path)
        assert answer is not None and answer.status < 500, path
        assert strange_parts(page) == [], path
        shown += TAG in page.content() or TAG.replace("<", "&lt;").replace(">", "&gt;") in page.content()
    assert [line for line in said if not line.startswith("Failed to load resource: the server responded")] == []
    assert shown >= 8  # it was there to be met
    page.context.close()


def test_files_that_are_given_out_hold_it_as_text(chromium: Browser, imported: tuple[str, Path]) -> None:
    url, _ = imported
    home = url.split("?", maxsplit=1)[0].rstrip("/")
    context = known(chromium.new_context(), url)
    kinds, text = set[str](), ""
    for name in FILES:
        answer = context.request.get(f"{home}/{name}")
        assert answer.status == 200, (name, answer.status)
        assert "text/html" not in answer.headers["content-type"], name
        data = answer.body()
        if data[:4] == b"%PDF":
            kinds.add("pdf")
            assert (
                b"/JavaScript" not in data
                and b"/URI" not in data.replace(b"/URI (https://doi.org", b"")
                and b"/JS" not in data
                and b"/Launch" not in data
                and b"evil" not in data
            )
            text += "".join(part.get_textpage().get_text_range() for part in PdfDocument(data))
        elif data[:2] == b"PK":
            with zipfile.ZipFile(io.BytesIO(data)) as packed:
                members = {each: packed.read(each) for each in packed.namelist()}
            kinds.add("docx" if "word/document.xml" in members else "zip")
            text += members.get("word/document.xml", b"").decode()
            for member, content in members.items():
                assert b'TargetMode="External"' not in content and "vba" not in member.lower(), (name, member)
                if member == "caseload.xlsx":
                    with zipfile.ZipFile(io.BytesIO(content)) as book:
                        sheets = [book.read(each) for each in book.namelist() if "worksheets/sheet" in each]
                    assert sheets and all(b"<f>" not in sheet and b"<hyperlink" not in sheet for sheet in sheets)
                if member.endswith(".csv"):
                    assert not re.search(rb'(?:^|,)"?[=@]', content, re.MULTILINE), (name, member)
        else:
            assert name.endswith(".csv") and not re.search(rb'(?:^|,)"?[=@]', data, re.MULTILINE), name
    assert kinds == {"pdf", "docx", "zip"}
    assert "&lt;script&gt;window.hit=1" in text and "HYPERLINK(" in text  # it was there, as text
    context.close()


def test_pages_of_the_command_line_hold_it_as_text(chromium: Browser, tmp_path: Path) -> None:
    sample, child = tmp_path / "a.csv", tmp_path / "c.toml"
    sample.write_text(sample_text("K07"), encoding="utf-8")
    later = tmp_path / "b.csv"
    later.write_text(sample_text("K07").replace("2026-03-02", "2026-05-02"), encoding="utf-8")
    child.write_text(PROFILE, encoding="utf-8")
    words, made = tmp_path / "w.txt", []
    words.write_text("mud\n" + "\n".join(NASTY[:3]), encoding="utf-8")
    for command, values, option in (
        ("score", [sample], "page"), ("report", [sample, later], "page"),
    ):  # fmt: skip
        assert run(command, *values, **{option: tmp_path / f"{command}.html"}) in (0, 1)
        made.append(tmp_path / f"{command}.html")
    for kind in ("family", "cards", "session", "contrast", "match", "listen", "hear"):
        assert run(f"sheet {kind}", child=child, words=words, html=tmp_path / f"{kind}.html") in (0, 1)
        made.append(tmp_path / f"{kind}.html")
    page = chromium.new_context().new_page()
    said = watched(page)
    there = [file for file in made if file.exists()]
    for file in there:
        page.goto(file.as_uri())
        assert strange_parts(page) == [], file.name
    assert said == [] and {file.name for file in there} >= {"score.html", "family.html", "cards.html"}
    page.context.close()
