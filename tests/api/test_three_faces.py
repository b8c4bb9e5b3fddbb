"""One pipeline: the command, the page and the program give the same answer, and refuse the same options."""

from __future__ import annotations

import csv
import inspect
import io
import json
import random
import re
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from html import unescape
from io import StringIO
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from conftest import CommandLine
from fast_cases import one_in
from places import ROOT, SAMPLES

import approx
from approx.api.options import (
    ScoreOptions,
    grammar_orders,
    language_problem,
    number_problem,
    phrase_relations,
    word_orders,
)
from approx.api.practice.children import write_template
from approx.api.practice.phrase_ideas import FrameName, GrammarOrder, PhraseRelation
from approx.api.practice.sheets import sheet
from approx.api.practice.word_choice import WordOrder
from approx.api.reference import listing
from approx.api.result import ProblemList
from approx.api.samples.converting import convert
from approx.api.samples.goals import goals
from approx.api.samples.inventories import CriterionName
from approx.api.samples.processes import PROCESS_CAUTION
from approx.api.samples.scores import Scores
from approx.child.inventory import criteria
from approx.child.write_profile import template
from approx.cli.options import NUMBER
from approx.practice.grammar.recipes import frames, relations
from approx.progress.criteria import RungStep
from approx.reports.documents.sample_blocks import SamplePart
from approx.samples.files.write import unguarded
from approx.scoring.judging.options import ScoringOptions

M12, K07 = "samples/m12.toml", "samples/k07.toml"
LATER = "samples/m12_later.csv"
WORDS = "samples/m12_phrases.txt"

CASES: dict[str, tuple[tuple[str, ...], Callable[[], Any]]] = {
    "suggest": (("suggest", "more big tomato soup", "-c", M12), lambda: approx.suggest("more big tomato soup", M12)),
    "list": (
        ("suggest", "--words", WORDS, "-c", M12, "--top", "2"),
        lambda: approx.suggest(Path(WORDS), approx.read_child(M12), top=2),
    ),
    "score": (("score", "samples/k07.csv", "--by", "child"), lambda: approx.score("samples/k07.csv", by="child")),
    "score first": (
        ("score", "samples/t03.csv", "--set", "repeats=first"),
        lambda: approx.score("samples/t03.csv", repeats="first"),
    ),
    "processes": (("processes", "samples/t03.csv"), lambda: approx.processes("samples/t03.csv")),
    "explain": (("explain", "ˈbʌtɚ", "ˈbʌɾə"), lambda: approx.explain("ˈbʌtɚ", "ˈbʌɾə")),
    "align": (("align", "skwik", "kik"), lambda: approx.align("skwik", "kik")),
    "inventory": (("inventory", "samples/k07.csv"), lambda: approx.inventory("samples/k07.csv")),
    "predict": (
        ("predict", "samples/m12.csv", WORDS, "--top", "2"),
        lambda: approx.predict("samples/m12.csv", Path(WORDS), top=2),
    ),
    "agree": (("agree", "samples/m12.csv", "samples/m12.csv"), lambda: approx.agree("samples/m12.csv", "samples/m12.csv")),
    "words": (
        ("words", "-c", M12, "--count", "2", "--goal", "k initial", "--contrast"),
        lambda: approx.words(M12, count=2, goal="k initial", contrast=True),
    ),
    "phrases": (("phrases", "-c", K07, "--count", "3"), lambda: approx.phrases(K07, count=3)),
    "report": (("report", "samples/m12.csv", LATER), lambda: approx.compare("samples/m12.csv", LATER)),
    "progress": (("progress", "samples/probes.csv"), lambda: approx.progress("samples/probes.csv")),
    "child show": (("child", "show", M12), lambda: approx.read_child(M12)),
}  # fmt: skip


@cache
def answer_of(name: str) -> Any:
    """What the program answers, asked once for all comparisons."""
    return CASES[name][1]()


