"""One running desk: its caseload, its secrets, how a page is made from a template, and the sentences of the pages.

The sentences stand by language in `rules/pages/desk_en.toml` and `desk_es.toml`.
"""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import quote, urlencode, urlsplit

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from approx.datafiles import read_toml, rules_path
from approx.problems import Problem
from approx.records.caseload import Caseload, open_caseload
from approx.records.database.browsers import Browsers
from approx.records.database.copies import daily_copies
from approx.records.database.daily_copy import restore_copy
from approx.records.database.opening import caseload_path
from approx.records.database.rows import Refused, SampleInfo, Trashed
from approx.web.server.guard import Door
from approx.web.server.page_parts import explained, fault, faulty, own_in, problem_in, shown_in, source_text
from approx.wording import fill_pattern

DESK_LANGUAGES = {"en": "English", "es": "Español"}
"""Languages of the pages, each by its own name."""

TEXT_FILES = ("desk", "desk_frame")
"""Files of sentences in `rules/pages/`, each with its language behind it: the pages of work, and the frame around them."""

SECTIONS = {
    "now": ("now",), "sounds": ("sounds", "samples", "compare"), "words": ("phrase", "words", "phrases"),
    "sessions": ("sessions",), "progress": ("progress", "goals"), "papers": ("sheets", "pictures", "notes", "report"),
    "history": ("history",),
}  # fmt: skip
"""The sections of a child and the pages of each, the first one first."""

EXAMPLE = "EXAMPLE"
"""Code of the invented child that an empty caseload offers."""

RECENT = 8


class Texts:
    """The sentences of one language. A name that the file lacks is a mistake of the program: KeyError."""

    def __init__(self, language: str) -> None:
        self.language = language if language in DESK_LANGUAGES else "en"
        self._tables = _tables(self.language)

    def __call__(self, name: str, /, **values: object) -> str:
        """The sentence `section.key`, with what stands between braces filled in. Plain text: the page escapes it."""
        section, _, key = name.partition(".")
        sentence: str = self._tables[section][key]
        return fill_pattern(sentence, **values) if values else sentence

    def problem(self, problem: Problem) -> Markup:
        """What is wrong and the way out, in this language."""
        line = self("site.line", line=problem.line) if problem.line else ""
        names = self.section("options")

        def field(found: re.Match[str]) -> str:
            return f"“{escape(names[found[1]])}”" if found[1] in names else found[0]

        # what a command calls an option, the page calls by the name of its field
        return Markup(re.sub(r"--([a-z]+(?:-[a-z]+)*)", field, problem_in(problem, self.language, line)))

    def section(self, name: str) -> dict[str, str]:
        """All sentences of a section."""
        found: dict[str, str] = self._tables[name]
        return found


@cache
def _tables(language: str) -> dict[str, Any]:
    parts = (read_toml(rules_path(f"pages/{name}_{language}.toml")) for name in TEXT_FILES)
    return {section: texts for part in parts for section, texts in part.items()}


WEB_FOLDER = Path(__file__).resolve().parent.parent
LANGUAGE_COOKIE = "approx_desk_language"


class KeptEntry(Protocol):
    """What is kept of a child under a number of its own."""

    @property
    def id(self) -> int:
        """Its number in the file."""


