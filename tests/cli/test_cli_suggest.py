"""`approx suggest` as a shell sees it: exit codes, the promised JSON keys, data on stdout only, and rubbish put in."""

from __future__ import annotations

import json
import logging
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from conftest import CommandLine, Ran
from places import ROOT

M12, K07 = "samples/m12.toml", "samples/k07.toml"
SPANISH = "samples/t03_es.toml"
PROGRAM = [sys.executable, "-c", "from approx.cli import main; main()"]

# The promise of the design: each key with the type of its value; a list or a dict holds the shape of what is in it.
STEP = {"rule": str, "process": str, "before": str, "after": str}
RUNG = {"ipa": str, "spelled": str, "adds": (str, type(None))}
FORM = {
    "ipa": str, "spelled": str, "cost": (int, float), "closeness": (int, float), "steps": [STEP],
    "complexity": {"wcm": int, "ipc": int}, "clashes": [{"word": str, "kind": str}],
}  # fmt: skip
WORD = {
    "word": str, "adult": (str, type(None)), "read_from": str, "sure": bool, "approximations": [FORM], "ladder": [RUNG],
}  # fmt: skip
LIST = {"child": str, "signature": str, "problems": [{"code": str, "message": str}], "words": [WORD]}
PHRASE = LIST | {"phrase": str, "phrase_forms": [{"ipa": str, "spelled": str}]}


def shaped(value: Any, shape: Any, at: str = "answer") -> list[str]:
    """Where a JSON value departs from a shape."""
    if isinstance(shape, dict):
        if not isinstance(value, dict):
            return [f"{at} is not an object"]
        return [
            w for k, s in shape.items() for w in (shaped(value[k], s, f"{at}.{k}") if k in value else [f"no {at}.{k}"])
        ]
    if isinstance(shape, list):
        if not isinstance(value, list):
            return [f"{at} is not a list"]
        return [wrong for number, item in enumerate(value) for wrong in shaped(item, shape[0], f"{at}[{number}]")]
    fits = isinstance(value, shape) and not (isinstance(value, bool) and shape is not bool)
    return [] if fits else [f"{at} is {value!r}"]


def quiet(ran: Ran, lines: int) -> None:
    """So many lines on stderr, each with the code of its problem at the end."""
    said = ran.err.splitlines()
    assert len(said) == lines, ran.err
    assert all(line.endswith("]") and "[" in line for line in said), ran.err


def test_keys_of_a_phrase_are_those_promised(cli: CommandLine) -> None:
    ran = cli("suggest", "Nana is watering the big 🍌 tomato", "--child", K07, "--json")
    assert ran.code == 1 and not shaped(ran.json, PHRASE)
    assert ran.json["phrase"] == "Nana is watering the big 🍌 tomato" and ran.json["child"] == "K07"
    assert [word["word"] for word in ran.json["words"]] == ["Nana", "is", "watering", "the", "big", "🍌", "tomato"]
    assert [word["word"] for word in ran.json["words"] if word["adult"] is None] == ["🍌"]
    assert ran.json["problems"][0]["code"] == "lexicon.unknown" and ran.json["problems"][0]["column"] == 26


def test_keys_of_a_list_are_those_promised(cli: CommandLine) -> None:
    data = cli("suggest", "--words", "-", "--child", M12, "--json", stdin=b"spoon\nMama\n").json
    assert not shaped(data, LIST) and "phrase" not in data and "phrase_forms" not in data


def test_a_shape_that_departs_is_found() -> None:
    """The check above can fail: a missing key, a wrong type, a bool for a number."""
    wrong = {
        "child": 3,
        "signature": "",
        "problems": [],
        "words": [{"word": "x", "sure": 1, "ladder": [{"ipa": None}]}],
    }
    found = shaped(wrong, LIST)
    assert "answer.child is 3" in found and "answer.words[0].sure is 1" in found
    assert "no answer.words[0].adult" in found and "answer.words[0].ladder[0].ipa is None" in found
    assert shaped({"wcm": True}, {"wcm": int})


