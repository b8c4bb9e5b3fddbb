"""What there is to look up: every process, measure and norm with its source; one thing by any of its names; rules checked."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Literal, get_args

from approx.api.options import choice_problem, text_problems
from approx.api.result import OnProblem, Result, TableRows
from approx.api.write_table import TableKeys
from approx.datafiles import ALWAYS_RIGHT, accent_names, rules_folder
from approx.problems import Problem
from approx.wording import enumerated, worded

if TYPE_CHECKING:
    from approx.processes.rules.norms import AgeRange
    from approx.processes.rules.rule import Process, Rule

ListKind = Literal["processes", "measures", "norms", "schemas"]
LIST_KINDS: tuple[ListKind, ...] = get_args(ListKind)


@dataclass(frozen=True, slots=True)
class ListEntry:
    """One line of a list. `file` is as short as it can be and still be opened from the current folder."""

    id: str
    says: str
    source: str
    file: str
    line: int | None


@dataclass(frozen=True)
class Listing(Result):
    """Every process, measure, norm or answer with a schema; `problems` are faults of the rule files."""

    is_table: ClassVar[bool] = True
    table_keys: ClassVar[TableKeys] = TableKeys(("id",), wide=True)
    problems: tuple[Problem, ...]
    what: str
    items: tuple[ListEntry, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """What `approx list --json` prints."""
        items = [asdict(entry) for entry in self.items]
        return {"what": self.what, "items": items, "problems": [problem.as_json() for problem in self.problems]}

    def to_table(self) -> TableRows:
        """A row a thing."""
        columns = ("id", "says", "source", "file", "line")
        return columns, ([getattr(entry, name) for name in columns] for entry in self.items)

    def lines(self) -> list[str]:
        """A line a thing, with its source and where it stands."""
        from approx.reports.text.drawn import flat
        from approx.reports.text.reference import listing_parts

        return flat(listing_parts(self.to_dict())) if self.items else []


@dataclass(frozen=True, slots=True)
class ReferenceEntry:
    """One thing a name stands for: its kind, and what is told about it (the keys of `--json`)."""

    kind: str
    id: str
    says: str
    source: str
    file: str
    line: int | None
    more: dict[str, Any] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """All of it in one."""
        told = asdict(self)
        more: dict[str, Any] = told.pop("more")
        return told | more


@dataclass(frozen=True)
class Lookup(Result):
    """Everything that goes by a name; where there is nothing, the nearest names."""

    table_keys: ClassVar[TableKeys] = TableKeys(("kind", "id"), wide=True)
    problems: tuple[Problem, ...]
    name: str
    found: tuple[ReferenceEntry, ...] = ()
    nearest: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """What `approx about --json` prints."""
        said = [problem.as_json() for problem in self.problems]
        found = {"name": self.name, "found": [thing.to_dict() for thing in self.found], "problems": said}
        return found if self.found else {**found, "nearest": list(self.nearest)}

    def to_table(self) -> TableRows:
        """A row a thing."""
        columns = ("kind", "id", "says", "source", "file", "line")
        return columns, ([getattr(thing, name) for name in columns] for thing in self.found)

    def lines(self) -> list[str]:
        """What is told of each thing."""
        from approx.reports.text.drawn import flat
        from approx.reports.text.reference import lookup_parts

        return flat(lookup_parts(self.to_dict()))


@dataclass(frozen=True)
class RulesCheck(Result):
    """What was looked at, with the faults found (`problems`) and what a reader should know (`remarks`)."""

    table_keys: ClassVar[TableKeys] = TableKeys((), ("what",))
    problems: tuple[Problem, ...]
    remarks: tuple[Problem, ...] = ()
    checked: dict[str, int] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """What `approx doctor --json` prints."""
        told = {"problems": self.problems, "remarks": self.remarks}
        return {"checked": self.checked, **{name: [p.as_json() for p in each] for name, each in told.items()}}

    def to_table(self) -> TableRows:
        """A row a kind of thing that was looked at."""
        return ("what", "checked"), self.checked.items()

    def lines(self) -> list[str]:
        """What was looked at, and how much is wrong with it."""
        from approx.reports.text.reference import check_lines

        return check_lines(self.to_dict()) if self.checked else []


def listing(what: ListKind, *, on_problem: OnProblem = "keep") -> Listing:
    """Every process, measure, norm or schema: id, one line, source, file and line. `what`: one of `LIST_KINDS`."""
    wrong = choice_problem("what", what, LIST_KINDS)
    if wrong:
        return Listing(tuple(wrong), what).kept(on_problem)
    problems: tuple[Problem, ...] = ()
    if what == "processes":
        entries, problems = process_entries()
    else:
        entries = {"measures": measure_entries, "norms": norm_entries, "schemas": schema_entries}[what]()
    return Listing(problems, what, tuple(entries)).kept(on_problem)


def about(name: str, *, on_problem: OnProblem = "keep") -> Lookup:
    """Everything that goes by a name. An unknown name is wrong use: the nearest names are offered."""
    if wrong := text_problems(name=name):
        return Lookup(tuple(wrong), "").kept(on_problem)
    found = tuple(find(name))
    if found:
        return Lookup((), name, found)
    near = nearest_names(name)
    hint = (
        worded("near it: {near}", near=enumerated(", ", near)) if near else "`approx list processes` prints the names"
    )
    return Lookup(
        (Problem("use.name", worded("nothing is called '{name}'", name=name), hint),), name, (), tuple(near)
    ).kept(on_problem)


def doctor(rules: str | Path | None = None, *, on_problem: OnProblem = "keep") -> RulesCheck:
    """Every rule, example, source and table checked; with `rules`, a folder of your own rules beside ours."""
    from approx.processes.doctor import check

    own = Path(rules) if rules is not None else None
    if own is not None and not own.is_dir():
        hint = "name a folder that holds .toml rule files"
        return RulesCheck((Problem("use.rules", worded("no folder '{own}'", own=own), hint),)).kept(on_problem)
    found = check(own)
    checked = {
        "rules": found.rules,
        "examples": found.examples,
        "processes": found.processes,
        "tables": found.tables,
        "pairs_that_undo_each_other": found.undoing,
    }
    faults = tuple(problem for problem in found.problems if problem.fatal)
    remarks = tuple(problem for problem in found.problems if not problem.fatal)
    return RulesCheck(faults, remarks, checked).kept(on_problem)


def process_entries() -> tuple[list[ListEntry], tuple[Problem, ...]]:
    """Every process of `rules/processes.toml`, with the faults of the rule files."""
    from approx.processes.rules.ruleset import load_rules

    rules = load_rules()
    return [ListEntry(p.id, p.says, p.source, shown_file(p.file), p.line) for p in rules.processes], rules.problems


def measure_entries() -> list[ListEntry]:
    """Every measure with its source: that of its docstring, or of the measure which that names ("As `pcc_a`")."""
    found = measures()
    return [
        ListEntry(name, docstring(measure).splitlines()[0], _source(name, found), shown_file(file), line)
        for name, measure in found.items()
        for file, line in [_where(measure)]
    ]


def _source(name: str, found: dict[str, Callable[..., Any]]) -> str:
    text = docstring(found[name])
    same = re.search(r"\b[Aa]s `(?:\w+\.)?(\w+)`|\bsource: `(?:\w+\.)?(\w+)`", text)
    named = (same[1] or same[2]) if same else ""
    return source_sentence(text) or (_source(named, found) if named in found and named != name else "")


def schema_entries() -> list[ListEntry]:
    """Every answer whose JSON has a published schema."""
    from approx.api.schemas import SCHEMA_FOLDER, schema, schema_names

    says = "JSON Schema 2020-12"
    return [
        ListEntry(n, schema(n).schema["title"], says, shown_file(str(SCHEMA_FOLDER / f"{n}.json")), 1)
        for n in schema_names()
    ]


def option_entries() -> list[ListEntry]:
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
        out.append(ListEntry(name, says, notes["source"], shown_file(str(path)), lines.index(f"[option.{name}]") + 1))
    return out


def opportunity_option_entries() -> dict[str, ListEntry]:
    """Every option of processes by its short name in signatures."""
    from approx.datafiles import read_toml, rules_path

    path = rules_path("opportunities.toml")
    lines = path.read_text(encoding="utf-8").splitlines()
    table = read_toml(path)
    out = {}
    for name, notes in table["option"].items():
        line = next(number for number, text in enumerate(lines, 1) if re.match(rf"{name}\s*=\s*\{{", text))
        says = f"{notes['says']}; default {table['options'][name]}; choices: {notes['choices']}"
        out[notes["mark"]] = ListEntry(name, says, notes["source"], shown_file(str(path)), line)
    return out


def _as_set(value: object) -> str:
    """A value of an option as it is written after --set."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value != [] else "none"


