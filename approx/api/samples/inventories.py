"""What a child was heard to say in a sample, and a child file made of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from os import PathLike
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, ClassVar, Literal

from approx.api.options import choice_problem, language_problem, list_problems
from approx.api.result import OnProblem, Result, TableRows, joined_problems
from approx.api.samples.sample_input import (
    LanguageGroup,
    SampleSource,
    columns_not_there,
    columns_of,
    group_labels,
    open_tokens,
)
from approx.api.write_table import TableKeys
from approx.problems import Problem
from approx.wording import worded

if TYPE_CHECKING:
    from approx.child.inventory import Criterion, HeardForm, Inventory
    from approx.ipa import Word
    from approx.processes.predict.own_changes import OwnForms
    from approx.samples.token import Token


CriterionName = Literal["", "two words", "two tokens", "three words"]
"""When a sound is in the inventory, as `rules/inventory.toml` names it; "" for the usual one."""
TokenTimes = tuple["Token", int]
"""A token, and how often one like it was said."""


@dataclass(frozen=True)
class GroupInventory:
    """The inventory of one group. `labels`: the columns it was grouped by. `child` and `age` (years;months): of a child
    file; "" where the group does not tell."""

    labels: dict[str, str]
    inventory: Inventory
    child: str
    age: str
    tokens: Sequence[TokenTimes] = field(default=(), repr=False, compare=False)

    @cached_property
    def own(self) -> OwnForms:
        """Words heard and changes seen, as a child file has them: asked of one group of many."""
        return own_forms_of(self.tokens)


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
    """Sounds by position with numbers of tokens and words; clusters, vowels and shapes. `.to_child(path)` writes a child file.

    Args:
        sample: a file, (adult form, production) pairs in IPA, or a data frame; as in `score`.
        by: columns to group by; "" for one group.
        language: language tag of rows that do not name one.
        criterion: when a sound counts as in the inventory, by a name of `rules/inventory.toml`; "" for the usual one.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

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
    listed, problems = _alike(sample, columns_of(by), language or "en-US")
    rule = named(criterion)
    groups = tuple(_group(labels, members, inventory_of(members, rule)) for labels, members in listed)
    return Inventories(problems, groups).kept(on_problem)


@dataclass(slots=True)
class _Kind:
    """Tokens alike in all that an inventory asks: the first of them, and how many there are."""

    first: Token
    times: int = 0


def _alike(
    source: SampleSource, by: Sequence[str], language: str
) -> tuple[list[tuple[dict[str, str], list[TokenTimes]]], tuple[Problem, ...]]:
    """The groups of a sample with their labels, each kind of token once: those of a million rows are never held together."""
    from approx.samples.rows.reader import TOKENS

    tokens = open_tokens(source, language, TOKENS)
    layout, log = tokens.reader.layout, tokens.reader.log
    wrong = columns_not_there(by, (*layout.names, *layout.extra))
    groups: dict[LanguageGroup, dict[object, _Kind]] = {}
    for token in tokens:
        if wrong:
            continue
        group = tuple([tokens.value(token, name) for name in by]), token.language
        alike = (
            token.target_word, token.target, token.produced, token.typed_target, token.typed_produced, token.kind,
            token.child, token.session_date, token.age,
        )  # fmt: skip
        groups.setdefault(group, {}).setdefault(alike, _Kind(token)).times += 1
    members = [[(kind.first, kind.times) for kind in each.values()] for each in groups.values()]
    return list(zip(group_labels(groups, by), members)), joined_problems(log.problems(), wrong)


