"""Every sentence that the packages below the faces can say to a person, read from their source.

What is collected: the pattern of every `worded(...)`; texts given to a problem, a refusal or a reader's notes; texts kept
under a name that says they are one of these (`message`, `hint`, ...), and constants of a module used there.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from places import ROOT

PACKAGES = (
    "ipa", "lexicon", "child", "samples", "scoring", "progress", "processes", "practice", "records", "reports", "api",
    "web",
)  # fmt: skip
BY_COMMANDS_ALONE = (
    "processes/doctor/", "processes/rules/rule", "processes/rules/notation", "processes/engine/proofs",
    "processes/accept/accept_rules", "samples/files/write", "api/write_table", "api/reference", "api/schemas",
    "api/samples/converting", "api/samples/partitions", "lexicon/tables", "reports/text/", "reports/tables/",
)  # fmt: skip
"""Files whose sentences no page of the desk can show: rules checked by their author, files written by a command."""
SAYERS = frozenset(
    {"Problem", "refusal", "_problem", "wrong", "stop", "_too_long", "changed", "change", "percent", "mean"}
)
NAMES = frozenset({"message", "hint", "note", "why", "said", "what", "reason", "pattern", "apart", "grade"})


def sentences() -> dict[str, str]:
    """Each sentence with the file that says it."""
    found: dict[str, str] = {}
    for path in sorted(path for package in PACKAGES for path in (ROOT / "approx" / package).rglob("*.py")):
        name = path.relative_to(ROOT / "approx").as_posix()
        if not name.startswith(BY_COMMANDS_ALONE):
            found |= {text: name for text in _of_file(path) if any(sign.isalpha() for sign in text)}
    return found


def _of_file(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    constants: dict[str, ast.expr] = {}
    for node in tree.body:
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            constants[node.targets[0].id] = node.value
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name == "worded":
                yield from _texts(node.args[0], constants)
            elif name in SAYERS:
                for part in (*node.args[1:], *(each.value for each in node.keywords)):
                    yield from _sentences(part, constants)
            elif name == "ValueError" and len(node.args) == 2:
                for part in node.args:
                    yield from _sentences(part, constants)
        elif isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") in NAMES:
            yield from _sentences(node.value, constants)


def _sentences(node: ast.expr, constants: dict[str, ast.expr]) -> Iterator[str]:
    """Texts of more than a word, or of one that ends a sentence; not what `worded` was given as a value."""
    yield from (text for text in _texts(node, constants) if " " in text.strip())


def _texts(node: ast.expr, constants: dict[str, ast.expr]) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.Name) and node.id in constants:
        yield from _texts(constants[node.id], {})
    elif isinstance(node, ast.IfExp):
        yield from (*_texts(node.body, constants), *_texts(node.orelse, constants))
    elif isinstance(node, ast.BoolOp):
        for part in node.values:
            yield from _texts(part, constants)
    elif isinstance(node, ast.Dict):
        for value in node.values:
            yield from _texts(value, constants)
    elif isinstance(node, ast.Subscript):
        yield from _texts(node.value, constants)
    elif isinstance(node, ast.Tuple):
        for part in node.elts:
            yield from _texts(part, constants)
