"""Accents, casual speech and allophones: what counts as right, and that nothing else does."""

from __future__ import annotations

import sys
import tomllib
from functools import cache
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

import pytest
from accepted_forms import MOST_FORMS, accepted_forms
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from places import DATA, ROOT, TESTS

from approx.datafiles import ALWAYS_RIGHT, accent_names, read_tsv
from approx.ipa import Word, read
from approx.ipa.features import is_nucleus
from approx.processes.accept import accept_rules
from approx.processes.accept.accept import (
    Accents,
    Accepted,
    nearest_accepted,
    unequal_links,
)
from approx.processes.accept.accept_rules import AccentSet, load_accents
from approx.processes.accept.rule_uses import of_words, places, said_so, together
from approx.processes.engine.apply import apply
from approx.processes.engine.form import form_of
from approx.processes.rules.notation import parse
from approx.processes.rules.rule import Rule
from approx.processes.rules.ruleset import read_rules
from approx.samples.cells.forms import joined_words
from approx.scoring.alignment.align import align_forms
from approx.scoring.bulk.word_links import link_words


def unequal(form: Word, produced: Word) -> int:
    return unequal_links(align_forms(form, produced).links, form, produced)


ACCENTS = ROOT / "rules" / "accents"
CASES = read_tsv(DATA / "accents.tsv")


def tag_of(accent: str) -> str:
    return "es" if accent.startswith("spanish-") and accent != "spanish-influenced-english" else "en-US"


@cache
def word(text: str, tag: str = "en-US") -> Word:
    reading = read(text, tag)
    assert not reading.problems and len(reading.words) == text.count(" ") + 1, text
    return joined_words(reading.words, text.split())


def accepts(case: dict[str, str], accents: AccentSet) -> bool:
    tag = tag_of(case["accent"])
    said = word(case["said"], tag)
    return nearest_accepted(word(case["target"], tag), said, accents).word.phones == said.phones


def written() -> list[tuple[str, dict[str, object]]]:
    """Every accent rule as it stands in the files, read here and not by the loader."""
    out = []
    for path in sorted(ACCENTS.glob("*.toml")):
        out += [(path.name, row) for row in tomllib.loads(path.read_text(encoding="utf-8"))["rule"]]
    return out


def test_every_example_of_every_accent_rule_holds() -> None:
    failures, tried = [], 0
    for file, row in written():
        tag = str(row["language"])
        for before, after in row["examples"]:  # type: ignore[attr-defined]
            tried += 1
            forms = [form for _, _, form in apply(parse(str(row["change"])), form_of(word(before, tag)), tag)]
            phrase = bool(word(before, tag).edges)
            came = ["".join(form.phones) if phrase else form.word.ipa for form in forms]
            if ("".join(word(after, tag).phones) if phrase else word(after, tag).ipa) not in came:
                failures.append(f"{file}: {row['id']}: {before} -> {after}, came out {came}")
    assert failures == []
    assert tried > 200


def test_every_example_is_accepted_with_its_file_and_names_its_rule() -> None:
    failures = []
    for file, row in written():
        name, tag = file.split(".")[0], str(row["language"])
        accents = load_accents([name], tag, always=())
        for before, after in row["examples"]:  # type: ignore[attr-defined]
            phrase = bool(word(before, tag).edges)
            gloss = row["words"][0] if "words" in row and not phrase else ""  # type: ignore[index]
            found = nearest_accepted(word(before, tag), word(after, tag), accents, str(gloss))
            same = found.word.phones == word(after, tag).phones
            if not same or len(found.changes) != 1 or found.changes[0].accent != name:
                failures.append(f"{file}: {row['id']}: {before} -> {after}: {found}")
    assert failures == []


def test_files_read_without_fault_and_every_rule_is_in_use() -> None:
    ids = [str(row["id"]) for _, row in written()]
    assert sorted(ids) == sorted(set(ids))
    used = set()
    for tag in ("en-US", "es-MX"):
        accents = load_accents(accent_names(), tag)
        assert accents.problems == ()
        used |= {rule.id for rule in accents.rules}
    assert used == set(ids)


def test_every_rule_says_its_source_and_what_is_shown() -> None:
    marks = ("from memory", "secondary", "no source", "read in")
    vague = [
        row["id"] for _, row in written() if not row.get("kind") or not any(m in str(row["source"]) for m in marks)
    ]
    assert vague == []


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['accent']}-{c['target']}-{c['said']}-{c['verdict']}")
def test_table_of_features_and_near_misses(case: dict[str, str]) -> None:
    tag = tag_of(case["accent"])
    with_it = accepts(case, load_accents([case["accent"]] if case["accent"] else [], tag))
    without = accepts(case, load_accents([], tag))
    wanted = {"accepted": (True, False), "always": (True, True), "never": (False, False), "not written": (False, False)}
    assert (with_it, without) == wanted[case["verdict"]]


