"""What the pages say and save: children, sounds in hand, phrases, samples, sessions, in English and Spanish."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from html import unescape
from pathlib import Path
from shutil import copy

import pytest
from conftest import CommandLine
from desk_client import Browser, field, session_with
from fast_cases import one_in
from places import ROOT
from statements import statements_of

from approx.child import read_table
from approx.child.profile import Profile
from approx.datafiles import read_toml, rules_path
from approx.records.database.rows import Refused
from approx.web.forms.profile_form import charts, profile_toml
from approx.web.server import desk as texts
from approx.web.server.desk import WEB_FOLDER, Texts

M12 = (ROOT / "samples" / "m12.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def with_child(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A caseload with one child, entered through the page."""
    file = tmp_path_factory.mktemp("made") / "c.sqlite"
    made = Browser(file)
    assert made.post("/children", code="M12", age="4;5", main_language="en-US").status_code == 200
    made.desk.close()
    return file


@pytest.fixture
def browser(with_child: Path, tmp_path: Path) -> Iterator[Browser]:
    """A desk over a copy of that caseload."""
    made = Browser(Path(copy(with_child, tmp_path)))
    yield made
    made.desk.close()


def profile(browser: Browser, code: str = "M12") -> Profile:
    stored = browser.desk.caseload.profile(code)
    assert stored is not None and not isinstance(stored, Refused)
    return read_table(tomllib.loads(stored.text), stored.text)[0]


def taps(found: Profile) -> dict[str, str]:
    """The form of a whole profile, as the page would send it."""
    out = {f"consonant {at} {sound}": status for at, part in found.consonants.items() for sound, status in part.items()}
    out |= {f"vowel {sound}": status for sound, status in found.vowels.items()}
    return out | {f"shape {shape}": status for shape, status in found.shapes.items()}


def with_m12_profile(browser: Browser) -> Profile:
    """M12's hand-made profile of the samples, entered by taps."""
    text = (ROOT / "samples" / "m12.toml").read_text(encoding="utf-8")
    wanted = read_table(tomllib.loads(text), text)[0]
    answer = browser.post(
        "/child/M12/sounds", version="0", clusters="", max_syllables="2", variety="any", **taps(wanted)
    )
    assert answer.status_code == 200 and "The inventory was saved." in answer.text
    return wanted


def test_a_child_is_entered_by_code_and_listed(browser: Browser) -> None:
    assert browser.post("/children", code="T03", main_language="es-MX", languages="en-US").status_code == 200
    child = browser.desk.caseload.child("T03")
    assert not isinstance(child, Refused) and child.languages == ("es-MX", "en-US")
    listed = browser.get("/").text
    assert "M12" in listed and "T03" in listed and "4;5" in listed


def test_what_was_typed_stays_where_it_is_refused(browser: Browser) -> None:
    answer = browser.post("/children", code="M12", age="four", note="likes mud")
    assert answer.status_code == 422 and 'value="four"' in answer.text and "likes mud" in answer.text


def test_a_code_like_a_name_gets_a_remark(browser: Browser) -> None:
    assert "looks like a name" in unescape(browser.post("/children", code="Anna Example").text)


def test_two_windows_do_not_overwrite_each_other(browser: Browser) -> None:
    page = browser.get("/child/M12").text
    version = field(page, "version")
    browser.post("/child/M12/facts", version=version, age="4;6", note="first")
    second = browser.post("/child/M12/facts", version=version, age="4;7", note="second")
    child = browser.desk.caseload.child("M12")
    assert not isinstance(child, Refused) and child.note == "first"
    assert "changed in another window" in second.text and "second" in second.text
    assert "Note: first" in second.text and "Age: 4;6" in second.text  # what the other window saved is shown beside it
    assert (
        browser.post("/child/M12/facts", version=field(second.text, "version"), age="4;7", note="second").status_code
        == 200
    )


def test_a_deleted_child_comes_back(browser: Browser) -> None:
    away = browser.post("/child/M12/delete")
    assert "M12" not in away.text and browser.get("/child/M12").status_code == 404
    back = browser.post("/undo", token=field(away.text, "token"), back="/")
    assert back.status_code == 200 and "M12" in back.text