def test_steps_lead_from_the_adult_form_to_the_answer_and_the_ladder_back(cli: CommandLine) -> None:
    data = cli("suggest", "Nana is watering the big tomato spoon", "--child", M12, "--json").json
    for word in data["words"]:
        for form in word["approximations"]:
            chain = [word["adult"], *(step["after"] for step in form["steps"])]
            assert [step["before"] for step in form["steps"]] == chain[:-1] and chain[-1] == form["ipa"]
        rungs = [rung["ipa"] for rung in word["ladder"]]
        assert rungs[0] == word["approximations"][0]["ipa"] and rungs[-1] == word["adult"]
        assert word["ladder"][0]["adds"] is None and all(rung["adds"] for rung in word["ladder"][1:])


def test_m12_says_spoon_as_the_invented_sample_has_it(cli: CommandLine) -> None:
    """Hand-written sample of M12: spoon spun -> pun, cup kʌp -> tʌp, wagon ˈwæɡən -> ˈwædən, tomato -> ˈmeɪtoʊ."""
    data = cli("suggest", "spoon cup wagon tomato", "--child", M12, "--json").json
    assert [word["adult"] for word in data["words"]] == ["spun", "kʌp", "ˈwæɡən", "təˈmeɪtoʊ"]
    assert [word["approximations"][0]["ipa"] for word in data["words"]] == ["pun", "tʌp", "ˈwædən", "ˈmeɪtoʊ"]


def test_chosen_form_comes_first(cli: CommandLine) -> None:
    word = cli("suggest", "water", "--child", K07, "--json").json["words"][0]
    assert (word["approximations"][0]["ipa"], word["approximations"][0]["chosen"]) == ("ˈwawa", True)
    assert word["ladder"][0]["ipa"] == "ˈwawa" and word["ladder"][-1]["ipa"] == word["adult"]


@pytest.mark.parametrize("top", [1, 2])
def test_top_limits_the_forms_of_a_word(cli: CommandLine, top: int) -> None:
    word = cli("suggest", "big", "--child", M12, "--json", "--top", str(top)).json["words"][0]
    assert len(word["approximations"]) == top


def test_emerging_sounds_come_in_only_when_asked(cli: CommandLine) -> None:
    """K07's profile: final p and the shape VC are emerging, so `up` is ʌ without them and ʌp with them."""
    plain = cli("suggest", "up", "--child", K07, "--json").json
    asked = cli("suggest", "up", "--child", K07, "--json", "--emerging").json
    assert plain["words"][0]["approximations"][0]["ipa"] == "ʌ"
    assert asked["words"][0]["approximations"][0]["ipa"] == "ʌp"
    assert asked["words"][0]["approximations"][0]["cost"] > 0 and plain["signature"] != asked["signature"]


def test_short_leaves_out_small_words(cli: CommandLine) -> None:
    """Telegraphic form of the scenario's sentence "Addy is watering the tomato"."""
    data = cli("suggest", "Addy is watering the tomato", "--child", K07, "--json", "--short").json
    assert [word["word"] for word in data["words"]] == ["Addy", "watering", "tomato"]


def test_ipa_between_slashes_is_taken_as_typed(cli: CommandLine) -> None:
    word = cli("suggest", "/spun/", "--child", M12, "--json").json["words"][0]
    assert (word["adult"], word["read_from"], word["approximations"][0]["ipa"]) == ("spun", "typed", "pun")


def test_a_phrase_from_stdin_is_the_phrase(cli: CommandLine) -> None:
    typed = cli("suggest", "big spoon", "--child", M12)
    assert cli("suggest", "-", "--child", M12, stdin=b"big\nspoon\n") == typed and typed.code == 0


