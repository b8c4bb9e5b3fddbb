"""Intervals: exact ones against scipy, the others against scipy's bootstrap, a survey's own arithmetic and plain second ways."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy  # its parts are loaded where they are used
from scoring_options import options_with

from approx.scoring.bulk.interval_arrays import MomentArrays, exact_in_groups, of_ratios, of_sounds_in_groups
from approx.scoring.judging.counts import CountRow, Counts
from approx.scoring.judging.options import default_scoring_options
from approx.scoring.measures.accuracy import count_pairs
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.catalogue import MEASURES, evaluate
from approx.scoring.measures.intervals import (
    EXACT,
    LINEAR,
    NO_DIFFERENCE,
    SCORE,
    TOO_FEW,
    exact,
    moments_of,
    normal,
    of_ratio,
    of_sounds,
    student,
)

CASES = [
    (hits, out_of)
    for out_of in (1, 2, 3, 7, 10, 25, 40, 137, 1000)
    for hits in {0, 1, out_of // 3, out_of // 2, out_of}
]


@pytest.mark.parametrize("confidence", [80.0, 95.0, 99.0])
def test_exact_intervals_are_those_of_scipy(confidence: float) -> None:
    for hits, out_of in CASES:
        found = exact(hits, out_of, confidence)
        theirs = scipy.stats.binomtest(hits, out_of).proportion_ci(confidence / 100, method="exact")
        assert found is not None
        assert (found.low, found.high) == pytest.approx((100 * theirs.low, 100 * theirs.high), abs=1e-6), (hits, out_of)
    assert exact(0, 0) is None


def test_exact_interval_of_none_in_ten_in_closed_form() -> None:
    found = exact(0, 10)
    assert found is not None and found.high == pytest.approx(100 * (1 - 0.025**0.1))


@pytest.mark.parametrize("confidence", [50.0, 80.0, 95.0, 99.0])
def test_quantiles_of_the_normal_and_of_t_are_those_of_scipy(confidence: float) -> None:
    tail = 0.5 + confidence / 200
    assert normal(confidence) == pytest.approx(scipy.stats.norm.ppf(tail), rel=1e-9)
    for freedom in (1, 2, 5, 9, 24, 49, 99, 999, 20_000):
        assert student(confidence, freedom) == pytest.approx(scipy.stats.t.ppf(tail, freedom), rel=1e-4)


@pytest.mark.parametrize("confidence", [80.0, 95.0, 99.0])
def test_sounds_alone_in_their_words_have_the_score_interval_of_scipy(confidence: float) -> None:
    """With one sound a word the design effect of n words is n / (n - 1): the interval is Wilson's for n - 1."""
    for hits, out_of in [(hits, out_of) for hits, out_of in CASES if out_of >= 10]:
        found = of_sounds(moments_of({(1, 1): hits, (0, 1): out_of - hits}), confidence)
        if hits in (0, out_of):
            theirs = scipy.stats.binomtest(hits, out_of).proportion_ci(confidence / 100, method="wilson")
            assert (found.low, found.high) == pytest.approx((100 * theirs.low, 100 * theirs.high), abs=1e-9)
        else:
            share, number, z = hits / out_of, out_of - 1, scipy.stats.norm.ppf(0.5 + confidence / 200)
            # where (p - share)² = z² p (1 - p) / n
            ends = list(np.roots([1 + z * z / number, -2 * share - z * z / number, share * share]))
            assert (found.low, found.high) == pytest.approx((100 * min(ends), 100 * max(ends)), abs=1e-6)


def words(number: int, seed: int, share: float = 0.6, alike: float = 0.3) -> list[tuple[int, int]]:
    """Words of one to four consonants, right ones in each by a share of its own: (right, consonants)."""
    rng = np.random.default_rng(seed)
    own = rng.beta(share * (1 - alike) / alike, (1 - share) * (1 - alike) / alike, number)
    sizes = rng.integers(1, 5, number)
    return list(zip(rng.binomial(sizes, own).tolist(), sizes.tolist()))


def counts_of(parts: list[tuple[int, int]]) -> Counts:
    rows: dict[CountRow, int] = {}
    for right, out_of in parts:
        row = CountRow(
            words=1, consonants=out_of, consonants_right=right, consonants_right_r=right, points=out_of + right,
            target_points=2 * out_of,
        )  # fmt: skip
        rows[row] = rows.get(row, 0) + 1
    return Counts(rows)


