"""What `words` offers of itself to a small child, and what only when it is asked for by name."""

from __future__ import annotations

from dataclasses import replace

import pytest
from places import DATA, RULES, SAMPLES

from approx.child import Profile, read_child_file
from approx.datafiles import read_toml, read_tsv
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_bank import load_bank
from approx.practice.words.word_choice import ChoiceOptions, choose_words
from approx.practice.words.word_filters import Filters
from approx.practice.words.word_goals import read_goals

FILES = [*sorted(SAMPLES.glob("*.toml")), *sorted((DATA / "judged5" / "profiles").glob("*.toml"))]
QUICK = ("k07",)
"""The child whose whole list is asked for in the fast set."""
OLDER = ("captain", "tofu", "subway", "upset")


def child(name: str = "m12", **changes: object) -> Profile:
    profile, _ = read_child_file(SAMPLES / f"{name}.toml")
    assert profile is not None
    return replace(profile, **changes)  # type: ignore[arg-type]


def offered(profile: Profile, options: ChoiceOptions) -> set[str]:
    answer = choose_words(profile, options)
    pairs = {word for pair in answer.contrasts for word in (pair.word, pair.other)}
    return {word.word for word in answer.words} | pairs


@pytest.mark.parametrize(
    "file",
    [pytest.param(file, id=file.stem, marks=() if file.stem in QUICK else pytest.mark.slow) for file in FILES],
)
def test_no_word_outside_a_small_child_s_day(file: object) -> None:
    """Lists of all words with up to three new things, sets and contrast pairs, against the table of the language."""
    profile, _ = read_child_file(file)  # type: ignore[arg-type]
    assert profile is not None
    later = {row["word"] for row in read_tsv(RULES / "lexicon" / f"later_words_{profile.language[:2]}.tsv")}
    every = ChoiceOptions(count=3000, filters=Filters(most_new=3), contrast=True)
    found = offered(profile, every) | offered(profile, ChoiceOptions(set_size=12))
    assert found and not found & (later | set(OLDER))
    bank = load_bank(profile.language)
    names = {word.word for word in bank if word.category == "names"} - {
        word.word for word in bank if word.category != "names"
    }
    assert len(names) > 5 and not found & (names | {"the", "were"})


@pytest.mark.slow
def test_asked_for_by_name_they_come() -> None:
    every = ChoiceOptions(count=3000, filters=Filters(most_new=9))
    assert not offered(child(), every) & set(OLDER)
    own = replace(every, own_rows=tuple((word, "", at) for at, word in enumerate(OLDER, 2)))
    assert set(OLDER) <= offered(child(), own)
    assert "subway" in offered(child(interests=("subways",)), every)
    assert {"subway", "truck"} <= offered(child(), replace(every, interests=("vehicles",)))
    assert "Mia" in offered(child(people={"Mia": "she"}), every)
    assert "the" in offered(child(), replace(every, filters=Filters(categories=("small words",), most_new=9)))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("age", "there"),
    [
        ("5;11", False), ("6;0", True),
        pytest.param("", False, marks=pytest.mark.slow), pytest.param("7;3", True, marks=pytest.mark.slow),
    ],
)  # fmt: skip
def test_an_older_child_is_offered_them(age: str, there: bool) -> None:
    found = offered(child(age=age), ChoiceOptions(count=3000, filters=Filters(most_new=9)))
    assert (set(OLDER) <= found) is there and bool(set(OLDER) & found) is there


@pytest.mark.parametrize("tag", ["en", "es"])
def test_the_tables_name_words_of_the_bank_and_no_word_of_power(tag: str) -> None:
    rows = read_tsv(RULES / "lexicon" / f"later_words_{tag}.tsv")
    words = [row["word"] for row in rows]
    bank = {row["word"] for row in read_tsv(RULES / "lexicon" / f"{tag}.tsv")}
    power = {row["word"] for row in read_tsv(RULES / "lexicon" / f"core_words_{tag}.tsv")}
    power |= set(read_toml(RULES / "words.toml")["needed"][tag].split())
    assert len(words) == len(set(words)) and set(words) <= bank and not set(words) & power
    assert all(row["why"] for row in rows)
    head = (RULES / "lexicon" / f"later_words_{tag}.tsv").read_text(encoding="utf-8").splitlines()
    assert any("common practice, no source" in line for line in head if line.startswith("#"))


def test_the_word_instead_of_an_unusual_form_is_one_of_a_small_child_s_day() -> None:
    """A child who leaves first consonants off gets another word for each such form; none of these is a later one."""
    left_off = {(sound, "initial"): ("∅",) for sound in "ptkbdɡfsmnwhl"}
    suggester = Suggester(child(changes=left_off))
    words = ["fish", "cow", "come", "camp", "castle", "crown", "fox", "friend", "church", "coin", "carpet", "chick"]
    instead = {word.instead for word in suggester.list([(word, "", at) for at, word in enumerate(words, 1)]).words} - {
        ""
    }
    later = {row["word"] for row in read_tsv(RULES / "lexicon" / "later_words_en.tsv")}
    assert len(instead) > 3 and not instead & later


@pytest.mark.parametrize("tag", ["en", "es"])
def test_words_of_every_day_are_of_the_bank_and_none_is_a_later_one(tag: str) -> None:
    words = [row["word"] for row in read_tsv(RULES / "lexicon" / f"everyday_words_{tag}.tsv")]
    bank = {row["word"] for row in read_tsv(RULES / "lexicon" / f"{tag}.tsv")}
    later = {row["word"] for row in read_tsv(RULES / "lexicon" / f"later_words_{tag}.tsv")}
    assert 300 < len(words) == len(set(words)) and set(words) <= bank and not set(words) & later


@pytest.mark.slow
def test_words_of_another_country_wait_until_they_are_asked_for() -> None:
    """Spain has no jugo, carro or taco of every day; Mexico has; a tag without a country leaves nothing aside."""
    rows = read_tsv(RULES / "lexicon" / "regional_words_es.tsv")
    bank = {row["word"] for row in read_tsv(RULES / "lexicon" / "es.tsv")}
    assert {row["word"] for row in rows} <= bank and all(len(code) == 2 for r in rows for code in r["said_in"].split())
    every = ChoiceOptions(count=3000, filters=Filters(most_new=9))
    local = {"jugo", "carro", "taco", "atole"}
    for language, there in (("es-ES", set[str]()), ("es-MX", local), ("es-419", local)):
        assert offered(child("t03_es", language=language), every) & local == there, language


def test_most_words_of_a_set_are_of_every_day() -> None:
    """With a goal and without, for children of both languages: at most two of ten are not said in most weeks."""
    for name, goal in (("m12", "k initial"), ("m12", "s initial"), ("t03_es", "p initial")):
        profile = child(name)
        everyday = {row["word"] for row in read_tsv(RULES / "lexicon" / f"everyday_words_{profile.language[:2]}.tsv")}
        goals, _ = read_goals((goal,), profile.language)
        chosen = choose_words(profile, ChoiceOptions(set_size=10, goals=goals)).chosen_set
        assert chosen is not None and len({word.word for word in chosen.words} - everyday) <= 2
