"""Inventory: the numbers of the scenario's children, the criterion and its switches, and the profile made of it.

Counts of K07 and M12 stand in shared/scenario/demo_scenario.md, section 6 (an invented example); other expected values
are judged by hand from the few forms of each test.
"""

from __future__ import annotations

import io
import json
import tomllib
from pathlib import Path

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st
from places import SAMPLES

import approx
from approx.child.child_file import read_child_file, read_table
from approx.child.inventory import (
    Criterion,
    HeardForm,
    Inventory,
    cluster_runs,
    criteria,
    criterion,
    take_inventory,
    words_apart,
)
from approx.child.profile import POSITIONS, Profile
from approx.child.search_limits import limits
from approx.child.write_profile import write_profile
from approx.ipa import Word, read
from approx.practice.suggest.suggest import Suggester
from approx.samples.rows.sample import read_sample


def said(word: str, produced: str, target: str = "", language: str = "en-US") -> HeardForm:
    """One form, typed."""
    adult = read(target, language).words[0] if target else None
    return HeardForm(word, read(produced, language).words[0], adult)


def of(*rows: str, rule: Criterion | None = None, language: str = "en-US") -> Inventory:
    """An inventory of rows "word produced" or "word produced target"; "-" for a form without a word."""
    forms = [row.split() for row in rows]
    return take_inventory([said(w if w != "-" else "", *rest, language=language) for w, *rest in forms], rule, language)  # type: ignore[arg-type]


def scenario(name: str, language: str = "en-US", rule: Criterion | None = None) -> Inventory:
    forms = [
        part
        for t in read_sample(SAMPLES / name).tokens
        if t.produced is not None and t.language[:2] == language[:2]
        for part in words_apart(
            HeardForm(t.target_word, t.produced, t.target), t.typed_produced, t.typed_target, t.language
        )
    ]
    return take_inventory(forms, rule, language)


def by_sound(found: Inventory) -> dict[str, tuple[int, int, str]]:
    """Sound -> tokens, different words, initials of the positions it was heard in."""
    heard = [cell for cell in found.totals if cell.tokens]
    places = {(cell.item, cell.place) for cell in found.consonants if cell.tokens}
    letters = {c.item: "".join(p[0].upper() for p in POSITIONS if (c.item, p) in places) for c in heard}
    return {cell.item: (cell.tokens, cell.words, letters[cell.item]) for cell in heard}


def test_k07_consonants_as_the_scenario_counts_them() -> None:
    assert by_sound(scenario("k07.csv")) == {
        "b": (27, 12, "IMF"), "m": (19, 9, "IM"), "n": (16, 4, "IM"), "d": (13, 7, "IM"), "w": (6, 1, "IM"),
        "h": (5, 3, "I"), "p": (4, 4, "IMF"), "ɡ": (1, 1, "I"), "ʔ": (1, 1, "I"),
    }  # fmt: skip


def test_k07_vowels_and_shapes_as_the_scenario_counts_them() -> None:
    found = scenario("k07.csv")
    vowels = {cell.item: cell.tokens for cell in found.vowels if cell.tokens}
    assert vowels == {"a": 46, "ʌ": 24, "o": 13, "i": 11, "u": 3, "e": 1, "ə": 1}
    shapes = {cell.item: cell.tokens for cell in found.word_shapes if cell.tokens}
    assert shapes == {"CV": 42, "CVCV": 21, "V": 4, "VCV": 4, "VC": 2, "CVC": 1, "CVCVCV": 1, "C": 1}
    assert found.without_word == 4
    assert found.unidentified == 7  # CVCV, the CV of dʌCV, the C of maCa


def test_k07_w_by_token_and_by_word() -> None:
    """The scenario's note: frequent by token, but from one word only."""
    status = {
        (name, cell.place): cell.status
        for name in ("two words", "two tokens")
        for cell in scenario("k07.csv", rule=criterion(name)).consonants
        if cell.item == "w" and cell.tokens
    }
    assert status == {
        ("two words", "initial"): "emerging", ("two words", "medial"): "emerging",
        ("two tokens", "initial"): "established", ("two tokens", "medial"): "established",
    }  # fmt: skip


def test_m12_as_the_scenario_counts_him() -> None:
    found = scenario("m12.csv")
    numbers = {sound: row[:2] for sound, row in by_sound(found).items()}
    assert numbers == {
        "t": (19, 15), "d": (10, 10), "p": (9, 9), "b": (4, 4), "w": (4, 4), "m": (3, 3), "n": (2, 2), "h": (1, 1)
    }  # fmt: skip
    tried = {cell.item for cell in found.totals if cell.tried_words and not cell.tokens}
    assert tried == {"k", "ɡ", "f", "s", "z", "t͡ʃ", "d͡ʒ", "l", "ɹ"}, "no velar, fricative, affricate or liquid"
    assert (found.max_syllables, found.variety) == (2, "any")


