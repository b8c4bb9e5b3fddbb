"""`approx sheet`: pages to print, for the clinician, the group, the family; cards, strips, listening games, the plan.

What a page is made of: children, words and phrases as named on the command line.
"""

from __future__ import annotations

import sys
from dataclasses import asdict, dataclass
from pathlib import Path

from approx.child import read_child
from approx.cli.output import is_terminal, print_json, print_problems, write_page
from approx.practice.session.targets import ChildTargets, chosen_words, targets_for
from approx.practice.session.trial_order import ORDERS
from approx.practice.suggest.input_targets import Row, read_words, typed_rows
from approx.practice.suggest.suggest import Options, Suggester
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.reports.sheets.page_types import PAPERS, Page
from approx.reports.sheets.sheet_page import KINDS, SheetRequest, sheet_page
from approx.reports.sheets.wording import LANGUAGES, page_language

_FILES = (".txt", ".csv", ".tsv")


def child_targets(
    child: Path, words: str | None, phrases: str | None, options: Options, seed: int, kind: str = ""
) -> tuple[ChildTargets | None, list[Problem]]:
    """A child's targets: the words named, or eight chosen for this child; then the phrases. None if something is wrong.

    `kind`: of the page, for what it needs beside the words. `words`: a file, "-" or words with commas between; a word with its IPA is written word=/ipa/.
    """
    profile, found = read_child(child)
    problems = list(found)
    if profile is None or exit_code(problems):
        return None, problems
    suggester = Suggester(profile, options)
    problems += suggester.rules.problems
    if words is None and phrases is None:
        rows, said = chosen_words(suggester, seed, problems, kind), []
    else:
        rows = [] if words is None else named_words(words, problems)
        said = [] if phrases is None else named_words(phrases, problems)
    if exit_code(problems):
        return None, problems
    made, more = targets_for(suggester, rows, said, _source(words) or _source(phrases), kind)
    return made, [*problems, *more]


def named_words(named: str, problems: list[Problem]) -> list[Row]:
    """Rows of a list as typed: a file by its name, "-" for stdin, or words with commas between. Faults go to `problems`."""
    if named == "-" or Path(named).suffix.lower() in _FILES or _is_file(named):
        rows, more = read_words(named)
        problems += more
        return rows
    rows = typed_rows(named)
    if not rows:
        problems.append(Problem("words.empty", "no word in the list", 'write words with commas between: "mud, hat"'))
    return rows


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except OSError:  # a long list is no file name
        return False


def _source(named: str | None) -> str:
    """The name of the file that words come from, "" where they were typed."""
    if named is None or named == "-":
        return ""
    return named if Path(named).suffix.lower() in _FILES or _is_file(named) else ""


PAGES = KINDS


@dataclass(frozen=True, slots=True)
class Request:
    """The command line as typed. `words`: once for all children, or once a child in their order."""

    page: str
    children: tuple[Path, ...]
    words: tuple[str, ...] = ()
    phrases: str | None = None
    minutes: int | None = None
    goal_trials: int | None = None
    order: str = "blocked"
    seed: int = 1
    probe: str | None = None
    paper: str = ""
    language: str = ""
    date: str = ""
    next_date: str = ""
    number: str = ""
    html: Path | None = None
    pdf: Path | None = None
    docx: Path | None = None
    force: bool = False
    emerging: bool = False
    example: bool = False
    rules: Path | None = None
    as_json: bool = False


def run(request: Request) -> int:
    """Make the page and write or print it; 0 fine, 1 problems in the data and nothing written, 2 wrong use."""
    wrong = _wrong_use(request)
    if wrong:
        print_problems(wrong)
        return WRONG_USE
    page, problems = made(request)
    if page is None or exit_code(problems):
        if request.as_json:
            print_json({"page": request.page, "problems": [problem.as_json() for problem in problems]})
        print_problems(problems)
        return BAD_DATA
    problems += _deliver(page, request, problems)
    print_problems(problems)
    return exit_code(problems)