def test_for_good_needs_the_code_once_more(browser: Browser) -> None:
    assert browser.post("/child/M12/delete", for_good="1", again="m12").status_code == 422
    assert browser.get("/child/M12").status_code == 200
    assert browser.post("/child/M12/delete", for_good="1", again="M12").status_code == 200
    assert browser.desk.caseload.children() == ()


def test_the_table_has_every_consonant_once_a_position(browser: Browser) -> None:
    """24 consonants of General American (Ladefoged & Johnson; from memory), of which ŋ begins no word and h, w and j end none;
    each in its own cell."""
    found = charts(Profile())
    sounds = [[tap.shown for _, row in chart.rows for cell in row for tap in cell] for chart in found]
    assert [len(line) for line in sounds] == [23, 24, 21]
    assert all(len(set(line)) == len(line) for line in sounds)
    rows = dict(found[0].rows)
    at = dict(zip(found[0].places, rows["stop"]))
    assert [tap.shown for tap in at["labial"]] == ["p", "b"] and [tap.shown for tap in at["velar"]] == ["k", "ɡ"]


def test_a_sample_without_an_inventory_leads_to_its_sounds(browser: Browser) -> None:
    pages = ["/child/M12", *(f"/child/M12/{page}" for page in ("phrase", "words", "phrases", "sheets"))]
    assert not any("/sample/" in browser.get(page).text for page in pages)
    sounds = browser.post("/child/M12/samples", files={"file": ("m12.csv", M12.encode())}).url.path + "/sounds"
    assert all(f'href="{sounds}"' in browser.get(page).text for page in pages)
    with_m12_profile(browser)
    assert not any(f'href="{sounds}"' in browser.get(page).text for page in pages)


def test_taps_are_saved_as_the_profile_they_show(browser: Browser) -> None:
    wanted = with_m12_profile(browser)
    found = profile(browser)
    for position, part in wanted.consonants.items():
        have = {sound: status for sound, status in found.consonants[position].items() if status != "absent"}
        expected = {sound: status for sound, status in part.items() if status != "absent"}
        assert expected.items() <= have.items()
        assert {status for sound, status in have.items() if sound not in expected} <= {"untested"}
    assert found.vowels == dict(wanted.vowels) and found.max_syllables == 2 and found.code == "M12"
    assert {"V", "CV", "VC", "CVC"} <= {shape for shape, status in found.shapes.items() if status == "established"}


def test_a_profile_saved_again_unchanged_is_the_same(browser: Browser) -> None:
    with_m12_profile(browser)
    before = profile(browser)
    page = browser.get("/child/M12/sounds").text
    chosen = dict(re.findall(r'<select name="([^"]+)">.*?<option value="(\w+)"[^>]*? selected', page))
    fields = {name: value for name, value in chosen.items() if " " in name}
    assert len(fields) > 80
    browser.post("/child/M12/sounds", version="1", clusters="", max_syllables="2", variety="any", **fields)
    assert profile(browser) == before


def test_clusters_are_typed_and_faults_named(browser: Browser) -> None:
    with_m12_profile(browser)
    wrong = browser.post("/child/M12/sounds", version="1", clusters="sp initial, qq, nd sideways")
    assert wrong.status_code == 422 and "sideways" in wrong.text and "sp initial, qq, nd sideways" in wrong.text
    fine = browser.post(
        "/child/M12/sounds",
        version="1",
        clusters="sp initial,\nnd final emerging",
        **{"shape CCVC": "established", "shape CVCC": "emerging"},
    )
    assert fine.status_code == 200
    assert profile(browser).clusters == {(("s", "p"), "initial"): "established", (("n", "d"), "final"): "emerging"}


