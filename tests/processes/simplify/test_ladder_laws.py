"""The laws of a ladder (design page, "What a good approximation is", 9), for every word of the list and many children."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from fast_cases import one_in
from hypothesis import given, settings
from hypothesis import strategies as st
from ladder_laws import faults
from places import DATA, SAMPLES

from approx.child import Profile, limits, read_child_file
from approx.datafiles import read_toml, read_tsv, rules_path
from approx.ipa import read
from approx.ipa.features import is_nucleus
from approx.ipa.word import Word
from approx.lexicon import pronunciations
from approx.processes.rules.ruleset import load_rules
from approx.processes.simplify.ladder import Rung, ladder
from approx.processes.simplify.simplify import Simplifier

FILES = {
    path.stem: path
    for folder in (DATA / "profiles", DATA / "judged" / "profiles", DATA / "judged4" / "profiles", SAMPLES)
    for path in sorted(folder.glob("*.toml"))
}
VARIETIES = ("any", "same consonant", "same")


@cache
def words(tag: str = "en-US") -> tuple[tuple[str, Word], ...]:
    """The words of the list (in Spanish of the bank), and their first adult form."""
    if tag != "en-US":
        bank = read_tsv(rules_path(f"lexicon/{tag[:2]}.tsv"))
        return tuple({row["word"]: (row["word"], read(row["ipa"], tag).words[0]) for row in bank}.values())
    rows = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()[1:]
    typed = dict.fromkeys(row.split("\t")[0] for row in rows)
    return tuple((word, read(pronunciations(word)[0].ipa).words[0]) for word in typed)


@cache
def simplifier(name: str, variety: str = "", tag: str = "en-US") -> Simplifier | None:
    """One child, ready for words of a language; English is not asked of children whose file is of another."""
    profile = read_child_file(FILES[name])[0]
    if profile is None or tag == "en-US" and not profile.language.startswith("en"):
        return None
    return Simplifier(load_rules(), limits(replace(profile, variety=variety) if variety else profile), tag)


def wrong(name: str, every: int, first: int = 0, variety: str = "", tag: str = "en-US") -> list[str]:
    child = simplifier(name, variety, tag)
    out: list[str] = []
    for word, adult in words(tag)[first::every] if child is not None else ():
        assert child is not None
        if child.run(adult, 1):  # else nothing of the word is sayable, and there is no ladder
            out += [f"{name} {word}: {fault}" for fault in faults(ladder(child, adult), adult, child.limits, tag)]
        else:
            assert not ladder(child, adult)
    return out


@pytest.mark.parametrize("name", one_in(2, FILES))
def test_every_ladder_keeps_the_laws(name: str) -> None:
    """Some twenty words; half of them for each variety in the slow set."""
    found = wrong(name, 47)
    assert not found, f"{len(found)} wrong:\n" + "\n".join(found[:40])


@pytest.mark.parametrize("name", one_in(3, FILES))
def test_every_spanish_ladder_keeps_the_laws(name: str) -> None:
    """Some fifteen words of the bank with the sounds of each file; all of them in the slow set."""
    found = wrong(name, 61, 5, tag="es-MX")
    assert not found, f"{len(found)} wrong:\n" + "\n".join(found[:40])


@pytest.mark.slow
@pytest.mark.parametrize("name", FILES)
def test_all_spanish_words(name: str) -> None:
    found = wrong(name, 1, tag="es-MX")
    assert not found, f"{len(found)} wrong:\n" + "\n".join(found[:40])


@pytest.mark.parametrize("every", [59, pytest.param(11, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", one_in(2, FILES))
def test_the_ladder_begins_at_the_form_offered_first(name: str, every: int) -> None:
    """Also where the nearest form leans on what is only emerging ("watering" for K07)."""
    child = simplifier(name)
    rows = [(word, adult) for word, adult in words()[7::every] if child is not None]
    rows += [(word, adult) for word, adult in words() if word == "watering" and child is not None]
    for word, adult in rows:
        assert child is not None
        found = child.run(adult, 3)
        if found and found[0].form.word.phones != adult.phones:
            assert ladder(child, adult)[0].word == found[0].form.word, word


@pytest.mark.parametrize("variety", VARIETIES[1:])
@pytest.mark.parametrize("name", one_in(2, ["K07" if "K07" in FILES else "k07", "J03", "no_finals", "Q02"]))
def test_ladders_of_children_who_repeat_keep_them_too(name: str, variety: str) -> None:
    found = wrong(name, 47, 3, variety)
    assert not found, f"{len(found)} wrong:\n" + "\n".join(found[:40])


@pytest.mark.slow
@pytest.mark.parametrize("variety", VARIETIES)
@pytest.mark.parametrize("name", FILES)
def test_all_words(name: str, variety: str) -> None:
    """One half of the words for one variety, the other half for the next."""
    found = wrong(name, 2, VARIETIES.index(variety) % 2, variety)
    assert not found, f"{len(found)} wrong:\n" + "\n".join(found[:40])


@pytest.mark.parametrize("name", ["J02", "Q02", "m12"])
def test_a_climb_never_stands_still(name: str) -> None:
    """silliest by [ˈtɪtət]: unlike consonants were asked for, and gone again once all that is granted was back; it had no end."""
    child, adult = simplifier(name, "same consonant"), read("ˈsɪliəst").words[0]
    assert child is not None
    rungs = ladder(child, adult)
    assert len(rungs) > 2 and rungs[-1].word == adult
    assert not faults(rungs, adult, child.limits, "en-US")


def _statuses(draw: st.DrawFn, items: str) -> dict[str, str]:
    return {item: draw(st.sampled_from(("established", "emerging", "absent"))) for item in items.split()}


@st.composite
def children(draw: st.DrawFn) -> Profile:
    """A child with some of the sounds of English, some of them emerging, in every place alike or only initially."""
    sounds = _statuses(draw, "p b m t d n k ɡ w h j f s z ʃ l t͡ʃ") | {"b": "established"}
    finals = _statuses(draw, "p t k m n s z l ŋ")
    shapes = _statuses(draw, "V VC CVC CCV CVCC") | {"CV": "established"}
    return Profile(
        consonants={"initial": sounds, "medial": sounds, "final": finals},
        vowels=_statuses(draw, "i ɪ ɛ æ ʌ u ʊ oʊ eɪ aɪ") | {"ɑ": "established"},
        shapes=shapes, max_syllables=draw(st.integers(1, 3)), variety=draw(st.sampled_from(VARIETIES)),
    )  # type: ignore[arg-type]  # fmt: skip


@pytest.mark.slow
@settings(max_examples=120, deadline=None)
@given(children(), st.integers(0, 924))
def test_laws_for_children_drawn(child: Profile, number: int) -> None:
    word, adult = words()[number]
    limit = limits(child)
    simplifier = Simplifier(load_rules(), limit)
    rungs = ladder(simplifier, adult)
    assert not faults(rungs, adult, limit) if simplifier.run(adult, 1) else not rungs, word


@pytest.mark.slow
@settings(max_examples=120, deadline=None)
@given(children(), st.integers(0, 924))
def test_emerging_before_new_and_earlier_before_later(child: Profile, number: int) -> None:
    """Of rungs that each add one sound of one place, which depend on nothing but themselves."""
    limit = limits(child)
    rungs = ladder(Simplifier(load_rules(), limit), words()[number][1])
    ages = [(key not in limit.emerging, age(key)) for key in single_sounds(rungs)]
    assert ages == sorted(ages)


def single_sounds(rungs: tuple[Rung, ...]) -> list[tuple[str, tuple[str, ...]]]:
    """What the rungs add, where each adds one sound in place of another; else nothing."""
    added = [rung.demands for rung in rungs[1:]]
    same_length = len({len(rung.word.phones) for rung in rungs}) == 1
    single = all(len(each) == 1 and each[0][0] in ("consonant", "vowel") for each in added)
    return [each[0] for each in added] if single and same_length else []


def age(key: tuple[str, tuple[str, ...]]) -> int:
    """Straight from the file."""
    table = read_toml(rules_path("climb.toml"))
    rows = table["consonants" if key[0] == "consonant" else "vowels"]
    other = rows["other"] if key[0] == "consonant" else table["kinds"]["vowel"]
    return int(next((months for sounds, months in rows.items() if key[1][0] in sounds.split()), other))


def test_ball_never_climbs_through_bob() -> None:
    child = simplifier("Q03")
    assert child is not None
    forms = [rung.word.ipa for rung in ladder(child, read("bɔl").words[0])]
    assert forms[-1] == "bɔl" and all(form.startswith("b") and not form.endswith("b") for form in forms)


@pytest.mark.parametrize("variety", VARIETIES)
@pytest.mark.parametrize("word", ["kangaroo", "refrigerator", "upstairs"])
def test_a_sound_before_the_next_vowel_keeps_the_place_it_is_heard_for(word: str, variety: str) -> None:
    """Where the vowel between is left off: the d of dudu (kangaroo) is heard for ɹ, not for ɡ."""
    child = simplifier("J10", variety)
    assert child is not None
    adult = dict(words())[word]
    assert not faults(ladder(child, adult), adult, child.limits)


def test_files_are_there() -> None:
    assert len(FILES) > 25 and all(Path(path).exists() for path in FILES.values())


@pytest.mark.parametrize("name", one_in(2, FILES))
def test_clusters_of_s_come_after_the_other_sounds(name: str) -> None:
    """Once an s stands before another consonant at the beginning, only r, th and members of that cluster may be missing."""
    child = simplifier(name)
    rows = [(word, adult) for word, adult in words() if adult.phones[:1] == ("s",) and not is_nucleus(adult.phones[1])]
    for word, adult in rows[::7] if child is not None else ():
        assert child is not None
        if not child.run(adult, 1):
            continue
        new = [{key for key in rung.demands if key not in child.limits.emerging} for rung in ladder(child, adult)]
        at = [n for n, keys in enumerate(new) if any(kind == "cluster" and item[0] == "s" for kind, item in keys)]
        later = {item[0] for keys in new[at[0] + 1 :] for kind, item in keys if kind == "consonant"} if at else set()
        onset = set(adult.phones[: next(at for at, phone in enumerate(adult.phones) if is_nucleus(phone))])
        assert later - onset <= {"ɹ", "θ", "ð", "ʒ"}, (word, later)


def test_a_sound_of_the_ladder_is_not_named_again_with_a_syllable() -> None:
    """pescado: the k that ˈkado has is no new sound where peˈkado puts it between vowels."""
    child = simplifier("no_finals")
    assert child is not None
    for word, adult in words("es-MX")[::5]:
        below: set[str] = set()
        for rung in ladder(child, adult) if child.run(adult, 1) else ():
            sounds = {item[0] for kind, item in rung.demands if kind == "consonant"}
            if any(kind == "length" for kind, _ in rung.demands):
                named = {part.split()[0] for part in (rung.adds or "").split(", ") if part.endswith(")")}
                assert not named & below, (word, rung)
            below |= sounds


@pytest.mark.parametrize("name", ["no_finals", "final_only", "Q01"])
def test_a_consonant_that_closes_for_another_is_never_one_of_the_word(name: str) -> None:
    """kicked closed by the child's own k would lose that k on the next rung."""
    child = simplifier(name, "same consonant")
    assert child is not None
    for word, adult in words():
        if word in ("kicked", "num-nums", "picked", "moon"):
            assert not faults(ladder(child, adult), adult, child.limits), word
