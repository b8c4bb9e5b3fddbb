"""Explanations and sample processes as JSON (keys are a promise) and as plain lines."""

from __future__ import annotations

from typing import Any

from approx.processes.chances import ChanceOptions
from approx.processes.explain import Derivation, Explanation
from approx.processes.sample_processes import SampleProcesses, Told


def uses_json(reading: Derivation) -> list[dict[str, Any]]:
    """Processes of one reading, each with its rule and adult sounds; a kind only where there is one."""
    return [
        {"process": use.process, "rule": use.rule, "targets": list(use.targets)}
        | ({"kind": use.kind} if use.kind else {})
        for use in reading.uses
    ]


def explanation_json(found: Explanation) -> dict[str, Any]:
    """One pair: first reading, its steps, what stays unexplained, other good readings."""
    best = found.best
    return {
        "target": found.target.ipa,
        "produced": found.produced.ipa,
        "processes": uses_json(best),
        "steps": [{"rule": rule, "before": before, "after": after} for rule, before, after in best.steps],
        "unexplained": list(best.unexplained),
        "readings": [{"processes": uses_json(each), "unexplained": list(each.unexplained)} for each in found.readings],
    }


def explanation_lines(found: Explanation) -> list[str]:
    """The same for the terminal, always written adult > child."""
    best, phones = found.best, found.target.phones
    lines = [f"{found.target.ipa} > {found.produced.ipa}"]
    if not best.uses and not best.unexplained:
        lines.append("  no change")
    for use in best.uses:
        kind = f", {use.kind}" if use.kind else ""
        lines.append(f"  {use.process}{kind}: {' '.join(phones[t] for t in use.targets)}  ({use.rule})")
    if best.unexplained:
        lines.append("  unexplained: " + " ".join(phones[t] for t in best.unexplained))
    if best.steps:
        lines.append("  " + " > ".join([best.steps[0][1], *(after for _, _, after in best.steps)]))
    lines += [f"  or: {', '.join(each.names)}" for each in found.readings]
    return lines


def group_json(found: SampleProcesses, options: ChanceOptions, labels: dict[str, str]) -> dict[str, Any]:
    """One group of a sample: every process with a chance, those that happened first."""
    rows = sorted(found.tallies.items(), key=lambda item: (-item[1].occurrences, item[0]))
    return labels | {
        "processes": [
            {
                "process": name,
                "occurrences": tally.occurrences,
                "chances": tally.chances,
                "percent": None if tally.percent is None else round(tally.percent, 1),
                "active": tally.standing(options) in ("active", "frequent"),
                "standing": tally.standing(options),
                "words": list(tally.words),
                "not_in": list(tally.not_in),
                "rules": dict(tally.rules),
            }
            for name, tally in rows
        ],
        "unexplained": [{"word": word, "sound": sound, "row": row} for word, sound, row in found.unexplained],
    }


def token_json(each: Told) -> dict[str, Any]:
    """One token: its row, forms, processes, and other readings by name."""
    return {
        "row": each.pair.key,
        "word": each.pair.word,
        "target": each.pair.target.ipa,
        "produced": each.pair.produced.ipa,
        "processes": uses_json(each.reading),
        "unexplained": list(each.reading.unexplained),
        "readings": [list(other.names) for other in each.others],
    }


def group_lines(found: SampleProcesses, options: ChanceOptions, title: str) -> list[str]:
    """A group for the terminal: counts beside every percentage, evidence words beside every claim."""
    lines = [title]
    shown = [(name, tally) for name, tally in found.tallies.items() if tally.occurrences]
    for name, tally in sorted(shown, key=lambda item: -item[1].occurrences):
        share = f"{tally.percent:.0f} %" if tally.percent is not None else "-"
        words = ", ".join(list(tally.words)[:8])
        missing = f"; not in {', '.join(list(tally.not_in)[:6])}" if tally.not_in else ""
        lines.append(
            f"  {name}: {tally.occurrences} of {tally.chances} chances ({share}), {tally.standing(options)}; in {words}{missing}"
        )
    if not shown:
        lines.append("  no process found")
    if found.unexplained:
        lines.append(
            "  unexplained: " + ", ".join(f"{sound} in {word} (row {row})" for word, sound, row in found.unexplained)
        )
    return lines
