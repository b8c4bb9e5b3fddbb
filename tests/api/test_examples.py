"""Every public function has an example in its docstring, and these and all other examples in docstrings run as written."""

from __future__ import annotations

import doctest
import inspect
from importlib import import_module

import pytest
from places import ROOT

import approx

FUNCTIONS = [name for name in approx.__all__ if inspect.isfunction(getattr(approx, name))]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_example_of_a_function(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    function = getattr(approx, name)
    found = doctest.DocTestFinder().find(function, name, globs={})
    examples = [example for test in found for example in test.examples]
    assert examples
    runner = doctest.DocTestRunner(verbose=False)
    for test in found:
        runner.run(test)
    assert runner.failures == 0


def test_the_example_of_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failures, tried = doctest.testmod(import_module("approx"), globs={})
    assert failures == 0 and tried >= 3


EXAMPLES = sorted(
    ".".join(file.relative_to(ROOT).with_suffix("").parts)
    for file in (ROOT / "approx").rglob("*.py")
    if file.name != "__init__.py" and ">>> " in file.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("module", EXAMPLES)
def test_examples_in_docstrings_run(module: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failures, tried = doctest.testmod(import_module(module))
    assert failures == 0 and tried > 0


def test_the_thirteen_functions_are_there() -> None:
    assert sorted(FUNCTIONS) == sorted(
        "read_child suggest score processes explain align inventory predict agree words phrases compare progress".split()
    )
