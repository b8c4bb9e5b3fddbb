"""Intervals: exact ones against exact sums, resampled ones against theory and a plain second way, bands with their cautions."""

from __future__ import annotations

import math
import random
from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from approx.scoring.judging.counts import pack, unpack
from approx.scoring.judging.options import default_options, options_with, signature
from approx.scoring.measures.accuracy import competence, count_pairs
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.catalogue import evaluate
from approx.scoring.measures.intervals import SMALL, Resampled, exact, standard_error

LARGE = default_options().resampled_words


def tail(hits: int, out_of: int, share: float) -> float:
    """Probability of `hits` or more, summed exactly."""
    p = Fraction(share)
    return float(sum(math.comb(out_of, k) * p**k * (1 - p) ** (out_of - k) for k in range(hits, out_of + 1)))


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 40).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))), st.sampled_from([80.0, 95.0, 99.0])
)
def test_exact_interval_leaves_half_of_the_rest_on_either_side(case: tuple[int, int], confidence: float) -> None:
    hits, out_of = case
    found = exact(hits, out_of, confidence)
    assert found is not None
    rest = (100 - confidence) / 200
    if hits:
        assert tail(hits, out_of, found.low / 100) == pytest.approx(rest, rel=1e-5)
    else:
        assert found.low == 0.0
    if hits < out_of:
        assert 1 - tail(hits + 1, out_of, found.high / 100) == pytest.approx(rest, rel=1e-5)
    else:
        assert found.high == 100.0


def test_exact_interval_of_a_textbook_case_and_of_many_items() -> None:
    small, large = exact(0, 10), exact(5000, 10_000)
    assert small is not None and large is not None
    assert small.high == pytest.approx(100 * (1 - 0.025**0.1))  # the rule for no hits, in closed form
    assert (large.low, large.high) == (pytest.approx(49.0, abs=0.05), pytest.approx(51.0, abs=0.05))
    assert exact(0, 0) is None


def rows(number: int, seed: int = 3) -> list[tuple[int, int]]:
    """Words of three consonants with some right: (right, consonants)."""
    rng = random.Random(seed)
    return [(sum(rng.random() < 0.7 for _ in range(3)), 3) for _ in range(number)]


def packed(parts: list[tuple[int, int]]) -> Counter[int]:
    return Counter(pack({"consonants_right": hits, "consonants": out_of, "words": 1}) for hits, out_of in parts)


@pytest.mark.parametrize("number", [40, SMALL, SMALL + 1, LARGE, LARGE + 1, 5000])
def test_resampled_interval_is_as_wide_as_theory_has_it(number: int) -> None:
    parts = rows(number)
    drawn = Resampled(packed(parts), options_with(resamples=4000))
    found = drawn.interval(("consonants_right",), ("consonants",), 100.0)
    assert found is not None
    share = sum(hits for hits, _ in parts) / (3 * number)
    spread = math.sqrt(sum((hits / 3 - share) ** 2 for hits, _ in parts)) / number
    assert found.low == pytest.approx(100 * (share - 1.96 * spread), abs=60 * spread)
    assert found.high == pytest.approx(100 * (share + 1.96 * spread), abs=60 * spread)
    assert found.low < 100 * share < found.high


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_the_ways_of_drawing_agree_where_they_meet(size: int) -> None:
    ends = []
    for number in (size, size + 1):
        parts = (rows(size) * 2)[:number]
        found = Resampled(packed(parts), options_with(resamples=6000)).interval(
            ("consonants_right",), ("consonants",), 100.0
        )
        assert found is not None
        ends.append((found.low, found.high))
    assert ends[0] == pytest.approx(ends[1], abs=12 / math.sqrt(size))


def test_resampling_depends_on_seed_and_not_on_order() -> None:
    parts = rows(30)

    def drawn(seed: int, order: list[tuple[int, int]]) -> list[int]:
        return Resampled(packed(order), options_with(seed=seed)).column("consonants_right")

    assert drawn(1, parts) == drawn(1, parts[::-1])
    assert drawn(1, parts) != drawn(2, parts)


def test_one_word_and_no_resamples_have_no_interval() -> None:
    one = packed(rows(1))
    assert Resampled(one, default_options()).interval(("consonants_right",), ("consonants",), 100.0) is None
    assert (
        Resampled(packed(rows(9)), options_with(resamples=0)).interval(("consonants_right",), ("consonants",), 1.0)
        is None
    )