def test_own_changes_and_forms_heard_are_typed(browser: Browser) -> None:
    """What suggestions follow can be seen, added and taken away by hand; what a form does not hold stays."""
    with_m12_profile(browser)
    changes, heard = "s initial: h 4, t 2\nweak initial = ∅ 3\nɹ → w", "soup: tup 2026-03-02\nall done: ɑ dʌ"
    fine = browser.post("/child/M12/sounds", version="1", changes=changes, heard=heard)
    assert fine.status_code == 200
    found = profile(browser)
    assert found.changes == {("s", "initial"): ("h", "t"), ("weak", "initial"): ("∅",), ("ɹ", ""): ("w",)}
    assert found.times == {("s", "initial"): (4, 2), ("weak", "initial"): (3,)}
    assert {word: (each.form, each.date) for word, each in found.heard.items()} == {
        "soup": ("tup", "2026-03-02"),
        "all done": ("ɑ dʌ", ""),
    }
    page = browser.get("/child/M12/sounds").text
    assert "s initial: h 4, t 2\nweak initial: ∅ 3\nɹ: w</textarea>" in page and "all done: ɑ dʌ</textarea>" in page
    browser.post("/child/M12/sounds", version="2", clusters="")
    assert profile(browser).changes == found.changes and profile(browser).heard == found.heard
    browser.post("/child/M12/sounds", version="3", changes="ɹ: w", heard="")
    assert profile(browser).changes == {("ɹ", ""): ("w",)} and profile(browser).heard == {}


def test_faulty_lines_of_own_changes_are_named_and_stay_typed(browser: Browser) -> None:
    with_m12_profile(browser)
    typed = "s initial h\ns final: t\ns  final: d\n: x"
    wrong = browser.post("/child/M12/sounds", version="1", changes=typed, heard="cup: kʌp 2026-13-45")
    assert wrong.status_code == 422 and typed in wrong.text and "cup: kʌp 2026-13-45" in wrong.text
    said = unescape(wrong.text)
    assert "'s initial h' has no colon" in said and "': x' has no colon" in said and "'s final' is on two lines" in said
    wrong = browser.post("/child/M12/sounds", version="1", changes="s middle: t", heard='cup: kʌp 2026-13-45\n"x": 7')
    said = unescape(wrong.text)
    assert wrong.status_code == 422 and "'middle' is not a position" in said and "2026-13-45" in said
    assert profile(browser).changes == {}


def test_sounds_saved_in_two_windows(browser: Browser) -> None:
    with_m12_profile(browser)
    late = browser.post("/child/M12/sounds", version="0", clusters="", **{"consonant initial k": "established"})
    assert late.status_code == 422 and "another window" in late.text and field(late.text, "version") == "1"
    assert profile(browser).consonants["initial"].get("k", "absent") != "established"


def test_forms_and_readings_of_a_profile_outlive_the_taps() -> None:
    before = Profile(code="K07", chosen={'a "b" \\c': "mʌ"}, readings={"read": "ɹid"}, vowels={"ʌ": "established"})
    text = profile_toml(before)
    again, problems = read_table(tomllib.loads(text), text)
    assert again.chosen == before.chosen and again.readings == before.readings
    assert not [problem for problem in problems if problem.fatal]


def test_a_phrase_is_answered_with_forms_ladder_and_adult_model(browser: Browser) -> None:
    """spoon: k and clusters are not in hand, s neither; M12's own form is pun (sample of the scenario)."""
    with_m12_profile(browser)
    part = browser.client.get("/child/M12/phrase/answer", params={"phrase": "spoon"}).text
    assert "<html" not in part and "spun" in part and 'value="pun"' in part
    assert 'data-say="spoon"' in part and "cluster reduction" in part and "Ladder to the adult word" in part
    whole = browser.client.get("/child/M12/phrase", params={"phrase": "spoon"}).text
    assert 'value="pun"' in whole and "<html" in whole


def test_a_phrase_without_profile_leads_to_the_sounds(browser: Browser) -> None:
    page = browser.client.get("/child/M12/phrase", params={"phrase": "spoon"})
    assert page.status_code == 200 and "/child/M12/sounds" in page.text and 'name="ipa"' not in page.text


def test_a_form_is_chosen_and_aimed_at(browser: Browser) -> None:
    with_m12_profile(browser)
    browser.post(
        "/child/M12/phrase/choose", word="spoon", adult="spun", ipa="pun", ladder=["pun", "spun"], seen="0", practise="1",
        phrase="spoon",
    )  # fmt: skip
    choices, targets = browser.desk.caseload.choices("M12"), browser.desk.caseload.targets("M12")
    assert isinstance(choices, tuple) and isinstance(targets, tuple)
    assert [(c.word, c.ipa, c.rung, c.of) for c in choices] == [("spoon", "pun", 1, 2)]
    assert [(t.word, t.adult, t.form) for t in targets] == [("spoon", "spun", "pun")]


