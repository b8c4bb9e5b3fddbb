"""No English is left on a Spanish desk: every page that links lead to is walked, and every text on it is read."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from desk_client import Browser

pytestmark = pytest.mark.slow
ENGLISH = frozenset(
    "the of and is are not with for this that from has have by it was were which what than then they there more other "
    "none words word form sound each every counted between under over only rows row score right wrong heard said never".split()
)
"""Words that hardly a sentence of English does without, and that are no Spanish."""
OF_THE_CHILD = re.compile(
    r"contraste con .*|Oír .*|suena como .*|cuidado: .*|la palabra corta .*|una pregunta: .*|una palabra que señala: .*"
    r"|palabras elegidas para este niño: .*|.* ×\d.*|more|\.said|Fuente: .*|Opciones .*language:.*|sin género \(they\)"
)
"""Where the child's English words stand unquoted, names of a citation, the mark of the counting options, a class of the look."""
SIGNATURE = re.compile(r"Opciones \w+: ")
"""The counting options as every program writes them, so that two reports can be compared."""
WITHOUT_LINKS = (
    "/phrase?phrase=big+spoon", "/phrase?phrase=zxqv+colonel", "/phrases?what=frames", "/phrases?what=phrases",
    "/phrases?what=grammar&grammar=dig+mud", "/phrases?what=grammar&grammar=zzz", "/words?goal=s+initial&set=6",
    "/words?contrast=on", "/words?shape=Q", "/words?new=0&count=90", "/words?own=zxq", "/sheets?kind=session&typed=zzxq",
    "/sheets?kind=family", "/sheets?kind=plan&minutes=20", "/sheets?kind=plan", "/sheets?kind=contrast", "/sheets?kind=hear",
    "/sheets?kind=cards&typed_phrases=more", "/goals?make=1&percent=900&trials=0", "/report?then=x&part=words&part=progress",
)  # fmt: skip
VOID = frozenset({"meta", "link", "input", "img", "br", "hr", "col", "source", "wbr", "path", "line", "rect", "circle"})
SPOKEN = ("alt", "title", "aria-label", "placeholder", "data-saved", "data-failed", "data-ready", "data-waiting")


