"""The check-up of `rules/` and of a clinician's own rule folder: everything that is wrong, in one run.

Of the tables that a clinician may change: rows whole, keys once, every form readable IPA. Rules that undo each other, where one
change leads back to the form the other started from, are no fault: the search pays for every step, keeps the forms it has seen
and stops after a fixed number of them. But cheap ones cost time and are often a slip: `approx doctor` names them.
"""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from approx.datafiles import read_toml, rules_folder, rules_path
from approx.ipa import features as ft
from approx.ipa import read
from approx.problems import Problem
from approx.processes.engine.apply import apply, apply_at
from approx.processes.engine.form import Form, form_of
from approx.processes.engine.proofs import examples_hold, failing_examples, never_applies
from approx.processes.rules.rule import Process, Rule, wrong_kinds
from approx.processes.rules.ruleset import load_rules, read_rules, rule_files

__all__ = ["CheckUp", "check", "check_rules", "examples_hold"]

ORDINARY_STEP = 0.5
"""Cost of one ordinary step of a child. Rules that come back to their start for less get a remark."""
_NO_RULES = {
    "distortion": "found by the marks on a sound",
    "nearest sound": "found by features",
    "own change": "in the child's file",
}
"""Processes that need no rule, and how they are found."""
PROVENANCE = ("text", "text, secondary", "from memory", "common practice, no source", "computed")
"""How a published value came into a table of norms."""

_CITED = re.compile(r"source|\b(19|20)\d\d\b", re.IGNORECASE)
"""What a remark above a table says where the table is from: the word source, or a year."""


@dataclass(frozen=True, slots=True)
class CheckUp:
    """What was found and how much was looked at. Problems that are not fatal are remarks."""

    problems: tuple[Problem, ...]
    rules: int
    examples: int
    processes: int
    tables: int
    undoing: int
    """Pairs of rules that undo each other, remarked on or not."""


def check(own: Path | None = None) -> CheckUp:
    """Check our rules and those of an own folder, every example, and every table of `rules/`.

    Files are read afresh; nothing is raised; a faulty rule stops no other check.
    """
    found = check_rules(own)
    names = frozenset(process.name for process in load_rules().processes)
    accents, faults = _accents()
    return replace(
        found,
        problems=(*found.problems, *map(_with_line, faults), *table_faults(names), *panphon_remarks()),
        rules=found.rules + len(accents),
        examples=found.examples + sum(len(rule.examples) for rule in accents),
        tables=len(table_files()),
    )


def _accents() -> tuple[tuple[Rule, ...], list[Problem]]:
    """The rules of every accent of every language, and what is wrong with them and their examples."""
    problems: list[Problem] = []
    rules: list[Rule] = []
    for path in sorted(rules_path("accents").glob("*.toml")):
        rules += _rules_of([path], frozenset({"accent"}), problems)
    problems += _doubled(tuple(rules), {})
    return tuple(rules), [*problems, *failing_examples(tuple(rules))]


def check_rules(own: Path | None = None) -> CheckUp:
    """As `check`, but of rules and processes only."""
    problems: list[Problem] = []
    processes = load_rules.__wrapped__(None).processes
    names = frozenset(process.name for process in processes)
    ours = tuple(_rules_of(rule_files(), names, problems))
    own_rules = tuple(_rules_of(_own_files(own, problems), names, problems)) if own is not None else ()
    problems += _doubled(ours, {})
    problems += _doubled(own_rules, {rule.id: rule for rule in ours})
    rules = tuple({rule.id: rule for rule in (*ours, *own_rules)}.values())
    problems += failing_examples(rules)
    able = tuple(rule for rule in rules if never_applies(rule.change) is None)
    undoing = undoing_pairs(able)
    problems += _ways_back(able, undoing, {rule.id for rule in own_rules})
    problems += _process_faults(processes, rules)
    examples = sum(len(rule.examples) for rule in rules)
    return CheckUp(tuple(map(_with_line, problems)), len(rules), examples, len(processes), 0, len(undoing))


