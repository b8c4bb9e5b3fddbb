"""The rules that ship, as they were read last: reading them anew is a fifth of the time of a command.

A note is only ever a copy: it is used where the rule files, the sound tables and the program are those it was made
from, and passed over in silence where it cannot be read or written.
"""

from __future__ import annotations

import marshal
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from approx.datafiles import PACKAGE, rules_folder
from approx.processes.rules.notation import Item, ParsedRule
from approx.processes.rules.rule import Process, Rule

_CODE = (
    "processes/rules/notation.py",
    "processes/rules/rule.py",
    "processes/rules/rule_cache.py",
    "processes/rules/ruleset.py",
    "ipa/features.py",
)
_TABLES = ("ipa/features.tsv", "ipa/marks.tsv", "ipa/classes.toml")
_SIDES = ("focus", "result", "left", "right")
_ITEM = ("kind", "text", "name", "sounds", "bundle", "agree", "stress", "binds")
_RULE, _PROCESS = tuple(Rule.__dataclass_fields__), tuple(Process.__dataclass_fields__)


def recall(name: str, files: Sequence[Path], data: str) -> tuple[tuple[Rule, ...], tuple[Process, ...]] | None:
    """Rules and processes of the note of this name, or None. `data` is the hash of the rule files' contents."""
    try:
        made_from, rules, processes = marshal.loads(_path(name).read_bytes())
        if made_from != _made_from(files, data):
            return None
        return tuple(map(_rule, rules)), tuple(Process(*row) for row in processes)
    except (OSError, ValueError, EOFError, TypeError):
        return None


def keep(name: str, files: Sequence[Path], data: str, rules: Sequence[Rule], processes: Sequence[Process] = ()) -> None:
    """Replace the note of this name in one step."""
    rows = [(*_values(rule, _RULE), [_side(rule.change, side) for side in _SIDES]) for rule in rules]
    whole = marshal.dumps((_made_from(files, data), rows, [_values(process, _PROCESS) for process in processes]))
    path = _path(name)
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            fresh.write_bytes(whole)
            os.replace(fresh, path)
        finally:
            fresh.unlink(missing_ok=True)


def _path(name: str) -> Path:
    return cache_folder() / f"{name}.marshal"


def _made_from(files: Sequence[Path], data: str) -> str:
    """What a note depends on: the rules by content; code and tables, which change rarely, by size and time of change."""
    others = [PACKAGE / name for name in _CODE] + [rules_folder() / name for name in _TABLES]
    stats = [(status.st_size, status.st_mtime_ns) for status in map(os.stat, others)]
    return f"{sys.implementation.cache_tag} {data} {stats} {[str(path) for path in files]}"


def _values(thing: object, names: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(getattr(thing, name) for name in names)


def _side(change: ParsedRule, side: str) -> tuple[tuple[Any, ...], ...]:
    return tuple(_values(item, _ITEM) for item in getattr(change, side))


def _rule(row: tuple[Any, ...]) -> Rule:
    rule = Rule(*row[:-1])
    change = ParsedRule(*(tuple(Item(*item) for item in side) for side in row[-1]))
    rule.__dict__["change"] = change  # where `Rule.change` keeps what it has parsed
    return rule


def cache_folder() -> Path:
    """Where notes that only save time are kept: `cache` in APPROX_HOME, or the platform's folder for them.

    The same folders as platformdirs gives, written out because its import costs ten times what a note saves.
    """
    home = os.environ.get("APPROX_HOME")
    if home:
        return Path(home) / "cache"
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "approx" / "Cache"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "approx"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "approx"
