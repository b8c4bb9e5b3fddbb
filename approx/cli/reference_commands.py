"""`approx doctor`: rules, examples, processes, word lists and norms checked in one run.

`approx list processes|measures|norms`: what there is, its source, and where it stands.

`approx about NAME`: one process, measure, rule, norm or class of sounds, found by name, id or synonym.
"""

from __future__ import annotations

import re
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from approx.cli.output import is_terminal, print_json, print_problems
from approx.datafiles import rules_folder
from approx.problems import FINE, WRONG_USE, Problem, exit_code

if TYPE_CHECKING:
    from approx.processes.rules.norms import AgeRange
    from approx.processes.rules.rule import Process, Rule

KINDS = ("processes", "measures", "norms")


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a list. `file` is as short as it can be and still be opened from the current folder."""

    id: str
    says: str
    source: str
    file: str
    line: int | None


def list_things(what: str, as_json: bool) -> int:
    """Print every process, measure or norm: id, one line, source, file:line. Returns the exit code."""
    if what not in KINDS:
        print(f"approx list: '{what}' is not a list; one of: {', '.join(KINDS)}", file=sys.stderr)
        return WRONG_USE
    problems: tuple[Problem, ...] = ()
    if what == "processes":
        entries, problems = process_entries()
    else:
        entries = measure_entries() if what == "measures" else norm_entries()
    print_problems(problems)
    if as_json:
        rows = [asdict(entry) for entry in entries]
        print_json({"what": what, "items": rows, "problems": [problem.as_json() for problem in problems]})
    else:
        rows_of_text = [(e.id, e.says, e.source, f"{e.file}:{e.line}" if e.line else e.file) for e in entries]
        print_table(("id", "what it is", "source", "where"), rows_of_text)
    return exit_code(problems)


def process_entries() -> tuple[list[Entry], tuple[Problem, ...]]:
    """Every process of `rules/processes.toml`, with the faults of the rule files."""
    from approx.processes.rules.ruleset import load

    rules = load()
    return [Entry(p.id, p.says, p.source, place(p.file), p.line) for p in rules.processes], rules.problems


def measure_entries() -> list[Entry]:
    """Every measure with its source: that of its docstring, or of the measure which that names ("As `pcc_a`")."""
    found = measures()
    return [
        Entry(name, docstring(measure).splitlines()[0], _source(name, found), place(file), line)
        for name, measure in found.items()
        for file, line in [_where(measure)]
    ]


def _source(name: str, found: dict[str, Callable[..., Any]]) -> str:
    text = docstring(found[name])
    same = re.search(r"\b[Aa]s `(?:\w+\.)?(\w+)`|\bsource: `(?:\w+\.)?(\w+)`", text)
    named = (same[1] or same[2]) if same else ""
    return source_in(text) or (_source(named, found) if named in found and named != name else "")


def option_entries() -> list[Entry]:
    """Every option of scoring, as signatures and --set name it."""
    from approx.datafiles import rules_path
    from approx.scoring.judging.options import option_names, option_notes

    path = rules_path("measures.toml")
    lines = path.read_text(encoding="utf-8").splitlines()
    out = []
    for name in option_names():
        notes = option_notes(name)
        choices = ", ".join(map(_as_set, notes["choices"]))
        says = f"default {_as_set(notes['default'])}; choices: {choices}; changes {', '.join(notes['used_by'])}"
        out.append(Entry(name, says, notes["source"], place(str(path)), lines.index(f"[option.{name}]") + 1))
    return out


def _as_set(value: object) -> str:
    """A value of an option as it is written after --set."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value != [] else "none"


def norm_entries() -> list[Entry]:
    """Every range of ages, and every other table of `rules/norms/` as a whole."""
    from approx.processes.rules.norms import age_ranges

    out = [
        Entry(found.id, found.says, "; ".join(found.sources), place(found.rows[0].file), found.rows[0].line)
        for found in age_ranges()
    ]
    told = {row.file for found in age_ranges() for row in found.rows}
    for path in sorted((rules_folder() / "norms").iterdir()):
        if path.suffix in (".tsv", ".toml") and str(path) not in told:
            text = path.read_text(encoding="utf-8")
            remarks = " ".join(line.lstrip("# ") for line in text.splitlines() if line.startswith("#"))
            first = re.split(r"(?<=[.:]) ", remarks)[0]
            out.append(Entry(path.stem, first, source_in(remarks) or "each row names its own", place(str(path)), 1))
    return out


