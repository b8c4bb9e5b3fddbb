"""Scores written straight into JSON text say what the encoder says of them, made one by one or in arrays."""

from __future__ import annotations

import csv
import io
import json
import math
import random
import sys
from dataclasses import dataclass

import pytest
from places import TESTS

from approx.reports.tables.scores import _figures, group_texts, scores_json, write_scores_json
from approx.samples.rows.sample import count_pairs
from approx.scoring.sample_score import SCORING_COLUMNS, GroupScore, score_counts

sys.path.insert(0, str(TESTS / "bench"))
import corpus  # noqa: E402

FEW = [
    ("few words", "spun", "pun"), ("few words", "kæt", "tæt"),
    ("no consonant", "aɪ", "a"), ("no error", "bu", "bu"), ("no error", "ti", "ti"),
    ("distorted", "sʌn", "s̪ʌn"), ("distorted", "sup", "tup"), ("nothing known", "", "pun"), ('a "name"', "ki", "ʔi"),
]  # fmt: skip
"""Groups where a measure is undefined, for one reason or another, or has no interval; invented."""


@dataclass(frozen=True)
class Scored:
    """The same groups scored one by one, and in arrays."""

    slow: list[GroupScore]
    quick: list[GroupScore]


@pytest.fixture(scope="module")
def scored() -> Scored:
    stream = io.StringIO()
    out = csv.writer(stream)
    out.writerow(corpus.HEADER)
    out.writerows(corpus.rows(1200, 5, 60, 1))
    out.writerows([name, "", "", target, said, "talk", "", ""] for name, target, said in FEW)
    found = count_pairs(io.BytesIO(stream.getvalue().encode()), ("child", *SCORING_COLUMNS))
    return Scored(*(score_counts(found, keep_counts=False, many=many) for many in (10**9, 1)))


def test_texts_of_sounds_and_measures_are_those_of_the_encoder(scored: Scored) -> None:
    encode = json.JSONEncoder(ensure_ascii=False).encode
    expected = [
        (encode([row.to_dict() for row in one.sounds])[1:-1], encode({n: s.as_json() for n, s in one.measures.items()})[1:-1])
        for one in scored.slow
    ]  # fmt: skip
    assert len(expected) > 20
    assert list(group_texts(scored.slow)) == expected
    assert list(group_texts(scored.quick)) == expected


def test_groups_of_both_kinds_may_be_mixed(scored: Scored) -> None:
    mixed = [one if at % 3 else other for at, (one, other) in enumerate(zip(scored.quick, scored.slow))]
    assert list(group_texts(mixed[::-1])) == list(group_texts(scored.slow))[::-1]


def test_what_is_written_is_what_to_dict_holds(scored: Scored) -> None:
    out = io.StringIO()
    write_scores_json(out, scored.quick, "mark", (), (), {})
    assert json.loads(out.getvalue()) == scores_json(scored.slow, "mark", (), (), {})


def test_figures_are_written_as_python_writes_them() -> None:
    """Of any size, as another encoder writes small ones otherwise."""
    rng = random.Random(7)
    values = [rng.random() * 10 ** rng.randint(-20, 20) for _ in range(5000)] + [
        0.0,
        1.0,
        45,
        100.0,
        1e-5,
        0.0001,
        1e16,
    ]
    assert _figures(values) == list(map(json.dumps, values))
    assert _figures([1.5, math.nan, 2]) == ["1.5", "null", "2"] and _figures([math.nan]) == ["null"]
    assert _figures([]) == []
