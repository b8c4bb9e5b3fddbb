"""The rules in use: read from `rules/processes/` and a clinician's own folder, every fault named with file and line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from approx.datafiles import data_hash, rules_path
from approx.problems import Problem
from approx.processes.rules.notation import NotationError, parse
from approx.processes.rules.rule import Process, Rule, wrong_kinds
from approx.processes.rules.rule_cache import keep, recall

_KEYS = {
    "id",
    "process",
    "change",
    "cost",
    "order",
    "source",
    "examples",
    "kind",
    "atypical",
    "uses",
    "language",
    "remark",
    "words",
    "caution",
}
_ACCENT_KEYS = ("words", "caution")
_LIKE = {
    "id": '"process-name.what-is-special"',
    "process": '"velar fronting"',
    "change": '"k -> t / # _"',
    "cost": "0.4 (0.5 is an ordinary step)",
    "source": '"author year, journal volume:pages", or "common practice, no source"',
    "examples": '[["ki", "ti"]] (the adult form, then what the rule makes of it)',
}
"""How each thing a rule needs is written, for one who left it out."""
_NEEDED = ("id", "process", "change", "cost", "source", "examples")
_USES = ("simplify", "explain")


@dataclass(frozen=True, slots=True)
class RuleSet:
    """Rules by id in order of use, the processes they belong to, and a hash of all files read."""

    rules: tuple[Rule, ...]
    processes: tuple[Process, ...]
    hash: str
    problems: tuple[Problem, ...] = ()

    def __hash__(self) -> int:
        return hash(self.hash)

    def rule(self, rule_id: str) -> Rule | None:
        """A rule by its id; None for an unknown one."""
        return next((rule for rule in self.rules if rule.id == rule_id), None)

    def process(self, name: str) -> Process | None:
        """A process by name, id, synonym or Spanish name."""
        wanted = name.strip().lower().replace("-", " ")
        for process in self.processes:
            if wanted and wanted in (process.name, process.id.replace("-", " "), process.spanish, *process.synonyms):
                return process
        return None


def rule_files(own: Path | None = None) -> list[Path]:
    """The rule files that ship with the program, then those of a clinician's own folder."""
    files = sorted(rules_path("processes").glob("*.toml"))
    return files + (sorted(own.glob("*.toml")) if own else [])


_NOTE = "rules"


@lru_cache(maxsize=8)
def load_rules(own: Path | None = None) -> RuleSet:
    """Read all rule files. Faulty rules are left out and reported; an own rule replaces one with the same id."""
    problems: list[Problem] = []
    if own is not None and not own.is_dir():
        hint = "name a folder that holds .toml rule files"
        problems.append(Problem("rules.folder", f"no folder '{own}'", hint))
        own = None
    files = rule_files(own)
    read_from = [*files, rules_path("processes.toml")]
    try:
        data = data_hash(read_from)
    except OSError:
        data = ""  # what cannot be read is named below
    shipped = own is None and bool(data)
    kept = recall(_NOTE, read_from, data) if shipped else None
    if kept is not None:
        return RuleSet(*kept, data, tuple(problems))
    processes = _read_processes(problems)
    names = {process.name for process in processes}
    found: dict[str, Rule] = {}
    for path in files:
        for rule in read_rules(path, names, problems):
            before = found.get(rule.id)
            if before is not None and before.file == rule.file:
                hint = f"the first is on line {before.line}; give each rule its own id"
                problems.append(Problem("rules.id", f"rule '{rule.id}' is written twice", hint, str(path), rule.line))
            found[rule.id] = rule
    rules = tuple(sorted(found.values(), key=lambda rule: (rule.order, rule.cost, rule.id)))
    if shipped and not problems:
        keep(_NOTE, read_from, data, rules, processes)
    return RuleSet(rules, tuple(processes), data, tuple(problems))


def _read_processes(problems: list[Problem]) -> list[Process]:
    path = rules_path("processes.toml")
    text = path.read_text(encoding="utf-8")
    lines = _lines_of(text, "process")
    out = []
    for table, line in zip(tomllib.loads(text)["process"], lines):
        out.append(
            Process(
                table["id"], table["id"].replace("-", " "), table["says"], table["source"],
                tuple(table.get("synonyms", ())), table.get("atypical", False), table.get("es", ""), str(path), line,
            )
        )  # fmt: skip
    return out


def _lines_of(text: str, header: str) -> list[int]:
    """Lines of the `[[header]]`s, with blanks or a remark on them as TOML allows."""
    return [n for n, line in enumerate(text.splitlines(), 1) if re.match(rf"\s*\[\[\s*{header}\s*\]\]", line)]


