"""`approx about NAME`: one process, measure, rule, norm or class of sounds, found by name, id or synonym."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Any

from approx.cli.list_command import docstring, measure_entries, measures, norm_entries, place, print_table
from approx.cli.output import print_json
from approx.problems import FINE, WRONG_USE

if TYPE_CHECKING:
    from approx.processes.norms import AgeRange
    from approx.processes.rule import Process, Rule


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
    """Processes, rules, measures, norms and classes of sounds that go by the name, in this order."""
    from approx.ipa.features import bases, classes, in_class
    from approx.processes.norms import age_ranges, named_in_norms
    from approx.processes.ruleset import load

    rules, wanted = load(), _plain(name)
    direct = rules.process(name)
    called = {_plain(other): ours for other, ours in named_in_norms().items()}.get(wanted, ())
    for process in [direct] if direct else filter(None, map(rules.process, called)):
        yield _process(process, [rule for rule in rules.rules if rule.process == process.name])
    for rule in rules.rules:
        if _plain(rule.id) == wanted:
            yield Found("rule", rule.id, rule.process, rule.source, place(rule.file), rule.line, _rule(rule))
    for entry in measure_entries():
        if _plain(entry.id) == wanted:
            text = docstring(measures()[entry.id])
            yield Found("measure", entry.id, entry.says, entry.source, entry.file, entry.line, {"text": text})
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
    from approx.processes.norms import ages_of

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
    from approx.processes.norms import CAUTION

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
    from approx.processes.norms import named_in_norms
    from approx.processes.ruleset import load

    rules = load()
    known = [name for process in rules.processes for name in (process.name, *process.synonyms)]
    known += [*named_in_norms(), *measures(), *classes(), *(rule.id for rule in rules.rules)]
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
    else:
        print(f"  {thing.says}")
        print(f"  source: {thing.source}")
    print(f"  where: {thing.file}:{thing.line}")
    if more.get("synonyms"):
        print(f"  also called: {', '.join(more['synonyms'])}")
    if more.get("atypical"):
        print("  sources call it atypical in development; offered as a step only when nothing else is left")
    if thing.kind == "rule":
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
    from approx.processes.norms import years

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