def norm_entries() -> list[ListEntry]:
    """Every range of ages, and every other table of `rules/norms/` as a whole."""
    return [replace(entry, file=shown_file(entry.file)) for entry in _norms()]


@cache
def _norms() -> list[ListEntry]:
    """The entries of `norm_entries` with whole paths: a path from here changes with the folder one stands in."""
    from approx.processes.rules.norms import age_ranges

    out = [
        ListEntry(found.id, found.says, "; ".join(found.sources), found.rows[0].file, found.rows[0].line)
        for found in age_ranges()
    ]
    told = {row.file for found in age_ranges() for row in found.rows}
    for path in sorted((rules_folder() / "norms").iterdir()):
        if path.suffix in (".tsv", ".toml") and str(path) not in told:
            text = path.read_text(encoding="utf-8")
            remarks = " ".join(line.lstrip("# ") for line in text.splitlines() if line.startswith("#"))
            first = re.split(r"(?<=[.:]) ", remarks)[0]
            out.append(ListEntry(path.stem, first, source_sentence(remarks) or "each row names its own", str(path), 1))
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
    return found | dict.fromkeys(agreement.AGREEMENT_PARTS, agreement.agreement) | {"kappa": agreement.kappa}


def docstring(thing: object) -> str:
    """The docstring of a measure, without its indentation."""
    import inspect

    return inspect.getdoc(thing) or "no docstring"