def made(request: Request) -> tuple[Page | None, list[Problem]]:
    """The page asked for, or None, and everything that is to be said about it."""
    options = Options(emerging=request.emerging, rules=request.rules, clash_words=False)
    lists: tuple[str | None, ...] = request.words or (None,)
    if len(lists) == 1:
        lists *= len(request.children)
    found: list[ChildTargets] = []
    problems: list[Problem] = []
    for child, words in zip(request.children, lists):
        one, more = child_targets(child, words, request.phrases, options, request.seed, request.page)
        problems += [problem for problem in more if problem not in problems]
        if one is not None:
            found.append(one)
    if exit_code(problems) or not found:
        return None, problems
    probes: tuple[str, ...] = ()
    if request.probe is not None and request.page in ("session", "plan"):
        probes = tuple(word for word, _, _ in named_words(request.probe, problems))
    if exit_code(problems):
        return None, problems
    wanted = SheetRequest(
        request.page, request.minutes, request.goal_trials, request.order, request.seed, probes, request.paper,
        request.language, request.date, request.next_date, request.number, request.example,
    )  # fmt: skip
    page, more = sheet_page(found, wanted)
    return page, [*problems, *more]


def _deliver(page: Page, request: Request, problems: list[Problem]) -> list[Problem]:
    """Every file asked for; without one, the page on stdout."""
    if request.as_json:
        print_json({"page": request.page, **asdict(page), "problems": [problem.as_json() for problem in problems]})
    out: list[Problem] = []
    try:
        if request.html is not None or (request.pdf is None and request.docx is None and not request.as_json):
            from approx.reports.sheets.as_html import page_html

            text = page_html(page)
            if request.html is not None:
                out += _written(request.html, text.encode(), request.force)
            else:
                sys.stdout.write(text)
        if request.pdf is not None:
            from approx.reports.sheets.as_pdf import page_pdf

            out += _written(request.pdf, page_pdf(page), request.force)
        if request.docx is not None:
            from approx.reports.sheets.as_docx import page_docx

            out += _written(request.docx, page_docx(page), request.force)
    except ImportError as error:
        out.append(
            Problem(
                "sheet.missing",
                f"this page needs the package {error.name}",
                "install approx again: it brings this package along",
            )
        )
    return out


def _written(path: Path, data: bytes, force: bool) -> list[Problem]:
    """A file written, and said so; or why not."""
    problem = write_page(path, data, force)
    if problem is not None:
        return [problem]
    print(f"{path}: written", file=sys.stderr)
    return []


def _wrong_use(request: Request) -> list[Problem]:
    out = []
    if request.page not in PAGES:
        out.append(Problem("use.page", f"'{request.page}' is not a page", ", ".join(PAGES)))
    if not request.children:
        out.append(
            Problem("use.child", "no child file named", "--child FILE; `approx child new FILE` writes one to fill in")
        )
    elif len(request.children) > 1 and request.page != "group":
        out.append(Problem("use.children", f"a {request.page} page is for one child", "several: approx sheet group"))
    if len(request.words) > 1 and len(request.words) != len(request.children):
        out.append(Problem("use.words", "give --words once, or once for each --child", "in the order of the children"))
    if request.paper and request.paper not in PAPERS:
        out.append(Problem("use.paper", f"'{request.paper}' is not a paper size", ", ".join(PAPERS)))
    if request.order not in ORDERS:
        out.append(Problem("use.order", f"'{request.order}' is not an order of practice", ", ".join(ORDERS)))
    if request.language and page_language(request.language) is None:
        out.append(Problem("use.language", f"no pages in '{request.language}'", ", ".join(LANGUAGES)))
    for path, ending in ((request.html, ".html"), (request.pdf, ".pdf"), (request.docx, ".docx")):
        if path is not None and path.suffix.casefold() != ending:
            hint = f"end the name in {ending}"
            out.append(Problem("use.ending", f"'{path.name}' is not what --{ending[1:]} writes", hint))
    nowhere = request.html is None and request.pdf is None and request.docx is None and not request.as_json
    if nowhere and is_terminal():
        out.append(Problem("use.file", "the page is HTML", "name a file: --html page.html or --pdf page.pdf"))
    return out
