"""Scoring in arrays gives what scoring word by word gives: for simulated children, judged words and odd ones, by every option."""

from __future__ import annotations

import csv
import io
import random
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from fast_cases import one_in
from places import DATA, TESTS
from read_words import SILENCE
from scoring_options import options_with
from test_signature import OTHER, SAMPLE

from approx.ipa import Word, read
from approx.processes.accept.accept import Accents
from approx.samples.rows.sample import count_pairs
from approx.scoring.bulk.score_table import ScoreTable
from approx.scoring.judging.counts import Scored
from approx.scoring.judging.options import ScoringOptions, default_scoring_options, option_names, option_notes
from approx.scoring.judging.scored_word import left_out_reason, score_word
from approx.scoring.sample_score import SCORING_COLUMNS, score_counts

sys.path.insert(0, str(TESTS / "bench"))
import corpus  # noqa: E402
import simulated_pairs  # noqa: E402

Pairs = list[tuple[Word, Word, str]]
ODD = [
    ("sʌn", "s̪ʌn"), ("sʌn", "s̃ʌn"), ("sʌn", "ɬʌn"), ("sʌn", "θʌn"), ("ˈbɑtəl", "ˈbɑtl̩"), ("ˈbɑtl̩", "ˈbɑto"), ("ˈbʌtn̩", "ˈbʌʔn̩"),
    ("tɛnθ", "tɛn̪θ"), ("tɛnθ", "tɛn̪"), ("bɛd", "bɛd?"), ("mʌd", "mʌC"), ("mʌd", "V"), ("hi", "i"), ("ˈɹʌnɪŋ", "ˈɹʌnɪn"), ("əˈhɛd", "əˈɛd"),
    ("spun", "fun"), ("spəˈɡɛti", "pəsˈɡɛti"), ("kɑɹz", "kɑɹks"), ("blu", "bəˈlu"), ("blu", "bl̩u"), ("fʊt", "hwʊt"), ("ˈwɑtɚ", "ˈwɑɾɚ"),
    ("toʊ", "ɾoʊ"), ("ˈwɑtɚ", "ˈwɑwə˞"), ("bɝd", "bɜd"), ("ɹɛd", "ʋɛd"), ("lif", "lʷif"), ("pɪɡ", "pʰɪɡ̚"), ("bɪɡ", "bɪk"), ("kʌp", "kʌpʰ"),
    ("ɔf", "ɔ"), ("a", "a"), ("m", "m"), ("ʃː", "ʃ"), ("fɪʃ", "fɪʃː"), ("kæt", "ʔæʔ"), ("ˈtɛləˌfoʊn", "ˈtɛfoʊn"), ("æmbjələns", "ambələnts"),
    ("ˈɛləfənt", "ˈɛfəlʌnt"), ("ækt", "ækət"), ("pɹɪns", "pɪnts"), ("dɔɡ", "ɡɔd"), ("su", "stu"), ("wɪʃ", "hwɪʃ"), ("d͡ʒʌmp", "ʒʌmp"),
    ("bɹʌð", "bɹʌð̥"), ("jɛs", "ʝɛs"), ("tɹi", "t͡ʃɹi"), ("ˌɪntɚˈnæʃənəl", "ˈnæsənə"), ("wʌn", "ũʌ̃n"), ("kɹaɪ", "kʰɹ̥aɪ"),
    ("ˈfwente", "ˈfente"), ("ˈpjedɾa", "ˈpedɾa"), ("ˈkasa", "ˈkaθa"), ("ˈmuzɪk", "mjuzɪk"),
]  # fmt: skip
"""Pairs with clinical marks, sounds left open, syllabic consonants, sounds joined, moved and added; invented."""


def word(text: str, language: str = "en-US") -> Word:
    return read(text, language).words[0]


def written(pairs: list[tuple[str, str]], language: str = "en-US") -> Pairs:
    return [(word(one, language), word(other, language), "") for one, other in pairs]