def test_position_and_what_was_tried() -> None:
    found = of("cup tʌ kʌp", "dog dɔ dɔɡ", "toe toʊ toʊ")
    status = {(c.item, c.place): c.status for c in found.consonants}
    assert status["t", "initial"] == "established" and status["d", "initial"] == "emerging"
    assert status["k", "initial"] == status["p", "final"] == status["ɡ", "final"] == "absent"
    assert status["k", "final"] == status["s", "initial"] == "untested"
    assert ("ŋ", "initial") not in status and ("h", "final") not in status, "English has no such words"


def test_without_adult_forms_nothing_is_absent() -> None:
    found = of("cup tʌ", "dog dɔ")
    assert {cell.status for cell in found.consonants} <= {"emerging", "established", "untested"}


def test_two_tries_of_one_word_are_one_word() -> None:
    cell = of("cup tʌp", "Cup tʌ", "cup tʌp").cell("t", "initial")
    assert cell is not None and (cell.tokens, cell.words, cell.status) == (3, 1, "emerging")


def test_forms_without_a_word_count_each_as_its_own() -> None:
    cell = of("- ba", "- ba", "- bi").cell("b", "initial")
    assert cell is not None and (cell.tokens, cell.words, cell.status) == (3, 2, "established")


@pytest.mark.parametrize(
    ("name", "status"), [("two words", "established"), ("two tokens", "established"), ("three words", "emerging")]
)
def test_criteria(name: str, status: str) -> None:
    found = of("cup tʌ", "toe toʊ", rule=criterion(name))
    cell = found.cell("t", "initial")
    assert cell is not None and cell.status == status
    assert name.split(maxsplit=1)[0] in str(found.criterion) and name.split()[1][:-1] in str(found.criterion)


def test_default_criterion_names_its_source_and_unknown_ones_are_refused() -> None:
    assert "Stoel-Gammon 1985" in criterion().source and "Stoel-Gammon" not in criterion("two tokens").source
    assert criteria() == ("two words", "two tokens", "three words")
    with pytest.raises(KeyError, match="no criterion 'four'"):
        criterion("four")


def test_doubt_is_never_a_certainty() -> None:
    found = of("cup k?ʌ", "cat k?a", "key (k)i", "tea Ca", "go *oʊ", "no xxx")
    cell = found.cell("k", "initial")
    assert cell is not None and (cell.tokens, cell.words, cell.doubtful, cell.status) == (0, 0, 3, "untested")
    assert found.unidentified == 3 and found.forms == 6
    shape = found.cell("CV")
    assert shape is not None and (shape.tokens, shape.doubtful) == (1, 3), "a consonant not identified is a consonant"
    assert not any(cell.item in ("C", "*", "xxx", "V") for cell in (*found.consonants, *found.clusters, *found.vowels))


def test_distortions_and_allophones_with_their_base_or_apart() -> None:
    rows = ("sun s̪ʌn", "see si", "pea pʰi", "pie pa", "butter ˈbʌɾɚ ˈbʌtɚ", "ladder ˈlæɾɚ ˈlædɚ", "ball bɔɫ")
    merged, split = of(*rows), of(*rows, rule=criterion(merge_distortions=False, merge_allophones=False))

    def heard(found: Inventory) -> set[tuple[str, str, int]]:
        return {(c.item, c.place, c.words) for c in found.consonants if c.tokens}

    assert heard(merged) >= {
        ("s", "initial", 2),
        ("p", "initial", 2),
        ("t", "medial", 1),
        ("d", "medial", 1),
        ("l", "final", 1),
    }
    assert heard(split) >= {
        ("s̪", "initial", 1), ("s", "initial", 1), ("pʰ", "initial", 1), ("ɾ", "medial", 2), ("ɫ", "final", 1)
    }  # fmt: skip
    assert str(split.criterion) != str(merged.criterion), "what was not merged is stated"


def test_spanish_approximants_are_allophones_and_a_tap_is_not() -> None:
    found = of("lodo ˈloðo ˈlodo", "pero ˈpeɾo ˈpeɾo", language="es-MX")
    assert {c.item for c in found.consonants if c.place == "medial" and c.tokens} == {"d", "ɾ"}


