"""The check-up: what ships is sound, faults in tables are named by line, cycles end, proofs are remembered."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from places import RULES

from approx.child.profile import Profile
from approx.child.search_limits import limits
from approx.ipa import read
from approx.processes import doctor
from approx.processes.doctor import (
    CheckUp,
    TableRule,
    check,
    check_rules,
    examples_hold,
    rings,
    table_files,
    tsv_faults,
    undoing_pairs,
)
from approx.processes.engine import proofs
from approx.processes.rules.ruleset import RuleSet, load_rules
from approx.processes.simplify.simplify import Simplifier

RULE = """
[[rule]]
id       = "{id}"
process  = "nearest sound"
change   = "{change}"
cost     = {cost}
source   = "common practice, no source"
examples = [["{before}", "{after}"]]
"""


def rule(change: str, before: str, after: str, cost: float = 0.001) -> str:
    name = "nearest-sound." + "".join(char for char in change if char.isalpha())
    return RULE.format(id=name, change=change, cost=cost, before=before, after=after)


def own_folder(tmp_path: Path, text: str) -> Path:
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    return tmp_path


@pytest.fixture(scope="module")
def shipped() -> CheckUp:
    return check()


def test_what_ships_has_no_fault(shipped: CheckUp) -> None:
    assert [str(problem) for problem in shipped.problems if problem.fatal] == []


def test_check_up_looked_at_everything(shipped: CheckUp) -> None:
    texts = [
        path.read_text(encoding="utf-8")
        for folder in ("processes", "accents")
        for path in (RULES / folder).glob("*.toml")
    ]
    assert shipped.rules == sum(text.count("[[rule]]") for text in texts)
    assert shipped.examples > shipped.rules
    assert shipped.processes == (RULES / "processes.toml").read_text(encoding="utf-8").count("[[process]]")
    assert {path.name for path in table_files()} >= {
        *(path.name for path in RULES.glob("*/*.tsv")),
        *(path.name for path in (RULES / "languages").iterdir()),
    }
    assert shipped.tables == len(table_files())


def test_remarks_name_only_cheap_ways_back(shipped: CheckUp) -> None:
    remarks = [problem for problem in shipped.problems if not problem.fatal]
    assert {problem.code for problem in remarks} <= {"rules.cycle"}
    assert any("schwa-full" in problem.message for problem in remarks)


UNDO_EACH_OTHER = [
    ("vowel-change.full-schwa", "vowel-change.schwa-full"),
    ("affrication.fricative", "deaffrication"),
    ("prevocalic-voicing", "nearest-sound.stop-without-voice"),
    ("backing", "velar-fronting"),
    ("denasalization", "nasal-assimilation.regressive"),
    ("initial-consonant-deletion", "epenthesis.lent-onset"),
]
"""Judged by hand from the changes as written."""


def test_rules_that_undo_each_other_are_found() -> None:
    found = {frozenset((pair.there.id, pair.back.id)) for pair in undoing_pairs(load_rules().rules)}
    assert [pair for pair in UNDO_EACH_OTHER if frozenset(pair) not in found] == []
    assert frozenset(("velar-fronting", "stopping.labial")) not in found
    assert frozenset(("weak-syllable-deletion.pretonic", "reduplication.first")) not in found


def test_two_rules_that_chase_each_other_get_one_remark(tmp_path: Path) -> None:
    own = own_folder(tmp_path, rule("p -> ʔ", "pɑ", "ʔɑ") + rule("ʔ -> p", "ʔɑ", "pɑ"))
    remarks = [problem for problem in check_rules(own).problems if problem.file.startswith(str(own))]
    assert [(problem.code, problem.line, problem.fatal) for problem in remarks] == [("rules.cycle", 2, False)]
    assert "pɑ -> ʔɑ -> pɑ" in remarks[0].message


def test_three_rules_in_a_ring_get_one_remark(tmp_path: Path) -> None:
    text = rule("x -> ç", "xɑ", "çɑ") + rule("ç -> ɸ", "çɑ", "ɸɑ") + rule("ɸ -> x", "ɸɑ", "xɑ")
    own = own_folder(tmp_path, text)
    remarks = [problem for problem in check_rules(own).problems if problem.file.startswith(str(own))]
    assert [(problem.code, problem.fatal) for problem in remarks] == [("rules.cycle", False)]
    assert remarks[0].line in (2, 10, 18)
    assert sum(f"own.toml:{line}" in remarks[0].message for line in (2, 10, 18)) == 2, "the other two are named"
    mine = [each for each in load_rules(own).rules if each.file.startswith(str(own))]
    assert [len(ring) for ring in rings(mine, 0.5)] == [3]
    assert rings(mine, 0.002) == (), "dearer than asked for"


@pytest.mark.parametrize("word", ["pɑk", "kɑt", "ˈtɑkɑt", "stɹɪŋz"])
def test_search_ends_where_cheap_rules_chase_each_other(tmp_path: Path, word: str) -> None:
    """Every consonant of the word runs in rings that cost next to nothing; the child can say m, ɑ and CV only."""
    text = "".join(
        rule(f"{one} -> {other}", f"{one}ɑ", f"{other}ɑ", 0.0001) for one, other in ("pt", "tk", "kp", "tp", "kt", "pk")
    )
    rules = load_rules(own_folder(tmp_path, text))
    assert rules.problems == ()
    child = Profile(
        consonants={place: {"m": "established"} for place in ("initial", "medial", "final")},
        vowels={"ɑ": "established"},
        shapes={"CV": "established", "V": "established"},
    )
    found = Simplifier(rules, limits(child)).run(read(word).words[0])
    assert found
    assert all({*each.form.phones} <= {"m", "ɑ"} for each in found)
    for each in found:
        forms = [each.steps[0].before, *(step.after for step in each.steps)]
        assert len({(form.phones, form.starts) for form in forms}) == len(forms), "a form comes twice on one way"


TABLE_FAULTS = {
    "two tabs too few": ("# source: x\nword\tipa\tremark\nup\tʌp\n", 3, "data.row"),
    "a word twice": ("# source: x\nword\tipa\nup\tʌp\n# more\nup\tʌp\n", 5, "data.twice"),
    "unreadable IPA": ("# source: x\nword\tipa\nup\tʌ%p\n", 3, "data.ipa"),
    "unreadable second reading": ("# source: x\nword\tipa\nup\tʌp|ʌ;p\n", 3, "data.ipa"),
    "no source": ("# nothing said\nword\tipa\nup\tʌp\n", 2, "data.source"),
    "no such column": ("# source: x\nword\tsound\nup\tʌp\n", 2, "data.column"),
    "nothing in it": ("# source: x\n", 1, "data.empty"),
}


@pytest.mark.parametrize("name", TABLE_FAULTS)
def test_one_fault_in_a_table_gives_one_line(tmp_path: Path, name: str) -> None:
    text, line, code = TABLE_FAULTS[name]
    path = tmp_path / "own.tsv"
    path.write_text(text, encoding="utf-8")
    found = list(tsv_faults(path, TableRule(("word",), ("ipa",))))
    assert [(problem.code, problem.line, problem.file) for problem in found] == [(code, line, str(path))]


NORM_FAULTS = {
    "no source": ("stopping\t36\t\ttext", "no source"),
    "age is no number": ("stopping\tthree\tX 1990\ttext", "gone_by_months is 'three'"),
    "age beyond sense": ("stopping\t360\tX 1990\ttext", "gone_by_months is '360'"),
    "provenance": ("stopping\t36\tX 1990\thearsay", "provenance 'hearsay'"),
    "process": ("stoping\t36\tX 1990\ttext", "'stoping' is not a process"),
}


@pytest.mark.parametrize("name", NORM_FAULTS)
def test_one_fault_in_a_norm_gives_one_line(tmp_path: Path, name: str) -> None:
    row, said = NORM_FAULTS[name]
    (tmp_path / "norms").mkdir()
    path = tmp_path / "norms" / "ages.tsv"
    path.write_text(f"process\tgone_by_months\tsource\tprovenance\n{row}\n", encoding="utf-8")
    found = list(tsv_faults(path, TableRule(("process",)), frozenset({"stopping"})))
    assert [(problem.code, problem.line) for problem in found] == [("data.norm", 2)]
    assert said in found[0].message


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv("APPROX_HOME", str(tmp_path / "home"))
    yield tmp_path / "home"


@pytest.fixture
def runs(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How often examples were run."""
    counted: list[int] = []
    real = proofs.failing_examples

    def counting(rules: object) -> object:
        counted.append(1)
        return real(rules)  # type: ignore[arg-type]

    monkeypatch.setattr(proofs, "failing_examples", counting)
    return counted