def _own_files(own: Path, problems: list[Problem]) -> list[Path]:
    if not own.is_dir():
        problems.append(Problem("rules.folder", f"no folder '{own}'", "name a folder that holds .toml rule files"))
        return []
    files = sorted(own.glob("*.toml"))
    if not files:
        hint = "rules/README.md shows one"
        problems.append(Problem("rules.folder", f"no .toml file in '{own}'", hint, fatal=False))
    return files


def _rules_of(files: Iterable[Path], names: frozenset[str], problems: list[Problem]) -> Iterator[Rule]:
    """The sound rules of some files, later ones with the same id included."""
    for path in files:
        wrong = list(_wrong_kinds(path))
        problems += wrong
        if not wrong:
            yield from read_rules(path, names, problems)


def _wrong_kinds(path: Path) -> Iterator[Problem]:
    """Values not of the kind their key takes (text for a number); other faults are left to the reader."""
    try:
        rows = read_toml(path).get("rule", [])
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, ValueError):
        return
    starts = [number for number, line in enumerate(lines, 1) if line.strip().startswith("[[")]
    for place, row in enumerate(rows if isinstance(rows, list) else []):
        line = starts[place] if place < len(starts) else 1
        name = row.get("id", "without id") if isinstance(row, dict) else "without id"
        for key, wanted in wrong_kinds(row):
            yield Problem(
                "rules.value",
                f"rule '{name}': {key} must be {wanted}",
                "see rules/README.md",
                str(path),
                line,
            )


def _doubled(rules: tuple[Rule, ...], over: dict[str, Rule]) -> Iterator[Problem]:
    """An id that stands twice in one folder is a fault; over a rule of ours it is meant, so a remark."""
    first: dict[str, Rule] = {}
    for rule in rules:
        other = first.setdefault(rule.id, rule)
        if other is not rule:
            where = f"line {other.line}" if other.file == rule.file else f"{other.file}:{other.line}"
            hint = f"the first is {where}; give each rule its own id"
            yield Problem("rules.id", f"rule '{rule.id}' is written twice", hint, rule.file, rule.line)
        elif rule.id in over:
            hint = f"give it an id of its own to keep both; ours is {over[rule.id].file}:{over[rule.id].line}"
            said = f"rule '{rule.id}' takes the place of ours"
            yield Problem("rules.replaced", said, hint, rule.file, rule.line, fatal=False)


def _ways_back(rules: tuple[Rule, ...], pairs: tuple[UndoingPair, ...], own: set[str]) -> Iterator[Problem]:
    """A remark for each cheap way from a form back to itself, and for every way made of own rules alone."""
    for pair in pairs:
        if pair.cost < ORDINARY_STEP or {pair.there.id, pair.back.id} <= own:
            way = f"{pair.start} -> {pair.middle} -> {pair.start}"
            yield _chase(pair.there, (pair.back,), way, pair.cost)
    around = (*rings(rules, ORDINARY_STEP), *rings((rule for rule in rules if rule.id in own), float("inf")))
    for ring in dict.fromkeys(around):
        yield _chase(ring[0], ring[1:], "round again", sum(rule.cost for rule in ring))


def _chase(one: Rule, others: tuple[Rule, ...], way: str, cost: float) -> Problem:
    named = ", ".join(f"'{rule.id}'" for rule in others if rule is not one) or "itself"
    where = ", ".join(f"{Path(rule.file).name}:{rule.line}" for rule in others)
    message = f"rule '{one.id}' is undone by {named} ({where}) for {cost:.2f} together: {way}"
    hint = "no harm, the search ends all the same; raise a cost if the way back was not meant"
    return Problem("rules.cycle", message, hint, one.file, one.line, fatal=False)