def test_overruling_needs_a_reason_and_wins(browser: Browser) -> None:
    with_m12_profile(browser)
    fields = {"word": "spoon", "adult": "spun", "ipa": "pun", "own_ipa": "bun", "seen": "0", "phrase": "spoon"}
    assert browser.post("/child/M12/phrase/choose", **fields).status_code == 422
    assert browser.desk.caseload.choices("M12") == ()
    assert browser.post("/child/M12/phrase/choose", **fields, reason="says it so at home").status_code == 200
    part = browser.client.get("/child/M12/phrase/answer", params={"phrase": "spoon"}).text
    first = re.search(r'name="ipa" value="([^"]+)" checked', part)
    assert first and first[1] == "bun"
    stale = browser.post("/child/M12/phrase/choose", **fields, reason="second window")
    assert stale.status_code == 422 and "another window" in stale.text


def body(html: str) -> str:
    return html.partition("</h1>")[2].partition("</main>")[0]


def test_the_analysis_is_that_of_score_to_the_digit(browser: Browser, cli: CommandLine, tmp_path: Path) -> None:
    """Pasted from a spreadsheet or uploaded, the page shows what `approx score` writes for the same file."""
    printed = tmp_path / "score.html"
    today, sample = date.today(), date(2026, 3, 2)  # the child is 4;5 today, and was younger on the day of the sample
    months = 53 + 12 * (sample.year - today.year) + sample.month - today.month - (sample.day < today.day)
    text = (ROOT / "samples" / "m12.toml").read_text(encoding="utf-8")
    file = tmp_path / "m12.toml"
    file.write_text(text.replace('"4;5"', f'"{months // 12};{months % 12}"'), encoding="utf-8")
    assert cli("score", "samples/m12.csv", "--child", file, "--page", printed).code == 0
    wanted = body(printed.read_text(encoding="utf-8"))
    assert "45.0%" in wanted and "27 / 60" in wanted  # the hand count of the scenario
    pasted = browser.post("/child/M12/samples", pasted=M12.replace(",", "\t"), heading="")
    uploaded = browser.post("/child/M12/samples", files={"file": ("m12.csv", M12.encode())})
    for answer in (pasted, uploaded):
        assert answer.status_code == 200 and wanted in answer.text


def test_a_list_without_heading_and_words_typed_by_hand_are_read(browser: Browser) -> None:
    rows = browser.post("/child/M12/samples", pasted="spoon\tpun\ncup\ttʌp\n", heading="word", date="2026-03-02")
    typed = browser.post("/child/M12/samples", word=["spoon", "cup", ""], said=["pun", "tʌp", ""], date="2026-03-02")
    for answer in (rows, typed):
        assert answer.status_code == 200 and "2 tokens, 2 scored" in answer.text and "spun" in answer.text


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"pasted": "   "},
        {"pasted": "spoon\tpun"},
        {"word": ["spoon"], "said": [""]},
        {"pasted": "a\tb\tc\td", "heading": "word"},
    ],
)
def test_nothing_typed_is_lost_where_a_sample_is_refused(browser: Browser, fields: dict[str, object]) -> None:
    answer = browser.post("/child/M12/samples", **fields, title="kept title")
    if answer.status_code == 422:
        assert "kept title" in answer.text and 'role="alert"' in answer.text
        for value in fields.values():
            assert str(value[0] if isinstance(value, list) else value).strip() in answer.text
    else:
        assert fields == {
            "word": ["spoon"],
            "said": [""],
        }  # a word without an answer is a row that is left out and told


def test_the_inventory_of_a_sample_becomes_the_profile(browser: Browser, cli: CommandLine, tmp_path: Path) -> None:
    sample = browser.post("/child/M12/samples", files={"file": ("m12.csv", M12.encode())})
    number = int(sample.url.path.rpartition("/")[2])
    page = browser.get(f"/sample/{number}/sounds").text
    offered = [unescape(each) for each in re.findall(r'name="accept" value="([^"]+)"', page)]
    assert browser.post(f"/sample/{number}/sounds", version="0", accept=offered).status_code == 200
    written = tmp_path / "m12.toml"
    assert cli("inventory", "samples/m12.csv", "--write", written).code == 0
    text = written.read_text(encoding="utf-8")
    wanted = read_table(tomllib.loads(text), text)[0]
    for position, sounds in wanted.consonants.items():
        mine = profile(browser).consonants[position]
        assert {sound: mine.get(sound, "absent") for sound in sounds} == dict(sounds)
    assert {shape for shape, status in wanted.shapes.items() if status == "established"} == {
        shape for shape, status in profile(browser).shapes.items() if status == "established"
    }
    assert browser.post(f"/sample/{number}/sounds", version="0", accept=offered).status_code == 409


