"""One child: what he or she can say, read from a file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from io import TextIOBase
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias

from approx.api.options import language_problem, path_problems
from approx.api.result import OnProblem, Result, TableRows
from approx.api.write_table import TableKeys
from approx.problems import Problem

if TYPE_CHECKING:
    from approx.child.profile import Profile


@dataclass(frozen=True)
class Child(Result):
    """What one child can say. `profile` is None where the file could not be read at all."""

    problems: tuple[Problem, ...] = ()
    profile: Profile | None = None

    table_keys: ClassVar[TableKeys] = TableKeys(("code",), ("kind", "item", "position"))

    @property
    def code(self) -> str:
        """The code the clinician gave, "" where the file could not be read."""
        return self.profile.code if self.profile else ""

    def _summary(self) -> Iterable[tuple[str, object]]:
        yield "code", repr(self.code)
        yield from super()._summary()

    def to_dict(self) -> dict[str, Any]:
        """What `approx child show --json` prints."""
        said = {"problems": [problem.as_json() for problem in self.problems]}
        return (self.profile.to_dict() if self.profile else {}) | said

    def to_table(self) -> TableRows:
        """A row a sound, cluster or shape with its status."""
        from approx.reports.tables.inventory import PROFILE_COLUMNS, profile_rows

        return PROFILE_COLUMNS, profile_rows(self.profile) if self.profile else ()

    def lines(self) -> list[str]:
        """The profile as a table by place and manner."""
        from approx.reports.text.profile import profile_lines

        return profile_lines(self.profile) if self.profile else []


ChildSource: TypeAlias = "Child | Profile | str | PathLike[str]"
"""A child that was read, a profile made in the program, or the name of a child file."""


def read_child(path: str | PathLike[str] | TextIOBase, *, on_problem: OnProblem = "keep") -> Child:
    """What one child can say, read from a file that a clinician wrote. Every error in the file is a problem with its line.

    Args:
        path: a file such as `approx child new` writes, or an open text stream with its contents (`io.StringIO`).
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> child = approx.read_child("samples/m12.toml")
    >>> child.code, child.profile.language
    ('M12', 'en-US')
    """
    from approx.child import read_child_file, read_child_text

    if isinstance(path, TextIOBase):
        profile, problems = read_child_text(path.read())
    elif isinstance(path, (str, PathLike)):
        profile, problems = read_child_file(Path(path))
    else:
        raise TypeError(f"a child is read from the path of a file or an open text, not from {type(path).__name__}")
    return Child(tuple(problems), profile).kept(on_problem)


def child_of(source: ChildSource | None) -> Child:
    """The child of any source; without one, a problem that says how to name one."""
    from approx.child.profile import Profile

    if source is None:
        hint = "--child FILE; `approx child new FILE` writes one to fill in"
        return Child((Problem("use.child", "no child file given", hint),))
    if isinstance(source, Profile):
        return Child((), source)
    if isinstance(source, Child):
        return source
    wrong = path_problems(child=source)
    return Child(tuple(wrong)) if wrong else read_child(source)


def write_template(
    path: str | PathLike[str] | TextIOBase, *, code: str = "X01", language: str = "en-US"
) -> tuple[Problem, ...]:
    """Write a commented child file to fill in; the file must not exist yet, or is an open stream of text. Problems: what is
    wrong with code or language."""
    from approx.api.write_table import write_text
    from approx.child import read_child_text
    from approx.child.write_profile import template

    wrong = language_problem(language)
    if wrong or not language:
        return tuple(wrong) or (Problem("use.language", "no language", "a tag such as en-US or es-MX"),)
    text = template(code.replace("\\", "").replace('"', ""), language.replace("\\", "").replace('"', ""))
    # the code is checked as every code is: by reading it
    _, problems = read_child_text(text, "" if isinstance(path, TextIOBase) else str(path))
    if problems:
        return problems[:1]
    if not isinstance(path, TextIOBase):
        return write_text(Path(path), text)
    path.write(text)
    return ()