def test_features_not_written_are_listed_with_the_reason() -> None:
    wanted = {(case["accent"], case["feature"]) for case in CASES if case["verdict"] == "not written"}
    listed = set()
    for path in ACCENTS.glob("*.toml"):
        for row in tomllib.loads(path.read_text(encoding="utf-8")).get("not_written", []):
            assert row["why"] and row["source"] and row["variant"], path.name
            listed.add((path.name.split(".")[0], row["feature"]))
    assert wanted and wanted <= listed


def test_accepted_with_the_accent_is_refused_by_every_accent_that_lacks_the_feature() -> None:
    """tɔt for thought: only where the table has t for θ."""
    right = {
        name
        for name in accent_names()
        if nearest_accepted(word("θɔt"), word("tɔt"), load_accents([name])).word.phones == word("tɔt").phones
    }
    assert right == {"african-american-english", "spanish-influenced-english"}


def test_an_error_stays_an_error_beside_what_is_accepted() -> None:
    accents = load_accents(["african-american-english"])
    found = nearest_accepted(word("ˈnʌθɪŋ"), word("ˈdʌfɪn"), accents)
    assert found.word.ipa == "ˈnʌfɪn"
    assert unequal(found.word, word("ˈdʌfɪn")) == 1
    assert [change.targets for change in found.changes] == [(2,), (4,)]
    assert nearest_accepted(word("kæt"), word("tæt"), accents) == Accepted(word("kæt"))


def test_unknown_accent_is_a_problem_with_the_nearest_names() -> None:
    accents = load_accents(["Southern English", "african american english"])
    assert [problem.code for problem in accents.problems] == ["accents.name"]
    assert "southern-us-english" in accents.problems[0].hint
    assert accents.names == (*ALWAYS_RIGHT, "african-american-english")
    assert "glottal-t" in load_accents(["zz"]).problems[0].hint


def test_rules_kept_from_run_to_run_are_those_of_the_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("APPROX_HOME", str(tmp_path))
    monkeypatch.setattr(accept_rules, "_read", accept_rules._read.__wrapped__)
    load = accept_rules._load.__wrapped__
    runs: list[Path] = []

    def counted(path: Path, *rest: Any) -> list[Rule]:
        runs.append(path)
        return read_rules(path, *rest)

    monkeypatch.setattr(accept_rules, "read_rules", counted)
    first = load((), "en-US", ALWAYS_RIGHT, None)
    files = len(runs)
    again = load((), "en-US", ALWAYS_RIGHT, None)
    assert len(runs) == files > 3, "the second time nothing is read"
    assert again.rules == first.rules
    assert [rule.change for rule in again.rules] == [rule.change for rule in first.rules]
    assert load(("glottal-t",), "en-US", ALWAYS_RIGHT, None).rules != first.rules
    assert len(runs) == 2 * files + 1, "other files are another set"
    for _ in range(2):
        load((), "en-US", ALWAYS_RIGHT, tmp_path)
    assert len(runs) == 4 * files + 1, "where a clinician's own may stand, all are read each time"


def test_own_folder_adds_and_faulty_rules_are_named(tmp_path: Path) -> None:
    rule = '[[rule]]\nid = "own.x"\nprocess = "accent"\nchange = "k -> x / _ #"\ncost = 0.1\n'
    end = 'source = "common practice, no source"\nexamples = [["lɑk", "lɑx"]]\n'
    (tmp_path / "scots.toml").write_text(rule + end, encoding="utf-8")
    (tmp_path / "bad.toml").write_text(rule.replace("accent", "stopping") + end, encoding="utf-8")
    accents = load_accents(["scots"], own=tmp_path)
    assert nearest_accepted(word("lɑk"), word("lɑx"), accents).rules == ("own.x",)
    assert [problem.code for problem in load_accents(["bad"], own=tmp_path).problems] == ["rules.process"]


def test_always_on_can_be_switched_off() -> None:
    off = load_accents(always=())
    assert off.rules == ()
    assert nearest_accepted(word("ˈwɔtɚ"), word("ˈwɔɾɚ"), off).word.ipa == "ˈwɔtɚ"


def test_stress_and_syllables_of_accepted_forms() -> None:
    southern, spanish = load_accents(["southern-us-english"]), load_accents(["spanish-influenced-english"])
    shown = {
        nearest_accepted(word(a), word(b), accents).word.ipa
        for a, b, accents in [
            ("skul", "ɛsˈkul", spanish),
            ("bɛd", "bɛəd", southern),
            ("ˈɪzənt", "ˈɪdn̩", southern),
            ("ˈbɪznəs", "ˈbɪdnəs", southern),
        ]
    }
    assert shown == {"ɛˈskul", "ˈbɛəd", "ˈɪdn̩", "ˈbɪdnəs"}


# ---- properties ------------------------------------------------------------------------------------------------------

