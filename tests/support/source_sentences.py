"""Every sentence that the packages below the faces can say to a person, read from their source.

What is collected: the pattern of every `worded(...)`; texts given to a problem, a refusal or a reader's notes; texts kept
under a name that says they are one of these (`message`, `hint`, ...), and constants of a module used there.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from parsed_source import nodes_of, tree_of
from places import ROOT

from approx.datafiles import read_toml, read_tsv, rules_path

PACKAGES = (
    "ipa", "lexicon", "child", "samples", "scoring", "progress", "processes", "practice", "records", "reports", "api",
    "web",
)  # fmt: skip
BY_COMMANDS_ALONE = (
    "processes/doctor", "processes/rules/rule", "processes/rules/notation", "processes/engine/proofs",
    "processes/accept/accept_rules", "samples/files/write", "api/write_table", "api/reference", "api/schemas",
    "api/samples/converting", "api/samples/partitions", "lexicon/tables", "reports/text/", "reports/tables/",
)  # fmt: skip
"""Files whose sentences no page of the desk can show: rules checked by their author, files written by a command."""
UNFIT = ("goal", "few_trials", "few_each")
"""Remarks of a plan that stand beside its page."""
UNWORDED = "not worded: "
"""What a sentence made with an f-string is reported as: its pattern is lost."""
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
            found |= {text: name for text in _of_file(path)[0] if any(sign.isalpha() for sign in text)}
    return found


def data_texts() -> tuple[str, ...]:
    """What rules files say to a person through a page: why a sign was read as another, what to write instead, sources in our
    own words, orders and steps."""
    found = [row["why"] for row in read_tsv(rules_path("ipa/lookalikes.tsv"))]
    found += [row["hint"] for row in read_tsv(rules_path("ipa/refused.tsv"))]
    for path in sorted(rules_path("languages").glob("*.toml")):
        table = read_toml(path)
        found += [*table.get("doubtful", {}).values(), *table.get("noted", {}).values()]
    words = read_toml(rules_path("words.toml"))["orders"]
    found += [words["early"], words["harder"]]
    for name in ("en", "es"):
        grammar = read_toml(rules_path(f"phrases/grammar_{name}.toml"))
        found += [order["about"] for order in grammar["orders"].values()]
        found += [
            use for row in read_tsv(rules_path(f"lexicon/core_words_{name}.tsv")) for use in row["function"].split(", ")
        ]
    found += [pattern for key, pattern in read_toml(rules_path("pages/en.toml"))["remarks"].items() if key in UNFIT]
    found += read_toml(rules_path("sample_headers.toml"))["context"]
    progress = read_toml(rules_path("progress.toml"))
    for entry in (progress["ready"], progress["unchanged"], *progress["ready_choices"]):
        found += entry["source"].removesuffix(" (secondary)").split("; ")
    found += ["from memory", "text, secondary", "secondary"]  # how a source was come by, after a citation
    found += [
        term["source"] for term in read_toml(rules_path("pages/glossary.toml"))["term"] if ":" not in term["source"]
    ]
    told = read_toml(rules_path("pages/example_child.toml"))
    found += [told["note"], told["source"], told["sample"]["title"]]
    found += [band["name"] for band in read_toml(rules_path("norms/severity.toml"))["band"]]
    return tuple(dict.fromkeys(text for text in found if text))


def constants() -> frozenset[str]:
    """Every text that stands in the source by itself, and names of columns as they are read to a person."""
    from approx.records.database.schema import METADATA

    found = {column.name.replace("_", " ") for table in METADATA.tables.values() for column in table.columns}
    for path in (ROOT / "approx").rglob("*.py"):
        found |= _of_file(path)[1]
    return frozenset(found)


@cache
def _of_file(path: Path) -> tuple[tuple[str, ...], frozenset[str]]:
    """The sentences of a file, and every text that stands in it; the source is read once for both."""
    text = path.read_text(encoding="utf-8")
    tree, nodes = tree_of(text), nodes_of(text)
    texts = (node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str))
    return tuple(_said(tree, nodes)), frozenset(texts)


def _said(tree: ast.Module, nodes: tuple[ast.AST, ...]) -> Iterator[str]:
    constants: dict[str, ast.expr] = {}
    for node in tree.body:
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            constants[node.targets[0].id] = node.value
    for node in nodes:
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
    elif isinstance(node, ast.JoinedStr) and any(isinstance(part, ast.FormattedValue) for part in node.values):
        yield UNWORDED + ast.unparse(node)
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
