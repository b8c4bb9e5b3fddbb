"""An inventory as JSON and as lines; what one child can say as rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import IO, Any

from approx.child.inventory import Inventory, ItemCount
from approx.child.profile import POSITIONS, Profile
from approx.problems import Problem
from approx.reports.tables.streamed_json import json_text
from approx.wording import counted

_MARK = {"established": "", "emerging": "~", "untested": "?", "absent": "-"}
_CELL = tuple(field.name for field in fields(ItemCount))
_PARTS = ("consonants", "totals", "clusters", "vowels", "shapes", "word_shapes", "lengths")


def inventory_json(found: Inventory) -> dict[str, Any]:
    """Every cell with its counts and status; the criterion in words."""
    data: dict[str, Any] = {
        "criterion": str(found.criterion),
        "source": found.criterion.source,
        "language": found.language,
    }
    for part in _PARTS:
        data[part] = [
            {name: getattr(cell, name) for name in _CELL} | {"examples": [list(pair) for pair in cell.examples]}
            for cell in getattr(found, part)
        ]
    for name in ("variety", "max_syllables", "forms", "words", "without_word", "unidentified", "silent"):
        data[name] = getattr(found, name)
    data["variety_words"] = [list(pair) for pair in found.variety_words]
    return data


def write_inventories(
    out: IO[str], groups: Iterable[tuple[dict[str, str], Inventory]], problems: Iterable[Problem]
) -> None:
    """Labels and inventory of each group, then the problems, as JSON; group by group, so that the text of many is never held."""
    out.write('{\n "groups": [')
    end, before = "]", "\n  "
    for labels, found in groups:
        out.write(before + json_text(labels | inventory_json(found), "\n  "))
        end, before = "\n ]", ",\n  "
    told = json_text([problem.as_json() for problem in problems], "\n ")
    out.write(f'{end},\n "problems": {told}\n}}\n')


INVENTORY_COLUMNS = ("child", "session_date", "group", "part", "item", "position", "tokens", "words", "status")


def inventory_rows(labels: dict[str, str], found: Inventory) -> Iterator[tuple[str | int, ...]]:
    """A row a thing heard or asked for, in the order of `inventory_json`."""
    other = ", ".join(f"{k}={v}" for k, v in labels.items() if k not in ("child", "session_date"))
    head = labels.get("child", ""), labels.get("session_date", ""), other
    for part in _PARTS:
        for cell in getattr(found, part):
            yield (*head, part, cell.item, cell.place, cell.tokens, cell.words, cell.status)


def inventory_lines(found: Inventory, title: str) -> list[str]:
    """For the terminal: item tokens/words, marked by status."""
    lines = [
        f"{title or 'sample'}: {counted(found.forms, 'form')} of {counted(found.words, 'word')}, {found.without_word} without a gloss",
        f"  in the inventory: {found.criterion} ({found.criterion.source})",
    ]
    for position in POSITIONS:
        lines.append(f"  {position}: {_cells(cell for cell in found.consonants if cell.place == position)}")
    lines.append(f"  clusters: {_cells(found.clusters)}")
    lines.append(f"  vowels: {_cells(found.vowels)}")
    lines.append(f"  syllables: {_cells(found.shapes)}")
    lines.append(f"  word shapes: {_cells(found.word_shapes)}")
    lines.append(
        f"  longest word: {counted(found.max_syllables, 'syllable')}; variety: {found.variety or 'not tested'}"
    )
    if found.unidentified or found.silent:
        lines.append(
            f"  {counted(found.unidentified, 'sound')} not identified, {counted(found.silent, 'production')} without a sound"
        )
    return [*lines, "  item tokens/words; ~ emerging, - tried and never heard, ? no word asked for it", ""]


def _cells(cells: Iterable[ItemCount]) -> str:
    heard, rest = [], []
    for cell in cells:
        name = cell.item.replace(" ", "") + (f" {cell.place}" if " " in cell.item and cell.place else "")
        if cell.tokens:
            heard.append(f"{_MARK[cell.status]}{name} {cell.tokens}/{cell.words}")
        else:
            rest.append(f"{_MARK[cell.status]}{name}")
    return "  ".join(heard + rest) or "none"


PROFILE_COLUMNS = ("code", "kind", "item", "position", "status")


def profile_rows(profile: Profile) -> Iterator[tuple[str, str, str, str, str]]:
    """Consonants by position, clusters, vowels, syllable shapes."""
    for position in POSITIONS:
        for sound, status in profile.consonants.get(position, {}).items():
            yield profile.code, "consonant", sound, position, status
    for (run, place), status in profile.clusters.items():
        yield profile.code, "cluster", "".join(run), place, status
    for kind, table in (("vowel", profile.vowels), ("shape", profile.shapes)):
        for item, status in table.items():
            yield profile.code, kind, item, "", status
