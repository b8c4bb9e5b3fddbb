"""The proof of a rule: its examples must come out of it, and there must be a word in which it could happen.

Examples are run when rules are new or changed. A rule that reads well and could not happen in any word is found too: most
often a blank or a place was forgotten.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from approx.datafiles import PACKAGE, rules_folder
from approx.ipa import features as ft
from approx.ipa import read
from approx.ipa.word import Word
from approx.problems import Problem
from approx.processes.engine.apply import apply
from approx.processes.engine.form import form_of
from approx.processes.rules.notation import Item, ParsedRule
from approx.processes.rules.rule import Rule
from approx.processes.rules.rule_cache import cache_folder
from approx.processes.rules.ruleset import RuleSet

REMEMBERED = 64
"""How many rule sets are remembered as proved; the oldest goes first."""
_MEMORY = "proved_rules.txt"
_ENGINE = ("engine/apply.py", "engine/form.py", "rules/notation.py")


def examples_hold(ruleset: RuleSet) -> tuple[Problem, ...]:
    """A problem for each example that does not hold; () in under 1 ms if this rule set was proved before.

    Remembered is a hash of the rule files, the sound tables and the code that carries rules out: a change in
    any of them runs the examples again. Where the note cannot be kept, they run each time.
    """
    key = f"{ruleset.hash}-{_engine()}"
    path = cache_folder() / _MEMORY
    proved = _read(path)
    if key in proved:
        return ()
    problems = tuple(failing_examples(ruleset.rules))
    if not problems:
        _keep(path, [*proved, key][-REMEMBERED:])
    return problems


def failing_examples(rules: Iterable[Rule]) -> Iterator[Problem]:
    """Every example that does not hold, with its line and what came out; of a dead rule only that it is dead."""
    for rule in rules:
        dead = never_applies(rule.change, in_phrases=rule.process == "accent")
        if dead is not None:
            message = f"rule '{rule.id}' can never apply: {dead}"
            yield Problem("rules.never", message, "mend the change", rule.file, rule.line)
            continue
        for before, after in rule.examples:
            said = _fault(rule, before, after)
            if said is not None:
                message = f"rule '{rule.id}': example {before} -> {after} does not hold: {said}"
                hint = "mend the change or the example; rules/README.md shows the notation"
                yield Problem("rules.example", message, hint, rule.file, example_line(rule, before, after))


def outcomes(rule: Rule, form: str) -> tuple[str, ...]:
    """What one use of the rule makes of a form, place by place, as IPA. ValueError on unreadable IPA."""
    tag = rule.language or "en-US"
    start = form_of(_form(form, tag, rule.process == "accent"))
    if start.edges:
        return tuple(dict.fromkeys("".join(after.phones) for _, _, after in apply(rule.change, start, tag)))
    return tuple(dict.fromkeys(after.word.ipa for _, _, after in apply(rule.change, start, tag)))


def _form(text: str, tag: str, phrase: bool) -> Word:
    """One word, or the words of a phrase. ValueError on unreadable IPA."""
    from approx.samples.cells.forms import joined_words  # only proofs need it: a start is sooner without

    reading = read(text, tag)
    if reading.problems or not reading.words or (len(reading.words) > 1 and not phrase):
        raise ValueError("; ".join(p.message for p in reading.problems) or f"'{text}' is not one word")
    return joined_words(reading.words, text.split())


def _fault(rule: Rule, before: str, after: str) -> str | None:
    """Why an example does not hold, or None if it does."""
    try:
        came_out = outcomes(rule, before)
    except ValueError as error:
        return str(error)
    try:
        wanted = _form(after, rule.language or "en-US", " " in before)
    except ValueError as error:
        return str(error)
    if ("".join(wanted.phones) if " " in before else wanted.ipa) in came_out:
        return None
    return f"{', '.join(came_out)} came out" if came_out else "the rule applies nowhere in it"


def example_line(rule: Rule, before: str, after: str) -> int:
    """The line of an example in its file; the line where the rule starts if it cannot be found there."""
    try:
        lines = Path(rule.file).read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError):
        return rule.line
    for number, line in enumerate(lines[rule.line :], rule.line + 1):
        if f'"{before}"' in line and f'"{after}"' in line:
            return number
        if line.strip().startswith("[["):
            break
    return rule.line


def _engine() -> str:
    """A hash of what an example depends on beside the rules, by size and time of change: nothing is read."""
    found = []
    for folder in (PACKAGE / "ipa", rules_folder() / "ipa", rules_folder() / "languages"):
        with os.scandir(folder) as entries:
            found += [(entry.name, entry.stat()) for entry in entries if entry.is_file()]
    found += [(name, os.stat(os.path.join(PACKAGE, "processes", name))) for name in _ENGINE]
    text = ";".join(sorted(f"{name}:{status.st_size}:{status.st_mtime_ns}" for name, status in found))
    return hashlib.blake2s(text.encode(), digest_size=8).hexdigest()


def _read(path: Path) -> list[str]:
    try:
        return path.read_text(encoding="ascii", errors="ignore").split()
    except OSError:
        return []


def _keep(path: Path, keys: list[str]) -> None:
    """Replace the note in one step; where that fails, examples only run again."""
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            fresh.write_text("\n".join(keys) + "\n", encoding="ascii")
            os.replace(fresh, path)
        finally:
            fresh.unlink(missing_ok=True)


def never_applies(change: ParsedRule, in_phrases: bool = False) -> str | None:
    """Why a change could not happen in any word, or None if it could. `in_phrases`: words may meet around it."""
    for item in (*change.focus, *change.left, *change.right, *change.result):
        if item.kind in ("sound", "class", "set", "bundle") and not any(map(item.fits, _sounds(item))):
            return f"no sound is '{item.text}'"
        if {(what, not wanted) for what, wanted in item.stress} & {*item.stress}:
            return f"nothing is '{item.text}'"
    if any(item.kind in ("edge", "cut", "gap") for item in change.focus) and not change.of_syllables:
        return "an edge or a stretch of sounds cannot change; write it after the /"
    if not in_phrases and any(item.kind == "edge" for item in (*change.left[1:], *change.right[:-1])):
        return "a word edge # stands between sounds"
    taken = {item.name for item in change.focus if item.kind == "syllable" and item.name}
    if any(item.kind == "syllable" and item.name not in taken for item in change.result):
        return "a syllable after the arrow has the number of one before it: σ1 σ2 -> σ1 σ1"
    same = len(change.focus) == len(change.result) and all(map(_unchanged, change.focus, change.result))
    return "it changes nothing" if same else None


def _sounds(item: Item) -> Iterator[str]:
    """Sounds an item could stand for: those it spells out, and every one of the feature table."""
    yield from item.sounds or ((item.text,) if item.kind == "sound" else ())
    yield from ft.bases()


def _unchanged(old: Item, new: Item) -> bool:
    if old.kind == "syllable" == new.kind:
        return old.name == new.name
    return old.kind == new.kind and old.kind in ("sound", "set") and (old.text, old.name) == (new.text, new.name)