@pytest.fixture(autouse=True)
def _in_the_checkout(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


@pytest.mark.parametrize("name", one_in(2, CASES))
def test_json_text_and_problems_are_those_of_the_command(cli: CommandLine, name: str) -> None:
    typed, answer = CASES[name][0], answer_of(name)
    ran = cli(*typed, "--json")
    assert ran.json == json.loads(json.dumps(answer.to_dict()))
    assert ran.err.splitlines() == [str(problem) for problem in answer.problems]
    assert cli(*typed).out == f"{answer}\n"


def test_every_answer_has_its_problems_in_json() -> None:
    """A program asks every answer the same way; of nothing wrong the list is empty."""
    for name in CASES:
        answer = answer_of(name)
        assert answer.to_dict()["problems"] == [problem.as_json() for problem in answer.problems], name
    assert (
        approx.explain("spun", "pun").to_dict()["problems"] == approx.align("spun", "pun").to_dict()["problems"] == []
    )


@pytest.mark.parametrize("name", one_in(2, [*CASES][1:]) + [pytest.param([*CASES][0], marks=pytest.mark.slow)])
def test_a_frame_holds_what_the_csv_holds(cli: CommandLine, name: str) -> None:
    """Cell for cell, in pandas and in polars; a CSV guards what a spreadsheet would change, a frame need not."""
    pytest.importorskip("polars")
    typed, answer = CASES[name][0], answer_of(name)
    heading, *rows = csv.reader(io.StringIO(cli(*typed, "--csv").out.removeprefix("\ufeff"), newline=""))
    polars = answer.to_frame("polars")
    assert polars.columns == heading == list(answer.to_frame().columns)
    written = [[_plain(unguarded(cell)) for cell in row] for row in rows]
    assert [[_plain(value) for value in row] for row in polars.rows()] == written
    assert len(answer.to_frame()) == len(rows)


def _plain(value: Any) -> Any:
    """A cell as a number where it is one; nothing and "" are the same cell."""
    if value is None or value == "":
        return None
    try:
        return float(value)
    except ValueError:
        return value


def test_a_notebook_shows_the_text_escaped() -> None:
    shown = approx.suggest("/spun/ <b>", M12)._repr_html_()
    assert "&lt;b&gt;" in shown and "<b>" not in shown and "pun" in shown


@pytest.mark.parametrize("name", CASES)
def test_an_answer_is_one_line_where_a_program_shows_it(name: str) -> None:
    """As in a traceback or a list: the kind of answer and how much it holds, not every token of it."""
    answer = answer_of(name)
    shown = repr(answer)
    assert "\n" not in shown and len(shown) < 200 and shown.startswith(f"{type(answer).__name__}(")
    assert shown.endswith(f"problems={len(answer.problems)})")
    groups = getattr(answer, "groups", None)
    assert groups is None or f"groups={len(groups)}, " in shown


@pytest.mark.parametrize("name", ["score", "processes", "inventory"])
def test_a_notebook_shows_a_table_where_the_answer_is_one(name: str) -> None:
    """Every value of the first rows is in it; what is the same in all rows stands above them."""
    answer = answer_of(name)
    columns, rows = answer.to_table()
    first = list(rows)[:5]
    shown = unescape(answer._repr_html_())
    assert shown.count("<table>") == 1 and shown.count("<tr>") <= 62
    for row in first:
        assert all(str(cell) in shown for cell in row if cell not in (None, "")), row
    assert (PROCESS_CAUTION in shown) is (name == "processes")


def test_a_table_in_a_notebook_is_escaped_and_says_what_it_leaves_out() -> None:
    from approx.api.write_table import MOST_SHOWN, html_table

    rows = [["<b>", "x", number, ""] for number in range(MOST_SHOWN + 1)]
    shown = html_table(["<i>", "same", "number", "empty"], rows)
    assert "<b>" not in shown and "<i>" not in shown and "<caption>&lt;i&gt;: &lt;b&gt; · same: x</caption>" in shown
    assert f"<td>{MOST_SHOWN - 1}</td>" in shown and f"<td>{MOST_SHOWN}</td>" not in shown
    assert "to_frame() has all" in shown and "<th>empty</th>" not in shown
    assert html_table(["a"], []) == "" and "to_frame" not in html_table(["a"], [[1]])


REFUSED: dict[str, tuple[tuple[str, ...], Callable[[], Any], str]] = {
    "repeats": (("score", "samples/m12.csv", "--set", "repeats=zzz"), lambda: approx.score("samples/m12.csv", repeats="zzz"), "use.repeats"),  # type: ignore[arg-type]
    "confidence": (("score", "samples/m12.csv", "--set", "confidence=500"), lambda: approx.score("samples/m12.csv", confidence=500), "use.confidence"),
    "no number": (("score", "samples/m12.csv", "--set", "confidence=high"), lambda: approx.score("samples/m12.csv", confidence="high"), "use.confidence"),  # type: ignore[arg-type]
    "no option": (("score", "samples/m12.csv", "--set", "nosuch=1"), lambda: approx.score("samples/m12.csv", nosuch=1), "use.set"),  # type: ignore[call-arg]
    "accent": (("score", "samples/m12.csv", "--accent", "nosuch"), lambda: approx.score("samples/m12.csv", accents=("nosuch",)), "use.accent"),
    "accent of processes": (("processes", "samples/m12.csv", "--accent", "nosuch"), lambda: approx.processes("samples/m12.csv", accents="nosuch"), "use.accent"),
    "accent of explain": (("explain", "spun", "pun", "--accent", "nosuch"), lambda: approx.explain("spun", "pun", accents="nosuch"), "use.accent"),
    "accent of predict": (("predict", "samples/m12.csv", WORDS, "--accent", "nosuch"), lambda: approx.predict("samples/m12.csv", Path(WORDS), accents="nosuch"), "use.accent"),
    "accent of report": (("report", "samples/m12.csv", LATER, "--accent", "nosuch"), lambda: approx.compare("samples/m12.csv", LATER, accents="nosuch"), "use.accent"),
    "language": (("score", "samples/m12.csv", "--language", "xx"), lambda: approx.score("samples/m12.csv", language="xx"), "use.language"),
    "language of a phrase": (("suggest", "spoon", "-c", M12, "--language", "xx"), lambda: approx.suggest("spoon", M12, language="xx"), "use.language"),
    "language of a pair": (("align", "spun", "pun", "--language", "xx"), lambda: approx.align("spun", "pun", language="xx"), "use.language"),
    "top": (("suggest", "spoon", "-c", M12, "--top", "0"), lambda: approx.suggest("spoon", M12, top=0), "use.top"),
    "top of predict": (("predict", "samples/m12.csv", WORDS, "--top", "99"), lambda: approx.predict("samples/m12.csv", Path(WORDS), top=99), "use.top"),
    "notation": (("explain", "spun", "pun", "--notation", "runes"), lambda: approx.explain("spun", "pun", notation="runes"), "use.notation"),  # type: ignore[arg-type]
    "lost sounds": (("processes", "samples/m12.csv", "--lost-sounds", "keep"), lambda: approx.processes("samples/m12.csv", lost_sounds="keep"), "use.lost-sounds"),  # type: ignore[arg-type]
    "percent": (("processes", "samples/m12.csv", "--active-percent", "101"), lambda: approx.processes("samples/m12.csv", active_percent=101), "use.active-percent"),
    "criterion": (("inventory", "samples/m12.csv", "--criterion", "zzz"), lambda: approx.inventory("samples/m12.csv", criterion="zzz"), "use.criterion"),
    "count": (("words", "-c", M12, "--count", "0"), lambda: approx.words(M12, count=0), "use.count"),
    "order": (("words", "-c", M12, "--order", "later"), lambda: approx.words(M12, order="later"), "use.order"),  # type: ignore[arg-type]
    "length": (("phrases", "-c", M12, "--length", "4"), lambda: approx.phrases(M12, length=4), "use.length"),  # type: ignore[arg-type]
    "sessions": (("progress", "samples/probes.csv", "--sessions", "0"), lambda: approx.progress("samples/probes.csv", sessions=0), "use.sessions"),
}  # fmt: skip


REFUSED |= {
    "accents None": (("score", "samples/m12.csv", "--accent", "None"), lambda: approx.score("samples/m12.csv", accents="None"), "use.accent"),
    "weak syllables": (("processes", "samples/m12.csv", "--weak-syllables", "x"), lambda: approx.processes("samples/m12.csv", weak_syllables="x"), "use.weak-syllables"),  # type: ignore[arg-type]
    "lost r": (("explain", "kɑɹ", "kɑ", "--lost-r", "x"), lambda: approx.explain("kɑɹ", "kɑ", lost_r="x"), "use.lost-r"),  # type: ignore[arg-type]
    "no such language": (("score", "samples/m12.csv", "--language", "zzz"), lambda: approx.score("samples/m12.csv", language="zzz"), "use.language"),
    "no such language with a script": (("explain", "a", "a", "--language", "qqq-Latn"), lambda: approx.explain("a", "a", language="qqq-Latn"), "use.language"),
    "by": (("score", "samples/m12.csv", "--by", "visit"), lambda: approx.score("samples/m12.csv", by="visit"), "use.by"),
    "by, token by token": (("score", "samples/m12.csv", "--by", "visit", "--set", "repeats=first"), lambda: approx.score("samples/m12.csv", by="visit", repeats="first"), "use.by"),
    "by of processes": (("processes", "samples/m12.csv", "--by", "visit"), lambda: approx.processes("samples/m12.csv", by="visit"), "use.by"),
    "by of inventory": (("inventory", "samples/m12.csv", "--by", "visit"), lambda: approx.inventory("samples/m12.csv", by="visit"), "use.by"),
    "child of report": (("report", "samples/m12.csv", LATER, "--child", "zz"), lambda: approx.compare("samples/m12.csv", LATER, child="zz"), "use.child"),
    "child of progress": (("progress", "samples/probes.csv", "--child", "zz"), lambda: approx.progress("samples/probes.csv", child="zz"), "use.child"),
    "measure": (("progress", "samples/probes.csv", "--measure", "zz"), lambda: approx.progress("samples/probes.csv", measures="zz"), "use.measure"),
    "category": (("words", "-c", M12, "--category", "zz"), lambda: approx.words(M12, category="zz"), "use.category"),
    "pos": (("words", "-c", M12, "--pos", "zz"), lambda: approx.words(M12, pos="zz"), "use.pos"),
    "shape": (("words", "-c", M12, "--shape", "zz"), lambda: approx.words(M12, shape="zz"), "use.shape"),
    "sound": (("words", "-c", M12, "--sound", "zzgaga"), lambda: approx.words(M12, sound="zzgaga"), "use.sound"),
    "new sound": (("words", "-c", M12, "--new-sound", "zzgaga"), lambda: approx.words(M12, new_sound="zzgaga"), "use.new-sound"),
    "goal": (("words", "-c", M12, "--goal", "zzgaga"), lambda: approx.words(M12, goal="zzgaga"), "use.goal"),
    "relation": (("phrases", "-c", M12, "--relation", "zz"), lambda: approx.phrases(M12, relation="zz"), "use.relation"),
    "order of grammar": (("phrases", "-c", M12, "--grammar", "dig mud", "--order", "zz"), lambda: approx.phrases(M12, grammar="dig mud", order="zz"), "use.order"),
    "pronoun": (("phrases", "-c", M12, "--pronoun", "it"), lambda: approx.phrases(M12, pronoun="it"), "use.pronoun"),  # type: ignore[arg-type]
    "paper": (("sheet", "family", "-c", M12, "--paper", "a5"), lambda: sheet("family", M12, paper="a5"), "use.paper"),  # type: ignore[arg-type]
    "page": (("sheet", "poster", "-c", M12), lambda: sheet("poster", M12), "use.page"),  # type: ignore[arg-type]
    "language of a sheet": (("sheet", "family", "-c", M12, "--language", "fr"), lambda: sheet("family", M12, language="fr"), "use.language"),
    "language of goals": (("goals", "samples/m12.csv", "--language", "fr"), lambda: goals("samples/m12.csv", language="fr"), "use.language"),
    "what to list": (("list", "zzz"), lambda: listing("zzz"), "use.what"),
}  # fmt: skip


NUMBERS: dict[str, tuple[Callable[..., Any], tuple[str, ...], dict[str, tuple[str, set[str]]]]] = {
    "suggest": (lambda **given: approx.suggest("spoon", M12, **given), ("spoon", "-c", M12), {"--top": ("top", set())}),
    "words": (lambda **given: approx.words(M12, **given), ("-c", M12), {
        "--count": ("count", set()), "--set": ("set_size", {"0"}), "--known": ("known", {"0"}), "--seed": ("seed", {"0"}),
        "--new": ("new", {"0"}),
    }),
    "phrases": (lambda **given: approx.phrases(M12, **given), ("-c", M12), {
        "--count": ("count", {"0"}), "--seed": ("seed", {"0"}), "--length": ("length", {"0"}),
    }),
    "processes": (lambda **given: approx.processes("samples/m12.csv", **given), ("samples/m12.csv",), {
        "--least-opportunities": ("least_opportunities", set()),
        "--active-percent": ("active_percent", {"0", "1.5"}),
        "--frequent-percent": ("frequent_percent", {"0", "1.5"}), "--instances": ("instances", set()),
    }),
    "predict": (lambda **given: approx.predict("samples/m12.csv", Path(WORDS), **given), ("samples/m12.csv", WORDS), {
        "--top": ("top", set()), "--probe": ("probe", {"0"}),
    }),
    "progress": (lambda **given: approx.progress("samples/probes.csv", **given), ("samples/probes.csv",), {
        "--percent": ("percent", {"1.5"}), "--sessions": ("sessions", set()),
    }),
    "sheet": (lambda **given: sheet("plan", M12, **given), ("plan", "-c", M12), {
        "--minutes": ("minutes", set()), "--goal-trials": ("goal_trials", set()), "--seed": ("seed", {"0"}),
    }),
    "desk": (lambda port: ProblemList(tuple(number_problem("desk.port", port))), ("--no-browser",), {"--port": ("port", {"0"})}),
}  # fmt: skip
"""Function, what is typed beside the number, and each number option with its name and what of `TRIED` it can be."""
TRIED = ("-1", "0", "1e12", "nan", "inf", "abc", "1.5")
EVERYWHERE = {"--allow-problems": {"0"}}
"""Numbers of every command that answers with a table."""


def _number(text: str) -> object:
    """A text as a program would write it."""
    return int(text) if text.lstrip("-").isdecimal() else text if text == "abc" else float(text)


@pytest.mark.parametrize(
    ("command", "option", "typed"),
    one_in(
        3,
        (
            (command, option, typed)
            for command, (_, _, options) in NUMBERS.items()
            for option, (_, fits) in options.items()
            for typed in TRIED
            if typed not in fits
        ),
    ),
)
def test_a_number_is_refused_alike(cli: CommandLine, tmp_path: Path, command: str, option: str, typed: str) -> None:
    """The sentence of the function, code 2, no data, no help text of the command line; written with the problems too."""
    ask, beside, options = NUMBERS[command]
    problems = ask(**{options[option][0]: _number(typed)}).problems
    assert [problem.code for problem in problems] == [f"use.{options[option][0].replace('_', '-')}"]
    assert str(problems[0]).startswith(f"{option} cannot be ")
    file = tmp_path / "problems.json"
    written = ("--problems", str(file)) if command not in ("sheet", "desk") else ()
    ran = cli(command, *beside, f"{option}={typed}", *written)
    assert (ran.code, ran.out, ran.err) == (2, "", f"{problems[0]}\n")
    if written:
        assert [each["code"] for each in json.loads(file.read_text("utf-8"))["problems"]] == [problems[0].code]


@pytest.mark.parametrize("typed", [each for each in TRIED if each not in EVERYWHERE["--allow-problems"]])
def test_the_number_of_problems_allowed_is_checked_alike(cli: CommandLine, typed: str) -> None:
    ran = cli("align", "spun", "pun", f"--allow-problems={typed}")
    problem = number_problem("answer.allow_problems", _number(typed))[0]
    assert (ran.code, ran.out, ran.err) == (2, "", f"{problem}\n")


@pytest.mark.parametrize("typed", ["5", "180", "181", "4"])
def test_a_plan_has_the_bounds_of_its_rules(typed: str) -> None:
    fine = typed in ("5", "180")
    codes = {problem.code for problem in sheet("plan", M12, words="mud", minutes=int(typed)).problems if problem.fatal}
    assert ("use.minutes" not in codes) is fine


def test_every_number_of_a_command_is_tried() -> None:
    """A number option that is not in the table above would be checked by nobody."""
    from approx.cli.main import app

    found = {
        (name, option)
        for name, command in app.commands.items()
        for parameter in command.params
        if parameter.type is NUMBER
        for option in parameter.opts[:1]  # a second one is the name that the option had before
    }
    known = {(command, option) for command, (_, _, options) in NUMBERS.items() for option in options}
    assert {each for each in found if each[1] not in EVERYWHERE} == known
    kinds = {parameter.type.name for command in app.commands.values() for parameter in command.params}
    assert not kinds & {"integer", "float", "integer range", "float range"}


MISUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "emerging": (lambda: approx.suggest("spoon", M12, emerging="no"), "use.emerging"),  # type: ignore[arg-type]
    "short": (lambda: approx.suggest("spoon", M12, short="no"), "use.short"),  # type: ignore[arg-type]
    "picturable": (lambda: approx.words(M12, picturable="no"), "use.picturable"),  # type: ignore[arg-type]
    "frames": (lambda: approx.phrases(M12, frames="no"), "use.frames"),  # type: ignore[arg-type]
    "word_lists": (lambda: approx.processes("samples/m12.csv", word_lists="no"), "use.word-lists"),  # type: ignore[arg-type]
    "a pair of one": (lambda: approx.suggest([("a",)], M12), "use.phrase"),  # type: ignore[list-item]
    "words that are numbers": (lambda: approx.predict("samples/m12.csv", [5]), "use.words"),  # type: ignore[list-item]
    "no phrase": (lambda: approx.suggest(None, M12), "use.phrase"),  # type: ignore[arg-type]
    "treated, a list": (lambda: approx.progress("samples/probes.csv", treated=["a"]), "use.treated"),  # type: ignore[arg-type]
    "treated, a text": (lambda: approx.progress("samples/probes.csv", treated="x"), "use.treated"),  # type: ignore[arg-type]
    "age": (lambda: approx.score("samples/m12.csv", age=50), "use.age"),  # type: ignore[arg-type]
    "by": (lambda: approx.score("samples/m12.csv", by=5), "use.by"),  # type: ignore[arg-type]
    "by of processes": (lambda: approx.processes("samples/m12.csv", by=5), "use.by"),  # type: ignore[arg-type]
    "accents": (lambda: approx.score("samples/m12.csv", accents=None), "use.accent"),  # type: ignore[arg-type]
    "accents of compare": (lambda: approx.compare("samples/m12.csv", LATER, accents=5), "use.accent"),  # type: ignore[arg-type]
    "criterion": (lambda: approx.inventory("samples/m12.csv", criterion=None), "use.criterion"),  # type: ignore[arg-type]
    "category": (lambda: approx.words(M12, category=5), "use.category"),  # type: ignore[arg-type]
    "relation": (lambda: approx.phrases(M12, relation=None), "use.relation"),  # type: ignore[arg-type]
    "length": (lambda: approx.phrases(M12, length=1), "use.length"),  # type: ignore[arg-type]
    "forms": (lambda: approx.progress("samples/probes.csv", forms=[("spoon", "pun", 1)]), "use.forms"),  # type: ignore[list-item]
    "latest session": (lambda: approx.progress("samples/probes.csv", latest_session="last"), "use.latest-session"),  # type: ignore[arg-type]
    "one for True": (lambda: approx.words(M12, count=True), "use.count"),
}  # fmt: skip