@pytest.mark.parametrize("page", one_in(2, ["/", "/child/M12", "{child}/sounds", "{child}/samples", "{child}/sessions", "{session}",
                                  "{session}/grid", "/group?session=1", "{child}/goals", "{child}/notes", "{child}/pictures",
                                  "{child}/history", "/deleted"]))  # fmt: skip
def test_a_page_of_what_is_kept_is_one_look_at_the_file(browser: Browser, page: str) -> None:
    path, _ = session_with(browser, ("spoon", "pun"))
    with statements_of(browser.desk.caseload) as said:
        answer = browser.get(page.format(child="/child/M12", session=path))
    assert answer.status_code == 200
    assert [text for text in said if text.startswith(("BEGIN", "COMMIT"))] == ["BEGIN"] and len(said) <= 20, said


def test_how_a_form_is_read_is_told_while_it_is_typed(browser: Browser) -> None:
    """As a cell of a sample is: several attempts, marks, and what is no sound, without the name of a column."""

    def told(form: str) -> str:
        return browser.client.get("/read", params={"form": form, "language": "en-US"}).text

    assert "ɡʌɡ" in told("gʌg") and "keyboard g" in told("gʌg")
    wrong = unescape(told("g3k"))
    assert "To fix" in wrong and "'3' U+0033 in 'g3k' is not an IPA symbol" in wrong and "produced_ipa" not in wrong
    two = told("pun; pu")
    assert ">pun / pu<" in two and "several attempts" in two and "To fix" not in two
    assert ">xxx<" in told("xxx") and ">–<" in told("0") and told("").strip() == ""


def test_every_page_is_there_in_spanish(browser: Browser) -> None:
    path, _ = session_with(browser, ("spoon", "pun"))
    sample = browser.post("/child/M12/samples", files={"file": ("m12.csv", M12.encode())}).url.path
    with_m12_profile(browser)
    browser.client.get("/language/es", params={"back": "/"})
    pages = ["/", "/child/M12", "/child/M12/sounds", "/child/M12/phrase?phrase=spoon", "/child/M12/samples", sample]
    for page in [*pages, "/child/M12/sessions", path, "/child/M12/delete", "/nowhere"]:
        answer = browser.get(page)
        assert '<html lang="es">' in answer.text and "Hoy" in answer.text and answer.status_code in (200, 404), page
    assert "Se guardó" in Texts("es")("said.sounds_saved")


def test_both_languages_have_the_same_sentences_with_the_same_gaps() -> None:
    english, spanish = (
        {
            section: part
            for name in texts.TEXT_FILES
            for section, part in read_toml(rules_path(f"pages/{name}_{tag}.toml")).items()
        }
        for tag in texts.DESK_LANGUAGES
    )
    gaps = {
        tag: {(s, k): set(re.findall(r"\{(\w+)\}", v)) for s, part in table.items() for k, v in part.items()}
        for tag, table in (("en", english), ("es", spanish))
    }
    assert gaps["en"] == gaps["es"] and len(gaps["en"]) > 150