def _process_faults(processes: tuple[Process, ...], rules: tuple[Rule, ...]) -> Iterator[Problem]:
    """Each process has a source, a name of its own and at least one rule, or is known to need none."""
    used = {rule.process for rule in rules}
    owner: dict[str, Process] = {}
    for process in processes:
        if process.name not in used and process.name not in _NO_RULES:
            hint = "add a rule, see rules/README.md"
            yield Problem("process.rules", f"process '{process.name}' has no rule", hint, process.file, process.line)
        if not process.source.strip():
            yield Problem("process.source", f"process '{process.name}' has no source", "", process.file, process.line)
        for name in (process.name, *process.synonyms):
            other = owner.setdefault(name, process)
            if other is not process:
                hint = f"it is also a name of '{other.name}', line {other.line}"
                yield Problem("process.name", f"'{name}' names two processes", hint, process.file, process.line)


def _with_line(problem: Problem) -> Problem:
    """Line and column of a TOML fault stand in its text; a fault of a whole file is on its first line."""
    place = re.search(r" \(at line (\d+), column (\d+)\)", problem.message)
    if place:
        message = problem.message.replace(place[0], "")
        problem = replace(problem, message=message).at(line=int(place[1]), column=int(place[2]))
    return problem.at(line=1) if problem.file else problem


@dataclass(frozen=True, slots=True)
class UndoingPair:
    """Two rules and one form that goes there and back; both may be one rule (ɔ -> ɑ and ɑ -> ɔ)."""

    there: Rule
    back: Rule
    start: str
    middle: str

    @property
    def cost(self) -> float:
        """What the way there and back costs together."""
        return self.there.cost + self.back.cost


def undoing_pairs(rules: Iterable[Rule], use: str = "simplify") -> tuple[UndoingPair, ...]:
    """Every pair of rules of one use that undo each other on a rule's own examples, each pair once.

    An example stands for all sounds of a set: pɛn -> bɛn of {p t k} -> {b d ɡ} is tried with t and k too.
    """
    usable = sorted((rule for rule in rules if use in rule.uses), key=lambda rule: rule.id)
    by_growth: dict[int, list[Rule]] = defaultdict(list)
    for rule in usable:
        by_growth[_growth(rule)].append(rule)
    found: dict[frozenset[str], UndoingPair] = {}
    for there in usable:
        for start, middle in _witnesses(there):
            before = _alike(middle.phones, start.phones)
            differing_end = len(middle.phones) - _alike(middle.phones[::-1], start.phones[::-1])
            for back in by_growth[-_growth(there)]:
                pair = frozenset((there.id, back.id))
                if (
                    pair not in found
                    and _speak_together(there, back)
                    and _leads_to(back, middle, start, before, differing_end)
                ):
                    found[pair] = UndoingPair(there, back, start.word.ipa, middle.word.ipa)
    return tuple(sorted(found.values(), key=lambda pair: (pair.cost, pair.there.id, pair.back.id)))


def rings(rules: Iterable[Rule], below: float, longest: int = 6) -> tuple[tuple[Rule, ...], ...]:
    """Three rules or more that turn a sound into others and back to itself for less than `below` together.

    Only rules of "simplify" that change one sound into one; each ring once, from its first rule by id.
    """
    steps: dict[str, set[tuple[str, Rule]]] = defaultdict(set)
    for rule in rules:
        if (
            "simplify" in rule.uses
            and len(rule.change.focus) == 1 == len(rule.change.result)
            and not rule.change.of_syllables
        ):
            for start, middle in _witnesses(rule):
                changed = [(a, b) for a, b in zip(start.phones, middle.phones, strict=True) if a != b]
                steps[changed[0][0]].add((changed[0][1], rule))
    found: dict[frozenset[str], tuple[Rule, ...]] = {}
    for sound in sorted(steps):
        todo: list[tuple[str, tuple[Rule, ...]]] = [(sound, ())]
        while todo:
            here, taken = todo.pop()
            for there, rule in sorted(steps[here], key=lambda step: (step[1].id, step[0])):
                way = (*taken, rule)
                if rule in taken or sum(step.cost for step in way) >= below:
                    continue
                if there == sound and len(way) > 2:
                    first = min(range(len(way)), key=lambda at: way[at].id)
                    found.setdefault(frozenset(step.id for step in way), way[first:] + way[:first])
                elif there != sound and len(way) < longest:
                    todo.append((there, way))
    return tuple(sorted(found.values(), key=lambda way: [rule.id for rule in way]))