@pytest.mark.parametrize("seed", range(4))
def test_intervals_are_as_wide_as_those_of_the_bootstrap_of_scipy(seed: int) -> None:
    """For many words resampling is right too (its faults are those of few words): the ends lie close together."""
    parts = words(300, seed)
    top, bottom = (np.array(column) for column in zip(*parts))
    theirs = scipy.stats.bootstrap(
        (top, bottom), lambda t, b, axis: t.sum(axis) / b.sum(axis), paired=True, vectorized=True, n_resamples=2000,
        method="BCa", rng=np.random.default_rng(seed),
    ).confidence_interval  # fmt: skip
    scores = evaluate(counts_of(parts))
    found = scores["pcc"]
    assert found.low is not None and found.high is not None
    assert (found.low, found.high) == pytest.approx((100 * theirs.low, 100 * theirs.high), abs=0.8)
    assert found.method == SCORE
    pmlu = scores["pmlu"]
    mean = scipy.stats.t.interval(0.95, len(parts) - 1, (top + bottom).mean(), scipy.stats.sem(top + bottom))
    assert (pmlu.low, pmlu.high) == pytest.approx(mean, rel=1e-6)
    assert pmlu.method == LINEAR


def test_the_interval_of_a_ratio_is_that_of_cluster_samples() -> None:
    """The variance of a ratio worked out word by word, as books on samples have it."""
    parts = words(40, 9)
    moments = moments_of({part: parts.count(part) for part in set(parts)})
    share = sum(top for top, _ in parts) / sum(bottom for _, bottom in parts)
    mean = sum(bottom for _, bottom in parts) / 40
    slow = sum((top - share * bottom) ** 2 for top, bottom in parts) / 39 / 40 / mean**2
    assert moments.variance == pytest.approx(slow, rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_many_groups_in_arrays_have_the_intervals_of_each_alone(seed: int) -> None:
    """To the last digit, for groups of every size: none, one word, all words alike, all right, none right."""
    rng = random.Random(seed)
    groups = [words(rng.randrange(40), seed * 100 + at) for at in range(60)]
    groups += [[], [(1, 2)], [(2, 3)] * 12, [(3, 3)] * 15, [(0, 2)] * 15]
    alone = [moments_of({part: parts.count(part) for part in set(parts)}) for parts in groups]
    together = MomentArrays(*(np.array(numbers, np.int64) for numbers in zip(*alone)))
    with np.errstate(divide="ignore", invalid="ignore"):
        sounds = of_sounds_in_groups(together, 95.0)
        ratios = of_ratios(together.share(), together.variance(), together.words, 95.0)
        whole = exact_in_groups(together.top, together.bottom, 95.0)
    for at, one in enumerate(alone):
        slow = (
            [of_sounds(one), of_ratio(one.share, one.variance, one.words), exact(one.top, one.bottom)]
            if one.words
            else [None] * 3
        )
        for found, (low, high) in zip(slow, (sounds, ratios, whole)):
            assert (low[at], high[at]) == found[:2] if found else np.isnan(low[at]) and np.isnan(high[at]), (at, one)


def test_n_is_the_words_with_a_chance() -> None:
    """Thirty words, twelve of them with a late consonant: the interval rests on those twelve."""
    pairs = [("sup", "tup")] * 6 + [("su", "su")] * 6 + [("mi", "mi")] * 18
    scores = evaluate(count_pairs(pairs, options_with(runs="every")))
    assert (scores["pcc_late"].words, scores["pcc"].words, scores["pwc"].words) == (12, 30, 30)
    assert scores["pcc_late"].low is not None and scores["pcc_middle"].words == 0


def test_fewer_than_ten_words_have_no_interval() -> None:
    few, enough = (evaluate(counts_of(words(number, 2))) for number in (9, 10))
    for name in ("pcc", "pwc", "pmlu", "pwp"):
        assert (few[name].low, few[name].high, few[name].method) == (None, None, TOO_FEW), name
        assert enough[name].low is not None, name
    assert evaluate(counts_of(words(9, 2)), options_with(interval_words=3))["pcc"].low is not None


def test_a_hundred_words_with_the_late_eight_in_three_are_too_few() -> None:
    pairs = [("su", "tu"), ("ʃu", "tu"), ("zu", "du")] + [("mi", "mi")] * 97
    late = evaluate(count_pairs(pairs, options_with(runs="every")))["pcc_late"]
    assert (late.hits, late.out_of, late.low, late.method) == (0, 3, None, TOO_FEW)


@pytest.mark.parametrize("alike", [[(1, 2)] * 30, [(2, 2)] * 30, [(0, 2)] * 30])
def test_words_that_are_all_alike_have_an_interval_with_a_width(alike: list[tuple[int, int]]) -> None:
    score = evaluate(counts_of(alike))["pcc"]
    assert score.low is not None and score.high is not None and score.high - score.low > 5
    assert score.low <= (score.value or 0.0) <= score.high


def test_where_every_word_gives_the_same_points_there_is_no_interval_and_it_says_so() -> None:
    score = evaluate(counts_of([(2, 2)] * 30))["pmlu"]
    assert (score.low, score.high, score.method) == (None, None, NO_DIFFERENCE)


def test_measures_over_whole_words_are_exact_and_all_others_are_called_approximate() -> None:
    pairs = [("mi", "mi"), ("kʌp", "kʌ"), ("dɔɡ", "dɔɡ"), ("sʌn", "tʌn"), ("fɪʃ", "fɪs̪"), ("su", "s̪u")] * 4
    scores = evaluate(count_pairs(pairs, options_with(runs="every")))
    for name, score in scores.items():
        if score.low is not None:
            assert score.method == EXACT if MEASURES[name].by_words else score.method.startswith("approximate"), name
    assert (scores["pwc"].low, scores["pwc"].method) == (exact(8, 24).low, EXACT)  # type: ignore[union-attr]


def test_the_interval_of_the_competence_index_is_that_of_resampling() -> None:
    """The index is half of two shares; resampling plainly, a thousand times, gives about the same ends."""
    pairs = [
        ("sʌn", "s̪ʌn"),
        ("kæt", "kæ"),
        ("sup", "s̪up"),
        ("dɔɡ", "dɔ"),
        ("mi", "mi"),
        ("zu", "du"),
        ("fɪʃ", "fɪs̪"),
    ] * 12
    counts = count_pairs(pairs, options_with(runs="every"))
    found = evaluate(counts)["aci"]
    rows = [count_pairs([pair]).sums._asdict() for pair in pairs]
    numbers = np.array(
        [[row[name] for name in ("consonants", "consonants_right", "consonants_right_r")] for row in rows]
    )
    drawn = np.random.default_rng(1).integers(0, len(rows), (2000, len(rows)))
    all_of, right, heard = numbers[drawn].sum(axis=1).T
    index = np.sort(50 * (right / all_of + (heard - right) / (all_of - right)))
    assert (found.low, found.high) == pytest.approx((index[50], index[-51]), abs=1.2)


def test_order_of_words_does_not_matter() -> None:
    parts = words(40, 5)
    mixed = random.Random(1).sample(parts, len(parts))
    assert evaluate(counts_of(parts)) == evaluate(counts_of(mixed))


def test_confidence_widens() -> None:
    counts = counts_of(words(40, 5))
    wide = [evaluate(counts, options_with(confidence=each))["pcc"] for each in (50.0, 80.0, 95.0, 99.0)]
    lows = [score.low or 0.0 for score in wide]
    assert lows == sorted(lows, reverse=True) and len(set(lows)) == 4
    assert default_scoring_options().confidence == 95


# ---- bands -----------------------------------------------------------------------------------------------------------

TALK = Setting(words=100, contexts=frozenset({"talk"}), age=60)


@pytest.mark.parametrize(
    ("value", "name", "edge"),
    [(99.9, "mild", False), (85.0, "mild", True), (84.9, "mild-moderate", True), (75.0, "mild-moderate", False),
     (65.0, "mild-moderate", True), (50.0, "moderate-severe", True), (49.0, "severe", True), (48.9, "severe", False),
     (0.0, "severe", False)],
)  # fmt: skip
def test_the_lower_edge_belongs_to_the_milder_band(value: float, name: str, edge: bool) -> None:
    found = pcc_band(value, TALK)
    assert (found.name, found.at_edge, bool(found.caution)) == (name, edge, edge)


@pytest.mark.parametrize(
    ("setting", "why"),
    [
        (Setting(100, contexts=frozenset({"word"}), age=60), "bands are for connected speech, not for single words"),
        (Setting(100, contexts=frozenset({"talk", "imitated"}), age=60), "not for imitated words"),
        (Setting(100, language="es", contexts=frozenset({"talk"}), age=60), "not for es"),
        (Setting(100, contexts=frozenset({"talk"}), age=48), "age 4;0; bands are for 4;1 to 8;6"),
        (Setting(100, contexts=frozenset({"talk"}), age=103), "age 8;7"),
        (Setting(100, contexts=frozenset({"talk"})), "age not given"),
        (Setting(100, age=60), "context not given"),
        (Setting(74, contexts=frozenset({"talk"}), age=60), "74 words, fewer than 75"),
        (Setting(1, contexts=frozenset({"talk"}), age=60), "1 word, fewer than 75"),
    ],
)
def test_outside_of_what_the_bands_were_set_on_there_is_no_name_but_a_reason(setting: Setting, why: str) -> None:
    found = pcc_band(45.0, setting)
    assert found.name == "" and len(found.reasons) == 1
    assert found.caution.startswith("no band: ") and why in found.caution


@pytest.mark.parametrize("age", [49, 102])
def test_the_youngest_and_the_oldest_child_the_bands_were_set_on_have_one(age: int) -> None:
    assert pcc_band(45.0, Setting(75, contexts=frozenset({"talk"}), age=age)).name == "severe"


def test_perfect_speech_has_no_band() -> None:
    assert pcc_band(100.0, TALK).caution == "no band: no consonant in error"
    assert math.isclose(evaluate(counts_of([(2, 2)] * 90), None, TALK)["pcc"].value or 0, 100)
    assert evaluate(counts_of([(2, 2)] * 90), None, TALK)["pcc"].band == ""
