"""What must always hold of scores: counts add, order is nothing, tables add up, and the quick ways give what the full ways give."""

from __future__ import annotations

import unicodedata

import pytest
from drawn_examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from scoring_options import options_with

from approx.ipa import Word, read
from approx.scoring.alignment.align import align_forms
from approx.scoring.bulk.score_table import ScoreTable
from approx.scoring.judging.counts import Counts, TokenTally, total
from approx.scoring.judging.judge import judge_any, judge_simple
from approx.scoring.judging.options import default_scoring_options
from approx.scoring.judging.scored_word import score_word
from approx.scoring.judging.slots import Slot, Verdict
from approx.scoring.judging.structure import class_of_eight
from approx.scoring.measures.accuracy import count_pairs, pcc, pcc_of_class, pvc
from approx.scoring.measures.breakdown import sounds_by_position
from approx.scoring.measures.catalogue import evaluate
from approx.scoring.measures.whole_word import pwp


def word(text: str) -> Word:
    return read(text).words[0]


# ---- what must always hold -------------------------------------------------------------------------------------------

FORMS = [
    "spun",
    "pun",
    "kæt",
    "tæ",
    "bəˈnænə",
    "ˈnænə",
    "ˈɹæbɪt",
    "ˈwæbɪt",
    "ˈbɑtl̩",
    "mi",
    "s̪ʌn",
    "fɪʃ",
    "ˈæpəl",
    "hɔn",
    "a",
]
pair_lists = st.lists(st.tuples(st.sampled_from(FORMS), st.sampled_from(FORMS)), min_size=1, max_size=8)


@examples(50)
@given(pair_lists, pair_lists)
def test_counts_of_parts_add_to_counts_of_the_whole(one: list[tuple[str, str]], other: list[tuple[str, str]]) -> None:
    whole = count_pairs(one + other)
    assert count_pairs(one) + count_pairs(other) == whole
    assert count_pairs(other) + count_pairs(one) == whole
    assert Counts() + whole == whole


@examples(30)
@given(pair_lists, st.randoms(use_true_random=False))
def test_order_of_rows_does_not_matter(pairs: list[tuple[str, str]], shuffler: object) -> None:
    mixed = list(pairs)
    shuffler.shuffle(mixed)  # type: ignore[attr-defined]
    options = options_with(runs="every")
    assert evaluate(count_pairs(mixed, options), options) == evaluate(count_pairs(pairs, options), options)


@pytest.mark.parametrize("form", [form for form in FORMS if form != "s̪ʌn"])
def test_an_identical_pair_scores_100(form: str) -> None:
    scores = evaluate(count_pairs([(form, form)]), default_scoring_options())
    for name in ("pcc", "pcc_a", "pcc_r", "pvc", "ppc", "pwc", "shape_match", "syllable_match", "stress_match"):
        assert scores[name].value in (100.0, None), name
    assert scores["pwp"].value == 1.0


def test_composed_and_decomposed_text_score_alike() -> None:
    composed, apart = (unicodedata.normalize(form, "hæ̃t") for form in ("NFC", "NFD"))
    assert count_pairs([("hæt", composed)]) == count_pairs([("hæt", apart)])
    assert count_pairs([("ʃu", unicodedata.normalize("NFC", "çu"))]) == count_pairs(
        [("ʃu", unicodedata.normalize("NFD", "çu"))]
    )


@examples(30)
@given(pair_lists)
def test_the_table_of_sounds_adds_up_to_the_measures(pairs: list[tuple[str, str]]) -> None:
    counts = count_pairs(pairs)
    rows = sounds_by_position(counts.slots)
    for vowel, measure in ((False, pcc(counts)), (True, pvc(counts))):
        part = [row for row in rows if row.vowel == vowel]
        assert (sum(row.right for row in part), sum(row.out_of for row in part)) == (measure.hits, measure.out_of)
        for row in part:
            assert row.right + sum(times for _, times in row.instead) == row.out_of
    eight = [row.out_of for row in rows if class_of_eight(row.sound) is not None]
    assert sum(eight) == sum(pcc_of_class(counts, name).out_of for name in ("early", "middle", "late"))


def test_a_sample_may_be_counted_by_times() -> None:
    scored = score_word(word("spun"), word("pun"))
    tally = TokenTally()
    tally.add(scored, 3)
    assert tally.counts() == total([scored, scored, scored])
    assert tally.counts().slots[Slot("s", "initial", "", Verdict.WRONG, False)] == 3
    assert pwp(tally.counts(), options_with(pwp_of_sample="mean")).value == pytest.approx(5 / 7, abs=1e-9)


# ---- the quick ways give what the full ways give ---------------------------------------------------------------------

SOUNDS = [
    "p",
    "t",
    "k",
    "s",
    "s̪",
    "θ",
    "ɾ",
    "h",
    "ŋ",
    "n",
    "n̪",
    "l",
    "l̩",
    "ɹ",
    "w",
    "f",
    "ʔ",
    "C",
    "i",
    "ə",
    "æ",
    "ɑ",
    "oʊ",
]


@st.composite
def words(draw: st.DrawFn) -> Word:
    phones = tuple(draw(st.lists(st.sampled_from(SOUNDS), min_size=1, max_size=6)))
    cuts = sorted({0, *draw(st.lists(st.integers(0, len(phones) - 1), max_size=2))})
    degrees = tuple(draw(st.lists(st.integers(0, 2), min_size=len(cuts), max_size=len(cuts))))
    doubtful = (
        frozenset(draw(st.sets(st.integers(0, len(phones) - 1), max_size=1))) if draw(st.booleans()) else frozenset()
    )
    return Word(phones, tuple(cuts), degrees, doubtful)


CHANGES = st.fixed_dictionaries(
    {},
    optional={
        "language": st.sampled_from(["es", "de"]),
        "lisp_is_distortion": st.just(True),
        "unstressed_h_and_ng_right": st.just(False),
        "final_voicing_errors": st.just(False),
        "syllabic": st.just("vowel"),
        "doubtful": st.just("as heard"),
        "metathesis": st.just("slots"),
    },
)


@pytest.mark.slow
@settings(max_examples=400, deadline=None)
@given(words(), words(), CHANGES)
def test_simple_judging_gives_what_full_judging_gives(target: Word, produced: Word, changes: dict[str, object]) -> None:
    options, alignment = options_with(**changes), align_forms(target, produced)
    simple = judge_simple(target, produced, alignment, options)
    assert simple is None or simple == judge_any(target, produced, alignment, options)


def test_most_pairs_are_simple() -> None:
    """Else the comparison above would compare nothing."""
    pairs = [(word(one), word(other)) for one in FORMS for other in FORMS if "l̩" not in one + other]
    simple = [judge_simple(one, other, align_forms(one, other), default_scoring_options()) for one, other in pairs]
    assert sum(found is not None for found in simple) > len(pairs) / 3


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(words(), words()), min_size=1, max_size=12))
def test_many_words_are_scored_as_one_by_one(pairs: list[tuple[Word, Word]]) -> None:
    targets, said = zip(*pairs)
    found = list(ScoreTable(targets, said, ["w"] * len(pairs), default_scoring_options()))
    assert found == [score_word(target, produced, word="w") for target, produced in pairs]