TARGETS = sorted({case["target"] for case in CASES if tag_of(case["accent"]) == "en-US"})
SOUNDS = (
    "p",
    "t",
    "d",
    "k",
    "ɡ",
    "f",
    "v",
    "θ",
    "ð",
    "s",
    "z",
    "m",
    "n",
    "ŋ",
    "l",
    "ɹ",
    "w",
    "h",
    "ɾ",
    "ʔ",
    "i",
    "ɪ",
    "ɛ",
    "æ",
    "ɔ",
    "ʌ",
    "ə",
    "ɚ",
    "aɪ",
)
words = st.lists(st.sampled_from(SOUNDS), min_size=1, max_size=7).map("".join).map(word)
names = st.sets(st.sampled_from([name for name in accent_names() if tag_of(name) == "en-US"]))


@examples(150)
@given(words, names)
def test_the_target_itself_is_always_accepted_and_first(target: Word, chosen: set[str]) -> None:
    accents = load_accents(chosen)
    forms = accepted_forms(target, accents)
    assert forms[0] == Accepted(target)
    assert 1 <= len(forms) <= MOST_FORMS
    assert nearest_accepted(target, target, accents) == Accepted(target)
    assert len({form.word.phones for form in forms}) == len(forms)


@examples(100)
@given(words, names, st.randoms())
def test_every_accepted_form_is_found_when_it_is_said(target: Word, chosen: set[str], random: Random) -> None:
    accents = load_accents(chosen)
    form = random.choice(accepted_forms(target, accents))
    found = nearest_accepted(target, form.word, accents)
    assert found.word.phones == form.word.phones
    assert len(found.changes) <= len(form.changes)


@examples(100)
@given(words, names, st.randoms())
def test_order_of_rules_does_not_matter(target: Word, chosen: set[str], random: Random) -> None:
    accents = load_accents(chosen)
    shuffled = list(accents.rules)
    random.shuffle(shuffled)
    other = AccentSet(accents.names, accents.language, tuple(shuffled), accents.hash)
    one = {(place.start, place.end, place.phones) for place in places(target, accents)}
    assert one == {(place.start, place.end, place.phones) for place in places(target, other)}
    assert {form.word for form in accepted_forms(target, accents)} == {
        form.word for form in accepted_forms(target, other)
    }
    assert load_accents(sorted(chosen, reverse=True)) is accents


@examples(60)
@given(words)
def test_without_accents_only_allophones_and_casual_speech(target: Word) -> None:
    both = load_accents(ALWAYS_RIGHT, always=())
    assert {form.word for form in accepted_forms(target, load_accents())} == {
        form.word for form in accepted_forms(target, both)
    }
    assert {change.accent for form in accepted_forms(target, load_accents()) for change in form.changes} <= set(
        ALWAYS_RIGHT
    )


def test_nearest_is_as_near_as_the_best_of_all_forms() -> None:
    """Slow twin: every set of places that goes together, each form aligned; on errors drawn with a fixed seed."""
    random, tried = Random(7), 0
    accents = load_accents(["african-american-english"])
    for text in TARGETS:
        target = word(text)
        found = [
            place
            for place in of_words(places(target, accents), target, "")
            if "ː" not in place.text and "̃" not in place.text
        ]
        for _ in range(6):
            chosen = [place for place in found if random.random() < 0.4]
            chosen = [p for n, p in enumerate(chosen) if together((*chosen[:n], p))]
            said = list(said_so(target, chosen, "en-US").phones if together(chosen) else target.phones)
            at = random.randrange(len(said))
            said[at] = random.choice(("i", "ɑ", "u") if is_nucleus(said[at]) else ("t", "d", "b", "f"))
            produced = word("".join(said))
            heard = [
                place
                for place in of_words(places(target, accents), target, "")
                if place.text in "".join(produced.phones)
            ]
            if len(heard) > 7:
                continue
            best = min(
                unequal(said_so(target, subset, "en-US"), produced)
                for size in range(len(heard) + 1)
                for subset in combinations(heard, size)
                if together(subset)
            )
            assert unequal(nearest_accepted(target, produced, accents).word, produced) == best, (text, said)
            tried += 1
    assert tried > 300


@pytest.mark.parametrize("number", [250, pytest.param(1500, marks=pytest.mark.slow)])
def test_many_pairs_side_by_side_get_what_each_gets_alone(number: int) -> None:
    """Every target of the table against every third form, aligned together: the answers of one pair at a time."""
    sys.path.insert(0, str(TESTS / "bench"))
    import simulated_pairs

    made = simulated_pairs.pairs(simulated_pairs.targets(200, 3), number, 3, slips=0.2)
    asked = [(word(pair.target), word(pair.produced), "") for pair in made]
    english = [case for case in CASES if tag_of(case["accent"]) == "en-US"]
    forms = [(word(case["target"]), word(case["said"])) for case in english]
    asked += [(target, said, "") for at, (target, _) in enumerate(forms) for _, said in forms[at % 7 :: 7]]
    for names in ((), ("african-american-english", "southern-us-english")):
        many, alone = Accents(names), Accents(names)
        together_ = many.accepted_of_many(asked, "en-US", link_words)
        assert together_ == [alone.accepted(target, said, "en-US") for target, said, _ in asked]
        assert sum(bool(found.changes) for found in together_) > 100
