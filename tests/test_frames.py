"""DataFrames in and out: the same numbers as the command."""

from __future__ import annotations

import pytest
from places import SAMPLES


def test_scores_of_m12_as_counted_by_hand() -> None:
    """60 consonant targets, 27 right, 3 of 25 words whole: the invented scenario's totals."""
    pandas = pytest.importorskip("pandas")
    import approx

    frame = pandas.read_csv(SAMPLES / "m12.csv")
    table = approx.score(frame).set_index("measure")
    assert (table.loc["pcc", "hits"], table.loc["pcc", "out_of"]) == (27, 60)
    assert table.loc["pcc", "value"] == pytest.approx(45.0)
    assert (table.loc["pwc", "hits"], table.loc["pwc", "out_of"]) == (3, 25)
    shuffled = approx.score(frame.sample(frac=1, random_state=1)).set_index("measure")
    assert shuffled["hits"].equals(table["hits"])


def test_processes_of_m12_as_counted_by_hand() -> None:
    pandas = pytest.importorskip("pandas")
    from approx.frames import processes

    table = processes(pandas.read_csv(SAMPLES / "m12.csv")).set_index("process")
    assert (table.loc["velar fronting", "occurrences"], table.loc["velar fronting", "chances"]) == (10, 10)
    assert (table.loc["cluster reduction", "occurrences"], table.loc["cluster reduction", "chances"]) == (6, 6)
    assert table.loc["stopping", "occurrences"] == 12
    assert table.loc["gliding", "occurrences"] == 3


def test_an_unknown_column_to_group_by_is_named() -> None:
    pandas = pytest.importorskip("pandas")
    import approx

    with pytest.raises(KeyError, match="visit"):
        approx.score(pandas.read_csv(SAMPLES / "m12.csv"), by=["visit"])
