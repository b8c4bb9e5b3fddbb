"""Every `--json` is what its published JSON Schema says, and no key is printed that the schema does not name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine
from jsonschema import Draft202012Validator
from test_answer_formats import BROKEN, second_transcriber

from approx.api.schemas import schema, schema_names

M12, K07, T03, T03_ES = (f"samples/{name}.toml" for name in ("m12", "k07", "t03", "t03_es"))
HARD = (
    "child,target_word,target_ipa,produced_ipa,context\nQ1,cup,kʌp,tʌp,talk\nQ1,pen,p☃n,pɛn,\nQ1,,,ba,\nQ1,bath,bæθ,bæf,\n"
    "Q1,bottle,ˈbɑɾl̩,bɑdo,\nQ1,cat,,,\nQ1,dog,dɔɡ,xxx,\n"
)
"""Rows with a snowman, without a gloss, without a production, unintelligible."""
OTHER = "OTHER"
PAGES = ("session", "family", "letter", "cards", "contrast", "match", "listen", "hear", "plan")
CASES: list[tuple[str, tuple[str, ...]]] = [
    ("suggest", ("suggest", "big spoon", "--child", M12)),
    ("suggest", ("suggest", "Nana is watering the big tomato", "--child", K07)),
    ("suggest", ("suggest", "xyz🍌 pee duck it it", "--child", T03)),
    ("suggest", ("suggest", "mi leche", "--child", T03_ES)),
    ("suggest", ("suggest", "/spun/ juice", "--child", K07, "--emerging", "--short")),
    ("suggest", ("suggest", "--words", "samples/k07_phrases.txt", "--child", K07)),
    ("words", ("words", "--child", M12)),
    ("words", ("words", "--child", K07, "--set", "6")),
    ("words", ("words", "--child", T03, "--contrast")),
    ("words", ("words", "--child", M12, "--goal", "k initial", "--count", "30")),
    ("words", ("words", "--child", T03_ES, "--order", "early")),
    *(("words-say", ("words", "say", word)) for word in ("read", "zuzzy", "🍌")),
    ("phrases", ("phrases", "--child", M12)),
    ("phrases", ("phrases", "--child", K07, "--frames")),
    ("phrases", ("phrases", "--child", M12, "--grammar", "dig mud")),
    ("phrases", ("phrases", "--child", T03_ES)),
    *(("sheet", ("sheet", page, "--child", M12)) for page in PAGES),
    ("sheet", ("sheet", "group", "--child", M12, "--child", K07)),
    *(("child-show", ("child", "show", file)) for file in (M12, K07, T03, T03_ES, "README.md", "nope.toml")),
    ("score", ("score", "samples/m12.csv")),
    ("score", ("score", "samples/t03.csv", "--by", "child")),
    ("score", ("score", "samples/k07.csv", "--by", "context,cue")),
    ("score", ("score", "-")),
    ("score", ("score", "nope.csv")),
    ("processes", ("processes", "samples/m12.csv")),
    ("processes", ("processes", "samples/t03.csv")),
    ("processes", ("processes", "-")),
    ("explain", ("explain", "spun", "pun")),
    ("explain", ("explain", "kæt", "kæʔ")),
    ("explain", ("explain", "tɹi", "m☃")),
    ("explain", ("explain", "ˈɛləfənt", "ˈɛfən")),
    ("align", ("align", "wɑnt ˈkʊki", "ɑ ˈtʊti")),
    ("align", ("align", "p☃", "p")),
    ("inventory", ("inventory", "samples/m12.csv")),
    ("inventory", ("inventory", "-")),
    ("inventory", ("inventory", "samples/t03.csv", "--by", "child,session_date")),
    ("predict", ("predict", "samples/m12.csv", "samples/m12_phrases.txt")),
    ("agree", ("agree", "samples/m12.csv", OTHER)),
    ("agree", ("agree", "samples/m12.csv", "samples/m12_later.csv")),
    ("progress", ("progress", "samples/probes.csv")),
    ("progress", ("progress", "samples/m12.csv")),
    ("report", ("report", "samples/m12.csv", "samples/m12_later.csv")),
    ("report", ("report", "samples/k07.csv", "samples/k07_later.csv")),
    ("report", ("report", "samples/m12.csv", "samples/t03.csv")),
    ("goals", ("goals", "samples/goals.csv")),
    ("goals", ("goals", "-")),
    ("convert", ("convert", "samples/m12.csv")),
    ("convert", ("convert", "-")),
    *(("list", ("list", what)) for what in ("processes", "measures", "norms", "schemas")),
    *(
        ("about", ("about", name))
        for name in ("velar fronting", "pcc", "repeats", "k", "nonsense", "cluster-reduction.s-stop", "nasal")
    ),
    ("doctor", ("doctor",)),
]


def closed(part: Any) -> Any:
    """The schema, so that a key it does not name is refused."""
    if isinstance(part, list):
        return [closed(each) for each in part]
    if not isinstance(part, dict):
        return part
    out = {key: closed(value) for key, value in part.items()}
    return {"additionalProperties": False, **out} if part.get("type") == "object" and "properties" in part else out


def faults(name: str, answer: Any) -> list[str]:
    """Where an answer departs from the closed schema."""
    found = Draft202012Validator(closed(schema(name).schema)).iter_errors(answer)
    return [f"{'/'.join(map(str, fault.absolute_path))}: {fault.message[:200]}" for fault in found]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "words"), CASES, ids=[" ".join(words) for _, words in CASES])
def test_what_is_printed_is_what_the_schema_says(
    name: str, words: tuple[str, ...], cli: CommandLine, tmp_path: Path
) -> None:
    other = second_transcriber(tmp_path)
    ran = cli(*(str(other) if word == OTHER else word for word in words), "--json", stdin=HARD.encode())
    assert faults(name, ran.json) == []


def test_problems_as_data_have_a_schema(cli: CommandLine, tmp_path: Path) -> None:
    cli("score", "-", "--problems", tmp_path / "problems.json", stdin=BROKEN.encode())
    assert faults("problems", json.loads((tmp_path / "problems.json").read_text(encoding="utf-8"))) == []


def test_every_command_with_json_has_a_schema_and_a_case() -> None:
    from test_docs import commands

    asked = {
        name.removeprefix("approx ").replace(" ", "-")
        for name, command in commands().items()
        if any("--json" in parameter.opts for parameter in command.params)
    }
    assert asked | {"problems"} == set(schema_names()) and asked == {name for name, _ in CASES}


@pytest.mark.parametrize("name", schema_names())
def test_a_schema_is_one_and_whole_in_itself(name: str) -> None:
    found = schema(name).schema
    Draft202012Validator.check_schema(found)
    text = json.dumps(found)
    assert "common.json" not in text and text.count('"$ref": "#/$defs/') == text.count('"$ref"')


def test_every_answer_has_a_list_of_problems() -> None:
    """Always, empty where nothing is wrong: a program looks in one place, whatever it asked."""
    assert [name for name in schema_names() if "problems" not in schema(name).schema["required"]] == []


def test_a_departure_is_found(cli: CommandLine) -> None:
    """The comparison above can fail: a key too many, one missing, one of another kind, one deep inside."""
    answer = cli("align", "spun", "pun", "--json").json
    assert faults("align", answer) == []
    assert faults("align", answer | {"extra": 1}) and faults("align", answer | {"links": [[0]]})
    scored = cli("score", "samples/m12.csv", "--json").json
    del scored["groups"][0]["measures"]["pcc"]["value"]
    assert faults("score", scored) == ["groups/0/measures/pcc: 'value' is a required property"]


def test_the_command_prints_the_schema(cli: CommandLine) -> None:
    ran = cli("about", "--schema", "words say")
    assert ran.code == 0 and ran.json == schema("words-say").schema
    wrong = cli("about", "--schema", "nonsense")
    assert wrong.code == 2 and wrong.out == "" and len(wrong.err.splitlines()) == 1
