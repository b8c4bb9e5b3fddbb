"""Words for one child, ranked with reasons, or a set chosen together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from os import PathLike, fspath
from pathlib import Path
from typing import Any, ClassVar, Literal, TypeAlias

from approx.api.options import (
    choice_problem,
    folder,
    language_problem,
    list_problems,
    loaded_rules,
    number_problem,
    path_problems,
    switch_problems,
)
from approx.api.practice.children import ChildSource, child_of
from approx.api.practice.suggesting import Words, file_of_words, list_of_words_problems, ready, rows_of_list
from approx.api.result import OnProblem, Result, TableRows, fatal, joined_problems, made_of
from approx.api.write_table import TableKeys
from approx.practice.words.word_choice import WordChoice
from approx.problems import Problem

WordOrder = Literal["", "early", "harder"]
Several: TypeAlias = str | Iterable[str]
"""One value, or several; one text may hold several separated by commas."""


@dataclass(frozen=True)
class ChosenWords(WordChoice, Result):
    """Words by what is new in them, a set, contrast pairs, and what would open most words."""

    table_keys: ClassVar[TableKeys] = TableKeys(("word",), wide=True)

    def to_dict(self) -> dict[str, Any]:
        """What `approx words --json` prints."""
        from approx.reports.tables.words import choice_json

        return choice_json(self)

    def to_table(self) -> TableRows:
        """A row a word, those out of reach last."""
        from approx.reports.tables.words import WORD_COLUMNS, choice_rows

        return WORD_COLUMNS, choice_rows(self)

    def lines(self) -> list[str]:
        """Each word with the reasons for it."""
        from approx.reports.text.words import choice_lines

        return choice_lines(self) if self.bank_size else []


def words(
    child: ChildSource | None,
    *,
    count: int = 12,
    set_size: int = 0,
    seed: int = 1,
    known: float | None = None,
    new: int = 1,
    order: WordOrder = "",
    category: Several = (),
    pos: Several = (),
    shape: Several = (),
    sound: Several = (),
    new_sound: Several = (),
    exclude: str | Iterable[str | PathLike[str]] = (),
    goal: Several = (),
    own: Words = "",
    interest: Several = (),
    picturable: bool = False,
    contrast: bool = False,
    language: str = "",
    emerging: bool = False,
    rules: str | Path | None = None,
    on_problem: OnProblem = "keep",
) -> ChosenWords:
    """Practice words for this child, ordered by how many new things they ask for, with the reasons for each.

    Args:
        child: what `read_child` returns, or the path of a child file.
        count: number of words of each kind.
        set_size: choose this many words together, as one set; 0 for no set.
        seed: random seed; the same number gives the same set.
        known: share of the set made up of words with nothing new; None for one third.
        new: how many new sounds or shapes a word may contain.
        order: which new sounds come first: "early" or "harder"; "" for words in the inventory first.
        category: only words in these everyday categories.
        pos: only words of these parts of speech.
        shape: only words of these shapes (CVC, CV.CV).
        sound: only words with these sounds.
        new_sound: only words in which one of these sounds is the new one.
        exclude: words to leave out, or paths of lists of them.
        goal: sounds, clusters or shapes to work on.
        own: your own words as well: a list, a text with commas between them, or a file (`Words`).
        interest: words and everyday categories this child loves, besides those in the child's file.
        picturable: only picturable words.
        contrast: minimal pairs that this child produces as homophones.
        language: language tag, if it is not the child's.
        emerging: also use emerging sounds and syllable shapes, ranked lower.
        rules: a folder of your own rule files.
        on_problem: "keep" problems in the answer, or "raise" one `ProblemsError` with all of them if any is fatal.

    >>> import approx
    >>> chosen = approx.words("samples/m12.toml", count=3, goal="k initial")
    >>> [word.new for word in chosen.words if word.goals]
    [('k (initial)',), ('k (initial)',), ('k (initial)',)]
    """
    from approx.practice.words.word_choice import WordWishes, choose_words, read_wishes, suggester_options
    from approx.practice.words.word_weights import sound_orders

    given = child_of(child)
    profile, said = given.profile, given.problems
    wrong = [
        *number_problem("words.count", count),
        *number_problem("words.set_size", set_size),
        *number_problem("words.seed", seed),
        *(number_problem("words.known", known) if known is not None else ()),
        *number_problem("words.new", new),
        *language_problem(language),
        *choice_problem("order", order, ("", *(each.name for each in sound_orders()))),
        *list_problems(
            category=category,
            pos=pos,
            shape=shape,
            sound=sound,
            new_sound=new_sound,
            exclude=exclude,
            goal=goal,
            interest=interest,
        ),
        *list_of_words_problems("own", own),
        *switch_problems(picturable=picturable, contrast=contrast, emerging=emerging),
        *path_problems(rules=rules),
    ]
    if wrong or profile is None or fatal(said):
        return _none(given.code, joined_problems(wrong or said)).kept(on_problem)
    own_file = file_of_words(own)
    own_rows, unlisted, _ = ([], (), "") if own_file or not own else rows_of_list(own)
    left_out, unread = _left_out([exclude] if isinstance(exclude, str) else exclude)
    wishes = WordWishes(
        _each(category), _each(pos), _each(shape), _each(sound), _each(new_sound), _each(goal),
        left_out,
        picturable, new, bool(own_file or own_rows),
    )  # fmt: skip
    options, more = read_wishes(wishes, language or profile.language)
    said = joined_problems(said, more, unread, unlisted, loaded_rules(rules)[1] if rules is not None else ())
    if fatal(said):
        return _none(given.code, said).kept(on_problem)
    options = replace(
        options, count=count, set_size=set_size, seed=seed, in_inventory=known, order=order,
        own=own_file, own_rows=tuple(own_rows),
        contrast=contrast, interests=tuple(_parted(interest)),
        language=language, emerging=emerging, rules=folder(rules),
    )  # fmt: skip
    with ready(profile, suggester_options(options)) as suggester:
        choice = choose_words(profile, options, suggester)
    return made_of(ChosenWords, choice, problems=joined_problems(said, choice.problems)).kept(on_problem)


def _each(values: Several) -> Sequence[str]:
    return [values] if isinstance(values, str) else list(values)


def _parted(values: Several) -> Iterable[str]:
    return (part.strip() for text in _each(values) for part in text.split(",") if part.strip())


def _left_out(entries: Iterable[str | PathLike[str]]) -> tuple[frozenset[str], list[Problem]]:
    """Words to leave out, in small letters: words separated by commas, and the words of files."""
    from approx.practice.suggest.input_targets import read_words

    out: set[str] = set()
    problems: list[Problem] = []
    for entry in entries:
        if isinstance(entry, PathLike):
            rows, found = read_words(fspath(entry))
            out |= {word.lower() for word, _, _ in rows}
            problems += found
        else:
            out |= {part.strip().lower() for part in entry.split(",") if part.strip()}
    return frozenset(out), problems


def _none(code: str, problems: tuple[Problem, ...]) -> ChosenWords:
    """Nothing was chosen."""
    return ChosenWords(
        problems=problems, child=code, language="", signature="", bank_size=0, in_hand=0, one_new=0, most_new=0, order="",
        orders=(), words=(), passing=(), chosen_set=None, contrasts=(), contrasts_found=0, would_open=(), steps=(),
        out_of_reach=(),
    )  # fmt: skip
