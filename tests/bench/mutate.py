"""Which mistakes in a file its tests do not notice: one small change at a time, and the tests run over it.

    python tests/bench/mutate.py approx/web/server/guard.py tests/web/server/test_web_guard.py [--most 200] [--lines 60-120]

Changes: a comparison turned, `and` for `or`, a condition turned round, a number one more, True for False, a text
emptied, a statement left out, an early end. Each runs in a copy of this process, so that nothing is imported anew; a
change that hangs is noticed by the clock. Survivors are printed with their line; the last line counts. Nothing is
asserted: a survivor is looked at by a person, for some changes make no difference.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib.util
import os
import random
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SUPPORT = ("support", "support/children", "support/desk", "support/twins")
SECONDS = 120
_TURNED = {
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_EDGE = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}


def changes(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """Every change of one node, with its name."""
    if isinstance(node, ast.Compare):
        for table in (_TURNED, _EDGE):
            for at, operator in enumerate(node.ops):
                if type(operator) in table:
                    new = copy.deepcopy(node)
                    new.ops[at] = table[type(operator)]()
                    yield "comparison", new
    elif isinstance(node, ast.BoolOp):
        new_operator = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
        yield "and/or", ast.BoolOp(new_operator, copy.deepcopy(node.values))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not", copy.deepcopy(node.operand)
    elif isinstance(node, (ast.If, ast.IfExp, ast.While)):
        new_branch = copy.deepcopy(node)
        new_branch.test = ast.UnaryOp(ast.Not(), new_branch.test)
        yield "condition", new_branch
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            yield "true/false", ast.Constant(not node.value)
        elif isinstance(node.value, int):
            yield "number", ast.Constant(node.value + 1)
        elif isinstance(node.value, str) and node.value:
            yield "text", ast.Constant("")
    elif isinstance(node, (ast.Expr, ast.Assign, ast.AugAssign, ast.Delete, ast.Raise)):
        if not (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)):
            yield "left out", ast.Pass()
    elif isinstance(node, ast.Return) and node.value is not None and ast.unparse(node.value) != "None":
        yield "no answer", ast.Return(ast.Constant(None))


def mutants(tree: ast.Module, low: int, high: int) -> list[tuple[int, str, ast.Module]]:
    """Every tree with one change between two lines. Annotations and documentation stay as they are."""
    out = []
    kept = _not_run(tree)
    for number, node in enumerate(ast.walk(tree)):
        line = getattr(node, "lineno", 0)
        if id(node) in kept or not low <= line <= high:
            continue
        for name, new in changes(node):
            whole = copy.deepcopy(tree)
            place = next(each for at, each in enumerate(ast.walk(whole)) if at == number)
            _Put(place, new).visit(whole)
            out.append((line, f"{name}: {ast.unparse(node)[:90]}", ast.fix_missing_locations(whole)))
    return out


def _not_run(tree: ast.Module) -> set[int]:
    kept: set[int] = set()
    for node in ast.walk(tree):
        inner: list[ast.AST | None] = []
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            inner += [node.returns, *(each.annotation for each in ast.walk(node.args) if isinstance(each, ast.arg))]
        if isinstance(node, ast.AnnAssign):
            inner.append(node.annotation)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            inner.append(node)
        kept |= {id(each) for top in inner if top is not None for each in ast.walk(top)}
    return kept


class _Put(ast.NodeTransformer):
    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def generic_visit(self, node: ast.AST) -> ast.AST:
        return ast.copy_location(self.new, node) if node is self.old else super().generic_visit(node)


def run(module: str, path: Path, tree: ast.Module, tests: list[str]) -> int:
    """The tests over a changed module, in a process of its own; its exit code, -1 where it was ended by the clock."""
    child = os.fork()
    if child == 0:
        silence = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silence, stream)
        os.setsid()
        code = 3
        try:
            import pytest

            found = importlib.util.find_spec(module)
            if found is not None:
                new = importlib.util.module_from_spec(found)
                sys.modules[module] = new
                exec(compile(tree, str(path), "exec"), new.__dict__)  # noqa: S102 - our own file, one change in it
                parent, _, name = module.rpartition(".")
                setattr(sys.modules[parent], name, new)
            code = int(pytest.main(["-x", "-q", "-n0", "-p", "no:cacheprovider", "-p", "no:randomly", *tests]))
        except BaseException:
            code = 4
        os._exit(code)
    last = time.monotonic() + SECONDS
    while time.monotonic() < last:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return -1


def warm_up() -> None:
    """Let pytest bring in its parts here, once, over a test of nothing; the tests themselves are read anew in each copy."""
    import contextlib
    import io
    import tempfile

    import pytest

    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        (Path(folder) / "test_nothing.py").write_text("def test_nothing():\n    assert True\n", encoding="utf-8")
        pytest.main(["-q", "-n0", "-p", "no:cacheprovider", f"--rootdir={folder}", folder])


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    asked.add_argument("file", type=Path)
    asked.add_argument("tests", nargs="+")
    asked.add_argument("--most", type=int, default=200, help="changes tried, drawn by chance where there are more")
    asked.add_argument("--lines", default="1-100000")
    asked.add_argument(
        "--from", type=int, default=0, dest="first", help="changes passed over, from the top of the file"
    )
    asked.add_argument("--seconds", type=float, default=1e9, help="end after so long, and say where to go on")
    asked.add_argument("--part", default="1/1", help="such as 2/3: the second of three parts, to be run side by side")
    asked.add_argument("--warm", default="", help="modules to import before, with commas")
    given = asked.parse_args()
    sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / each) for each in ("", *SUPPORT, "bench"))]
    path = given.file.resolve()
    module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for name in filter(None, given.warm.split(",")):
        importlib.import_module(name)
    importlib.import_module(module.rpartition(".")[0])
    warm_up()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if run(module, path, tree, given.tests) != 0:
        sys.exit("the tests fail without any change")
    low, high = map(int, given.lines.split("-"))
    there = mutants(tree, low, high)
    some = sorted(random.Random(1).sample(range(len(there)), min(given.most, len(there))))
    part, parts = map(int, given.part.split("/"))
    some = some[part - 1 :: parts]
    survived, end = 0, time.monotonic() + given.seconds
    for done, at in enumerate(some[given.first :], given.first):
        if time.monotonic() > end:
            print(f"{done - given.first} changes from {given.first}, {survived} not noticed; go on with --from {done}")
            return
        line, what, changed = there[at]
        if run(module, path, changed, given.tests) == 0:
            survived += 1
            print(f"{given.file}:{line}: {what}", flush=True)
    print(f"{len(some) - given.first} changes from {given.first} of {len(there)}, {survived} not noticed")


if __name__ == "__main__":
    main()