@pytest.mark.parametrize("name", MISUSED)
def test_a_plausible_mistake_of_a_program_is_a_problem(name: str) -> None:
    ask, code = MISUSED[name]
    answer = ask()
    assert [problem.code for problem in answer.problems] == [code] and " cannot be " in answer.problems[0].message


BESIDE: dict[str, dict[str, Any]] = {
    "suggest": {"phrase": "spoon", "child": M12}, "words": {"child": M12}, "phrases": {"child": M12},
    "score": {"sample": "samples/m12.csv"}, "processes": {"sample": "samples/m12.csv"},
    "explain": {"target": "spun", "produced": "pun"}, "align": {"target": "spun", "produced": "pun"},
    "inventory": {"sample": "samples/m12.csv"}, "predict": {"sample": "samples/m12.csv", "words": ["key"]},
    "agree": {"one": "samples/m12.csv", "other": "samples/m12.csv"},
    "compare": {"then": "samples/m12.csv", "now": LATER}, "progress": {"probes": "samples/probes.csv"},
}  # fmt: skip
SAMPLES_TAKEN = {"sample", "one", "other", "then", "now", "probes"}


@pytest.mark.parametrize("name", BESIDE)
def test_what_no_option_can_be_is_never_an_error_from_deep_inside(name: str) -> None:
    """Each option and argument in turn is a thing that it cannot be: refused by name; a sample is a clear TypeError."""
    function = getattr(approx, name)
    tried = 0
    for parameter in inspect.signature(function).parameters.values():
        if parameter.kind is parameter.VAR_KEYWORD or parameter.name.startswith("on_"):
            continue
        given = BESIDE[name] | {parameter.name: object()}
        tried += 1
        if parameter.name in SAMPLES_TAKEN:
            with pytest.raises(TypeError, match="^a sample is the path .* data frame, not object"):
                function(**given)
            continue
        codes = [problem.code for problem in function(**given).problems]
        assert len(set(codes)) == 1 and codes[0].startswith("use."), (parameter.name, codes)
        assert codes[0].removeprefix("use.").rstrip("s") == parameter.name.replace("_", "-").rstrip("s")
    assert tried >= 3
    with pytest.raises(TypeError, match="the path of a file"):
        approx.read_child(object())  # type: ignore[arg-type]