def _where(measure: Callable[..., Any]) -> tuple[str, int | None]:
    import inspect

    code = getattr(inspect.unwrap(measure), "__code__", None)
    return (code.co_filename, code.co_firstlineno) if code else ("", None)


def source_sentence(text: str) -> str:
    """What stands after "Source:" up to the end of that paragraph, as one line; "" if nothing does."""
    found = re.search(r"\bSources?:\s*(.+?)(?:\n\s*\n|\Z)", text, re.DOTALL)
    return " ".join(found[1].split()) if found else ""


def shown_file(file: str) -> str:
    """A path from the current folder if the file is below it, else the whole path: both open in an editor."""
    path = Path(file)
    try:
        return path.relative_to(Path.cwd()).as_posix()
    except (ValueError, OSError):
        return str(path)


def find(name: str) -> Iterator[ReferenceEntry]:
    """Processes, rules, measures, options, norms and classes of sounds that go by the name, in this order."""
    from approx.ipa.features import bases, classes, in_class
    from approx.processes.explain.sound_changes import VOWEL_KINDS
    from approx.processes.rules.norms import age_ranges, named_in_norms
    from approx.processes.rules.rule import unwritten
    from approx.processes.rules.ruleset import load_rules

    rules, wanted = load_rules(), _plain(name)
    direct = rules.process(name)
    called = {_plain(other): ours for other, ours in named_in_norms().items()}.get(wanted, ())
    for process in [direct] if direct else filter(None, map(rules.process, called)):
        yield _process(process, [rule for rule in rules.rules if rule.process == process.name])
    for rule in rules.rules:
        if _plain(rule.id) == wanted:
            yield ReferenceEntry(
                "rule", rule.id, rule.process, rule.source, shown_file(rule.file), rule.line, _rule(rule)
            )
    for change in unwritten().values():
        if _plain(change.rule.id) == wanted:
            rule = change.rule
            yield ReferenceEntry(
                "rule", rule.id, change.says, rule.source, shown_file(rule.file), rule.line, _rule(rule)
            )
    for kind in VOWEL_KINDS:
        vowels = rules.process("vowel change")
        if vowels and _plain(f"vowel-change.{kind}") == wanted:
            says = f"vowel change of a kind that no rule names: {kind}"
            yield ReferenceEntry("rule", name, says, vowels.source, shown_file(vowels.file), vowels.line)
    for entry in measure_entries():
        if _plain(entry.id) == wanted:
            text = docstring(measures()[entry.id])
            yield ReferenceEntry("measure", entry.id, entry.says, entry.source, entry.file, entry.line, {"text": text})
    for entry in option_entries():
        if _plain(entry.id) == wanted:
            yield ReferenceEntry("option", entry.id, entry.says, entry.source, entry.file, entry.line)
    yield from _forecasts(wanted)
    for mark, entry in opportunity_option_entries().items():
        if wanted in (_plain(mark), _plain(entry.id)):
            yield ReferenceEntry("option", entry.id, entry.says, entry.source, entry.file, entry.line)
    yield from _accents(wanted)
    ranges = {found.id: found for found in age_ranges()}
    for entry in _norms():
        spans = ranges.get(entry.id)
        same_sound = spans is not None and spans.kind == "consonant" and spans.name == name.strip().strip("/[]")
        if _plain(entry.id) == wanted or same_sound:
            more = {"ages": [_ages(spans)]} if spans else {}
            yield ReferenceEntry("norm", entry.id, entry.says, entry.source, shown_file(entry.file), entry.line, more)
    if wanted in classes():
        sounds = [sound for sound in bases() if in_class(sound, wanted)]
        file, line, source = _classes_file(wanted)
        yield ReferenceEntry("class", wanted, classes()[wanted], source, file, line, {"sounds": sounds})