def test_clusters_by_place() -> None:
    found = of(
        "spoon spun spun", "spot spɑ spɑt", "hand hænd hænd", "basket ˈbæskət", "plate peɪt pleɪt", "monkey ˈmʌŋki"
    )
    status = {(c.item, c.place): c.status for c in found.clusters}
    assert status == {
        ("s p", "initial"): "established", ("n d", "final"): "emerging", ("s k", "medial"): "emerging", ("p l", "initial"): "absent"
    }  # fmt: skip
    assert [(list(run), place) for run, place in cluster_runs(read("stɹɛŋkθ").words[0])] == [
        ([0, 1, 2], "initial"),
        ([4, 5, 6], "final"),
    ]


@pytest.mark.parametrize(
    ("forms", "variety"),
    [
        (("mama ˈmama", "dada ˈdada"), "same"),
        (("mommy ˈmɑmi", "baby ˈbeɪbi", "mama ˈmama"), "same consonant"),
        (("mommy ˈmɑmi", "baby ˈbeɪbi", "bed bɛd", "pot pɑt"), "any"),  # two consonants in words of one syllable
        (("honey ˈhʌni", "water ˈwɔtɚ"), "any"),
        (("honey ˈhʌni", "mama ˈmama", "dada ˈdada"), "same"),  # one word is not enough
        (("toe toʊ", "bed bɛd"), "any"),  # not tested
    ],
)
def test_variety_from_longer_words(forms: tuple[str, ...], variety: str) -> None:
    assert of(*forms).variety == variety


def test_length_takes_two_words_too() -> None:
    assert of("banana bəˈnænə", "mama ˈmama", "dada ˈdada").max_syllables == 2
    assert of("banana bəˈnænə", "potato pəˈteɪtoʊ").max_syllables == 3
    assert of("toe toʊ").max_syllables == 1


def test_phrase_is_taken_apart_by_its_typed_text() -> None:
    token = next(t for t in read_sample(SAMPLES / "k07.csv").tokens if " " in t.target_word)
    assert token.produced is not None
    whole = HeardForm(token.target_word, token.produced, token.target)
    parts = words_apart(whole, token.typed_produced, token.typed_target)
    assert [(p.word, p.produced.ipa, p.target and p.target.ipa) for p in parts] == [
        ("more tea", "mo", "mɔɹ"), ("more tea", "di", "ti")
    ]  # fmt: skip
    assert words_apart(whole, "mo di / mo ti") == (whole,), "several tries in the cell: left whole"


def test_examples_name_word_and_form() -> None:
    cell = of("cup tʌ", "toe toʊ", "tea ti", "two tu").cell("t", "initial")
    assert cell is not None and cell.examples == (("cup", "tʌ"), ("toe", "toʊ"), ("tea", "ti"))


def profile_of(text: str) -> Profile:
    """The profile of a written file; any problem or remark at all fails."""
    profile, problems = read_table(tomllib.loads(text), text, "written.toml")
    assert not problems, f"{[str(problem) for problem in problems]}\n{text}"
    return profile


@pytest.mark.parametrize(
    ("name", "language"), [("k07.csv", "en-US"), ("m12.csv", "en-US"), ("t03.csv", "en-US"), ("t03.csv", "es-MX")]
)
def test_profile_is_read_without_a_problem_and_suggested_from_at_once(name: str, language: str, tmp_path: Path) -> None:
    found = scenario(name, language)
    path = tmp_path / "child.toml"
    path.write_text(write_profile(found, "X99", "3;2", language), encoding="utf-8")
    profile, problems = read_child_file(path)
    assert profile is not None and problems == ()
    assert (profile.code, profile.age, profile.language) == ("X99", "3;2", language)
    for cell in found.consonants:
        assert profile.consonants[cell.place].get(cell.item, "absent") == cell.status, cell
    assert {v: s for v, s in profile.vowels.items() if s != "absent"} == {
        c.item: c.status for c in found.vowels if c.status != "absent"
    }  # fmt: skip
    assert (profile.max_syllables, profile.variety) == (found.max_syllables, found.variety)
    answer = Suggester(profile).phrase("/bi/ /ˈmɑmə/")
    assert all(word.approximations for word in answer.words)


def test_profile_of_k07_keeps_untested_apart_from_absent() -> None:
    profile = profile_of(write_profile(scenario("k07.csv"), "K07", "3;2"))
    assert profile.consonants["final"]["m"] == "untested"  # her clinician's own file says so too (samples/k07.toml)
    assert profile.consonants["final"]["t"] == "absent"  # boot, hat: tried three times each
    assert limits(profile).shapes == {"V", "CV", "VC"} and limits(profile).max_syllables == 2