def test_a_child_is_read_from_an_open_text_as_from_its_file() -> None:
    """And a template written to one is that of the command."""
    text = (ROOT / M12).read_text(encoding="utf-8")
    assert approx.read_child(StringIO(text)).profile == approx.read_child(M12).profile
    assert [problem.code for problem in approx.read_child(StringIO("code =")).problems] == ["child.syntax"]
    blank = StringIO()
    assert write_template(blank, code="Q01", language="es-MX") == ()
    assert blank.getvalue() == template("Q01", "es-MX") and approx.read_child(StringIO(blank.getvalue())).code == "Q01"
    (wrong,) = write_template(blank, language="xx")
    assert wrong.code == "use.language" and blank.getvalue() == template("Q01", "es-MX")


def test_forms_aimed_at_stand_beside_the_probes_of_their_child(tmp_path: Path) -> None:
    """By hand: from session 1 on pun, for two sessions; from 3 to 5 spun. Without probes too; of two children, whose?"""
    forms = [RungStep("spoon", "spun", 3), RungStep("spoon", "pun", 1)]
    found = approx.progress("samples/probes.csv", forms=forms, latest_session=5)
    ((history,),) = (facts.rungs for facts in found.children)
    assert [step.form for step in history.steps] == ["pun", "spun"] and history.lasted == (2, 3)
    assert found.children[0].panels == approx.progress("samples/probes.csv").children[0].panels
    alone = approx.progress([], child="K07", forms=forms, latest_session=5)
    assert [facts.rungs for facts in alone.children] == [(history,)] and not alone.problems
    assert [problem.code for problem in approx.progress([]).problems] == ["progress.none"]
    two = tmp_path / "two.csv"
    two.write_text("child,word_set,session,right,out_of\nA,s,1,1,2\nB,s,1,1,2\n", encoding="utf-8")
    assert "use.forms" in [problem.code for problem in approx.progress(two, forms=forms).problems]
    (last,) = approx.progress(two, child="A", forms=forms[1:]).children
    assert last.rungs[0].lasted == (1,)