def measures() -> dict[str, Callable[..., Any]]:
    """The function of everything that a command prints as a measure, by the id it is printed under: measures of `score`,
    complexity of one form, figures of `progress`, parts of `agree`."""
    import inspect

    from approx.progress.overlap import INDICES
    from approx.scoring import agreement
    from approx.scoring.judging.complexity import ipc, wcm
    from approx.scoring.measures.catalogue import MEASURES

    found: dict[str, Callable[..., Any]] = {name: inspect.unwrap(measure.of) for name, measure in MEASURES.items()}
    found |= {"wcm": wcm, "ipc": ipc}
    found |= {name: index.of for name, index in INDICES.items()}
    return found | dict.fromkeys(agreement.PARTS, agreement.agreement) | {"kappa": agreement.kappa}


def docstring(thing: object) -> str:
    """The docstring of a measure, without its indentation."""
    import inspect

    return inspect.getdoc(thing) or "no docstring"


def _where(measure: Callable[..., Any]) -> tuple[str, int | None]:
    import inspect

    code = getattr(inspect.unwrap(measure), "__code__", None)
    return (code.co_filename, code.co_firstlineno) if code else ("", None)


def source_in(text: str) -> str:
    """What stands after "Source:" up to the end of that paragraph, as one line; "" if nothing does."""
    found = re.search(r"\bSources?:\s*(.+?)(?:\n\s*\n|\Z)", text, re.DOTALL)
    return " ".join(found[1].split()) if found else ""


def place(file: str) -> str:
    """A path from the current folder if the file is below it, else the whole path: both open in an editor."""
    path = Path(file)
    try:
        return path.relative_to(Path.cwd()).as_posix()
    except (ValueError, OSError):
        return str(path)