def simulated(number: int, seed: int) -> Pairs:
    made = simulated_pairs.pairs(simulated_pairs.targets(800, seed), number, seed, slips=0.15)
    return written([(pair.target, pair.produced) for pair in made])


def judged() -> Pairs:
    rows = csv.DictReader((DATA / "worked_examples.csv").open(encoding="utf-8"))
    pairs = [(row["target_ipa"], row["produced_ipa"]) for row in rows]
    found = [(read(one).words, read(other).words) for one, other in pairs if one and other]
    return [(one[0], other[0], "") for one, other in found if len(one) == len(other) == 1]


def odd() -> Pairs:
    """The odd pairs, every odd target against every third odd production, a doubtful sound, and nothing said."""
    pairs = written([*ODD, *SAMPLE])
    forms = [form for _, form, _ in pairs]
    mixed = [(target, said, "") for at, (target, _, _) in enumerate(pairs) for said in forms[at % 3 :: 3]]
    doubtful = [(target, replace(said, doubtful=frozenset((0,))), "d") for target, said, _ in pairs[::4]]
    return [*pairs, *mixed, *doubtful, *[(target, SILENCE, "") for target, _, _ in pairs[:20]]]


def one_by_one(pairs: Pairs, options: ScoringOptions) -> Iterator[Scored]:
    return (score_word(target, said, options, name) for target, said, name in pairs)


def in_arrays(pairs: Pairs, options: ScoringOptions) -> list[Scored]:
    targets, said, names = zip(*pairs)
    return list(ScoreTable(targets, said, names, options))


def same(pairs: Pairs, options: ScoringOptions) -> None:
    scored = [pair for pair in pairs if not left_out_reason(pair[0], pair[1], options)]
    assert len(scored) > len(pairs) * 0.8
    for pair, expected, found in zip(scored, one_by_one(scored, options), in_arrays(scored, options), strict=True):
        assert found == expected, f"{pair[0].ipa} {pair[1].ipa}"


@pytest.mark.parametrize("number", [800, pytest.param(6000, marks=pytest.mark.slow)])
def test_thousands_of_simulated_words(number: int) -> None:
    same(simulated(number, 5), default_scoring_options())


def test_most_simulated_words_are_scored_in_arrays() -> None:
    """Else the comparison would compare one way with itself."""
    targets, said, names = zip(*simulated(500, 5))
    table = ScoreTable(targets, said, names, default_scoring_options())
    assert len(table._alone) < 150


def test_judged_and_odd_words() -> None:
    same(judged(), default_scoring_options())
    same(odd(), default_scoring_options())


def changed(name: str) -> list[Any]:
    """Every other choice of an option."""
    return OTHER.get(name) or [
        one for one in option_notes(name)["choices"] if one != getattr(default_scoring_options(), name)
    ]


@cache
def of_options() -> Pairs:
    return [*simulated(150, 7), *odd()[::5], *written([*ODD, *SAMPLE])]


