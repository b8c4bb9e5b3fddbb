"""Pairs that share next to nothing: a few are explained as any other, thousands of them are named and not searched."""

from __future__ import annotations

from random import Random

import pytest
from places import SAMPLES

import approx
from approx.ipa import read
from approx.processes.explain import strange
from approx.processes.explain.strange import StrangePairs, is_strange, unexplained
from approx.samples.cells.forms import joined_words
from approx.scoring.alignment.align import align_forms

SOUNDS = "ptkbdɡmnfvszʃiueoɑɛɪʊʌə"


def words(number: int, length: int) -> list[str]:
    chance = Random(7)
    return ["".join(chance.choices(SOUNDS, k=length)) for _ in range(number)]


def test_what_is_strange() -> None:
    def judged(target: str, produced: str) -> bool:
        one, other = read(target).words[0], read(produced).words[0]
        return is_strange(one, other, align_forms(one, other).links)

    assert judged("ptkbdɡ", "mnfvsz") and not judged("ptkbdɡ", "ptfvsz")
    assert not judged("spun", "wi") and not judged("ˌhɪpəˈpɑtəməs", "pɑ")  # short ones never are


def test_beyond_some_work_they_stay_unexplained_and_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    pairs = list(zip(words(60, 10), reversed(words(60, 10))))
    whole = approx.processes(pairs)
    assert "processes.strange" not in {problem.code for problem in whole.problems}
    monkeypatch.setattr(strange, "MOST_WORK", 1000)
    part = approx.processes(pairs)
    (named,) = [problem for problem in part.problems if problem.code == "processes.strange"]
    number = int(named.message.split()[0])
    assert named.fatal and 20 < number < 60
    before = {token.row: token.reading for token in whole.each_token()}
    after = {token.row: token.reading for token in part.each_token()}
    assert before.keys() == after.keys() and len(after) == 60
    bare = {row for row in after if not after[row].uses}
    assert len(bare) >= number and all(after[row].unexplained for row in bare)
    assert len(bare) - sum(not reading.uses for reading in before.values()) == number


@pytest.mark.parametrize("name", ["k07.csv", "m12.csv", "t03.csv"])
def test_no_invented_child_is_strange(name: str) -> None:
    pairs = StrangePairs()
    for token in approx.processes(SAMPLES / name).each_token():
        one, other = token.pair.target, joined_words(read(token.pair.produced).words)
        assert not pairs.too_many(one, other, align_forms(one, other).links)
    assert pairs.work < strange.MOST_WORK / 100


def test_the_reading_names_each_sound_that_is_not_said() -> None:
    target, produced = read("spun").words[0], read("pun").words[0]
    found = unexplained(target, produced, align_forms(target, produced).links)
    assert (found.uses, found.unexplained) == ((), (0,)) and found.cost > 0