def _growth(rule: Rule) -> int:
    """Items written less items taken: a rule can only be undone by one of the opposite growth."""
    return len(rule.change.result) - len(rule.change.focus)


def _speak_together(one: Rule, other: Rule) -> bool:
    """True if both can be in use for one child."""
    return "" in (one.language, other.language) or one.language == other.language


def _witnesses(rule: Rule) -> Iterator[tuple[Form, Form]]:
    """Forms before and after the rule: its examples, and these with the other sounds of its sets."""
    tag = rule.language or "en-US"
    for before, _ in rule.examples:
        reading = read(before, tag)
        if reading.problems or len(reading.words) != 1:
            continue
        start = form_of(reading.words[0])
        for first, last, middle in apply(rule.change, start, tag):
            yield start, middle
            if last - first != 1 or rule.change.of_syllables:
                continue
            for other in rule.change.focus[0].sounds:
                varied = start._replace(phones=(*start.phones[:first], other, *start.phones[last:]))
                yield from ((varied, after) for at, _, after in apply(rule.change, varied, tag) if at == first)


def _leads_to(rule: Rule, form: Form, goal: Form, before: int, differing_end: int) -> bool:
    """True if the rule makes one form of the other; they are alike up to sound `before`, and from `differing_end` on."""
    change, tag = rule.change, rule.language or "en-US"
    if change.of_syllables:
        return any(after[:3] == goal[:3] for _, _, after in apply(change, form, tag))
    # what a rule writes stands in place of its focus, so the focus has to cover all that differs
    for at in range(max(0, differing_end - len(change.focus)), before + 1):
        found = apply_at(change, form, at, tag)
        if found is not None and found[:3] == goal[:3]:
            return True
    return False


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """How many sounds two forms begin with alike."""
    return next((at for at, (a, b) in enumerate(zip(one, other)) if a != b), min(len(one), len(other)))


@dataclass(frozen=True, slots=True)
class TableRule:
    """What one table must hold: columns that name a row together, columns of IPA (forms parted by |)."""

    key: tuple[str, ...]
    ipa: tuple[str, ...] = ()
    language: str = "en-US"


_SHAPES = {
    "ipa/features.tsv": TableRule(("symbol",), ("symbol",), "und"),
    "ipa/marks.tsv": TableRule(("mark",)),
    "ipa/lookalikes.tsv": TableRule(("typed", "language"), ("read",), "und"),
    "ipa/xsampa.tsv": TableRule(("xsampa",), ("ipa",), "und"),
    "lexicon/arpabet.tsv": TableRule(("arpabet",), ("ipa",)),
    "lexicon/en.tsv": TableRule(("word", "part_of_speech", "category", "ipa"), ("ipa",)),
    "lexicon/es.tsv": TableRule(("word", "part_of_speech", "category", "ipa"), ("ipa",), "es"),
    "lexicon/english_list.tsv": TableRule(("word",), ("ipa",)),
    "lexicon/endings.tsv": TableRule(("ending", "undo"), ("sounds",)),
    "lexicon/frequency.tsv": TableRule(("word",)),
    "lexicon/function_words.tsv": TableRule(("word",), ("strong", "weak")),
    "lexicon/letters.tsv": TableRule(("letters", "before", "after"), ("sounds",)),
    "lexicon/signs.tsv": TableRule(("sign",)),
    "norms/consonant_ages.tsv": TableRule(
        ("language", "variety", "sound", "position", "sex", "source"), ("sound",), "und"
    ),
    "norms/process_ages.tsv": TableRule(("language", "process", "named", "detail", "source")),
}


