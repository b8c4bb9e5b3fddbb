"""Script typed into any field of any form stays text, on every page that follows or shows it."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

import pytest
from desk_client import Browser

EVIL = "\"><script>alert(1)</script><img src=x onerror=alert(2)>'{{7*7}}"


class Scripts(HTMLParser):
    """What a browser would run in a page: scripts that are not ours, attributes that are scripts."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        source = given.get("src") or ""
        ours = tag == "script" and source in (
            "/static/desk.js", "/static/htmx.min.js", "/static/charts.js", "/static/print.js"
        )  # fmt: skip
        ours |= tag == "img" and (source.startswith("/child/") or source == "/static/desk.svg")
        if tag in ("script", "img", "iframe", "object", "base") and not ours:
            self.found.append(tag)
        self.found += [name for name in given if name.startswith("on") or name == "style"]
        self.found += [
            name for name in ("href", "src", "action") if not (given.get(name) or "/").startswith(("/", "#", "?"))
        ]


@dataclass
class Form:
    """A form of a page: where it is sent, what it brings if nothing is touched, and what can be filled in."""

    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)
    open: list[str] = field(default_factory=list)


class Forms(HTMLParser):
    """The forms of a page, and the pages it leads to."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.links: list[str] = []
        self._select = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name, value = given.get("name", ""), given.get("value", "")
        if tag == "a" and given.get("href", "").startswith("/"):
            self.links.append(given["href"])
        elif tag == "form":
            self.forms.append(Form(given["action"], given["method"]))
        elif tag == "option" and self._select and ("selected" in given or self._select not in self.forms[-1].fields):
            self.forms[-1].fields[self._select] = value
        elif tag in ("input", "textarea", "select", "button") and name and self.forms:
            form = self.forms[-1]
            self._select = name if tag == "select" else ""
            if name != "csrf" and name not in form.open and given.get("type") != "file":
                form.open.append(name)
            if tag == "input" and (given.get("type") not in ("radio", "checkbox") or "checked" in given):
                form.fields[name] = value


def test_the_reader_of_scripts_finds_one() -> None:
    """The check below can fail."""
    assert Scripts(f'<input value="{EVIL}">').found == ["script", "img", "onerror", "src"]


def test_script_in_every_text_field_stays_text(tmp_path: Path) -> None:
    """Each field of each form is filled with a script in turn; no page that follows or shows it has a script in it."""
    browser = Browser(tmp_path / "c.sqlite")
    browser.post("/children", code="K07", note=EVIL, age=EVIL, birth_month=EVIL)
    browser.post("/children", code="K07", note=EVIL)
    browser.post("/child/K07/sounds", version="0", clusters="", **{"vowel ɑ": "established", "shape CV": "established"})
    target = browser.post("/child/K07/targets", word=EVIL, adult="mud", form="mʌ")
    assert target.status_code == 200
    session = browser.post("/child/K07/sessions", date="2026-03-02")
    number = int(str(session.url).rpartition("/")[2])
    rows = f'target_word\tproduced_ipa\tnote\n"{EVIL.replace(chr(34), chr(34) * 2)}"\tmud\t{EVIL[:9]}\n'
    sample = browser.post("/child/K07/samples", pasted=rows, title=EVIL, note=EVIL)
    tries: list[tuple[str, dict[str, str]]] = [
        ("/children", dict.fromkeys(("code", "age", "birth_month", "note", "main_language", "languages"), EVIL)),
        ("/child/K07/facts", {"version": EVIL, "age": EVIL, "birth_month": EVIL, "note": EVIL}),
        (
            "/child/K07/sounds",
            {"version": "1", "clusters": EVIL, "max_syllables": EVIL, "variety": EVIL, "vowel ɑ": EVIL},
        ),
        ("/child/K07/phrase/choose", {"word": EVIL, "adult": EVIL, "ipa": EVIL, "reason": EVIL, "phrase": EVIL}),
        ("/child/K07/phrase/choose", {"word": EVIL, "adult": "mud", "own_ipa": "mʌ", "reason": EVIL, "phrase": EVIL}),
        ("/child/K07/samples", {"pasted": EVIL, "title": EVIL, "note": EVIL, "date": EVIL, "heading": EVIL}),
        ("/child/K07/samples", {"word": EVIL, "said": EVIL}),
        ("/child/K07/sessions", {"date": EVIL}),
        ("/child/K07/targets", {"word": EVIL, "adult": EVIL, "form": EVIL, "help": EVIL}),
        ("/session/1/day", {"version": EVIL, "date": EVIL}),
        (f"/session/{number}/trial", {"target": "1", "help": EVIL, "result": EVIL, "key": EVIL}),
        (f"/session/{number}/trial", {"target": "1", "help": EVIL, "result": EVIL, "key": EVIL, "part": "1"}),
        ("/child/K07/delete", {"for_good": "1", "again": EVIL}),
        (f"/session/{number}/grid", {"help 1": EVIL, "score 1": EVIL, "key": EVIL}),
        ("/child/K07/probes", dict.fromkeys(("session", "set", "right", "out_of", "kind", "date"), EVIL)),
        ("/child/K07/probes", {"session": "1", "set": EVIL, "right": "1", "out_of": "10", "kind": EVIL}),
        ("/child/K07/phases", {"name": EVIL, "first": "1", "sets": EVIL}),
        ("/child/K07/probe-table", {"pasted": EVIL, "starts": EVIL}),
        ("/import", {"file": EVIL}),
        ("/undo", {"token": EVIL, "back": EVIL}),
        ("/unlock", {"passphrase": EVIL}),
    ]
    pages = [(path, browser.post(path, **fields)) for path, fields in tries]
    shown = ["/", "/child/K07", "/child/K07/sounds", "/child/K07/samples", "/child/K07/sessions", "/child/K07/delete"]
    shown += ["/child/K07/progress", f"/session/{number}/grid"]
    shown += [f"/session/{number}", str(sample.url.path)]
    pages += [(path, browser.get(path)) for path in shown]
    for path in ("/child/K07/phrase", "/child/K07/phrase/answer", "/read", "/", f"/session/{number}"):
        query = dict.fromkeys(
            ("phrase", "emerging", "form", "language", "said", "undo", "target", "help", "rows"), EVIL
        )
        pages.append((path, browser.client.get(path, params=query)))
    for path, page in pages:
        assert page.status_code != 500, path
        assert Scripts(page.text).found == [], path
    everything = "".join(page.text for _, page in pages)
    assert "&lt;script&gt;alert(1)" in everything and "{{7*7}}" in everything
    browser.desk.close()


def crawled(browser: Browser, start: str) -> dict[str, str]:
    """Every page that links lead to from one page on, by its address without what stands behind `?`; files left out."""
    pages: dict[str, str] = {}
    waiting = [start]
    while waiting:
        path = waiting.pop().partition("?")[0].partition("#")[0]
        if path in pages or path.startswith("/language") or "export" in path or "." in path.rpartition("/")[2]:
            continue
        answer = browser.get(path)
        if answer.headers["content-type"].startswith("text/html"):
            pages[path] = answer.text
            waiting += Forms(answer.text).links
    return pages


@pytest.mark.slow
def test_every_field_of_every_form_that_links_lead_to(tmp_path: Path) -> None:
    """Found by following the links, so that a new page is looked at without being named here."""
    browser = Browser(tmp_path / "c.sqlite")
    browser.post("/children", code="K07", note=EVIL)
    browser.post("/child/K07/sounds", version="0", clusters="", **{"vowel ɑ": "established", "shape CV": "established"})
    browser.post("/child/K07/targets", word="mud", form="mʌ")
    browser.post("/child/K07/sessions", date="2026-03-02")
    browser.post("/child/K07/samples", pasted="target_word\tproduced_ipa\nmud\tmʌ\n")
    browser.post("/child/K07/probes", session="1", set="a", right="1", out_of="10", kind="treated")
    pages = crawled(browser, "/")
    assert len(pages) >= 12
    filled, seen = 0, ""
    for page in pages.values():
        for form in Forms(page).forms:
            if form.action.endswith("/delete") or form.action.startswith("/lock"):
                continue  # they end what the others look at; they have a test of their own
            # each field by itself, and all at once
            for names in [[name] for name in form.open] + [form.open]:
                fields = form.fields | dict.fromkeys(names, EVIL)
                fields.pop("csrf", None)
                ask = (
                    browser.post(form.action, **fields)
                    if form.method == "post"
                    else browser.client.get(form.action, params=fields)
                )
                assert ask.status_code != 500, (form.action, names)
                if ask.headers["content-type"].startswith("text/html"):
                    assert Scripts(ask.text).found == [], (form.action, names)
                seen += ask.text
                filled += 1
    for path, page in crawled(browser, "/").items():
        assert Scripts(page).found == [], path
        seen += page
    assert filled > 60 and "&lt;script&gt;alert(1)" in seen and "{{7*7}}" in seen
    browser.desk.close()