@cache
def with_evidence() -> Scores:
    return approx.score("samples/m12.csv", evidence=True)


DOCUMENTS: dict[str, Callable[..., Any]] = {
    "progress": lambda **given: answer_of("progress").document(**given),
    "compare": lambda **given: answer_of("report").document(**given),
    "processes": lambda **given: answer_of("processes").document(**given),
    "score": lambda **given: with_evidence().document(**given),
    "evaluations": lambda **given: with_evidence().evaluations(**given),
    "progress text": lambda **given: answer_of("progress").lines(**given),
    "charts": lambda **given: answer_of("progress").charts(**given),
    "comparison text": lambda **given: answer_of("report").lines(**given),
}  # fmt: skip


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_page_in_no_language_of_the_pages_is_refused(name: str) -> None:
    for language in ("xx", "e", "", None, "english"):
        with pytest.raises(approx.ProblemsError) as raised:
            DOCUMENTS[name](language=language)
        assert [problem.code for problem in raised.value.problems] == ["use.language"]
    assert str(DOCUMENTS[name](language="es_mx")) == str(DOCUMENTS[name](language="es-MX"))


@pytest.mark.parametrize("name", ["progress", "compare", "processes"])
def test_an_age_on_a_page_is_checked(name: str) -> None:
    with pytest.raises(approx.ProblemsError, match="--age cannot be 'abc'"):
        DOCUMENTS[name](age="abc")