class Desk:
    """What all pages share. `problem` says why there is no caseload, where there is none."""

    def __init__(self, file: Path | None, key: str, language: str = "en") -> None:
        self.file, self.language = file, language
        self.door = Door(Browsers(caseload_path(file)), key)
        self.csrf = secrets.token_hex(32)
        self.copy_problem: Refused | None = None
        self._opened = open_caseload(file)
        self._pages = _environment()
        self.stop: Callable[[], None] = lambda: None
        """Ends the running desk; set by who runs it."""

    @property
    def caseload(self) -> Caseload:
        """The open caseload. LookupError where there is none: the routes let nobody so far."""
        if not isinstance(self._opened, Caseload):
            raise LookupError("no caseload is open")
        return self._opened

    @property
    def problem(self) -> Refused | None:
        """Why the caseload is not open; None if it is."""
        return self._opened if isinstance(self._opened, Refused) else None

    def unlock(self, passphrase: str) -> None:
        """Try to open the file with a passphrase; `problem` says how it went."""
        self._opened = open_caseload(self.file, passphrase)

    @property
    def copy_to_put_back(self) -> str:
        """Day of the last copy, where the file may be damaged and there is one; else ""."""
        problem = self.problem
        if problem is None or problem.problems[0].code not in ("records.damaged", "records.wrong_passphrase"):
            return ""
        return next(iter(daily_copies(caseload_path(self.file))), "")

    def put_back(self) -> Refused | None:
        """The last copy in the place of a damaged file, which is kept; nothing is done with a file that opens."""
        if not self.copy_to_put_back:
            return self.problem
        put = restore_copy(caseload_path(self.file))
        self._opened = open_caseload(self.file)
        return put if isinstance(put, Refused) else None

    @property
    def kept(self) -> dict[str, str]:
        """When something was saved last, in the time of this computer, and the day of the last copy; "" for none."""
        if self.opened is None:
            return {"saved": "", "day": ""}
        found = self.opened.safekeeping()
        moment = datetime.fromisoformat(found.saved).astimezone() if found.saved else None
        return {"saved": f"{moment:%Y-%m-%d %H:%M}" if moment else "", "day": next(iter(found.copies), "")}

    def lock_now(self) -> None:
        """Let go of the file and ask for its passphrase again; a file without one stays open."""
        if isinstance(self._opened, Caseload) and self._opened.locked:
            from approx.api.practice.suggesting import forget

            self._opened.close()
            forget()
            self._opened = open_caseload(self.file)

    def recent(self) -> tuple[str, ...]:
        """Codes of the children seen last."""
        found = self._opened.recent_children(RECENT) if isinstance(self._opened, Caseload) else ()
        return () if isinstance(found, Refused) else found

    def last_sample(self, code: str) -> SampleInfo | None:
        """The latest sample of a child, from which its sounds can be taken."""
        found = self.caseload.samples(code)
        return None if isinstance(found, Refused) else next(iter(found), None)

    @property
    def opened(self) -> Caseload | None:
        """The caseload if it is open."""
        return self._opened if isinstance(self._opened, Caseload) else None

    def close(self) -> None:
        """Let go of the file."""
        if isinstance(self._opened, Caseload):
            self._opened.close()

    def make_ready(self) -> None:
        """Load what the first page needs, so that who asks for it does not wait for that."""
        Texts(self.language).section("caseload")
        self._pages.get_template("unlock.html" if self.problem else "caseload.html")
        if self.problem is None:
            self.caseload.children()

    def texts(self, request: Request) -> Texts:
        """The sentences in the language of the reader, else of the start."""
        return Texts(request.cookies.get(LANGUAGE_COOKIE, self.language))

    def page(self, request: Request, name: str, status: int = 200, **values: object) -> Response:
        """A page, or a part of one, from `templates/NAME.html`. All values are escaped."""
        texts = self.texts(request)
        shared = {
            "t": texts, "language": texts.language, "languages": DESK_LANGUAGES, "csrf": self.csrf,
            "path": request.url.path if request.method == "GET" else "/",
            "said": request.query_params.get("said", ""), "undo": request.query_params.get("undo", ""),
            "problems": (), "say_problem": texts.problem, "recent": self.recent, "last_sample": self.last_sample,
            "open_caseload": self.problem is None,
            "kept": lambda: self.kept, "no_copy": self.copy_problem.problems if self.copy_problem else (),
            "locked_file": isinstance(self._opened, Caseload) and self._opened.locked,
        }  # fmt: skip
        html = self._pages.get_template(f"{name}.html").render(shared | values)
        return HTMLResponse(html, status)

    def refused(self, request: Request, answer: Refused, status: int = 404) -> Response:
        """A page that says why something cannot be shown or done, and leads back."""
        return self.page(request, "refused", status, problems=answer.problems, back=_came_from(request))

    def put_away(
        self, request: Request, mine: Sequence[KeptEntry] | Refused, entry_id: int,
        delete: Callable[[int], Trashed | Refused], section: str,
    ) -> Response:  # fmt: skip
        """Delete one entry of the child of the address, and say so on a page of that child, where it can be undone."""
        if isinstance(mine, Refused):
            return self.refused(request, mine)
        if all(each.id != entry_id for each in mine):
            hint = "it may have been deleted; undo restores it"
            return self.refused(request, Refused((Problem("desk.gone", "this child has no such entry", hint),)))
        away = delete(entry_id)
        if isinstance(away, Refused):
            return self.refused(request, away, 409)
        return go(child_path(request.path_params["code"], section), "deleted", away.token)


def go(path: str, said: str = "", undo: str = "", **query: object) -> Response:
    """To another page after something was saved: reloading that page saves nothing twice."""
    words = {name: value for name, value in {"said": said, "undo": undo, **query}.items() if value not in ("", None)}
    return RedirectResponse(f"{path}?{urlencode(words, doseq=True)}" if words else path, 303)


def child_path(code: str, rest: str = "") -> str:
    """The address of a child's page; a code may hold blanks and letters of any language."""
    return f"/child/{quote(code, safe='')}" + (f"/{rest}" if rest and rest != "now" else "")


def _came_from(request: Request) -> str:
    """The page of the desk that a request came from, the first page where that is not told."""
    parts = urlsplit(request.headers.get("referer", ""))
    if parts.netloc != request.url.netloc or not parts.path.startswith("/") or parts.path.startswith("//"):
        return "/"
    return f"{parts.path}?{parts.query}" if parts.query else parts.path


def section_of(page: str) -> str:
    """The section that a page of a child belongs to, "" for none."""
    return next((section for section, pages in SECTIONS.items() if page in pages), "")


def page_for_other(page: str) -> str:
    """The page to open when another child is chosen: the same one, where every child has it."""
    return page if section_of(page) else ""


def shown_problems(problems: Sequence[Problem]) -> list[Problem]:
    """Each message once, those that stop something first."""
    once = {(problem.message, problem.hint): problem for problem in problems}
    return sorted(once.values(), key=lambda problem: not problem.fatal)


@cache
def _environment() -> Environment:
    """One for all desks of a process: templates are compiled once."""
    pages = Environment(
        loader=FileSystemLoader(WEB_FOLDER / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    pages.filters["ipa"] = _ipa
    pages.filters["process_name"] = _process_name
    pages.filters["said_in"] = shown_in
    pages.filters["own_in"] = own_in
    pages.filters["source_in"] = source_text
    pages.filters["json"] = lambda value: json.dumps(value, ensure_ascii=False)
    pages.globals |= {
        "child_path": child_path, "shown_problems": shown_problems, "child_sections": SECTIONS, "section_of": section_of,
        "pages_of": page_for_other, "example_code": EXAMPLE, "explain": explained, "fault": fault, "faulty": faulty,
    }  # fmt: skip
    return pages


def _ipa(text: str) -> Markup:
    """IPA marked as such, so that a screen reader does not read it as a word of the page's language."""
    return Markup('<span class="ipa" lang="und-fonipa">{}</span>').format(escape(text))


def _process_name(name: str, language: str) -> str:
    """The name of a process on a page; reports are loaded with the first page that has one."""
    from approx.reports.report_words import process_name

    return process_name(name, language)