class Texts(HTMLParser):
    """Every text of a page with the language it is marked as."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, str]] = []
        self.found: list[tuple[str, str]] = []
        self.feed(page.replace("<wbr>", ""))  # a place to break parts no text

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        language = given.get("lang") or (self.open[-1][1] if self.open else "")
        if tag not in VOID:
            self.open.append((tag, language))
        self.found += [(language, text) for name in SPOKEN if (text := given.get(name))]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        text = " ".join(data.split())
        if text and self.open and self.open[-1][0] not in ("script", "style"):
            self.found.append((self.open[-1][1], text))


def english_in(page: str, known: frozenset[str]) -> list[str]:
    """What is English on a page: marked as such, or unmarked with an English word in it. `known`: words of the child."""
    out = []
    for language, text in Texts(page).found:
        if language == "en":
            out += [text] if text.casefold() not in known and text != "English" else []
        elif language in ("", "es") and not SIGNATURE.match(text):
            rest = re.sub(r"'[^']*(?:'s)?'|“[^”]*”|«[^»]*»", "", text)
            parts = [part for part in re.split(r"; ", rest) if not OF_THE_CHILD.fullmatch(part.strip("⚠ ;"))]
            out += [text] if ENGLISH & set(re.findall(r"\w+", " ".join(parts).casefold())) else []
    return out


def without_typed_rows(page: str) -> str:
    """The page without what was typed into its large fields, which stays as it was typed."""
    return re.sub(r"(?s)(<textarea[^>]*>).*?(?=</textarea>)", r"\1", page)


def test_the_reader_finds_english_and_lets_the_childs_words_be() -> None:
    page = "<html lang='es'><p>Las palabras</p><p>Each word by itself</p><p>'the' pide ð; contraste con that</p></html>"
    assert english_in(page, frozenset()) == ["Each word by itself"]
    assert english_in("<html lang='es'><span lang='en'>unheard</span></html>", frozenset()) == ["unheard"]


def test_no_page_of_a_spanish_desk_speaks_english(tmp_path: Path) -> None:
    browser = Browser(tmp_path / "c.sqlite", "es")
    browser.post("/example")
    browser.post("/child/EXAMPLE/samples", pasted="target_word\tproduced_ipa\ncup\tkʌp\nfish\tpɪs", date="2026-10-01")
    targets = browser.desk.caseload.targets("EXAMPLE")
    assert isinstance(targets, tuple)
    known = frozenset(target.word.casefold() for target in targets) | {"is", "not", "am", "are"}
    home = "/child/EXAMPLE"
    waiting = [
        "/",
        "/glossary",
        "/deleted",
        "/files",
        "/lock",
        "/browsers",
        *(f"{home}{path}" for path in WITHOUT_LINKS),
    ]
    walked: set[str] = set()
    left: dict[str, str] = {}
    alike: dict[str, int] = {}
    while waiting:
        path = waiting.pop(0)
        kind = re.sub(r"\d+", "N", path)
        if path in walked or alike.get(kind, 0) > 1 or len(walked) > 200:
            continue
        walked.add(path)
        alike[kind] = alike.get(kind, 0) + 1
        answer = browser.get(path)
        if "html" not in answer.headers.get("content-type", ""):
            continue
        for text in english_in(answer.text, known):
            left.setdefault(text, path)
        for link in re.findall(r'href="(/[^"#]*)', answer.text):
            if not link.startswith(("/static", "/language", "/fonts")) and not re.search(
                r"\.\w+$|\.\w+\?|export", link
            ):
                waiting.append(link.replace("&amp;", "&"))
    assert len(walked) > 60 and left == {}


FAULTS: tuple[tuple[str, dict[str, object]], ...] = (
    ("/children", {"code": "Anna Maria Lopez", "age": "four"}),
    ("/children", {"code": "EXAMPLE"}),
    ("/children", {"code": "../x" * 30, "age": "3;2", "birth_month": "2026-99"}),
    ("/child/EXAMPLE/facts", {"version": "1", "age": "99;99", "birth_month": "x", "note": "y" * 30_000}),
    ("/child/EXAMPLE/samples", {"pasted": "word\tsaid\ncup\t???\nfish\t1/2\nmud\t=mʌd\negg\t3-Feb\nbug\tb(ʌ\nfig\tˈˈfɪ", "date": "2026-13-45"}),
    ("/child/EXAMPLE/samples", {"pasted": "a\tb\tc\n1\t2\t3"}),
    ("/child/EXAMPLE/samples", {"pasted": 'word\tsaid\n"cup\tkʌp\nzxqv\tkʌ͡p͡'}),
    ("/child/EXAMPLE/samples", {"looked": "1", "pasted": "cup\tkʌp", "column": ["target_word", "target_word"]}),
    ("/child/EXAMPLE/targets", {"words": "zxqv\ncup = kʌ3p\nmud = /m"}),
    ("/child/EXAMPLE/probes", {"set": ["s", ""], "right": ["12", ""], "out_of": ["10", "10"], "kind": ["treated", "treated"], "session": "x"}),
    ("/child/EXAMPLE/phases", {"name": "", "first": "zero", "sets": ""}),
    ("/child/EXAMPLE/probe-table", {"pasted": "session\tright\tout_of\n1\t12\t10\nx\t3\t10\n2\t5%\t", "starts": "nosuch = 4"}),
    ("/child/EXAMPLE/goals", {"text": ""}),
    ("/child/EXAMPLE/notes", {"date": "2026-99-99"}),
    ("/child/EXAMPLE/phrase", {"phrase": "cake", "word": "cake", "own_ipa": "t3ɪt", "reason": "x"}),
    ("/child/EXAMPLE/phrase", {"phrase": "cake", "word": "cake", "own_ipa": "teɪt", "reason": ""}),
    ("/child/EXAMPLE/words", {"do": "practise", "back": ""}),
    ("/session/6/grid", {"help 1": "9", "score 1": "x"}),
    ("/session/6/trial", {"target": "999", "help": "none", "result": "2", "key": "k"}),
    ("/group", {}),
    ("/lock", {"now": "", "new": "short", "again": "shirt"}),
    ("/undo", {"token": "nonsense", "back": "/"}),
    ("/child/EXAMPLE/delete", {"again": "WRONG", "for_good": "1"}),
    ("/child/EXAMPLE/pictures", {"word": "cake", "files": {"picture": ("a.heic", b"\0\0\0\x18ftypheic\0\0\0\0", "image/heic")}}),
    ("/child/EXAMPLE/pictures", {"word": "", "files": {"picture": ("a.txt", b"no picture", "text/plain")}}),
    ("/import", {"files": {"file": ("a.zip", b"no zip", "application/zip")}}),
    ("/child/EXAMPLE/sounds", {"clusters": "sp nowhere, x9, ʃp initial final", "version": "1", "max_syllables": "99"}),
)  # fmt: skip
"""What a form is sent with that cannot be taken as it stands."""
ASKED = (
    "/phrase?phrase=%CB%88%CB%88k1+%2Fsp%28un%2F+%2F%2F+xxx", "/phrase?phrase=supercalifragilistic", "/read?form=k%28%CA%8C3&language=en-US",
    "/words?goal=zz+initial,k,th+final,4+syllables&shape=XYZ&sound=9&category=qqq&own=a%3D%2Fq%2F,zxq&exclude=mud&interest=qq",
    "/words?new=9&count=9999&set=99", "/words?own=zxq,blarg&shape=CVCVCV&new=0", "/phrases?what=grammar&grammar=%3F%3F&order=zzz",
    "/phrases?what=phrases&length=9&own=zxq,mud", "/sheets?kind=family&typed=zxq,mud,mud&typed_phrases=more+more+more",
    "/sheets?kind=plan&minutes=1&goal_trials=9999", "/sheets?kind=contrast&typed=mud", "/goals?make=1&right=12&out_of=10&percent=900&sessions=0",
    "/compare?then=x&now=y", "/report?part=nosuch",
)  # fmt: skip


def test_no_answer_to_a_fault_speaks_english(tmp_path: Path) -> None:
    browser = Browser(tmp_path / "c.sqlite", "es")
    browser.post("/example")
    left: dict[str, str] = {}
    known = frozenset({"cake", "more more more", "mud", "cup", "fish", "egg", "bug", "fig", "soap", "spoon", "carrot"})
    answers = [(path, browser.post(path, **fields)) for path, fields in FAULTS]
    answers += [(path, browser.get(path if path.startswith("/read") else f"/child/EXAMPLE{path}")) for path in ASKED]
    assert sum(answer.status_code >= 400 for _, answer in answers) > 12
    for path, answer in answers:
        assert answer.status_code < 500, path
        for text in english_in(without_typed_rows(answer.text), known):
            left.setdefault(text, path)
    assert left == {}
