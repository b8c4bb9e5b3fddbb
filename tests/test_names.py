"""One name, one thing: what a file offers to others by name is called so in no other file.

Read from the syntax, not from running code. A class, a type, a constant or a function counts wherever it stands at the top of a
file. Allowed: the same statement twice (`Ints = NDArray[np.int64]`), which is one thing said twice; the two grammars, which answer
the same question for two languages; and what is reached through its own file alone, where the file says which is meant
(`REACHED_THROUGH_THEIR_FILE`).
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType

from parsed_source import nodes_of, tree_of
from places import ROOT

REACHED_THROUGH_THEIR_FILE = {
    "approx.cli": "commands, called as the public function that each asks",
    "approx.web.pages": "pages, called as what is asked of them: save, delete",
    "approx.records.database.schema": "tables, called as in the database",
    "approx.records.tables.checks": "checks of a value by its kind: checks.day, checks.number",
}
"""Packages and files whose functions and tables may be called as something elsewhere, as long as no other file takes them by name."""
LEFT = {
    "count_pairs": "of a table (samples.rows.sample), and of pairs of texts in the examples of measures",
    "form_of": "a word as rules change it (processes.engine), and as it is scored (scoring.judging)",
    "counted": "a number with its noun (wording), and the trials of a session (records)",
    "listening": "a page of listening games (practice), and a socket (web.serve)",
    "main": "what a file does that is run by itself",
}
"""Two things of one name that are left, of which one is used in its own file or family of files only."""
GRAMMARS = {"approx.practice.grammar.en", "approx.practice.grammar.es"}


def module_name(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def named(body: list[ast.stmt]) -> Iterator[tuple[str, ast.stmt]]:
    """Public names that stand at the top of a file, with their statements."""
    for statement in body:
        found: list[str] = []
        if isinstance(statement, ast.FunctionDef | ast.ClassDef):
            found = [statement.name]
        elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
            found = [statement.target.id]
        elif isinstance(statement, ast.Assign):
            found = [target.id for target in statement.targets if isinstance(target, ast.Name)]
        elif isinstance(statement, ast.If):
            yield from named([*statement.body, *statement.orelse])
        yield from ((name, statement) for name in found if not name.startswith("_"))


def same_thing(statements: dict[str, ast.stmt]) -> bool:
    if len({ast.unparse(statement) for statement in statements.values()}) == 1:
        return True
    return {module.rsplit(".", 1)[0] for module in statements} == GRAMMARS


def names_of_several(files: dict[str, str]) -> dict[str, list[str]]:
    """Names that stand for different things, with the modules of each. `files`: text by module."""
    trees = {module: tree_of(text) for module, text in files.items()}
    taken = {
        (node.module, alias.name)
        for text in files.values()
        for node in nodes_of(text)
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    stands: defaultdict[str, dict[str, ast.stmt]] = defaultdict(dict)
    for module, tree in trees.items():
        own = any(f"{module}.".startswith(f"{each}.") for each in REACHED_THROUGH_THEIR_FILE)
        for name, statement in named(tree.body):
            if name != "__all__" and (not own or not name.islower() or (module, name) in taken):
                stands[name][module] = statement
    return {
        name: sorted(statements)
        for name, statements in stands.items()
        if len(statements) > 1 and not same_thing(statements)
    }


def test_every_name_stands_for_one_thing() -> None:
    files = {module_name(path): path.read_text(encoding="utf-8") for path in (ROOT / "approx").rglob("*.py")}
    assert len(files) > 100
    assert sorted(names_of_several(files)) == sorted(LEFT)


def test_what_a_file_says_it_offers_is_there() -> None:
    """`from package import *` works for each that has a list, and no list is one of files, which would grow old unseen."""
    listed = []
    for path in sorted((ROOT / "approx").rglob("*.py")):
        module = import_module(module_name(path)) if "__all__" in path.read_text(encoding="utf-8") else None
        if module is not None and hasattr(module, "__all__"):
            listed.append(module.__name__)
            assert [name for name in module.__all__ if not hasattr(module, name)] == [], module.__name__
            taken: dict[str, object] = {}
            exec(f"from {module.__name__} import *", taken)  # noqa: S102 - what a program would write
            assert set(module.__all__) <= set(taken)
            files = {file.stem for file in path.parent.glob("*.py")} if path.name == "__init__.py" else set()
            own = {name for name in module.__all__ if name in files and isinstance(taken[name], ModuleType)}
            assert not own or module.__name__ == "approx", (module.__name__, own)
    assert {"approx", "approx.ipa", "approx.child", "approx.lexicon"} <= set(listed)


def test_two_things_of_one_name_are_found() -> None:
    files = {
        "a": "class Row: pass\ndef save(): pass",
        "b": "Row = tuple[int]\ndef save(): return 1",
        "c": "Row = tuple[int]",
    }
    assert names_of_several(files) == {"Row": ["a", "b", "c"], "save": ["a", "b"]}
    pages = {"approx.web.pages.a": "def save(): pass\nclass Row: pass", "b": "def save(): return 1\nRow = 1"}
    assert names_of_several(pages) == {"Row": ["approx.web.pages.a", "b"]}
    assert names_of_several({**pages, "c": "from approx.web.pages.a import save"}).keys() == {"Row", "save"}
    assert names_of_several({"a": "X = 1", "b": "X = 1", "c": "_Y = 1", "d": "_Y = 2"}) == {}


def test_a_docstring_says_what_a_thing_is_without_its_neighbour() -> None:
    """Read alone, on a page of help, "The same, one by one" says nothing."""
    found = [
        f"{file.relative_to(ROOT)}:{number}"
        for file in sorted((ROOT / "approx").rglob("*.py"))
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if line.lstrip().startswith('"""The same')
    ]
    assert found == []
