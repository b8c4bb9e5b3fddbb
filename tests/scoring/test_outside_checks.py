"""Figures against other people's programs: scikit-learn for tables of right and wrong, scipy for what follows from counts.

The words are one consonant and one vowel each, so that what stands for what needs no alignment: the labels that
scikit-learn gets are the consonants themselves.
"""

from __future__ import annotations

import math
import random
from types import ModuleType

import numpy as np
import pytest
import scipy  # its parts are loaded where they are used
from scoring_options import options_with

from approx.scoring.agreement import agreement, kappa
from approx.scoring.judging.counts import Counts
from approx.scoring.measures.accuracy import count_pairs, pcc, pcc_of_class
from approx.scoring.measures.breakdown import sounds_by_position
from approx.scoring.measures.variability import inconsistency

SOUNDS = ["p", "b", "t", "d", "k", "ɡ", "f", "v", "s", "z", "m", "n", "w", "l"]
CLASSES = {"early": "p b d m n w", "middle": "t k ɡ f v", "late": "s z l"}
"""Members of the classes of Shriberg 1993 among these sounds."""


@pytest.fixture(scope="module")
def metrics() -> ModuleType:
    """Those of scikit-learn, loaded where they are asked for: every worker reads this file, and it takes a second."""
    from sklearn import metrics

    return metrics


def labels(seed: int, number: int = 300) -> tuple[list[str], list[str]]:
    """Target consonants, and what was said for them: right in half of the words."""
    rng = random.Random(seed)
    meant = [rng.choice(SOUNDS) for _ in range(number)]
    return meant, [sound if rng.random() < 0.5 else rng.choice(SOUNDS) for sound in meant]


def counted(seed: int) -> Counts:
    return count_pairs([(f"{one}i", f"{other}i") for one, other in zip(*labels(seed))], options_with(runs="every"))


@pytest.mark.parametrize("seed", range(5))
def test_pcc_is_the_accuracy_of_scikit_learn(metrics: ModuleType, seed: int) -> None:
    meant, said = labels(seed)
    counts = counted(seed)
    assert pcc(counts).value == pytest.approx(100 * metrics.accuracy_score(meant, said))
    for name, members in CLASSES.items():
        chosen = [(one, other) for one, other in zip(meant, said) if one in members.split()]
        value = pcc_of_class(counts, name).value
        assert value == pytest.approx(100 * metrics.accuracy_score(*zip(*chosen))), name


@pytest.mark.parametrize("seed", range(3))
def test_what_was_said_for_what_is_the_confusion_matrix_of_scikit_learn(metrics: ModuleType, seed: int) -> None:
    """Fourteen by fourteen cells, and the row of each consonant in the table of sounds, whose percentage right is its recall."""
    meant, said = labels(seed)
    counts = counted(seed)
    theirs = metrics.confusion_matrix(meant, said, labels=SOUNDS)
    ours = {(slot.target, slot.said): times for slot, times in counts.slots.items() if not slot.vowel}
    assert [[ours.get((one, other), 0) for other in SOUNDS] for one in SOUNDS] == theirs.tolist()
    recall = dict(zip(SOUNDS, metrics.recall_score(meant, said, labels=SOUNDS, average=None)))
    table = sounds_by_position(counts.slots)
    assert {row.sound for row in table if not row.vowel} == set(SOUNDS)
    for row in table:
        if not row.vowel:
            assert row.right / row.out_of == pytest.approx(recall[row.sound])
            line = theirs[SOUNDS.index(row.sound)]
            assert (row.right, row.out_of) == (line[SOUNDS.index(row.sound)], line.sum())
            assert dict(row.instead) == {
                other: n for other, n in zip(SOUNDS, line.tolist()) if n and other != row.sound
            }
            assert [times for _, times in row.instead] == sorted((n for _, n in row.instead), reverse=True)


@pytest.mark.parametrize("seed", range(40))
def test_kappa_is_that_of_scikit_learn(metrics: ModuleType, seed: int) -> None:
    rng = np.random.default_rng(seed)
    one = rng.integers(0, 2, 60)
    other = np.where(rng.random(60) < rng.random(), one, 1 - one)
    table = metrics.confusion_matrix(one, other, labels=[1, 0])
    expected = metrics.cohen_kappa_score(one, other)
    found = kappa(*(int(number) for number in table.ravel()))
    if math.isnan(expected):
        assert found is None
    else:
        assert found == pytest.approx(expected)


@pytest.mark.parametrize("seed", range(3))
def test_kappa_of_two_transcribers_is_that_of_their_judgements(metrics: ModuleType, seed: int) -> None:
    from approx.ipa import read

    meant, one = labels(seed, 80)
    other = [sound if random.Random(at).random() < 0.7 else "h" for at, sound in enumerate(one)]
    words = [[read(f"{sound}i").words[0] for sound in sounds] for sounds in (meant, one, other)]
    found = agreement(list(zip(words[1], words[2])), words[0])
    right = [[sound == target for sound, target in zip(sounds, meant)] for sounds in (one, other)]
    assert found.kappa == pytest.approx(metrics.cohen_kappa_score(*right))
    assert found.consonants_broad.value == pytest.approx(100 * metrics.accuracy_score(one, other))


@pytest.mark.parametrize("varied", range(0, 26, 5))
def test_inconsistency_of_words_is_a_share_of_words(varied: int) -> None:
    """Counted by numpy from the forms: words of three tokens, so many of them with two forms."""
    forms = {(f"w{at}", "a", False): 2 if at < varied else 3 for at in range(25)}
    forms |= {(f"w{at}", "b", False): 1 for at in range(varied)}
    names = np.array([name for name, *_ in forms])
    _, different = np.unique(names, return_counts=True)
    found = inconsistency(Counts(forms=forms))
    assert found.value == pytest.approx(100 * np.mean(different > 1))
    assert scipy.stats.binomtest(found.hits, found.out_of).statistic == pytest.approx((found.value or 0) / 100)