GOOD = rule("p -> ʔ", "pɑ", "ʔɑ")


def rules_in(folder: Path, text: str) -> RuleSet:
    return load_rules.__wrapped__(own_folder(folder, text))


def test_proved_rules_are_not_proved_again(tmp_path: Path, home: Path, runs: list[int]) -> None:
    rules = rules_in(tmp_path, GOOD)
    assert [examples_hold(rules) for _ in range(3)] == [(), (), ()]
    assert runs == [1]
    assert len(list((home / "cache").iterdir())) == 1, "one note, and no half-written file beside it"


def test_a_changed_rule_is_proved_again(tmp_path: Path, home: Path, runs: list[int]) -> None:
    examples_hold(rules_in(tmp_path, GOOD))
    examples_hold(rules_in(tmp_path, GOOD.replace("0.001", "0.002")))
    examples_hold(rules_in(tmp_path, GOOD))
    assert len(runs) == 2, "the first form of the file is still known when it comes back"


def test_a_changed_sound_table_proves_again(
    tmp_path: Path, home: Path, runs: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = rules_in(tmp_path, GOOD)
    examples_hold(rules)
    (tmp_path / "ipa").mkdir()
    (tmp_path / "languages").mkdir()
    (tmp_path / "ipa" / "features.tsv").write_text("changed", encoding="utf-8")
    monkeypatch.setattr(proofs, "rules_folder", lambda: tmp_path)
    examples_hold(rules)
    assert len(runs) == 2


def test_a_failing_example_is_never_taken_for_proved(tmp_path: Path, home: Path, runs: list[int]) -> None:
    rules = rules_in(tmp_path, GOOD.replace('"ʔɑ"', '"tɑ"'))
    for _ in range(2):
        (problem,) = examples_hold(rules)
        assert (problem.code, problem.line) == ("rules.example", 8)
        assert "ʔɑ came out" in problem.message
    assert len(runs) == 2


def test_a_place_that_cannot_be_written_is_no_problem(
    tmp_path: Path, runs: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "a file, no folder"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("APPROX_HOME", str(blocked))
    rules = rules_in(tmp_path, GOOD)
    assert [examples_hold(rules), examples_hold(rules)] == [(), ()]
    assert len(runs) == 2


def test_a_spoiled_note_is_no_problem(tmp_path: Path, home: Path, runs: list[int]) -> None:
    (home / "cache").mkdir(parents=True)
    (home / "cache" / "proved_rules.txt").write_bytes(b"\xff\x00 nonsense\n")
    rules = rules_in(tmp_path, GOOD)
    assert [examples_hold(rules), examples_hold(rules)] == [(), ()]
    assert len(runs) == 1


def test_the_note_does_not_grow_without_end(tmp_path: Path, home: Path) -> None:
    note = home / "cache" / "proved_rules.txt"
    note.parent.mkdir(parents=True)
    note.write_text("\n".join(f"old-{number}" for number in range(500)), encoding="ascii")
    examples_hold(rules_in(tmp_path, GOOD))
    kept = note.read_text(encoding="ascii").split()
    assert len(kept) == proofs.REMEMBERED
    assert kept[-2] == "old-499", "the oldest go first"


def test_notes_lie_where_the_platform_keeps_them(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    import platformdirs

    monkeypatch.delenv("APPROX_HOME", raising=False)
    assert proofs.cache_folder() == platformdirs.user_cache_path("approx", appauthor=False)
    monkeypatch.setenv("APPROX_HOME", str(tmp_path))
    assert proofs.cache_folder() == tmp_path / "cache"


def test_a_fault_in_a_file_of_accents_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rule = '[[rule]]\nid = "{0}"\nprocess = "accent"\nchange = "t -> d / _ #"\ncost = 0.1\nsource = "a test"\n'
    made = rule.format("one") + 'examples = [["kæt", "kæp"]]\n\n' + rule.format("one") + 'examples = [["kæt", "kæd"]]\n'
    (tmp_path / "accents").mkdir()
    (tmp_path / "accents" / "made-up.toml").write_text(made, encoding="utf-8")
    monkeypatch.setattr(doctor, "rules_path", lambda name: tmp_path / name)
    found = [problem for problem in doctor.check().problems if problem.file.endswith("made-up.toml")]
    assert sorted((problem.code, problem.line) for problem in found) == [("rules.example", 7), ("rules.id", 9)]
