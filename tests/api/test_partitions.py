"""Counts of parts merge to the counts of the whole, and their measures are the same digit for digit."""

from __future__ import annotations

import random
import sys
from typing import Any

import pytest
from places import TESTS

pandas = pytest.importorskip("pandas")
from approx.api.samples.partitions import count_table, measures_of, merge_counts  # noqa: E402
from approx.api.samples.scores import Scores, score  # noqa: E402
from approx.problems import ProblemsError  # noqa: E402

sys.path.insert(0, str(TESTS / "bench"))
import corpus  # noqa: E402

BY = ("child",)


def sample(rows: int = 600) -> Any:
    """Simulated children with two languages, contexts, ages, rows nobody understood and forms of an accent."""
    made = [dict(zip(corpus.HEADER, row)) for row in corpus.rows(rows, seed=3)]
    for number, row in enumerate(made):
        row["child"] = f"C{number % 3}"
        row["context"] = ("talk", "word", "")[number % 3 if number % 3 == 1 else 0]
        row["age"] = "4;2" if row["child"] == "C0" else ("3;9", "4;0")[number % 2]
        if number % 20 == 0:
            row["produced_ipa"] = ("xxx", "", "bæf")[number // 20 % 3]
        if number % 50 == 7:
            row |= {"language": "es", "target_word": "gato", "target_ipa": "ˈɡato", "produced_ipa": "ˈdato"}
    return pandas.DataFrame(made).fillna("")


def split(frame: Any, parts: int, seed: int) -> list[Any]:
    """Rows dealt out at random; a part may stay empty."""
    draw = random.Random(seed)
    which = [draw.randrange(parts) for _ in range(len(frame))]
    return [frame[[one == part for one in which]] for part in range(parts)]


def in_order(scores: Scores) -> Any:
    return scores.to_frame().sort_values(["child", "group", "measure"], kind="stable").reset_index(drop=True)


@pytest.mark.parametrize(
    ("parts", "changes"),
    [
        pytest.param(2, {}, marks=pytest.mark.slow),
        (7, {"accents": ("african-american-english",)}),
        pytest.param(60, {"pwv": "zero when all alike"}, marks=pytest.mark.slow),
    ],
)
def test_any_split_merges_to_the_whole(parts: int, changes: dict[str, Any]) -> None:
    frame = sample()
    whole = count_table(frame, BY, **changes)
    tables = [count_table(part, BY, **changes) for part in split(frame, parts, parts)]
    random.Random(1).shuffle(tables)
    merged = merge_counts(tables)
    pandas.testing.assert_frame_equal(merged, whole)
    straight = score(frame, by=BY, **changes)
    pandas.testing.assert_frame_equal(in_order(measures_of(merged, **changes)), in_order(straight), check_exact=True)
    assert measures_of(merged, **changes).signature == straight.signature
    assert {"talk"} < set(frame["context"]) and straight.to_frame()["group"].nunique() == 2


def test_a_label_of_language_stands_where_score_has_it() -> None:
    """A child of each language needs none; a child of both does."""
    head = ["child", "language", "target_ipa", "produced_ipa"]
    rows = [("A", "en-US", "ki", "ti"), ("B", "es-MX", "ˈɡato", "ˈdato"), ("C", "en-US", "ki", "ki")]
    for more in ([], [("C", "es-MX", "sol", "sol")]):
        frame = pandas.DataFrame([*rows, *more], columns=head)
        labels = [group.labels for group in measures_of(count_table(frame, BY)).groups]
        assert labels == [group.labels for group in score(frame, by=BY).groups]
        assert [label.get("language") for label in labels][:2] == [None, None]


def test_problems_of_the_parts_come_with_the_measures() -> None:
    frame = pandas.DataFrame(
        {"child": ["A", "A", "B"], "target_ipa": ["ki", "k☃i", "ki"], "produced_ipa": ["ti", "ti", "t☃i"]}
    )
    told = [(each.code, each.message, each.symbol, each.fatal) for each in score(frame, by=BY).problems]
    tables = [count_table(frame[at : at + 1], BY) for at in range(3)]
    found = measures_of(merge_counts(tables))
    assert told and sorted((each.code, each.message, each.symbol, each.fatal) for each in found.problems) == sorted(
        told
    )
    assert [group.labels for group in found.groups] == [group.labels for group in score(frame, by=BY).groups]
    missing = measures_of(count_table("nosuch.csv", "child"))
    assert [each.code for each in missing.problems] == ["sample.file"] and missing.groups == ()
    assert count_table(frame[:0], BY).empty


def test_what_score_refuses_is_refused_of_a_part() -> None:
    for given, code in (
        ({"by": "nosuch"}, "use.by"), ({"by": 5}, "use.by"), ({"language": "xx"}, "use.language"),
        ({"accents": "nosuch"}, "use.accent"), ({"confidence": 500}, "use.confidence"),
    ):  # fmt: skip
        with pytest.raises(ProblemsError) as raised:
            count_table(sample(10), **given)
        assert [problem.code for problem in raised.value.problems] == [code]


def test_merging_may_be_done_in_steps() -> None:
    one, two, three = (count_table(part, BY) for part in split(sample(120), 3, 5))
    pandas.testing.assert_frame_equal(merge_counts([merge_counts([one, two]), three]), merge_counts([three, two, one]))


def test_only_every_attempt_can_be_counted_in_parts() -> None:
    with pytest.raises(ValueError, match="every"):
        count_table(sample(10), BY, repeats="first")


@pytest.mark.slow
def test_partitions_on_a_cluster_give_the_same_table() -> None:
    """Two worker processes on this machine; each partition is counted where it is."""
    import dask.dataframe as parts_of
    from dask.distributed import Client, LocalCluster

    frame = sample(3000)
    whole = count_table(frame, BY)
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster):
        for number in (1, 2, 5):
            divided = parts_of.from_pandas(frame, npartitions=number)
            tables = list(divided.to_delayed())
            found = parts_of.from_delayed(
                [_counted(part) for part in tables], meta=whole.iloc[:0], verify_meta=False
            ).compute()
            merged = merge_counts([found])
            pandas.testing.assert_frame_equal(merged.astype(whole.dtypes.to_dict()), whole)
            pandas.testing.assert_frame_equal(
                in_order(measures_of(merged)), in_order(score(frame, by=BY)), check_exact=True
            )


def _counted(part: Any) -> Any:
    from dask import delayed

    return delayed(count_table)(part, BY)