@pytest.mark.parametrize("command", [
    ("score", "samples/m12.csv"), ("processes", "samples/m12.csv"), ("evaluation", "samples/m12.csv"),
    ("progress", "samples/probes.csv"), ("report", "samples/m12.csv", LATER),
])  # fmt: skip
def test_paper_and_language_of_a_page_are_refused_in_one_sentence(
    cli: CommandLine, tmp_path: Path, command: tuple[str, ...]
) -> None:
    page = tmp_path / "page.html"
    named = "--language" if command[0] in ("progress", "report") else "--page-language"
    paper = cli(*command, "--page", str(page), "--paper", "a5")
    assert (paper.code, paper.err) == (2, "--paper cannot be 'a5'; one of: a4, letter [use.paper]\n")
    spoken = cli(*command, "--page", str(page), named, "fr")
    code = "use." + named.strip("-")
    assert (spoken.code, spoken.err) == (2, f"{named} cannot be 'fr'; en or es, or with a region (es-MX) [{code}]\n")
    assert not page.exists()


def test_what_a_goal_was_read_as_is_said_where_no_word_has_it(cli: CommandLine) -> None:
    answer = approx.words(M12, goal="x", count=1)
    assert [problem.code for problem in answer.problems] == ["words.goal-none"] and "/x/" in str(answer.problems[0])
    assert not approx.words(M12, goal="k initial", count=1).problems


@pytest.mark.parametrize("tag", ["deu-Latn", "deu", "haw", "spa", "eng", "es-MX", "en_US", "fi"])
def test_a_language_that_is_one_is_taken(tag: str) -> None:
    assert language_problem(tag) == []


def test_values_that_are_typed_are_those_of_the_rules() -> None:
    """A type checker can only know a list that stands in the code; this keeps it that of the data."""
    assert get_args(WordOrder) == ("", *word_orders())
    assert get_args(CriterionName) == ("", *criteria())
    speech = ("en-US", "es-MX")
    assert set(get_args(GrammarOrder)) == {"", *(name for tag in speech for name in grammar_orders(tag))}
    named = {name for tag in speech for name, _ in phrase_relations(tag)}
    others = {name for tag in speech for recipe in relations(tag) for name in (recipe.relation, *recipe.names)}
    assert set(get_args(PhraseRelation)) == {"", *named, *others}
    assert set(get_args(FrameName)) == {frame.id for tag in speech for frame in frames(tag)}


def test_an_option_that_may_be_any_text_is_one_that_has_no_list() -> None:
    """Parameters of the public functions that are typed as a mere text: tags, codes, forms and what is written freely. An
    option of few values is a Literal, so that a type checker and an editor know them."""
    free = {"target", "produced", "language", "child", "age", "grammar"}
    texts = {
        f"{name}({parameter})"
        for name in approx.__all__
        if inspect.isfunction(function := getattr(approx, name))
        for parameter, says in inspect.signature(function).parameters.items()
        if says.annotation == "str" and parameter not in free
    }
    assert not texts


@pytest.mark.parametrize("name", REFUSED)
def test_an_option_is_refused_alike(cli: CommandLine, name: str) -> None:
    """The command ends with 2, one line and no data; the program gets the same problem, or one exception."""
    typed, ask, code = REFUSED[name]
    answer = ask()
    assert [problem.code for problem in answer.problems] == [code]
    ran = cli(*typed, "--json")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.splitlines() == [str(answer.problems[0])]
    assert not getattr(answer, "groups", ()) and not answer.lines()


def test_all_refused_options_come_in_one_exception() -> None:
    with pytest.raises(approx.ProblemsError) as raised:
        approx.score("samples/m12.csv", confidence=500, accents="nosuch", language="xx", on_problem="raise")
    assert {problem.code for problem in raised.value.problems} == {"use.confidence", "use.accent", "use.language"}
    assert all(str(problem) in str(raised.value) for problem in raised.value.problems)


def test_a_remark_is_not_raised() -> None:
    answer = approx.suggest("the spoon", M12, short=True, on_problem="raise")
    assert [problem.code for problem in answer.problems] == ["suggest.short"] and answer.words


def _parts(found: Scores) -> tuple[SamplePart, ...]:
    assert found.evidence is not None
    return found.evidence.parts


def test_scores_without_evidence_say_how_to_ask_for_it() -> None:
    found = approx.score("samples/m12.csv")
    for ask in (found.document, found.evaluations):
        with pytest.raises(ValueError, match="evidence=True"):
            ask()
    assert list(found.tables()) == ["scores", "sounds"]
    assert approx.score("samples/m12.csv", confidence=500, evidence=True).document() is None
    (wrong,) = approx.score("samples/m12.csv", evidence="yes").problems  # type: ignore[arg-type]
    assert wrong.code == "use.evidence"


def test_the_page_of_a_sample_has_the_numbers_of_the_command(cli: CommandLine) -> None:
    """Labels of languages, signature and problems too."""
    for name in ("m12", "k07", "t03"):
        file = SAMPLES / f"{name}.csv"
        found, plain = approx.score(file, evidence=True), approx.score(file)
        for one, other in zip(found.groups, plain.groups, strict=True):
            assert one.labels == other.labels and one.measures == other.measures and one.left_out == other.left_out
        assert (found.signature, found.problems) == (plain.signature, plain.problems)
        explained = approx.processes(file)
        for part, group in zip(_parts(found), explained.groups, strict=True):
            assert part.processes.tallies == group.tallies and part.processes.unexplained == group.unexplained