def test_a_sample_without_variation_gets_an_exact_interval_over_words() -> None:
    score = evaluate(count_pairs([("mi", "mi"), ("kʌp", "kʌp"), ("dɔɡ", "dɔɡ")], options_with(runs="every")))["pcc"]
    whole = exact(3, 3)
    assert whole is not None
    assert (score.value, score.low, score.high) == (100.0, whole.low, 100.0)
    assert score.method.startswith("exact")


def test_measures_over_whole_words_are_exact_and_say_so() -> None:
    scores = evaluate(count_pairs([("mi", "mi"), ("kʌp", "kʌ"), ("dɔɡ", "dɔɡ"), ("sʌn", "tʌn")]))
    found = exact(2, 4)
    assert found is not None
    assert (scores["pwc"].low, scores["pwc"].high, scores["pwc"].method) == (found.low, found.high, "exact")
    assert scores["pmlu"].method == "words resampled"
    assert scores["error_consistency"].low is None


def test_interval_of_a_composed_index_lies_around_it() -> None:
    pairs = [("sʌn", "s̪ʌn"), ("kæt", "kæ"), ("sup", "s̪up"), ("dɔɡ", "dɔ"), ("mi", "mi"), ("zu", "du")]
    score = evaluate(count_pairs(pairs))["aci"]
    assert score.low is not None and score.high is not None and score.value is not None
    assert score.low <= score.value <= score.high
    assert competence({"consonants": 4, "consonants_right": 2, "consonants_right_r": 3}.__getitem__) == 50.0


def test_standard_error_of_the_reference() -> None:
    assert standard_error(0.5, 100) == 5.0
    with pytest.raises(ZeroDivisionError):
        standard_error(0.5, 0)


TALK = Setting(words=100, contexts=frozenset({"talk"}), age=60)


@pytest.mark.parametrize(
    ("value", "name", "edge"),
    [(100.0, "mild", False), (85.0, "mild", True), (84.9, "mild-moderate", True), (75.0, "mild-moderate", False),
     (65.0, "mild-moderate", True), (50.0, "moderate-severe", True), (49.0, "severe", True), (48.9, "severe", False),
     (0.0, "severe", False)],
)  # fmt: skip
def test_the_lower_edge_belongs_to_the_milder_band(value: float, name: str, edge: bool) -> None:
    found = pcc_band(value, TALK)
    assert found is not None
    assert (found.name, found.at_edge) == (name, edge)


def test_a_band_has_every_caution_it_needs() -> None:
    found = pcc_band(75.0, TALK)
    assert found is not None and found.cautions == ()
    assert pcc_band(None, TALK) is None
    for setting, words in [
        (Setting(100, contexts=frozenset({"word"}), age=60), "not calibrated for: word"),
        (Setting(100, language="es", contexts=frozenset({"talk"}), age=60), "language (es)"),
        (Setting(100, contexts=frozenset({"talk"}), age=36), "age (3;0)"),
        (Setting(100, contexts=frozenset({"talk"})), "age not given"),
        (Setting(100, age=60), "context not given"),
        (Setting(74, contexts=frozenset({"talk"}), age=60), "74 words, fewer than 75"),
    ]:
        band = pcc_band(75.0, setting)
        assert band is not None and len(band.cautions) == 1
        assert words in band.caution


def test_parts_that_are_drawn_are_the_parts_that_are_added() -> None:
    parts = [(1, 2), (2, 3), (1, 2)]
    drawn = Resampled.of_parts(Counter(parts), options_with(resamples=50))
    assert drawn.words == 3
    assert set(drawn.column("words")) <= set(range(6, 10))
    assert unpack(pack({"points": 5}), "points") == 5


def test_more_words_than_the_option_says_are_drawn_from_the_limit_and_named_so() -> None:
    """The count of words that decides stands in the signature, the way taken beside each interval."""
    counts = packed(rows(60))
    ways = {}
    for most in (60, 59):
        options = options_with(resampled_words=most)
        assert f"|resampled_words:{most}|" in signature(options)
        found = Resampled(counts, options).interval(("consonants_right",), ("consonants",), 100.0)
        assert found is not None
        ways[most] = found.method
    assert ways == {60: "words resampled", 59: "words resampled, normal limit"}


@pytest.mark.parametrize("size", [SMALL + 1, 700])
def test_few_numbers_are_drawn_as_many_are(size: int) -> None:
    """Two numbers a word are added draw by draw, more of them by weights: the same words are drawn either way."""
    two = [pack({"points": 2 + at % 3, "words": 1}) for at in range(size)]
    many = [row + pack({"consonants": 3, "vowels": 2, "early": 1}) for row in two]
    few, full = (Resampled(Counter(rows), options_with(resamples=300)) for rows in (two, many))
    assert few.column("points") == full.column("points")
    assert few.column("consonants") == [0] * 300
