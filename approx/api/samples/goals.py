"""Goals as measurable sentences, from a table of their parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from approx.api.options import page_language_problem, page_tag, text_problems
from approx.api.result import OnProblem, Result, TableRows
from approx.api.samples.sample_input import SampleSource, table_from
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.reports.document import Document, GoalFacts
    from approx.reports.text.goals import GoalText

GOAL_COLUMNS = (
    "child", "target", "form", "setting", "help", "percent", "trials", "sessions", "due", "measured_by", "right", "out_of",
    "level_date",
)  # fmt: skip
"""Parts of a goal; an empty one is a gap that the clinician fills."""
_NUMBERS = ("percent", "trials", "sessions", "right", "out_of")


@dataclass(frozen=True)
class Goals(Result):
    """Goals in the order of their rows, each with its sentence."""

    problems: tuple[Problem, ...] = ()
    facts: tuple[GoalFacts, ...] = ()
    texts: tuple[GoalText, ...] = ()
    language: str = "en"

    def to_dict(self) -> dict[str, Any]:
        """What `approx goals --json` prints."""
        goals = [
            {"child": facts.child, "goal": text.sentence, "gaps": list(text.gaps)}
            for facts, text in zip(self.facts, self.texts)
        ]
        return {"problems": [problem.as_json() for problem in self.problems], "goals": goals}

    def to_table(self) -> TableRows:
        """A row a goal."""
        rows = [(facts.child, text.sentence, ", ".join(text.gaps)) for facts, text in zip(self.facts, self.texts)]
        return ("child", "goal", "gaps"), rows

    def lines(self) -> list[str]:
        """A goal a line; what is still to be filled in stands in square brackets."""
        return [text.sentence for text in self.texts]

    def document(self) -> Document | None:
        """The goals of each child to print; None without a goal."""
        from approx.reports.documents.documents import joined_documents
        from approx.reports.text.goals import goals_page

        codes = dict.fromkeys(facts.child for facts in self.facts)
        made = [goals_page([one for one in self.facts if one.child == code], code, self.language) for code in codes]
        return joined_documents(made) if made else None


def goals(source: SampleSource, *, child: str = "", language: str = "en", on_problem: OnProblem = "keep") -> Goals:
    """Who will say what, where, with which help, how well, by when, how it is counted, and the level today with its n.

    Args:
        source: a file or a data frame, a row a goal, with the columns of `GOAL_COLUMNS` in any order; "target" is needed.
        child: only this child's goals. language: of the sentences, en or es, or with a region (es-MX).

    >>> import pandas
    >>> goals(pandas.DataFrame({"target": ["mud"], "percent": ["80"]})).texts[0].gaps[0]
    'setting'
    """
    from approx.reports.text.goals import goal_text

    wrong = [*page_language_problem(language), *text_problems(child=child)]
    if wrong:
        return Goals(tuple(wrong)).kept(on_problem)
    language = page_tag(language)
    table = table_from(source)
    names = [name.strip().casefold().replace(" ", "_") for name in table.header]
    names = ["trials" if name == "tries" else name for name in names]
    problems, facts = [], []
    columns = ", ".join(GOAL_COLUMNS)
    unknown = [name for name in names if name and name not in GOAL_COLUMNS]
    problems += [
        Problem(
            "goals.column",
            worded("the column '{name}' is not read", name=name),
            worded("columns: {columns}", columns=columns),
            fatal=False,
        )
        for name in unknown
    ]
    if any(names) and "target" not in names:
        needed = worded("a table of goals needs a column '{name}'", name="target")
        problems.append(Problem("goals.target", needed, worded("columns: {columns}", columns=columns), table.file, 1))
        table.rows = iter(())
    for number, cells in enumerate(table.rows, 2 + table.skipped):
        row = {name: cell.strip() for name, cell in zip(names, cells)}
        if any(row.values()) and (not child or row.get("child", "") in ("", child)):
            one, wrong = _facts(row, number, child, table.file)
            facts.append(one)
            problems += wrong
    problems = [*(each for each in table.problems if each.code != "sample.empty"), *problems]
    if not facts and not any(problem.fatal for problem in problems):
        problems.append(
            Problem(
                "goals.none",
                "there is no goal",
                worded("write one row per goal under these columns: {columns}", columns=columns),
            )
        )
    texts = tuple(goal_text(one, language) for one in facts)
    problems += [problem for text in texts for problem in text.problems]
    return Goals(tuple(problems), tuple(facts), texts, language).kept(on_problem)


def _facts(row: Mapping[str, str], number: int, child: str, file: str) -> tuple[GoalFacts, list[Problem]]:
    """One row; a number that cannot be read is a problem, and stays a gap."""
    from approx.reports.document import GoalFacts

    problems, values = [], dict[str, Any](row)
    for name in _NUMBERS:
        text = row.get(name, "").removesuffix("%").strip()
        plain = text.isascii() and text.isdecimal() and len(text) < 7
        values[name] = int(text) if plain else None
        if text and not plain:
            hint = "a whole number, or nothing"
            problems.append(
                Problem(
                    "goals.number",
                    worded("{name} is not a number: '{row}'", name=name, row=row[name]),
                    hint,
                    file,
                    number,
                )
            )
    known = {field.name for field in fields(GoalFacts)}
    facts = GoalFacts(
        **{name: value for name, value in values.items() if name in known} | {"child": row.get("child") or child}
    )
    return facts, problems
