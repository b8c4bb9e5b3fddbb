"""Pages to print: for the session, a group, the family, a teacher; cards, word pairs, games to listen, the plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, cast

from approx.api.options import (
    choice_problem,
    folder,
    language_problem,
    number_problem,
    page_language_problem,
    paper_problem,
    path_problems,
    refused,
    rule_problems,
    switch_problems,
    text_problems,
)
from approx.api.practice.children import ChildSource, child_of
from approx.api.practice.suggesting import file_of_words, ready, rows_of_list
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.practice.session.plan import TrialOrder
    from approx.practice.session.targets import ChildTargets
    from approx.practice.suggest.input_targets import ListRow
    from approx.reports.sheets.page_types import Page, Paper, SheetKind

SheetWords: TypeAlias = "str | Sequence[ListRow] | None"
"""A file, "-", or words separated by commas; or rows of word, IPA and line. None: those that are chosen for this child."""


@dataclass(frozen=True)
class Sheet(Result):
    """One page, to be printed; `page` is None where it could not be made."""

    problems: tuple[Problem, ...] = ()
    kind: str = ""
    page: Page | None = None

    def to_dict(self) -> dict[str, Any]:
        """What `approx sheet --json` prints."""
        from approx.reports.sheets.page_types import page_json

        parts = page_json(self.page) if self.page is not None else {}
        return {"page": self.kind, **parts, "problems": [problem.as_json() for problem in self.problems]}

    def to_table(self) -> TableRows:
        """A page is no table: its one row names it."""
        return ("page",), [(self.kind,)]

    def lines(self) -> list[str]:
        """The page as HTML."""
        return self.html().splitlines() if self.page is not None else []

    def html(self) -> str:
        """The page as HTML; "" where there is none."""
        from approx.reports.sheets.as_html import page_html

        return page_html(self.page) if self.page is not None else ""

    def pdf(self) -> bytes:
        """The page as PDF; no bytes where there is none."""
        from approx.reports.sheets.as_html import page_pdf

        return page_pdf(self.page) if self.page is not None else b""

    def docx(self) -> bytes:
        """The page as a document to edit; no bytes where there is none."""
        from approx.reports.sheets.as_docx import page_docx

        return page_docx(self.page) if self.page is not None else b""

    def _repr_html_(self) -> str:
        return self.html()


def sheet(
    page: SheetKind,
    children: ChildSource | Sequence[ChildSource],
    *,
    words: str | Sequence[SheetWords] = (),
    phrases: SheetWords = None,
    minutes: int | None = None,
    goal_trials: int | None = None,
    order: TrialOrder = "blocked",
    seed: int = 1,
    probe: SheetWords = None,
    paper: Paper | Literal[""] = "",
    language: str = "",
    date: str = "",
    next_date: str = "",
    number: str = "",
    words_language: str = "",
    emerging: bool = False,
    example: bool = False,
    allow_rude: bool = False,
    rules: str | Path | None = None,
    on_problem: OnProblem = "keep",
) -> Sheet:
    """A page to print, made of what this child is to practise.

    Args:
        page: session, group, family, letter, cards, contrast, match, listen, hear or plan. children: one child, or several for a group. words: a
            file of words, or words separated by commas; once for all children, or once a child, then also as rows (word, IPA or
            "", line); without them, eight are chosen. phrases: a file of phrases, phrases separated by commas, or rows of
            them. minutes, goal_trials: of the session.
        order: blocked, mixed or random. probe: words to probe without help; without
            them some that are not practised. paper: a4 or letter; "" for the usual one where the child's language is spoken.
            language: of the page,
            en or es; words_language: of the words, if not the child's. date, next_date: a day written as 2026-03-02 is
            printed as the region writes it, all else as given; number as given. example: marked as an invented example.
        allow_rude: print forms for others that a family may find rude; without it such words are left off, and said.

    >>> made = sheet("family", "samples/m12.toml", words="mud, hat")
    >>> made.kind, "mud" in made.html()
    ('family', True)
    """
    from approx.practice.session.plan import minutes_allowed, trials_allowed
    from approx.reports.sheets.sheet_page import SheetRequest, sheet_page

    several = _listed(children)
    lists: list[SheetWords] = [words] if isinstance(words, str) else list(words)
    wrong = [
        *_wrong(page, several, lists, paper, order, language),
        *number_problem("sheet.seed", seed),
        *([] if minutes is None else number_problem("minutes", minutes, minutes_allowed())),
        *([] if goal_trials is None else number_problem("goal_trials", goal_trials, trials_allowed())),
        *switch_problems(emerging=emerging, example=example, allow_rude=allow_rude),
        *path_problems(rules=rules),
        *text_problems(date=date, next_date=next_date, number=number),
        *(refused("words_language", words_language, each.hint) for each in language_problem(words_language)),
    ]
    if wrong:
        return Sheet(tuple(wrong), page).kept(on_problem)
    if len(lists) < 2:
        lists = (lists or [None]) * len(several)
    found: list[ChildTargets] = []
    said: tuple[Problem, ...] = ()
    for child, own in zip(several, lists):
        one, more = child_targets(
            child, own, phrases, seed=seed, kind=page, language=words_language, emerging=emerging, rules=rules
        )
        said = joined_problems(said, more)
        found += [one] if one is not None else []
    if fatal(said) or not found:
        return Sheet(said, page).kept(on_problem)
    probes: tuple[str, ...] = ()
    if probe is not None and page in ("session", "plan"):
        rows, more = _rows_of(probe)
        said, probes = joined_problems(said, more), tuple(word for word, _, _ in rows)
    if fatal(said):
        return Sheet(said, page).kept(on_problem)
    wanted = SheetRequest(
        page,
        minutes,
        goal_trials,
        order,
        seed,
        probes,
        paper,
        language,
        date,
        next_date,
        number,
        example,
        allow_rude,
    )
    made, remarks = sheet_page(found, wanted)
    return Sheet(joined_problems(said, remarks), page, made).kept(on_problem)


def _listed(children: ChildSource | Sequence[ChildSource]) -> list[ChildSource]:
    return list(children) if isinstance(children, (list, tuple)) else [cast(ChildSource, children)]


def _wrong(
    page: str, children: Sequence[ChildSource], words: Sequence[SheetWords], paper: str, order: str, language: str
) -> Iterable[Problem]:
    from approx.practice.session.plan import ORDERS
    from approx.reports.sheets.sheet_page import SHEET_KINDS

    yield from choice_problem("page", page, SHEET_KINDS)
    if not children:
        yield from child_of(None).problems
    elif len(children) > 1 and page != "group":
        yield Problem(
            "use.children", worded("a {page} page is for one child", page=page), "several: approx sheet group"
        )
    if len(words) > 1 and len(words) != len(children):
        hint = "in the order of the children"
        yield Problem("use.words", "give --words once, or once for each --child", hint)
    yield from paper_problem(paper)
    yield from choice_problem("order", order, ORDERS)
    if language:
        yield from page_language_problem(language)


def child_targets(
    child: ChildSource,
    words: SheetWords,
    phrases: SheetWords,
    *,
    seed: int = 1,
    kind: str = "",
    language: str = "",
    emerging: bool = False,
    rules: str | Path | None = None,
) -> tuple[ChildTargets | None, tuple[Problem, ...]]:
    """A child's targets: the words named, or eight chosen for this child; then the phrases. None if something is wrong.

    `kind`: of the page, for what it needs beside the words. `words`, `phrases`: a file, "-" or words with commas
    between, where a word with its IPA is written word=/ipa/; or such rows.
    """
    from approx.practice.session.targets import GOES_HOME, chosen_words, targets_for
    from approx.practice.suggest.suggest import SuggestOptions

    known = child_of(child)
    if known.profile is None or fatal(known.problems):
        return None, known.problems
    problems = known.problems
    rows, said = ([], ()) if words is None else _rows_of(words)
    problems = joined_problems(problems, said)
    spoken, said = ([], ()) if phrases is None else _rows_of(phrases)
    said = tuple(_of_phrases(problem) for problem in said)
    problems = joined_problems(problems, said)
    options = SuggestOptions(language=language, emerging=emerging, rules=folder(rules), clash_words=kind in GOES_HOME)
    with ready(known.profile, options) as suggester:
        problems = joined_problems(rule_problems(suggester.rules, rules), problems)
        if words is None and phrases is None:
            chosen: list[Problem] = []
            rows = chosen_words(suggester, seed, chosen, kind)
            problems = joined_problems(problems, chosen)
        if fatal(problems):
            return None, problems
        made, found = targets_for(suggester, rows, spoken, _source(words) or _source(phrases), kind)
    return made, joined_problems(problems, found)


def _of_phrases(problem: Problem) -> Problem:
    """An empty list of phrases is told as such, not as one of words."""
    if problem.code != "words.empty":
        return problem
    hint = "write one phrase per line" if problem.file else 'write phrases separated by commas: "more milk, big ball"'
    return replace(problem, code="phrases.empty", message="no phrase in the list", hint=hint)


def _rows_of(named: str | Sequence[ListRow]) -> tuple[list[ListRow], tuple[Problem, ...]]:
    return rows_of_list(named)[:2] if isinstance(named, str) else (list(named), ())


def _source(named: SheetWords) -> str:
    """The name of the file that words come from, "" where they were typed."""
    if not isinstance(named, str) or named == "-":
        return ""
    return file_of_words(named)
