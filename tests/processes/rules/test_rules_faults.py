"""A rule file with a fault gives one clear line with file and line, and no traceback; own rules add and replace."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from places import RULES

from approx.ipa import read
from approx.problems import Problem
from approx.processes.doctor import check_rules
from approx.processes.engine.apply import apply
from approx.processes.engine.form import form_of
from approx.processes.rules.ruleset import load_rules

README = RULES / "README.md"
GOOD = """\
# a rule of our own
[[rule]]
id       = "stopping.own"
process  = "stopping"
change   = "f -> p / # _"
cost     = 0.3
source   = "common practice, no source"
examples = [["fæn", "pæn"]]
"""


def folder(tmp_path: Path, **files: str) -> Path:
    own = tmp_path / "my-rules"
    own.mkdir()
    for name, text in files.items():
        (own / f"{name}.toml").write_text(text, encoding="utf-8")
    return own


def about_own(own: Path) -> list[Problem]:
    """What the check-up says about the own folder."""
    return [problem for problem in check_rules(own).problems if problem.file.startswith(str(own))]


def test_a_good_file_gives_no_line(tmp_path: Path) -> None:
    own = folder(tmp_path, own=GOOD)
    assert about_own(own) == []
    assert load_rules(own).rule("stopping.own") is not None


FAULTS = {
    "unknown feature": (("f -> p", "[+lips] -> p"), 2, "rules.notation", "'+lips' is not a feature"),
    "unknown sound": (("f -> p", "f -> @"), 2, "rules.notation", "neither a sound nor a class"),
    "two sounds in one": (("f -> p / # _", "sp -> f"), 2, "rules.notation", "'sp' is neither a sound"),
    "affricate untied": (("f -> p / # _", "tʃ -> t"), 2, "rules.notation", "'tʃ' is neither a sound"),
    "missing source": (('source   = "common practice, no source"\n', ""), 2, "rules.missing", "no source"),
    "blank source": (('"common practice, no source"', '"  "'), 2, "rules.value", "source must be"),
    "failing example": (('["fæn", "pæn"]', '["fæn", "tæn"]'), 8, "rules.example", "fæn -> tæn does not hold: pæn came"),
    "example elsewhere": (('["fæn", "pæn"]', '["bʌf", "bʌp"]'), 8, "rules.example", "the rule applies nowhere in it"),
    "example unreadable": (('["fæn", "pæn"]', '["f%n", "pæn"]'), 8, "rules.example", "'%' U+0025"),
    "no example": (('[["fæn", "pæn"]]', "[]"), 2, "rules.missing", "no examples"),
    "bad TOML": (("cost     = 0.3", "cost     = "), 6, "rules.syntax", "not valid TOML"),
    "unknown process": (('"stopping"\n', '"stoping"\n'), 2, "rules.process", "'stoping' is not a process"),
    "unknown key": (("cost ", "prize = 1\ncost "), 2, "rules.key", "'prize' is not known"),
    "cost below nothing": (("0.3", "-0.3"), 2, "rules.cost", "cost -0.3"),
    "no rule at all": ((GOOD, "# nothing yet\n"), 1, "rules.empty", "no [[rule]]"),
    "two arrows": (("f -> p", "f -> p -> t"), 2, "rules.notation", "one arrow"),
    "pairs unequal": (("f -> p", "{f v} -> {p}"), 2, "rules.notation", "not of one length"),
    "edge between sounds": (("f -> p / # _", "f -> p / V # _"), 2, "rules.never", "a word edge # stands between"),
    "edge to change": (("f -> p / # _", "# f -> p"), 2, "rules.never", "an edge or a stretch of sounds cannot"),
    "impossible features": (("f -> p / # _", "[+voi -voi] -> p"), 2, "rules.never", "no sound is '[+voi -voi]'"),
    "syllable without number": (("f -> p / # _", "σ -> σ σ"), 2, "rules.notation", "needs its number"),
    "changes nothing": (("f -> p / # _", "f -> f"), 2, "rules.never", "it changes nothing"),
    "process is a list": (('"stopping"\n', '["stopping"]\n'), 2, "rules.value", "process must be the name"),
    "id is a number": (('"stopping.own"', "5"), 2, "rules.value", "id must be text"),
    "order is text": (("cost ", 'order = "first"\ncost '), 2, "rules.value", "order must be a whole number"),
    "examples are a number": (('[["fæn", "pæn"]]', "5"), 2, "rules.value", "examples must be pairs"),
    "uses nested": (("cost ", 'uses = [["simplify"]]\ncost '), 2, "rules.value", "uses must be some of"),
    "change is a number": (('"f -> p / # _"', "5"), 2, "rules.value", "change must be the change"),
}


@pytest.fixture(scope="module")
def faulty(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Problem]]:
    """What one check-up says about a folder with every fault in a file of its own."""
    own = tmp_path_factory.mktemp("my-rules")
    for number, (name, ((old, new), *_)) in enumerate(FAULTS.items()):
        assert GOOD.count(old) >= 1, name
        text = GOOD.replace(old, new).replace("stopping.own", f"stopping.own-{number}")
        (own / f"{name.replace(' ', '-')}.toml").write_text(text, encoding="utf-8")
    found: dict[str, list[Problem]] = {name: [] for name in FAULTS}
    for problem in about_own(own):
        found[Path(problem.file).stem.replace("-", " ")].append(problem)
    return found


@pytest.mark.parametrize("name", FAULTS)
def test_one_fault_gives_one_line(faulty: dict[str, list[Problem]], name: str) -> None:
    _, line, code, said = FAULTS[name]
    assert [(problem.code, problem.line) for problem in faulty[name]] == [(code, line)], faulty[name]
    assert said in faulty[name][0].message
    assert faulty[name][0].fatal


def test_faults_of_all_files_come_in_one_run(tmp_path: Path) -> None:
    own = folder(
        tmp_path, a=GOOD.replace("0.3", "= ="), b=GOOD.replace("f ->", "[+lips] ->"), c=GOOD.replace("pæn", "tæn")
    )
    assert [Path(p.file).name for p in sorted(about_own(own), key=lambda p: p.file)] == ["a.toml", "b.toml", "c.toml"]


def test_a_faulty_rule_does_not_take_the_good_ones_along(tmp_path: Path) -> None:
    second = GOOD.replace("stopping.own", "stopping.second")
    rules = load_rules(folder(tmp_path, own=GOOD.replace("f ->", "[+lips] ->") + second))
    assert rules.rule("stopping.second") is not None
    assert rules.rule("stopping.own") is None


def test_one_id_twice_in_a_file(tmp_path: Path) -> None:
    found = about_own(folder(tmp_path, own=GOOD + GOOD))
    assert [(p.code, p.line) for p in found] == [("rules.id", 10)]
    assert "line 2" in found[0].hint


def test_one_id_in_two_files_of_a_folder(tmp_path: Path) -> None:
    found = about_own(folder(tmp_path, a=GOOD, b=GOOD))
    assert [(p.code, Path(p.file).name, p.line) for p in found] == [("rules.id", "b.toml", 2)]
    assert "a.toml:2" in found[0].hint


def test_own_rules_add(tmp_path: Path) -> None:
    own = load_rules(folder(tmp_path, own=GOOD))
    assert {rule.id for rule in own.rules} - {rule.id for rule in load_rules().rules} == {"stopping.own"}
    assert own.hash != load_rules().hash


def test_own_rule_takes_the_place_of_ours_by_id(tmp_path: Path) -> None:
    text = GOOD.replace("stopping.own", "velar-fronting").replace("0.3", "0.77")
    own = folder(tmp_path, own=text)
    found = load_rules(own).rule("velar-fronting")
    assert found is not None
    assert (found.cost, Path(found.file).name) == (0.77, "own.toml")
    assert len(load_rules(own).rules) == len(load_rules().rules)
    remarks = about_own(own)
    assert [(p.code, p.line, p.fatal) for p in remarks] == [("rules.replaced", 2, False)]
    assert "fronting.toml" in remarks[0].hint


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    codes = [problem.code for problem in check_rules(tmp_path / "none").problems]
    assert "rules.folder" in codes


def readme_rule() -> str:
    found = re.search(r"```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    return found[1]


def test_readme_rule_is_ten_lines_or_fewer_and_holds(tmp_path: Path) -> None:
    text = readme_rule()
    assert len(text.splitlines()) <= 10
    own = folder(tmp_path, queen=text)
    assert about_own(own) == []
    rule = next(rule for rule in load_rules(own).rules if rule.file.startswith(str(own)))
    made = [form.word.ipa for _, _, form in apply(rule.change, form_of(read("kwin").words[0]))]
    assert made == ["pwin"]


def test_readme_faults_are_said_as_printed(tmp_path: Path) -> None:
    """The three lines the README shows: a wrong feature, a wrong example, no source."""
    text = readme_rule()
    shown = re.findall(
        r"^my-rules/queen\.toml:(\d+): (.+?)(?:\.\.\.)?$", README.read_text(encoding="utf-8"), re.MULTILINE
    )
    faulty = [
        text.replace("k -> p", "[+lab1] -> p"),
        text.replace('"pwin"', '"win"'),
        re.sub(r"source .*\n", "", text),
    ]
    assert len(shown) == len(faulty)
    for number, text in enumerate(faulty):
        (tmp_path / f"{number}.toml").write_text(text.replace(".kw", f".kw{number}"), encoding="utf-8")
    found = sorted(about_own(tmp_path), key=lambda problem: problem.file)
    assert len(found) == len(faulty)
    for problem, (line, said) in zip(found, shown, strict=True):
        assert str(problem.line) == line
        plain = re.sub(r"\.kw\d", ".kw", f"{problem.message}; {problem.hint}")
        assert plain.startswith(said.rstrip("; "))


NOTATION = [
    ("s -> t", "sʌn", "tʌn"),
    ("s -> ∅ / . _ {p t k}", "spun", "pun"),
    ("{k ɡ ŋ} -> {t d n}", "kʌp", "tʌp"),
    ("C -> ∅ / V _ #", "bʊk", "bʊ"),
    ("∅ -> ə / # C _ C", "blu", "bəˈlu"),
    ("nasal -> ∅ / V _ stop", "hænd", "hæd"),
    ("[-son] -> [+voi] / _ V", "kʌp", "ɡʌp"),
    ("nasal -> [αlab] / _ [αlab]", "ˈʌnbɑks", "ˈʌmbɑks"),
    ("{t d} -> {k ɡ} / _ ... {k ɡ}", "dʌk", "ɡʌk"),
    ("C1 V1 C2 -> C2 V1 C1", "kʌp", "pʌk"),
    ("σ[-stress] -> ∅ / _ σ[+main]", "bəˈnænə", "ˈnænə"),
    ("σ1 σ2 -> σ1 σ1", "ˈbɑtəl", "ˈbɑbɑ"),
    ("[+syl -stress] -> ə", "ˈbeɪbi", "ˈbeɪbə"),
]
"""Changes of the README's table, with a word and what the table says becomes of it (by hand)."""


@pytest.mark.parametrize(("change", "before", "after"), NOTATION)
def test_readme_notation_does_what_the_table_says(change: str, before: str, after: str) -> None:
    from approx.processes.rules.notation import parse

    made = [form.word.ipa for _, _, form in apply(parse(change), form_of(read(before).words[0]))]
    assert after in made
    table = README.read_text(encoding="utf-8")
    assert all(f"`{part}`" in table or part in table for part in [change.split(" / ", maxsplit=1)[0]])