@pytest.mark.parametrize("every", [20, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", [name for name in option_names() if name != "accents"])
def test_every_option(name: str, every: int) -> None:
    """By each choice of each option, in English and in Spanish; accents choose the target beforehand (below).

    One pair in twenty and one language here, not the same for each option; all of them in the slow set.
    """
    number = option_names().index(name)
    pairs = of_options()[number % every :: every]
    for language in ("en-US", "es") if every == 1 else ("en-US", "es")[number % 2 :][:1]:
        for choice in changed(name):
            options = options_with(**{"language": language} | {name: choice})
            same(pairs, options)


def test_counts_of_groups_in_both_ways(tmp_path: Path) -> None:
    """Small parts of a large sample with marks, accents and several contexts: equal groups, whole and without counts."""
    file = tmp_path / "sample.csv"
    rng = random.Random(4)
    made = [list(row) for row in corpus.rows(400, seed=9)]
    with file.open("w", encoding="utf-8", newline="") as stream:
        out = csv.writer(stream)
        out.writerow(corpus.HEADER)
        for number, row in enumerate(made):
            if number % 17 == 0:
                one, other = rng.choice([*ODD, *SAMPLE])
                row[2:5] = ["", one, rng.choice([other, "xxx", ""])]
            row[0], row[5] = f"C{number % 4}", rng.choice(["talk", "word", ""])
            out.writerow(row)
    found = count_pairs(file, ("child", *SCORING_COLUMNS))
    for accents in ((), ("african-american-english", "spanish-influenced-english")):
        for changes in ({}, {"accents": accents, "pwv": "zero when all alike", "unidentified": "score what was heard"}):
            options = options_with(**{k: v for k, v in changes.items() if v in choices_of(k, v)})
            others = Accents(accents).others
            slow = score_counts(found, options, others, many=10**9)
            quick = score_counts(found, options, others, many=1)
            assert quick == slow
            less = score_counts(found, options, others, keep_counts=False, many=1)
            assert [one.measures for one in less] == [one.measures for one in slow]
            assert [one.counts.accepted for one in less] == [one.counts.accepted for one in slow]


MEASURED_BY = {
    "pwv": None, "variability": None, "pwp_of_sample": None, "interval_words": [3, 30], "confidence": [80.0],
    "tokens_a_word": [2], "language": ["es", "de"],
}  # fmt: skip
"""Options that change what is made of the numbers of words, with other choices than the default (None: all there are)."""


@pytest.mark.parametrize("name", one_in(2, MEASURED_BY))
def test_measures_and_sounds_of_groups_in_both_ways(name: str, tmp_path: Path) -> None:
    """To the last digit, for groups of one word, of few and of many."""
    file = tmp_path / "sample.csv"
    rng = random.Random(name)
    sizes = [1, 2, 9, 10, 40, 200]
    with file.open("w", encoding="utf-8", newline="") as stream:
        out = csv.writer(stream)
        out.writerow(corpus.HEADER)
        for number, row in enumerate(corpus.rows(250, seed=3)):
            out.writerow([f"C{rng.choices(range(len(sizes)), sizes)[0]}", *row[1:]])
            if number % 5 == 0:
                out.writerow([f"C{number % 7}", "", "", *rng.choice([*ODD, *SAMPLE]), "", "", ""])
    found = count_pairs(file, ("child", *SCORING_COLUMNS))
    for choice in MEASURED_BY[name] or changed(name):
        if name == "language":
            found = count_pairs(file, ("child", *SCORING_COLUMNS), choice)
        options = default_scoring_options() if name == "language" else options_with(**{name: choice})
        slow = score_counts(found, options, many=10**9, keep_counts=False)
        quick = score_counts(found, options, many=1, keep_counts=False)
        assert quick == slow
        assert [one.sounds for one in quick] == [one.sounds for one in slow]
        assert [str(one.measures["error_consistency"]) for one in quick] == [
            str(one.measures["error_consistency"]) for one in slow
        ]


def choices_of(name: str, value: Any) -> list[Any]:
    return [value] if name == "accents" else option_notes(name)["choices"]


def test_what_is_accepted_is_scored_alike_in_both_ways() -> None:
    pairs = [("bæθ", "bæf"), ("bæθ", "bæt"), ("ˈɹʌnɪŋ", "ˈɹʌnɪn"), ("dɛsk", "dɛs"), ("kɑɹ", "kɑ"), ("bæθ", "bæθ")]
    text = "child,target_word,target_ipa,produced_ipa\n" + "".join(
        f"A,w{at},{a},{b}\n" for at, (a, b) in enumerate(pairs)
    )
    found = count_pairs(io.BytesIO(text.encode()), ("child", *SCORING_COLUMNS))
    others = Accents(("african-american-english",)).others
    slow = score_counts(found, None, others, many=10**9)
    quick = score_counts(found, None, others, many=1)
    assert quick == slow
    assert sum(slow[0].counts.accepted.values()) >= 2