def print_table(headers: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """A table by rich in a terminal; plain columns, nothing cut, where the output goes to a file or program."""
    rows = [tuple(row) for row in rows]
    if is_terminal():
        from rich.console import Console
        from rich.table import Table
        from rich.text import Text

        table = Table()
        for header in headers:
            table.add_column(header, overflow="fold")
        for row in rows:
            table.add_row(*map(Text, row))
        Console().print(table)
        return
    widths = [max(map(_width, column)) for column in zip(headers, *rows, strict=True)]
    for row in (tuple(headers), *rows):
        cells = [cell + " " * (width - _width(cell)) for cell, width in zip(row, widths, strict=True)]
        print("  ".join(cells).rstrip())


def _width(text: str) -> int:
    """Columns a text takes: marks that stand on a letter take none."""
    return sum(not unicodedata.combining(char) for char in text)


@dataclass(frozen=True, slots=True)
class Found:
    """One thing a name stands for: its kind, and what is printed about it (the keys of `--json`)."""

    kind: str
    id: str
    says: str
    source: str
    file: str
    line: int | None
    more: dict[str, Any] = field(default_factory=dict)


def about(name: str, as_json: bool) -> int:
    """Print everything that goes by a name. An unknown name is wrong use: the nearest names are offered."""
    found = list(find(name))
    if not found:
        near = nearest_names(name)
        if as_json:
            print_json({"name": name, "found": [], "nearest": near})
        hint = f"; near it: {', '.join(near)}" if near else "; `approx list processes` prints the names"
        print(f"approx about: nothing is called '{name}'{hint}", file=sys.stderr)
        return WRONG_USE
    if as_json:
        things = []
        for thing in found:
            told = asdict(thing)
            more = told.pop("more")
            things.append({**told, **more})
        print_json({"name": name, "found": things})
        return FINE
    for number, thing in enumerate(found):
        if number:
            print()
        _print(thing)
    return FINE


def find(name: str) -> Iterator[Found]:
    """Processes, rules, measures, options, norms and classes of sounds that go by the name, in this order."""
    from approx.ipa.features import bases, classes, in_class
    from approx.processes.explain.sound_changes import VOWEL_KINDS
    from approx.processes.rules.norms import age_ranges, named_in_norms
    from approx.processes.rules.ruleset import load

    rules, wanted = load(), _plain(name)
    direct = rules.process(name)
    called = {_plain(other): ours for other, ours in named_in_norms().items()}.get(wanted, ())
    for process in [direct] if direct else filter(None, map(rules.process, called)):
        yield _process(process, [rule for rule in rules.rules if rule.process == process.name])
    for rule in rules.rules:
        if _plain(rule.id) == wanted:
            yield Found("rule", rule.id, rule.process, rule.source, place(rule.file), rule.line, _rule(rule))
    for kind in VOWEL_KINDS:
        vowels = rules.process("vowel change")
        if vowels and _plain(f"vowel-change.{kind}") == wanted:
            says = f"vowel change of a kind that no rule names: {kind}"
            yield Found("rule", name, says, vowels.source, place(vowels.file), vowels.line)
    for entry in measure_entries():
        if _plain(entry.id) == wanted:
            text = docstring(measures()[entry.id])
            yield Found("measure", entry.id, entry.says, entry.source, entry.file, entry.line, {"text": text})
    for entry in option_entries():
        if _plain(entry.id) == wanted:
            yield Found("option", entry.id, entry.says, entry.source, entry.file, entry.line)
    ranges = {found.id: found for found in age_ranges()}
    for entry in norm_entries():
        spans = ranges.get(entry.id)
        same_sound = spans is not None and spans.kind == "consonant" and spans.name == name.strip().strip("/[]")
        if _plain(entry.id) == wanted or same_sound:
            more = {"ages": [_ages(spans)]} if spans else {}
            yield Found("norm", entry.id, entry.says, entry.source, entry.file, entry.line, more)
    if wanted in classes():
        sounds = [sound for sound in bases() if in_class(sound, wanted)]
        file, line, source = _classes_file(wanted)
        yield Found("class", wanted, classes()[wanted], source, file, line, {"sounds": sounds})


def _process(process: Process, rules: list[Rule]) -> Found:
    from approx.processes.rules.norms import ages_of

    more = {
        "name": process.name,
        "synonyms": list(process.synonyms),
        "atypical": process.atypical,
        "rules": [{"id": r.id, **_rule(r), "source": r.source, "file": place(r.file), "line": r.line} for r in rules],
        "ages": [_ages(found) for found in ages_of(process.name)],
    }
    return Found("process", process.id, process.says, process.source, place(process.file), process.line, more)


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "process": rule.process,
        "change": rule.text,
        "cost": rule.cost,
        "uses": list(rule.uses),
        "language": rule.language,
        "kind_of_change": rule.kind,
        "examples": [list(pair) for pair in rule.examples],
    }


def _ages(found: AgeRange) -> dict[str, Any]:
    from approx.processes.rules.norms import CAUTION

    rows = [
        {
            "ages_months": list(row.ages),
            "still_after_months": row.still_after,
            "named": row.named,
            "detail": row.detail,
            "status": row.status,
            "source": row.source,
            "provenance": row.provenance,
            "note": row.note,
            "file": place(row.file),
            "line": row.line,
        }
        for row in found.rows
    ]
    span = {"low_months": found.low, "high_months": found.high, "says": found.says, "caution": CAUTION}
    return {"id": found.id, "language": found.language, **span, "rows": rows}


def _classes_file(name: str) -> tuple[str, int, str]:
    """File, line and source of a class of sounds."""
    from approx.datafiles import read_toml, rules_path

    path = rules_path("ipa/classes.toml")
    lines = path.read_text(encoding="utf-8").splitlines()
    at = next((number for number, line in enumerate(lines, 1) if line.split(" ")[0] == name), 1)
    return place(str(path)), at, str(read_toml(path)["source"])


def nearest_names(name: str, most: int = 5) -> list[str]:
    """Known names that look like a mistyped one, best first."""
    from difflib import get_close_matches

    from approx.ipa.features import classes
    from approx.processes.rules.norms import named_in_norms
    from approx.processes.rules.ruleset import load

    rules = load()
    known = [name for process in rules.processes for name in (process.name, *process.synonyms)]
    known += [
        *named_in_norms(),
        *measures(),
        *(entry.id for entry in option_entries()),
        *classes(),
        *(rule.id for rule in rules.rules),
    ]
    by_plain = {_plain(other): other for other in reversed(known)}
    return [by_plain[match] for match in get_close_matches(_plain(name), by_plain, most, 0.6)]