def _forecasts(wanted: str) -> Iterator[ReferenceEntry]:
    """What a forecast rests on and how well it was measured to do: of `predict`, and of the words to try next."""
    from approx.datafiles import read_toml, rules_path

    path = rules_path("predict.toml")
    for name, notes in read_toml(path)["about"].items():
        if _plain(name) == wanted:
            lines = path.read_text(encoding="utf-8").splitlines()
            line = lines.index(f"[about.{name}]") + 1
            yield ReferenceEntry("forecast", name, notes["says"], notes["source"], shown_file(str(path)), line)


def _accents(wanted: str) -> Iterator[ReferenceEntry]:
    """A variety by its name, with its rules; a rule of one by its id."""
    from approx.processes.accept.accept_rules import load_accents
    from approx.processes.rules.norms import NORM_LANGUAGES

    for name in (*ALWAYS_RIGHT, *accent_names()):
        tongues = [load_accents([name], tag, always=()) for tag in NORM_LANGUAGES]
        rules = {rule.id: rule for found in tongues for rule in found.rules}
        if _plain(name) == wanted and rules:
            file = min((rule.file for rule in rules.values()), key=len)
            says = f"forms that count as right: {', '.join(dict.fromkeys(rule.kind for rule in rules.values()))}"
            sources = "; ".join(dict.fromkeys(rule.source for rule in rules.values()))
            yield ReferenceEntry("accent", name, says, sources, shown_file(file), None)
        for rule in rules.values():
            if _plain(rule.id) == wanted:
                more = _rule(rule) | {"caution": rule.caution}
                yield ReferenceEntry("rule", rule.id, rule.kind, rule.source, shown_file(rule.file), rule.line, more)


def _process(process: Process, rules: list[Rule]) -> ReferenceEntry:
    from approx.processes.rules.norms import ages_of

    more = {
        "name": process.name,
        "synonyms": list(process.synonyms),
        "atypical": process.atypical,
        "rules": [
            {"id": r.id, **_rule(r), "source": r.source, "file": shown_file(r.file), "line": r.line} for r in rules
        ],
        "ages": [_ages(found) for found in ages_of(process.name)],
    }
    return ReferenceEntry(
        "process", process.id, process.says, process.source, shown_file(process.file), process.line, more
    )


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
    from approx.processes.rules.norms import NORM_CAUTION

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
            "file": shown_file(row.file),
            "line": row.line,
        }
        for row in found.rows
    ]
    span = {"low_months": found.low, "high_months": found.high, "says": found.says, "caution": NORM_CAUTION}
    return {"id": found.id, "language": found.language, **span, "rows": rows}


def _classes_file(name: str) -> tuple[str, int, str]:
    """File, line and source of a class of sounds."""
    from approx.datafiles import read_toml, rules_path

    path = rules_path("ipa/classes.toml")
    lines = path.read_text(encoding="utf-8").splitlines()
    at = next((number for number, line in enumerate(lines, 1) if line.split(" ")[0] == name), 1)
    return shown_file(str(path)), at, str(read_toml(path)["source"])


def nearest_names(name: str, most: int = 5) -> list[str]:
    """Known names that look like a mistyped one, best first."""
    from difflib import get_close_matches

    from approx.ipa.features import classes
    from approx.processes.rules.norms import named_in_norms
    from approx.processes.rules.rule import unwritten
    from approx.processes.rules.ruleset import load_rules

    rules = load_rules()
    known = [name for process in rules.processes for name in (process.name, *process.synonyms)]
    known += [
        *named_in_norms(),
        *measures(),
        *(entry.id for entry in (*option_entries(), *opportunity_option_entries().values())),
        *unwritten(),
        *classes(),
        *(rule.id for rule in rules.rules),
    ]
    by_plain = {_plain(other): other for other in reversed(known)}
    return [by_plain[match] for match in get_close_matches(_plain(name), by_plain, most, 0.6)]


def _plain(name: str) -> str:
    """A name without case, and with blanks where hyphens and underscores stand."""
    return " ".join(name.lower().replace("-", " ").replace("_", " ").split())