def test_profile_remarks_state_criterion_source_and_counts() -> None:
    text = write_profile(of("cup tʌ kʌp", "toe toʊ toʊ", rule=criterion("two words")), 'A"1')
    assert "in at least two different words" in text and "Stoel-Gammon 1985" in text and "t 2/2" in text
    assert tomllib.loads(text)["code"] == 'A"1'


def test_sounds_a_child_file_cannot_hold_stand_in_a_remark() -> None:
    text = write_profile(of("yes ya", "you yu", "pea pi"))  # y is read with doubt in English
    assert "y" not in profile_of(text).vowels
    rule = criterion(merge_distortions=False)
    text = write_profile(of("sun s̪ʌn", "see s̪i", rule=rule))
    assert "s̪" in text and profile_of(text).vowels["i"] == "emerging"


def test_no_sample_and_a_word_left_off() -> None:
    found = take_inventory([])
    assert (found.forms, found.totals, found.max_syllables) == (0, (), 1)
    silent = take_inventory([HeardForm("cup", Word((), (), ()), read("kʌp").words[0])])
    cell = silent.cell("k", "initial")
    assert cell is not None and (silent.forms, silent.silent, cell.status) == (0, 1, "absent")


CONSONANTS = "p b t d k ɡ f s z ʃ t͡ʃ m n ŋ l ɹ w j h ʔ s̪ pʰ C * ʒ x ɬ"
NUCLEI = "i ɪ ɛ æ ɑ ʌ ə u oʊ aɪ ɝ a e V l̩"
SOUNDS, VOWELS = CONSONANTS.split(), NUCLEI.split()
FORMS = st.lists(
    st.tuples(st.lists(st.sampled_from(SOUNDS), max_size=3), st.sampled_from(VOWELS), st.lists(st.sampled_from(SOUNDS), max_size=2),
              st.booleans()),
    min_size=1, max_size=3,
).map(lambda parts: ".".join("".join(a) + v + "".join(z) + "?" * doubt for a, v, z, doubt in parts))  # fmt: skip


@examples(80)
@given(
    st.lists(st.tuples(st.sampled_from(["cup", "toe", "bed", "", "hand"]), FORMS), max_size=12),
    st.sampled_from(criteria()),
)
def test_any_sample_gives_a_profile_without_a_problem(rows: list[tuple[str, str]], name: str) -> None:
    forms = [HeardForm(word, reading.words[0]) for word, form in rows if len((reading := read(form)).words) == 1]
    base = [said(word, "ba") for word in ("one", "two", "three")]
    rule = criterion(name)
    found = take_inventory([*forms, *base], rule)
    profile = profile_of(write_profile(found))

    def numbers(each: Inventory) -> dict[tuple[str, str], tuple[int, int, int, str]]:
        return {(c.item, c.place): (c.tokens, c.words, c.doubtful, c.status) for c in each.consonants}

    assert numbers(take_inventory([*forms, *base][::-1], rule)) == numbers(found), "order of rows does not matter"
    for cell in found.consonants:
        assert cell.words <= cell.tokens
        if cell.status == "established":
            assert (cell.words if rule.by == "words" else cell.tokens) >= rule.least
            kept = profile.consonants[cell.place].get(cell.item)
            assert kept == "established" or f"{cell.item} {cell.tokens}/" in write_profile(found)
    per_sound = {cell.item: cell.tokens for cell in found.totals}
    for sound, tokens in per_sound.items():
        assert tokens == sum(cell.tokens for cell in found.consonants if cell.item == sound), "parts add to the whole"


def test_json_is_written_group_by_group_as_it_is_held() -> None:
    """Several groups, one, and none; the library's own writer is the oracle."""
    for source in (SAMPLES / "t03.csv", SAMPLES / "m12.csv", []):
        found, out = approx.inventory(source), io.StringIO()
        found.write_json(out)
        assert out.getvalue() == json.dumps(found.to_dict(), ensure_ascii=False, indent=1) + "\n"


def test_forms_said_again_count_as_often_as_they_were_said() -> None:
    """By hand: cup said as tʌp three times is three tokens of one word."""
    found = of("cup tʌp", "mud mʌd", "cup tʌp", "cup tʌp", "tea ti")
    cell = found.cell("t", "initial")
    assert cell is not None and (cell.tokens, cell.words, cell.examples) == (4, 2, (("cup", "tʌp"), ("tea", "ti")))
    assert (found.forms, found.words) == (5, 3)
