"""What a child was heard to say in a sample, and a child file made of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, ClassVar, Literal

from approx.api.options import choice_problem, language_problem, list_problems
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.samples.sample_input import SampleSource, columns_of, grouped_tokens, read_tokens
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.child.inventory import Criterion, HeardForm, Inventory
    from approx.processes.predict.own_changes import OwnForms
    from approx.samples.token import Token


CriterionName = Literal["", "two words", "two tokens", "three words"]
"""When a sound is in the inventory, as `rules/inventory.toml` names it; "" for the usual one."""


@dataclass(frozen=True)
class GroupInventory:
    """The inventory of one group. `labels`: the columns it was grouped by. `child` and `age` (years;months): of a child
    file; "" where the group does not tell."""

    labels: dict[str, str]
    inventory: Inventory
    child: str
    age: str
    own: OwnForms
    """Words heard and changes seen, as a child file has them."""


@dataclass(frozen=True)
class Inventories(Result):
    """Sounds by position, clusters, vowels and shapes of each group, with numbers of tokens and words."""

    problems: tuple[Problem, ...] = ()
    groups: tuple[GroupInventory, ...] = ()

    is_table: ClassVar[bool] = True
    table_keys: ClassVar[TableKeys] = TableKeys(("child", "session_date", "group"), ("part", "item", "position"))

    def to_dict(self) -> dict[str, Any]:
        """What `approx inventory --json` prints."""
        from approx.reports.tables.inventory import inventory_json

        said = [problem.as_json() for problem in self.problems]
        return {"groups": [each.labels | inventory_json(each.inventory) for each in self.groups], "problems": said}

    def write_json(self, out: IO[str]) -> None:
        """What `--json` prints, written group by group."""
        from approx.reports.tables.inventory import write_inventories

        write_inventories(out, ((each.labels, each.inventory) for each in self.groups), self.problems)

    def to_table(self) -> TableRows:
        """A row a sound, cluster or shape of a group."""
        from approx.reports.tables.inventory import INVENTORY_COLUMNS, inventory_rows

        return INVENTORY_COLUMNS, [row for each in self.groups for row in inventory_rows(each.labels, each.inventory)]

    def lines(self) -> list[str]:
        """Each group: item, tokens and words."""
        from approx.reports.tables.inventory import inventory_lines

        return [line for each in self.groups for line in inventory_lines(each.inventory, _title(each.labels))]

    def child_text(self, code: str = "", age: str = "") -> tuple[str, tuple[Problem, ...]]:
        """The child file of the only group, or the last; "" and a problem where there are several children, or none.

        `code`, `age` (years;months): of the child, where they are not those of the sample.
        """
        codes = list(dict.fromkeys(each.child for each in self.groups))
        if not codes:
            return "", (
                Problem("inventory.none", "no token to make a child file from", "see the problems of the sample"),
            )
        if len(codes) > 1:
            hint = "keep one child in the file, or use --by child on a file of one child"
            return "", (
                Problem(
                    "inventory.children",
                    worded("{count} {count:child|children}: {codes}", count=len(codes), codes=", ".join(codes[:5])),
                    hint,
                ),
            )
        from approx.child.write_profile import write_profile

        last = self.groups[-1]
        return write_profile(
            last.inventory, code or codes[0] or "X01", age or last.age, "", *own_sections(last.own)
        ), ()

    def to_child(self, path: str | PathLike[str], *, force: bool = False) -> tuple[Problem, ...]:
        """Write the child file of one child, whole or not at all; over an existing file only with `force`."""
        text, problems = self.child_text()
        if problems:
            return problems
        from approx.api.write_table import write_text

        return write_text(Path(path), text, force)

    @property
    def written_from(self) -> str:
        """Which group a child file is made of, where there are several."""
        return _title(self.groups[-1].labels) if len(self.groups) > 1 else ""


def _title(labels: dict[str, str]) -> str:
    return ", ".join(f"{name} {value}" for name, value in labels.items() if value)


def inventory(
    sample: SampleSource,
    *,
    by: str | Iterable[str] = ("child",),
    language: str = "en-US",
    criterion: CriterionName = "",
    on_problem: OnProblem = "keep",
) -> Inventories:
    """Sounds by position with numbers of tokens and words, clusters, vowels and shapes; `to_child` makes a profile of it.

    Args: sample, by, language, on_problem: as of `score`. criterion: when a sound is in the inventory, by a name of
    `rules/inventory.toml`; "" for the usual one.

    >>> import approx
    >>> found = approx.inventory("samples/m12.csv").groups[0].inventory
    >>> [cell.item for cell in found.consonants if cell.place == "final" and cell.status == "established"]
    ['d', 't', 'p', 'n']
    """
    from approx.child.inventory import criteria
    from approx.child.inventory import criterion as named

    wrong = [
        *language_problem(language),
        *choice_problem("criterion", criterion, ("", *criteria())),
        *list_problems(by=by),
    ]
    if wrong:
        return Inventories(tuple(wrong)).kept(on_problem)
    read = read_tokens(sample, language or "en-US")
    listed, more = grouped_tokens(read, columns_of(by))
    rule = named(criterion)
    groups = tuple(_group(labels, members, inventory_of(members, rule)) for labels, members in listed)
    return Inventories(joined_problems(read.problems, more), groups).kept(on_problem)


def inventory_of(tokens: Sequence[Token], rule: Criterion | None = None, language: str = "") -> Inventory:
    """The inventory of some tokens of one language."""
    from approx.child.inventory import take_inventory as found

    return found(heard_forms(tokens), rule, language or tokens[0].language)


def own_forms_of(tokens: Iterable[Token]) -> OwnForms:
    """What was heard for each word and said for each sound, from tokens with a gloss of one word."""
    from approx.processes.predict.own_changes import own_forms

    return own_forms(
        (token.target_word, token.target, token.produced, token.session_date)
        for token in tokens
        if token.produced is not None and token.kind != "omitted" and not token.produced.edges
    )


def own_sections(own: OwnForms) -> tuple[list[str], list[str]]:
    """The lines of [heard] and [changes] of a child file, with counts behind them."""
    from approx.child.write_profile import change_lines, heard_lines

    return heard_lines(own.heard, own.heard_counts), change_lines(own.changes, own.times)


def heard_forms(tokens: Iterable[Token]) -> Iterator[HeardForm]:
    """All that was said, with or without gloss; a phrase in one cell as its words."""
    from approx.child.inventory import HeardForm, words_apart

    for token in tokens:
        if token.produced is not None and token.kind != "omitted":
            one = HeardForm(token.target_word, token.produced, token.target)
            yield from words_apart(one, token.typed_produced, token.typed_target, token.language)


def _group(labels: dict[str, str], members: Sequence[Token], found: Inventory) -> GroupInventory:
    codes, ages = {token.child for token in members}, {token.age for token in members if token.age is not None}
    months = ages.pop() if len(ages) == 1 else None
    age = f"{months // 12};{months % 12}" if months is not None else ""
    code = codes.pop() if len(codes) == 1 else ", ".join(sorted(codes))
    return GroupInventory(labels, found, code, age, own_forms_of(members))
