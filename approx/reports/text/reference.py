"""What is looked up, as text: lists, one thing by name, rules checked. Parts are lines, and tables that a terminal may draw."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from approx.reports.text.drawn import Columns, Part
from approx.wording import counted


def listing_parts(listing: Mapping[str, Any]) -> list[Part]:
    """A list of processes, measures or norms (the JSON of `approx list`)."""
    rows = tuple((item["id"], item["says"], item["source"], _where(item)) for item in listing["items"])
    return [Columns(("id", "what it is", "source", "where"), rows)]


def _where(thing: Mapping[str, Any]) -> str:
    return f"{thing['file']}:{thing['line']}" if thing["line"] else str(thing["file"])


def lookup_parts(lookup: Mapping[str, Any]) -> list[Part]:
    """Everything that goes by one name (the JSON of `approx about`)."""
    parts: list[Part] = []
    for thing in lookup["found"]:
        parts += [*([""] if parts else []), *_thing(thing)]
    return parts


def _thing(thing: Mapping[str, Any]) -> list[Part]:
    kind = thing["kind"]
    said = _indented(thing["text"]) if kind == "measure" else [f"  {thing['says']}"]
    parts: list[Part] = [f"{thing.get('name', thing['id'])} ({kind})", *said, f"  source: {thing['source']}"]
    parts.append(f"  where: {_where(thing)}")
    if thing.get("synonyms"):
        parts.append(f"  also called: {', '.join(thing['synonyms'])}")
    if thing.get("atypical"):
        parts.append("  sources call it atypical in development; offered as a step only when nothing else is left")
    if thing.get("change"):
        parts += [
            f"  change: {thing['change']}",
            f"  cost: {thing['cost']:g}",
            f"  used to: {', '.join(thing['uses'])}",
        ]
        parts.append(f"  examples: {_examples(thing['examples'])}")
    if thing.get("caution"):
        parts.append(f"  before it is taken as right: {thing['caution']}")
    if kind == "class":
        parts.append(f"  sounds: {' '.join(thing['sounds'])}")
    if kind == "process":
        parts += _rules(thing["rules"])
    return [*parts, *(part for ages in thing.get("ages", ()) for part in _ages(ages))]


def _rules(rules: Sequence[Mapping[str, Any]]) -> list[Part]:
    if not rules:
        return ["", "no rules: it is found in what was said, not written as a change"]
    rows = tuple(
        (r["id"], r["change"], f"{r['cost']:g}", _examples(r["examples"]), r["source"], _where(r)) for r in rules
    )
    return ["", f"rules ({len(rules)})", Columns(("rule", "change", "cost", "examples", "source", "where"), rows)]


def _ages(ages: Mapping[str, Any]) -> list[Part]:
    from approx.processes.rules.norms import years

    rows = []
    for row in ages["rows"]:
        said = ", ".join(map(years, sorted({*row["ages_months"]})))
        if row["still_after_months"]:
            said = f"still after {years(row['still_after_months'])}"
        about_it = "; ".join(filter(None, (row["detail"], row["note"])))
        rows.append((said or row["status"] or "-", about_it, row["source"], row["provenance"]))
    heading = f"{ages['language']}: {ages['says']}"
    return ["", heading, ages["caution"], Columns(("age", "about", "source", "read in"), tuple(rows))]


def _examples(pairs: Iterable[Sequence[str]]) -> str:
    return ", ".join(f"{before} → {after}" for before, after in pairs)


def _indented(text: str) -> list[str]:
    return [f"  {line}".rstrip() for line in text.splitlines()]


def check_lines(found: Mapping[str, Any]) -> list[str]:
    """What was checked, and how much is wrong with it (the JSON of `approx doctor`)."""
    looked_at = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in found["checked"].items())
    faults, remarks = _none_or(found["problems"], "problem"), _none_or(found["remarks"], "remark")
    return [f"checked: {looked_at}", f"{faults}, {remarks}"]


def _none_or(things: Sequence[object], name: str) -> str:
    return counted(len(things), name) if things else f"no {name}s"