def _as_said_by_adults(tokens: Iterable[TokenTimes], sound: str = "") -> list[TokenTimes]:
    """Tokens of single words with the adult form that is as right and nearest to what was said: a child who says kitten [ˈkɪʔn̩] and
    water [ˈwɔɾɚ], as adults do, has changed no sound. `sound`: only where it was said; "" for all."""
    from approx.processes.accept.accept import Accents
    from approx.scoring.bulk import linker_for

    listed, accents = list(tokens), Accents(())
    places: dict[str, list[int]] = {}
    for at, (token, _) in enumerate(listed):
        target, said = token.target, token.produced
        if target is None or said is None or target.edges or said.edges:
            continue
        if not sound or sound in said.phones:
            places.setdefault(token.language, []).append(at)
    for language, found in places.items():
        asked = [(token.target, token.produced, token.target_word) for token in (listed[at][0] for at in found)]
        pairs = [(target, said, word) for target, said, word in asked if target is not None and said is not None]
        accepted = accents.accepted_of_many(pairs, language, linker_for(len(pairs)))
        for at, near in zip(found, accepted, strict=True):
            token, times = listed[at]
            if near.word is not token.target and (not sound or sound in near.word.phones):
                listed[at] = replace(token, target=near.word), times
    return listed


def inventory_of(tokens: Sequence[TokenTimes], rule: Criterion | None = None, language: str = "") -> Inventory:
    """The inventory of some tokens of one language."""
    from approx.child.inventory import take_inventory as found

    heard: Counter[HeardForm] = Counter()
    # where adults say ʔ for t, the child was not asked for a t that was never heard; a flap is one of t, and counts as such
    for form, times in heard_forms(_as_said_by_adults(tokens, "ʔ")):
        heard[form] += times
    return found(heard, rule, language or tokens[0][0].language)


def own_forms_of(tokens: Iterable[TokenTimes]) -> OwnForms:
    """What was heard for each word and said for each sound, from tokens with a gloss of one word."""
    from approx.processes.predict.own_changes import own_forms

    listed = list(tokens)
    return own_forms(
        (token.target_word, token.target, token.produced, token.session_date, near.target)
        for (token, times), (near, _) in zip(listed, _as_said_by_adults(listed), strict=True)
        if token.produced is not None and token.kind != "omitted" and not token.produced.edges
        for _ in range(times)
    )


def own_sections(own: OwnForms) -> tuple[list[str], list[str]]:
    """The lines of [heard] and [changes] of a child file, with counts behind them."""
    from approx.child.write_profile import change_lines, heard_lines

    return heard_lines(own.heard, own.heard_counts), change_lines(own.changes, own.times)


def heard_forms(tokens: Iterable[TokenTimes]) -> Iterator[tuple[HeardForm, int]]:
    """All that was said, with or without gloss, and how often; a phrase in one cell as its words."""
    from approx.child.inventory import HeardForm, words_apart

    for token, times in tokens:
        if token.produced is not None and token.kind != "omitted":
            one = HeardForm(token.target_word, *_opened(token.produced, token.target))
            for word in words_apart(one, token.typed_produced, token.typed_target, token.language):
                yield word, times


_SYLLABIC = "\u0329"


def _opened(produced: Word, target: Word | None) -> tuple[Word, Word | None]:
    """What was said and the adult form, with n̩ and the like as ə and the consonant where the adult form has these two (kitten,
    bottle): the child has both then, and lacks neither."""
    syllabic = [phone for phone in produced.phones if _SYLLABIC in phone]
    if not syllabic or target is None or produced.edges or target.edges:
        return produced, target
    from approx.processes.explain.explain import opened_syllabics

    aimed = opened_syllabics(target)[0].word
    asked = set(zip(aimed.phones, aimed.phones[1:]))
    if any(("ə", phone.replace(_SYLLABIC, "")) not in asked for phone in syllabic):
        return produced, target
    return opened_syllabics(produced)[0].word, aimed


def _group(labels: dict[str, str], members: Sequence[TokenTimes], found: Inventory) -> GroupInventory:
    codes = {token.child for token, _ in members}
    ages = {token.age for token, _ in members if token.age is not None}
    months = ages.pop() if len(ages) == 1 else None
    age = f"{months // 12};{months % 12}" if months is not None else ""
    code = codes.pop() if len(codes) == 1 else ", ".join(sorted(codes))
    return GroupInventory(labels, found, code, age, members)