def _plain(name: str) -> str:
    """A name without case, and with blanks where hyphens and underscores stand."""
    return " ".join(name.lower().replace("-", " ").replace("_", " ").split())


def _print(thing: Found) -> None:
    more = thing.more
    print(f"{more.get('name', thing.id)} ({thing.kind})")
    if thing.kind == "measure":
        print(_indented(more["text"]))
        print(f"  source: {thing.source}")
    else:
        print(f"  {thing.says}")
        print(f"  source: {thing.source}")
    print(f"  where: {thing.file}:{thing.line}")
    if more.get("synonyms"):
        print(f"  also called: {', '.join(more['synonyms'])}")
    if more.get("atypical"):
        print("  sources call it atypical in development; offered as a step only when nothing else is left")
    if more.get("change"):
        print(f"  change: {more['change']}\n  cost: {more['cost']:g}\n  used to: {', '.join(more['uses'])}")
        print(f"  examples: {_examples(more['examples'])}")
    if thing.kind == "class":
        print(f"  sounds: {' '.join(more['sounds'])}")
    if thing.kind == "process":
        _print_rules(more["rules"])
    for ages in more.get("ages", ()):
        _print_ages(ages)


def _print_rules(rules: list[dict[str, Any]]) -> None:
    if not rules:
        print("\nno rules: it is found in what was said, not written as a change")
        return
    print(f"\nrules ({len(rules)})")
    headers = ("rule", "change", "cost", "examples", "source", "where")
    rows = [
        (
            r["id"],
            r["change"],
            f"{r['cost']:g}",
            _examples(r["examples"]),
            r["source"],
            f"{r['file']}:{r['line']}",
        )
        for r in rules
    ]
    print_table(headers, rows)


def _print_ages(ages: dict[str, Any]) -> None:
    from approx.processes.rules.norms import years

    print(f"\n{ages['language']}: {ages['says']}\n{ages['caution']}")
    rows = []
    for row in ages["rows"]:
        months = sorted({*row["ages_months"]})
        said = ", ".join(map(years, months))
        if row["still_after_months"]:
            said = f"still after {years(row['still_after_months'])}"
        about_it = "; ".join(filter(None, (row["detail"], row["note"])))
        rows.append((said or row["status"] or "-", about_it, row["source"], row["provenance"]))
    print_table(("age", "about", "source", "read in"), rows)


def _examples(pairs: list[list[str]]) -> str:
    return ", ".join(f"{before} → {after}" for before, after in pairs)


def _indented(text: str) -> str:
    return "\n".join(f"  {line}".rstrip() for line in text.splitlines())


def doctor(own: Path | None, as_json: bool) -> int:
    """Check everything and print what was looked at; problems go to stderr. Returns the exit code."""
    from approx.processes.doctor.doctor import check

    if own is not None and not own.is_dir():
        print(f"approx doctor: no folder '{own}'; name a folder that holds .toml rule files", file=sys.stderr)
        return WRONG_USE
    found = check(own)
    faults = [problem for problem in found.problems if problem.fatal]
    remarks = [problem for problem in found.problems if not problem.fatal]
    looked_at = {
        "rules": found.rules,
        "examples": found.examples,
        "processes": found.processes,
        "tables": found.tables,
        "pairs_that_undo_each_other": found.undoing,
    }
    if as_json:
        listed = {"problems": [p.as_json() for p in faults], "remarks": [p.as_json() for p in remarks]}
        print_json({"checked": looked_at, **listed})
        return exit_code(faults)
    print_problems(faults)
    for problem in remarks:
        print(f"remark: {problem}", file=sys.stderr)
    counts = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in looked_at.items())
    print(f"checked: {counts}")
    print(f"{_count(faults, 'problem')}, {_count(remarks, 'remark')}")
    return exit_code(faults)


def _count(things: Sequence[object], name: str) -> str:
    return f"{len(things) or 'no'} {name}{'' if len(things) == 1 else 's'}"