def _strange() -> str:
    """Random pairs of two children: more of them share nothing with their adult form than are looked into in one sample."""
    draw = random.Random(3)

    def form() -> str:
        return "".join(draw.choice("ptkbdgmnszfvlrwj") + draw.choice("aeiou") for _ in range(5))

    rows = (f"{'A' if number % 2 else 'B'},2026-01-01,,{form()},{form()},en-US" for number in range(1200))
    return "\n".join(("child,session_date,target_word,target_ipa,produced_ipa,language", *rows))


MESSY = """child,session_date,target_word,target_ipa,produced_ipa,language
A,2026-01-01,singing,ˈsɪŋɪŋ,ˈsɪŋɪn,en-US
B,2026-01-01,cup,kʌp,tʌp,en-US
A,2026-01-01,casa,ˈkasa,ˈtasa,es-419
A,2026-01-01,gun,ɡʌn,dʌn,
A,2026-01-01,cat,kæt,,en-US
A,2026-01-01,spoon,spun,0,en-US
A,2026-01-01,,,ma,en-US
A,2026-01-01,big cup,bɪɡ kʌp,bɪ tʌp,en-US
A,2026-01-01,egg,ɛɡ,ɛ?;ɛd,en-US
A,2026-01-01,dog,dɔɡ,[dɔ7],en-US
A,not a day,key,ki,ti,en-US

B,2026-01-01,key,ki,xxx,en-US
A,2026-01-01,go,ɡoʊ,doʊ,en-US,one cell more
"""


@pytest.mark.slow
@pytest.mark.parametrize("text", [_strange(), MESSY], ids=["strange", "messy"])
def test_the_processes_of_a_sample_are_the_same_by_every_route(tmp_path: Path, text: str) -> None:
    """The command's counts, those of the page of a sample and those of a comparison; and what is said of them."""
    then, now = tmp_path / "then.csv", tmp_path / "now.csv"
    then.write_text(text, encoding="utf-8")
    now.write_text(text.replace("2026-01-01", "2026-02-01"), encoding="utf-8")
    alone, found = approx.processes(then), approx.score(then, evidence=True)
    assert [part.processes for part in _parts(found)] == list(alone.groups)
    assert [part.score.labels for part in _parts(found)] == [group.labels for group in alone.groups]
    assert set(found.problems) == set(alone.problems) == {*approx.score(then).problems, *alone.problems}
    both = approx.compare(then, now, child="B")
    assert both.found is not None and both.found.then.processes in alone.groups
    assert both.found.now.processes in approx.processes(now).groups
    assert both.found.then.process_signature == alone.signature
    assert set(alone.problems) <= set(both.problems)


@pytest.mark.slow
def test_every_answer_counts_all_rows_of_a_long_sample() -> None:
    """Nothing stops at the hundred thousandth row of a sample that `score` counts whole."""
    pairs = [("spun", "pun"), ("ki", "ti")] * 50_000 + [("tu", "tu")] * 1_000
    scored, found = approx.score(pairs, by=""), approx.score(pairs, by="", evidence=True)
    heard, (part,) = approx.inventory(pairs, by=""), _parts(found)
    assert [group.tokens for group in scored.groups] == [101_000]
    assert found.groups[0].measures == scored.groups[0].measures and part.score.tokens == 101_000
    assert heard.groups[0].inventory.forms == part.inventory.forms == 101_000
    assert not scored.problems and not found.problems and not heard.problems
    # one of the two heard an s more in 50,000 words, and k for t in 50,000
    agreed, foretold = approx.agree(pairs, [(target, target) for target, _ in pairs]), approx.predict(pairs, ["soup"])
    assert agreed.found is not None and len(agreed.words) == 101_000 and len(agreed.found.differences) == 100_000
    assert foretold.tokens == 101_000 and not agreed.problems and not foretold.problems
    assert len(list(convert(pairs).to_table()[1])) == 101_000


@pytest.mark.slow
def test_a_call_leaves_the_program_that_calls_as_it_was() -> None:
    """Collector, logging, environment, random numbers and warnings: all of them as before, whatever was asked: another language,
    a frame, a page, a PDF and a document too."""
    code = f"""
import gc, logging, os, random, sys, warnings
def state():
    root = logging.getLogger()
    return (gc.isenabled(), gc.get_threshold(), gc.get_freeze_count(), list(root.handlers), root.level, dict(os.environ),
            random.getstate(), list(warnings.filters), sys.getrecursionlimit(), os.getcwd())
import approx, pandas, polars, narwhals
random.seed(1)
before = state()
frame = pandas.read_csv('samples/m12.csv')
approx.suggest('more big soup', {M12!r}); approx.words({M12!r}); approx.phrases({M12!r})
approx.score(frame); approx.processes(frame); approx.inventory(frame); approx.predict(frame, ['key'])
approx.agree(frame, frame); approx.compare('samples/m12.csv', {LATER!r}).document()
approx.progress('samples/probes.csv').charts()
guessed = approx.suggest('ein Kuchen', {M12!r}, language='deu-Latn')
assert len(guessed.words) == 2 and all(word.adult for word in guessed.words), guessed.problems
from approx.api.practice.sheets import sheet
page = sheet('family', {M12!r}, words='mud, hat')
assert page.pdf()[:5] == b'%PDF-' and page.docx()[:2] == b'PK'
assert len(approx.score(frame).to_frame('polars')) == len(approx.score(frame).to_frame()) > 0
print(state() == before)
"""
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", timeout=300, check=True)
    assert (ran.stdout, ran.stderr) == ("True\n", "")


