"""approx: what a young child can say today, and the way back up to the adult word.

    >>> import approx
    >>> child = approx.read_child("samples/m12.toml")
    >>> print(approx.suggest("big spoon", child).words[1].approximations[0].ipa)
    pun

Functions, what each returns, and where to find it in the result (`help(approx.score)` lists the arguments of one):

    read_child(path)            what one child can say             .profile
    suggest(phrase, child)      forms this child can say today     .words[0].approximations, .ladder; .phrase_forms
    words(child)                words to practice, easiest first   .words[0].today, .reasons; .chosen_set
    phrases(child)              phrases sayable today, grammar     .phrases[0].today_ipa, .adult_sentence; .frames
    score(sample)               measures and sounds of a sample    .groups[0].measures["pcc"].hits, .out_of, .value
    processes(sample)           what changes, and how often        .groups[0].tallies, .unexplained
    inventory(sample)           sounds and shapes heard            .groups[0].inventory; .to_child(path)
    explain(target, produced)   the processes of one pair          .found.best.uses; .found.readings
    align(target, produced)     which sound stands for which       .found.links
    predict(sample, words)      how new words will likely be said  .words[0].prediction
    agree(one, other)           agreement of two transcribers      .found.broad, .differences
    compare(then, now)          now against then                   .found.measures, .processes
    progress(probes)            probes over time                   .children[0].panels; .series

A sample is a file (CSV, TSV, XLSX), an iterable of (adult form, production) pairs, or any data frame that narwhals supports:
pandas, polars, pyarrow, a DuckDB relation. Every result is a frozen dataclass with `.problems`, `.to_dict()` (what the
command prints with `--json`), `.to_frame()` (what it prints with `--csv`), and `str()`, the text a terminal shows. With
`on_problem="raise"`, a fatal problem raises one `ProblemsError` that lists all problems of the call.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import TYPE_CHECKING

from approx.version import __version__

if TYPE_CHECKING:
    from approx.api.practice.children import read_child
    from approx.api.practice.phrase_ideas import phrases
    from approx.api.practice.suggesting import suggest
    from approx.api.practice.word_choice import words
    from approx.api.samples.agreement import agree
    from approx.api.samples.comparing import compare
    from approx.api.samples.inventories import inventory
    from approx.api.samples.pairs import align, explain
    from approx.api.samples.predicting import predict
    from approx.api.samples.probes import progress
    from approx.api.samples.processes import processes
    from approx.api.samples.scores import score
    from approx.problems import Problem, ProblemsError

__all__ = [
    "Problem", "ProblemsError", "__version__", "agree", "align", "compare", "explain", "inventory", "phrases", "predict",
    "processes", "progress", "read_child", "score", "suggest", "words",
]  # fmt: skip

_HOME = {
    "Problem": "problems", "ProblemsError": "problems", "agree": "api.samples.agreement", "align": "api.samples.pairs", "compare": "api.samples.comparing",
    "explain": "api.samples.pairs", "inventory": "api.samples.inventories", "phrases": "api.practice.phrase_ideas", "predict": "api.samples.predicting",
    "processes": "api.samples.processes", "progress": "api.samples.probes", "read_child": "api.practice.children", "score": "api.samples.scores",
    "suggest": "api.practice.suggesting", "words": "api.practice.word_choice",
}  # fmt: skip


def __getattr__(name: str) -> object:
    """A public function, loaded when it is first used."""
    if name not in _HOME:
        raise AttributeError(f"module 'approx' has no attribute {name!r}")
    from importlib import import_module

    found: object = getattr(import_module(f"approx.{_HOME[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted(__all__)


class _Package(ModuleType):
    """`approx.processes` and `approx.progress` are the functions, whatever sub-package of that name was imported."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in _HOME and isinstance(value, ModuleType)):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package
