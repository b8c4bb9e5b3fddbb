"""Criteria against probes: met or not by counts, sources and numbers from the rules, rungs and how long they lasted."""

from __future__ import annotations

import pytest

from approx.progress.criteria import (
    RungStep,
    all_readiness,
    default_ready,
    default_unchanged,
    readiness,
    ready_choices,
    ready_with,
    rung_histories,
)
from approx.progress.phases import Point, Series


def treated(rights: list[int], out_of: int = 10, phase: str = "B", start: int = 1) -> Series:
    points = tuple(Point(session, right, out_of, phase) for session, right in enumerate(rights, 1))
    return Series("K07", "set 1", points, treated_from=start)


@pytest.mark.parametrize(
    ("rights", "state", "met_by", "since"),
    [
        ([2, 8, 9, 8], "met", 3, 2),
        ([8, 9, 7], "not met", 2, None),
        ([8, 7, 8, 9], "not met", 2, 3),
        ([9, 9], "too few probes", 2, 1),
        ([10, 10, 10], "met", 3, 1),
    ],
)
def test_80_percent_in_three_probes(rights: list[int], state: str, met_by: int, since: int | None) -> None:
    found = readiness(treated(rights))
    assert (found.ready, found.met_by, found.since) == (state, met_by, since)
    assert [point.right for point in found.last] == rights[-3:]


def test_the_criterion_can_be_set_and_says_whose_it_is() -> None:
    assert readiness(treated([8, 9, 8]), ready_with(90)).ready == "not met"
    assert readiness(treated([3, 9, 9]), ready_with(90, 2)).ready == "met"
    assert "clinician" in ready_with(90).source
    assert ready_with().source == default_ready().source
    for bad in ((0, None), (101, None), (None, 0)):
        with pytest.raises(ValueError, match="percent"):
            ready_with(*bad)


def test_choices_name_their_sources() -> None:
    assert {name: (each.percent, each.sessions) for name, each in ready_choices().items()} == {
        "80 in 3": (80, 3),
        "90 in 3": (90, 3),
        "80 in 2": (80, 2),
    }
    assert all("source" in each.source or "site" in each.source for each in ready_choices().values())


def test_probes_with_too_few_items_do_not_count() -> None:
    found = readiness(treated([4, 4, 4], out_of=4))
    assert (found.ready, found.met_by, found.small) == ("not met", 0, 3)


def test_only_probes_since_treatment_began_and_maintenance_apart() -> None:
    points = [Point(at, 9, 10, phase) for at, phase in enumerate("AABBM", 1)]
    found = readiness(Series("K", "s", tuple(points), treated_from=3))
    assert (found.ready, found.treated_probes, len(found.last)) == ("too few probes", 2, 2)
    assert [point.session for point in found.kept] == [5]


@pytest.mark.parametrize(
    ("rights", "unchanged", "over"),
    [
        ([4, 5, 4, 5, 4, 4], True, 6),
        ([4, 4, 4, 4, 4, 5], False, 0),  # the last is higher than the first
        ([4, 6, 4, 5, 4, 4], False, 0),  # more than 10 points apart
        ([4, 4, 4, 4, 4], None, 0),
        ([9, 4, 5, 4, 5, 4, 5, 4, 4], True, 8),
    ],
)
def test_no_change(rights: list[int], unchanged: bool | None, over: int) -> None:
    found = readiness(treated(rights))
    assert (found.unchanged, found.unchanged_over) == (unchanged, over)
    assert default_unchanged().sessions == 6


def test_untreated_words_have_no_criterion() -> None:
    series = [treated([9, 9, 9]), Series("K07", "control", (Point(1, 9, 10),), untreated=True), treated([1], start=9)]
    assert [each.word_set for each in all_readiness(series[:2])] == ["set 1"]
    assert readiness(series[2]).ready == "too few probes"


def test_rungs_in_order_with_what_each_lasted() -> None:
    steps = [RungStep("spoon", "spun", 12), RungStep("spoon", "pun", 3), RungStep("mud", "mʌ", 1)]
    spoon, mud = rung_histories(steps, 14)
    assert [step.form for step in spoon.steps] == ["pun", "spun"]
    assert spoon.lasted == (9, 3)
    assert not spoon.long  # the present rung is three sessions old
    assert (mud.lasted, mud.long, mud.limit) == ((14,), True, 8)