def test_every_sentence_a_template_asks_for_is_there_and_none_is_idle() -> None:
    files = [read_toml(rules_path(f"pages/{name}_en.toml")) for name in texts.TEXT_FILES]
    table = {section: part for each in files for section, part in each.items()}
    assert len(table) == sum(map(len, files))  # no section stands in two files
    pages = "".join(path.read_text(encoding="utf-8") for path in WEB_FOLDER.glob("templates/*.html"))
    code = "".join(path.read_text(encoding="utf-8") for path in WEB_FOLDER.rglob("*.py"))
    asked = set(re.findall(r"""\bt\(["'](\w+\.\w+)["'] *[,)]""", pages))
    assert asked and all(key in table[section] for section, key in (name.split(".") for name in asked))
    built = {found.split(".")[0] for found in re.findall(r"""t\(["'](\w+\.\w*)["'] *~""", pages)}
    built |= set(re.findall(r"""\bsay\(f"(\w+)\.""", code))
    built |= set(re.findall(r"""\.section\("(\w+)"\)""", pages + code))
    # a sentence chosen between two, and the singular of one with a number
    asked |= set(re.findall(r"""\bt\(["'](\w+\.\w+)["'] if .*? else ["'](?:\w+\.\w+)["']""", pages))
    asked |= set(re.findall(r"""\bt\(["'](?:\w+\.\w+)["'] if .*? else ["'](\w+\.\w+)["']""", pages))
    assert '~ ".link")' in pages  # the name of every page of a child, in the frame
    asked |= {f"{page}.link" for page_names in texts.SECTIONS.values() for page in page_names}
    idle = [
        f"{section}.{key}"
        for section, part in table.items()
        for key in part
        if f"{section}.{key}" not in asked and section not in built and f'"{section}.{key}"' not in code
    ]
    assert idle == []


@pytest.mark.slow
def test_a_locked_caseload_asks_for_its_passphrase(tmp_path: Path) -> None:
    first = Browser(tmp_path / "c.sqlite")
    first.post("/children", code="K07")
    assert first.desk.caseload.set_passphrase("six mud pies") is None
    first.desk.close()
    locked = Browser(tmp_path / "c.sqlite")
    asked = locked.get("/child/K07")
    assert asked.url.path == "/unlock" and "K07" not in asked.text
    wrong = locked.post("/unlock", passphrase="six mud pie")
    assert wrong.status_code == 403 and "the passphrase is wrong" in wrong.text
    assert "K07" in locked.post("/unlock", passphrase="six mud pies").text
    locked.desk.close()


def beside(page: str, name: str) -> bool:
    """True where a field is marked as wrong and what is wrong stands beside it."""
    return f'aria-errormessage="{name}-fault"' in page and f'id="{name}-fault"' in page


def test_what_is_wrong_with_a_form_is_said_beside_its_field_and_what_was_typed_stays(tmp_path: Path) -> None:
    browser = Browser(tmp_path / "c.sqlite")
    browser.post("/example")
    browser.post("/children", code="K07", age="3;2")
    home = "/child/EXAMPLE"
    for path, fields, wrong, kept in (
        ("/children", {"code": "K07", "age": "3;2", "note": "keep me"}, "code", "keep me"),
        ("/children", {"code": "K08", "age": "four", "note": "keep me"}, "age", "keep me"),
        ("/group", {"child": "EXAMPLE"}, "", 'value="EXAMPLE" checked'),
        (f"{home}/targets", {"words": "mud\nzzxqv"}, "word", "zzxqv"),
        (f"{home}/sessions", {"date": "2026-13-40"}, "date", ""),
        (f"{home}/notes", {"date": "soon", "subjective": "keep me"}, "date", "keep me"),
        (f"{home}/goals", {"text": ""}, "text", ""),
        (f"{home}/facts", {"age": "four", "main_language": "en-US", "note": "keep me", "version": "1"}, "age", "keep me"),
        (f"{home}/probes", {"session": "x", "set": "set 1", "right": "3", "out_of": "10"}, "", ""),
        ("/lock", {"new": "six mud pies", "again": "six mud pots", "kept": "1"}, "again", ""),
        ("/lock", {"new": "mud", "again": "mud", "kept": "1"}, "new", ""),
    ):  # fmt: skip
        answer = browser.post(path, **fields)
        assert answer.status_code == 422 and "That did not work" not in answer.text, path
        assert (not wrong or beside(answer.text, wrong)) and kept in answer.text, (path, wrong)
    for data in (b"", b"no zip"):
        answer = browser.post("/import", files={"file": ("a.zip", data, "application/zip")})
        assert answer.status_code == 422 and beside(answer.text, "file")
    for query, wrong in (
        ("words?shape=Q", "shape"), ("goals?make=1&percent=900", "percent"),
        ("sheets?kind=plan&minutes=9999", "minutes"),
    ):  # fmt: skip
        answer = browser.get(f"{home}/{query}")
        assert answer.status_code == 422 and beside(answer.text, wrong), query