def test_spanish_child_is_read_in_spanish(cli: CommandLine) -> None:
    """T03's Spanish words with the sample's adult forms (soft b and d written b, d): mano, lodo, uva, tomate, pan."""
    data = cli("suggest", "mano lodo uva tomate pan", "--child", SPANISH, "--json").json
    assert [word["adult"] for word in data["words"]] == ["ˈmano", "ˈlodo", "ˈuba", "toˈmate", "pan"]
    assert [word["approximations"][0]["ipa"] for word in data["words"]][3:] == ["ˈmate", "pa"]
    assert "lang:es-MX" in data["signature"]


def test_language_of_the_option_wins(cli: CommandLine) -> None:
    data = cli("suggest", "pan", "--child", M12, "--language", "es-MX", "--json").json
    assert (data["words"][0]["adult"], data["words"][0]["read_from"]) == ("pan", "spanish rules")


def test_other_languages_are_read_as_a_guess(cli: CommandLine, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stand-in for the optional part: its answer is used and marked as one to check."""
    from approx.lexicon import other_languages

    monkeypatch.setattr(other_languages, "read_other", lambda word, code: {"hund": "hʊnt"}[word.lower()])
    word = cli("suggest", "Hund", "--child", M12, "--language", "deu-Latn", "--json").json["words"][0]
    assert (word["adult"], word["sure"], word["read_from"]) == ("hʊnt", False, "epitran") and "check" in word["note"]


@pytest.mark.slow
def test_german_is_read_by_epitran_without_a_word_to_the_logs(cli: CommandLine) -> None:
    """German Hund ends in a voiceless stop: hʊnt (final devoicing, any grammar of German)."""
    root = logging.getLogger()
    before = (list(root.handlers), root.level)
    ran = cli("suggest", "Hund", "--child", M12, "--language", "deu-Latn", "--json")
    assert (ran.json["words"][0]["adult"], ran.json["words"][0]["sure"]) == ("hʊnt", False)
    assert (list(root.handlers), root.level) == before and ran.err == ""


def test_without_the_part_for_other_languages_the_way_out_is_said(
    cli: CommandLine, monkeypatch: pytest.MonkeyPatch
) -> None:
    from approx.lexicon import other_languages

    monkeypatch.setattr(other_languages, "_folder", lambda: None)
    ran = cli("suggest", "Hund", "--child", M12, "--language", "deu-Latn", "--json")
    assert ran.code == 1 and ran.json["words"][0]["adult"] is None
    assert "not installed" in ran.err and "languages" in ran.err
    quiet(ran, 1)


@pytest.mark.parametrize(
    ("phrase", "code", "lines"),
    [
        ("", 1, 1),
        ("   \t ", 1, 1),
        ("🍌", 1, 1),
        ("more 🍌 🍎 tea", 1, 2),
        ("12345", 1, 1),
        ("/sp4n/", 1, 1),
        ("/spun", 1, 1),
        ("//", 1, 1),
        ("zxqv", 0, 0),
        ("SPOON!!!", 0, 0),
        ("spoon\u200b", 0, 0),
        ("café", 0, 0),
        ("café", 0, 0),
        ("don’t", 0, 0),
    ],
)
def test_odd_phrases_get_one_line_a_fault(cli: CommandLine, phrase: str, code: int, lines: int) -> None:
    ran = cli("suggest", phrase, "--child", M12, "--json")
    assert ran.code == code, ran.err
    quiet(ran, lines)
    assert not shaped(ran.json, LIST) and len(ran.json["problems"]) == lines


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("--nope",), "No such option '--nope'"),
        (("nope",), "No such command 'nope'"),
        (("suggest",), "[use.child]"),
        (("suggest", "spoon"), "[use.child]"),
        (("suggest", "--child", M12), "[use.phrase]"),
        (("suggest", "spoon", "--words", "-", "--child", M12), "[use.phrase]"),
        (("suggest", "spoon", "--child", M12, "--json", "--csv"), "[use.format]"),
        (("suggest", "spoon", "--child", M12, "--top", "0"), "[use.top]"),
        (("suggest", "spoon", "--child", M12, "--top", "many"), "many"),
        (("suggest", "spoon", "tea", "--child", M12), "tea"),
        (("list", "nothing"), "[use.what]"),
        (("about", "no such thing at all"), "[use.name]"),
        (("doctor", "--rules", "no-such-folder"), "[use.rules]"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_wrong_use_is_2_and_says_what_to_do(cli: CommandLine, typed: tuple[str, ...], said: str) -> None:
    ran = cli(*typed)
    assert ran.code == 2 and ran.out == "" and said in ran.err


@pytest.mark.parametrize("name", ["no-such-child.toml", "samples"])
def test_a_child_file_that_cannot_be_opened_is_named(cli: CommandLine, name: str) -> None:
    ran = cli("suggest", "spoon", "--child", name)
    assert ran.code == 1 and ran.out == "" and ran.err.startswith(f"{name}: ")
    quiet(ran, 1)


def test_a_broken_rule_folder_is_named_by_file_and_nothing_is_answered(cli: CommandLine, tmp_path: Path) -> None:
    (tmp_path / "broken.toml").write_text("x = [\n", encoding="utf-8")
    (tmp_path / "feature.toml").write_text(
        '[[rule]]\nid = "stopping.own"\nprocess = "stopping"\nchange = "[+loud] -> t"\ncost = 0.1\n'
        'source = "common practice, no source"\nexamples = [["si", "ti"]]\n',
        encoding="utf-8",
    )
    ran = cli("suggest", "spoon", "--child", M12, "--rules", tmp_path)
    assert ran.code == 1 and ran.out == ""
    said = sorted(line.rsplit("[", 1)[0] for line in ran.err.splitlines())
    assert "broken.toml" in said[0] and "feature.toml:1" in said[1] and "loud" in said[1] and len(said) == 2


def test_an_own_rule_is_used(cli: CommandLine, tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(
        '[[rule]]\nid = "stopping.s-p"\nprocess = "stopping"\nchange = "s -> p / # _"\ncost = 0.05\n'
        'source = "common practice, no source"\nexamples = [["soʊ", "poʊ"]]\n',
        encoding="utf-8",
    )
    own = cli("suggest", "sew", "--child", M12, "--rules", tmp_path, "--json").json
    plain = cli("suggest", "sew", "--child", M12, "--json").json
    form = own["words"][0]["approximations"][0]
    assert form["ipa"] == "poʊ" and form["steps"][0]["rule"] == "stopping.s-p"
    assert plain["words"][0]["approximations"][0]["ipa"] == "toʊ" and own["signature"] != plain["signature"]


def program(*arguments: str, **options: Any) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([*PROGRAM, *arguments], cwd=ROOT, capture_output=True, timeout=60, **options, check=False)


def test_stdout_is_utf8_whatever_the_system_says() -> None:
    poor = {**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C", "PYTHONUTF8": "0"}
    ran = program("suggest", "spoon", "--child", M12, "--json", env=poor)
    assert ran.returncode == 0 and json.loads(ran.stdout.decode("utf-8"))["words"][0]["adult"] == "spun"
    assert ran.stderr == b""


@pytest.mark.parametrize("typed", [b"\xff\xfe\x00spoon", "spoon".encode("utf-16"), b"sp\0oon"])
def test_a_phrase_that_is_no_text_is_named(cli: CommandLine, typed: bytes) -> None:
    ran = cli("suggest", "-", "--child", M12, "--json", stdin=typed)
    assert ran.code == 1 and ran.json["phrase"]
    assert ran.err.startswith("stdin: ") and "[suggest.encoding]" in ran.err


def test_a_reader_that_goes_away_is_no_fault() -> None:
    words = b"spoon\nbig\ntomato\n" * 60
    with subprocess.Popen(
        [*PROGRAM, "suggest", "--words", "-", "--child", M12, "--json"],
        cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as running:  # fmt: skip
        assert running.stdin and running.stdout and running.stderr
        running.stdin.write(words)
        running.stdin.close()
        assert running.stdout.read(20)
        running.stdout.close()
        said = running.stderr.read()
        assert running.wait(60) in (0, 1)
    assert said == b""
