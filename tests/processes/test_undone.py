"""A sound put back without a search, beside the search it stands for: the slow way is run for every rung that grants a sound."""

from __future__ import annotations

from pathlib import Path

import pytest
from places import DATA

from approx.child import read_child
from approx.child.demands import demands
from approx.child.search_limits import limits
from approx.ipa.word import Word
from approx.lexicon import pronunciations
from approx.processes.engine.search import Key
from approx.processes.rules.ruleset import load
from approx.processes.simplify.simplify import Simplifier
from approx.processes.simplify.walk import Way

PROFILES = {
    "K07": Path("samples/k07.toml"),
    "M12": Path("samples/m12.toml"),
    **{name: DATA / "profiles" / f"{name}.toml" for name in ("no_finals", "one_vowel", "final_only", "one_sound")},
}


def adult_words() -> list[Word]:
    from approx.ipa import read

    rows = (DATA / "child_words.tsv").read_text(encoding="utf-8").splitlines()[1:]
    found = [pronunciations(row.split("\t")[0]) for row in rows[::9]]
    return [read(readings[0].ipa).words[0] for readings in found if readings]


def grants(simplifier: Simplifier, adult: Word, here: Way) -> list[tuple[Key, Way]]:
    """Each sound that today's form had to mend, with the form in which it is put back."""
    sounds = dict.fromkeys(why for _, why, _ in here.steps if why[0] in ("consonant", "vowel"))
    made = [(key, simplifier.put_back(adult, here, key, frozenset({key}))) for key in sounds]
    return [(key, way) for key, way in made if way is not None]


@pytest.mark.parametrize("name", PROFILES)
def test_a_sound_put_back_is_what_the_search_finds_or_changes_less(name: str) -> None:
    profile = read_child(PROFILES[name])[0]
    assert profile is not None
    simplifier = Simplifier(load(), limits(profile))
    same = less = 0
    for adult in adult_words():
        here = simplifier.way(adult)
        for key, way in grants(simplifier, adult, here) if here else ():
            assert here is not None
            granted = frozenset({key})
            assert not list(demands(way.form.phones, way.form.starts, simplifier.limits, granted))
            changed = [(old, new) for old, new in zip(here.form.phones, way.form.phones, strict=True) if old != new]
            assert changed and {new for _, new in changed} == {key[1][0]}  # that sound came back, and nothing else
            searched = simplifier.way(adult, granted)
            assert searched is not None
            if searched.form.phones == way.form.phones:
                same += 1
            else:
                less += 1
                kept = sum(old == new for old, new in zip(here.form.phones, searched.form.phones))
                assert len(searched.form.phones) != len(here.form.phones) or kept < len(here.form.phones) - len(changed)
    # a child of one sound has so little that the search, too, often changes a second sound for a cheaper form
    assert same > (4 if name == "one_sound" else 19) * less