def test_the_functions_keep_their_names_whatever_is_imported() -> None:
    """`approx.processes` and `approx.progress` are packages as well: importing those does not take the functions away."""
    code = "import approx\nfrom approx.processes.rules.ruleset import load_rules\nfrom approx.progress.rules import progress_signature\n"
    code += "print(callable(approx.processes), callable(approx.progress), len(load_rules().rules) > 100)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", timeout=60, check=True)
    assert ran.stdout.split() == ["True", "True", "True"]


def test_help_teaches_the_functions() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", "import approx; help(approx)"],
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=True,
    )
    for name in ("read_child", "suggest", "score", "processes", "explain", "align", "inventory", "predict", "agree",
                 "words", "phrases", "compare", "progress"):  # fmt: skip
        assert f"\n    {name}(" in ran.stdout and f"approx.{name}(" in ran.stdout


def test_help_lists_the_functions_first_and_what_answers_hold() -> None:
    """Each line of the list names a function and where its answer holds what it gives; every such place is there."""
    child = approx.read_child(SAMPLES / "m12.toml")
    one, later = str(SAMPLES / "m12.csv"), str(SAMPLES / "m12_later.csv")
    answers: dict[str, Any] = {
        "read_child": child, "suggest": approx.suggest("big spoon", child), "words": approx.words(child, count=2),
        "phrases": approx.phrases(child, count=2), "score": approx.score(one), "processes": approx.processes(one),
        "inventory": approx.inventory(one), "explain": approx.explain("spun", "pun"), "align": approx.align("spun", "pun"),
        "predict": approx.predict(one, ["soup"]), "agree": approx.agree(one, one), "compare": approx.compare(one, later),
        "progress": approx.progress(str(SAMPLES / "probes.csv")),
    }  # fmt: skip
    listed = re.findall(r"^    (\w+)\([\w, ]+\) +[^.;]+? {2,}(\..+)$", approx.__doc__ or "", re.MULTILINE)
    assert sorted(name for name, _ in listed) == sorted(answers)
    assert (approx.__doc__ or "").index("read_child(path)") < 600
    for name, places in listed:
        for part in places.split("; "):
            first, *others = part.split(", ")
            beside = [first.rpartition(".")[0] + other for other in others]
            for place in (first, *beside):
                assert at_place(answers[name], place.partition("(")[0]) is not None, (name, place)


def at_place(answer: Any, place: str) -> Any:
    """What stands at a place such as `.groups[0].measures["pcc"].hits`."""
    for attribute, item in re.findall(r"\.(\w+)|\[([^\]]+)\]", place):
        answer = getattr(answer, attribute) if attribute else answer[json.loads(item)]
    return answer if answer is not None else ()


@pytest.mark.parametrize("name", [name for name in approx.__all__ if name.islower() and not name.startswith("_")])
def test_help_has_a_line_for_each_argument(name: str) -> None:
    """In the shape that editors and the pages of documentation read: the name at the start of a line, then what it is."""
    function = getattr(approx, name)
    explained = re.findall(r"^    \**(\w+): ", inspect.getdoc(function) or "", re.MULTILINE)
    assert explained == list(inspect.signature(function).parameters)


def test_help_of_score_names_every_option() -> None:
    told = approx.score.__doc__ or ""
    assert not [name for name in ScoreOptions.__annotations__ if not re.search(rf"\b{name}\b", told)]


@pytest.mark.slow
def test_a_type_checker_sees_what_the_functions_give(tmp_path: Path) -> None:
    pytest.importorskip("mypy")
    file = tmp_path / "program.py"
    file.write_text(
        "import approx\n"
        "reveal_type(approx.read_child('c').profile)\n"
        "reveal_type(approx.suggest('a', 'c').words[0].approximations[0].ipa)\n"
        "reveal_type(approx.score('f').groups[0].measures['pcc'].value)\n"
        "reveal_type(approx.processes('f').groups[0].tallies['stopping'].occurrences)\n"
        "reveal_type(approx.align('a', 'b').links)\n"
        "reveal_type(approx.progress('f').children)\n"
        "approx.suggest('a', 'c', top='many')\n"
        "approx.score('f', repeats='zzz')\n"
        "approx.processes('f', lost_sounds='zzz', weak_syllables='zzz', criterion='zzz', lost_r='zzz')\n"
        "approx.explain('a', 'b', lost_r='zzz')\n"
        "approx.words('c', order='zzz')\n"
        "approx.phrases('c', pronoun='zzz', length=1)\n"
        "approx.phrases('c', relation='zzz', order='zzz')\n"
        "approx.phrases('c', relation='svo', order='brown')\n"
        "approx.phrases('c', frames=True, relation='no-more')\n"
        "approx.inventory('f', criterion='zzz')\n"
        "approx.inventory('f', criterion='two tokens')\n"
        "from approx.api.reference import listing\n"
        "listing('zzz')\n"
        "from approx.api.practice.sheets import sheet\n"
        "sheet('zzz', 'c', order='zzz', paper='zzz')\n",
        encoding="utf-8",
    )
    ran = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--config-file", str(ROOT / "pyproject.toml"), str(file)],
        capture_output=True, encoding="utf-8", timeout=300, check=False,
    )  # fmt: skip
    told = [line.partition(": ")[2] for line in ran.stdout.splitlines()]
    types = [line.removeprefix('note: Revealed type is "').removesuffix('"') for line in told if "Revealed" in line]
    assert types == [
        "approx.child.profile.Profile | None", "str", "float | None", "int",
        "tuple[tuple[int | None, int | None], ...]", "tuple[approx.reports.document.ProgressFacts, ...]",
    ], ran.stdout  # fmt: skip
    assert sum("[arg-type]" in line for line in told) == 17


def test_the_typed_options_of_score_are_those_of_the_scorer() -> None:
    """A keyword that is typed needs its own list; this keeps the two alike, in names and in types."""
    scorer = get_type_hints(ScoringOptions)
    del scorer["language"], scorer["accents"]
    assert get_type_hints(ScoreOptions) == scorer