def table_files() -> list[Path]:
    """Every table of `rules/` that is checked, in a fixed order."""
    folder = rules_folder()
    return [
        *sorted(folder.glob("*/*.tsv")),
        *sorted(folder.glob("languages/*.toml")),
        folder / "ipa" / "classes.toml",
    ]


def table_faults(processes: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Every fault in the tables of `rules/`; `processes` are the names that a table of norms may use."""
    folder = rules_folder()
    for path in table_files():
        name = path.relative_to(folder).as_posix()
        if path.suffix == ".tsv":
            yield from tsv_faults(path, _SHAPES.get(name, TableRule(())), processes)
        elif name == "ipa/classes.toml":
            yield from _toml_faults(path, _class_faults)
        else:
            yield from _toml_faults(path, _language_faults)


def tsv_faults(path: Path, shape: TableRule, processes: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Faults of one table parted by tabs: rows, source, doubled keys, IPA; ages and provenance in norms."""
    fault = partial(Problem, file=str(path))
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        yield fault("data.file", f"cannot read: {getattr(error, 'strerror', None) or 'not UTF-8 text'}")
        return
    rows = [(number, line.split("\t")) for number, line in enumerate(lines, 1) if line and line[0] != "#"]
    if not rows:
        yield fault("data.empty", "no header row", "the first line without # names the columns", line=1)
        return
    head_line, header = rows[0]
    missing = [column for column in (*shape.key, *shape.ipa) if column not in header]
    if missing:
        yield fault("data.column", f"no column {', '.join(missing)}", "columns are parted by tabs", line=head_line)
        return
    if not {"source", "remark", "why"} & {*header} and not _CITED.search(" ".join(lines[: head_line - 1])):
        hint = "say in a line with # above it, or in a column `source`, where the table is from"
        yield fault("data.source", "no source", hint, line=head_line)
    key_at = [header.index(column) for column in shape.key]
    ipa_at = [header.index(column) for column in shape.ipa]
    seen: dict[tuple[str, ...], int] = {}
    norms, symbols = path.parent.name == "norms", path.parent.name == "ipa"
    for line, cells in rows[1:]:
        if len(cells) != len(header):
            yield fault(
                "data.row",
                f"{len(cells)} cells, the header has {len(header)}",
                "cells are parted by tabs",
                line=line,
            )
            continue
        key = tuple(cells[at] for at in key_at)
        if key and seen.setdefault(key, line) != line:
            said = " ".join(filter(None, key))
            yield fault("data.twice", f"'{said}' is written twice", f"the first is on line {seen[key]}", line=line)
        for at in ipa_at:
            yield from (problem.at(str(path), line) for problem in ipa_faults(cells[at], shape.language, symbols))
        if norms:
            for message, hint in _norm_faults(dict(zip(header, cells, strict=True)), processes):
                yield fault("data.norm", message, hint, line=line)


def panphon_remarks() -> Iterator[Problem]:
    """Where our table of features departs from that of the panphon that is installed: a remark a segment, none where it is not."""
    from approx.ipa.panphon_table import panphon_segments, panphon_version

    file = str(rules_folder() / "ipa" / "features.tsv")
    for segment, theirs in panphon_segments().items():
        ours = ft.features(segment)
        apart = [name for name, value in zip(ft.FEATURES, ours or ()) if theirs[name] != value]
        if apart or ours is None:
            said = f"differs in {', '.join(apart)}" if apart else "is not in our table"
            message = f"'{segment}' {said} from the table of panphon {panphon_version()}"
            hint = "our table is of panphon 0.22.2; take over its row, or say above the table why not"
            yield Problem("data.panphon", message, hint, file, symbol=segment, fatal=False)


def ipa_faults(cell: str, language: str, symbols: bool = False) -> Iterator[Problem]:
    """What cannot be read in a cell of IPA. An empty cell and a dash are no forms and pass.

    `symbols`: the cell holds one symbol, which may be a mark that only means something beside a sound.
    """
    for form in cell.split("|"):
        lone_mark = symbols and not any(unicodedata.category(char) in ("Ll", "Lo", "Lu") for char in form)
        if form in ("", "-") or lone_mark:
            continue
        for problem in read(form, language).problems:
            yield Problem("data.ipa", problem.message, problem.hint, symbol=problem.symbol)


def _norm_faults(row: dict[str, str], processes: frozenset[str]) -> Iterator[tuple[str, str]]:
    if not row.get("source", "").strip():
        yield "no source", "every published value has author, year and place beside it"
    if row.get("provenance") not in PROVENANCE:
        yield f"provenance '{row.get('provenance', '')}'", "one of: " + "; ".join(PROVENANCE)
    for column, cell in row.items():
        if column.endswith("_months") and cell and not (cell.isdecimal() and int(cell) <= 216):
            yield f"{column} is '{cell}'", "whole months up to 216 (3;6 is 42), or nothing"
    low, high = row.get("band_low_months", ""), row.get("band_high_months", "")
    if low.isdecimal() and high.isdecimal() and int(low) > int(high):
        yield f"the band runs from {low} to {high} months", "write the lower age first"
    for name in filter(None, row.get("process", "").split("|")):
        if processes and name not in processes:
            yield f"'{name}' is not a process", "`approx list processes` prints the names"


def _toml_faults(path: Path, check: Callable[[dict[str, Any]], Iterator[tuple[str, str]]]) -> Iterator[Problem]:
    import tomllib

    try:
        text = path.read_text(encoding="utf-8")
        table = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        yield Problem("data.file", f"cannot read: {error}", "the file is TOML in UTF-8", str(path))
        return
    if not str(table.get("source", "")).strip():
        yield Problem("data.source", "no source", 'add a line: source = "..."', str(path), 1)
    lines = text.splitlines()
    for key, message in check(table):
        at = next((number for number, line in enumerate(lines, 1) if key in line.replace('"', " ").split()), 1)
        yield Problem("data.sound", message, "rules/ipa/features.tsv and marks.tsv hold the sounds", str(path), at)


def _class_faults(table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for name, spec in table.get("classes", {}).items():
        if spec.startswith("["):
            try:
                ft.parse_bundle(spec)
            except KeyError as error:
                yield name, f"class '{name}': {error} is not a feature with its sign"
        else:
            yield from ((name, f"class '{name}': '{s}' is not a sound") for s in spec.split() if ft.features(s) is None)


def _language_faults(table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """A language's sounds must be known, and its onsets must be made of its own consonants."""
    sounds: dict[str, list[str]] = {}
    for key in ("consonants", "vowels", "diphthongs", "affricates"):
        if not isinstance(table.get(key), str):
            yield key, f"no {key}"
            continue
        sounds[key] = table[key].split()
        yield from ((key, f"'{sound}' is not a sound") for sound in sounds[key] if ft.features(sound) is None)
        yield from ((key, f"'{s}' is written twice") for s in set(sounds[key]) if sounds[key].count(s) > 1)
    own = {*sounds.get("consonants", ()), *sounds.get("affricates", ())}
    for onset in table.get("onsets", "").split() if sounds.get("consonants") else ():
        strange = [sound for word in read(onset, "und").words for sound in word.phones if sound not in own]
        yield from ((onset, f"onset '{onset}': '{sound}' is not a consonant of this language") for sound in strange)
    for typed, meant in table.get("respelled", {}).items():
        if meant not in sounds.get("diphthongs", ()):
            yield typed, f"'{typed}' is read as '{meant}', which is not a diphthong of this language"