def read_rules(path: Path, processes: Iterable[str], problems: list[Problem]) -> list[Rule]:
    """The sound rules of one file; every fault is appended to `problems` with its line."""
    try:
        text = path.read_text(encoding="utf-8-sig")
        table = tomllib.loads(text)
    except OSError as error:
        problems.append(Problem("rules.file", f"cannot read: {error.strerror}", "", str(path)))
        return []
    except UnicodeDecodeError:
        problems.append(Problem("rules.encoding", "not UTF-8 text", "save the file as UTF-8", str(path)))
        return []
    except tomllib.TOMLDecodeError as error:
        hint = "see rules/README.md for how a rule is written"
        said, _, place = str(error).partition(" (at line ")
        line, column = map(int, re.findall(r"\d+", place)) if place[:1].isdigit() else (1, None)
        problems.append(Problem("rules.syntax", f"not valid TOML: {said}", hint, str(path), line, column))
        return []
    rows = table.get("rule", [])
    if not isinstance(rows, list) or not rows:
        problems.append(Problem("rules.empty", "no [[rule]] in this file", "see rules/README.md", str(path), 1))
        return []
    lines = _lines_of(text, "rule") or [1] * len(rows)
    checked = (_rule(row, str(path), line, frozenset(processes), problems) for row, line in zip(rows, lines))
    return [rule for rule in checked if rule is not None]


def _near(typed: object, names: Iterable[str]) -> str:
    """The names that look like a mistyped one, as the beginning of a hint."""
    from difflib import get_close_matches

    found = get_close_matches(str(typed), list(names), 3, 0.6)
    return f"near it: {', '.join(found)}; " if found else ""


def _rule(row: dict[str, Any], file: str, line: int, names: frozenset[str], problems: list[Problem]) -> Rule | None:
    before = len(problems)
    name = str(row.get("id", "without id")) if isinstance(row, dict) else "without id"

    def wrong(code: str, message: str, hint: str) -> None:
        problems.append(Problem(f"rules.{code}", f"rule '{name}': {message}", hint, file, line))

    for key, wanted in wrong_kinds(row):
        wrong("value", f"{key} must be {wanted}", "see rules/README.md")
    if len(problems) > before:
        return None
    for key in sorted(row.keys() - _KEYS):
        wrong("key", f"'{key}' is not known", "keys: " + ", ".join(sorted(_KEYS)))
    missing = [key for key in _NEEDED if row.get(key) in (None, "", [])]
    if missing:
        wrong("missing", f"no {', '.join(missing)}", "write " + ", ".join(f"{key} = {_LIKE[key]}" for key in missing))
    if row.get("process") and row["process"] not in names:
        wrong(
            "process",
            f"'{row['process']}' is not a process",
            f"{_near(row['process'], names)}`approx list processes` prints the names",
        )
    for key in _ACCENT_KEYS:
        if key in row and row.get("process") != "accent":
            wrong("key", f"'{key}' belongs to rules of rules/accents alone", "leave it out here")
    cost = row.get("cost", 0.5)
    if not isinstance(cost, (int, float)) or isinstance(cost, bool) or not 0 < cost <= 10:
        wrong("cost", f"cost {cost!r} is not a number above 0 and at most 10", "0.5 is an ordinary step")
    uses = row.get("uses", list(_USES))
    if not isinstance(uses, list) or not set(uses) <= set(_USES):
        wrong("uses", f"uses {uses!r}", 'some of ["simplify", "explain"]')
    examples = row.get("examples", [])
    if not all(
        isinstance(pair, list) and len(pair) == 2 and all(isinstance(x, str) for x in pair) for pair in examples
    ):
        wrong("examples", "examples are pairs", 'such as [["spun", "pun"]]')
    if isinstance(row.get("change"), str) and row["change"]:
        try:
            parse(row["change"])
        except NotationError as error:
            wrong("notation", str(error), "see rules/README.md for the notation")
    if len(problems) > before:
        return None
    return Rule(
        id=row["id"], process=row["process"], text=row["change"], cost=float(cost), order=int(row.get("order", 50)),
        source=row["source"], examples=tuple((a, b) for a, b in examples), kind=row.get("kind", ""),
        atypical=bool(row.get("atypical", False)), uses=tuple(uses), language=row.get("language", ""), file=file, line=line,
        words=tuple(map(str.casefold, row.get("words", ()))), caution=row.get("caution", ""),
    )  # fmt: skip
