"""Script typed into any field of any form stays text, on every page that follows or shows it."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

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
        if tag == "script" and given.get("src") != "/static/desk.js" or tag in ("img", "iframe", "object", "base"):
            self.found.append(tag)
        self.found += [name for name in given if name.startswith("on") or name == "style"]
        self.found += [
            name for name in ("href", "src", "action") if not (given.get(name) or "/").startswith(("/", "#", "?"))
        ]


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
        ("/child/K07/targets/1", {"version": EVIL, "state": EVIL, "help": EVIL}),
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
