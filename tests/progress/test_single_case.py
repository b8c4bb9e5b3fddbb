"""Series with phases: the scenario's check values, level, trend, variability, panels and cautions."""

from __future__ import annotations

from itertools import combinations
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from approx.progress.phases import Comparison, Panel, Point, Series, panels, phase_runs, summary
from approx.scoring.measures.intervals import exact

SET_1 = {"A": (1, 2, 1, 2), "B1": (2, 4, 4, 6, 6, 7, 8, 8), "B2": (8, 9, 8, 9, 9, 8), "M": (8,)}
SET_2 = {"A": (0, 1, 0, 1), "B1": (1, 0, 1, 1, 1, 2, 1, 2), "B2": (3, 5, 5, 6, 8, 8), "M": (7,)}
UNTREATED = {"A": (1, 1, 1, 1), "B1": (1, 1, 2, 2, 2, 3, 3, 3), "B2": (3, 4, 4, 4, 5, 5), "M": (5,)}


def series(name: str, phases: dict[str, tuple[int, ...]], start: int | None, untreated: bool = False) -> Series:
    """Rows of scenario section 7: ten words a probe, sessions from 1."""
    flat = [(phase, right) for phase, found in phases.items() for right in found]
    points = tuple(Point(session, right, 10, phase) for session, (phase, right) in enumerate(flat, 1))
    return Series("K07", name, points, untreated, start)


def scenario() -> tuple[Panel, ...]:
    return panels([series("set 1", SET_1, 5), series("set 2", SET_2, 13), series("untreated", UNTREATED, None, True)])


def compared(panel: Panel, name: str, phase: str) -> Comparison:
    return next(each for each in panel.comparisons if each.series == name and each.after.name == phase)


def test_set_1_of_the_scenario() -> None:
    found = compared(scenario()[0], "set 1", "B1")
    assert (found.before.mean_right, found.after.mean_right) == (1.5, 5.625)
    share = found.figure("nap")
    assert (share.hits, share.out_of) == (31, 32)
    assert round(share.value or 0, 3) == 0.969


def test_set_2_of_the_scenario_has_its_own_baseline() -> None:
    found = compared(scenario()[1], "set 2", "B2")
    assert (found.before.right, found.before.probes) == (11, 12)
    assert round(found.before.mean_right or 0, 3) == 0.917
    assert (found.after.right, found.after.probes) == (35, 6)
    assert round(found.after.mean_right or 0, 3) == 5.833
    assert (found.figure("nap").hits, found.figure("nap").value) == (72, 1.0)


def test_a_panel_a_treated_set_each_with_the_untreated_words() -> None:
    found = scenario()
    assert [panel.title for panel in found] == ["set 1", "set 2"]
    assert all([each.name for each in panel.series][1] == "untreated" for panel in found)
    # the untreated words are cut where the set's treatment begins: 12 probes before for set 2
    assert compared(found[1], "untreated", "B2").before.probes == 12


def test_runs_are_cut_where_the_phase_changes_and_a_phase_may_return() -> None:
    points = [Point(at, 1, 2, phase) for at, phase in enumerate("AABBA", 1)]
    assert [(run.phase, run.kind, len(run.points)) for run in phase_runs(points)] == [
        ("A", "baseline", 2),
        ("B", "treatment", 2),
        ("A", "baseline", 1),
    ]


def test_level_and_spread_by_hand() -> None:
    found = summary("x", [Point(1, 2, 10), Point(2, 5, 10), Point(3, 5, 10), Point(5, 9, 10)])
    assert (found.right, found.out_of, found.median, found.mean, found.low, found.high) == (
        21,
        40,
        50.0,
        52.5,
        20.0,
        90.0,
    )
    # slopes of all pairs: 30, 15, 70/4, 0, 40/3, 20 points a session; the middle two are 15 and 17.5
    assert found.slope == pytest.approx(16.25)
    assert (found.rises, found.pairs) == (5, 6)
    # within 25 % of 50: from 37.5 to 62.5
    assert (found.near, found.stable) == (2, False)


def test_probes_of_unlike_size_have_no_mean_number_but_compare_as_shares() -> None:
    found = panels(
        [Series("K", "s", (Point(1, 4, 5, "A"), Point(2, 8, 10, "A"), Point(3, 8, 10, "B")), treated_from=3)]
    )[0]
    assert found.comparisons[0].before.mean_right is None
    assert found.comparisons[0].figure("nap").hits == 1  # two ties of 4/5 with 8/10
    assert found.comparisons[0].before.right == 12


def test_immediate_change_is_of_the_nearest_three() -> None:
    found = compared(scenario()[0], "set 1", "B1")
    assert found.immediate == pytest.approx(40 - 20)  # median of 2 4 4 less median of 2 1 2, of ten


@pytest.mark.parametrize(
    ("before", "key"), [(2, "few_baseline"), (3, "some_baseline"), (4, "some_baseline"), (5, ""), (9, "")]
)
def test_short_baselines_are_named(before: int, key: str) -> None:
    points = [Point(at, 3, 10, "A") for at in range(1, before + 1)] + [Point(before + 1, 5, 10, "B")]
    found = panels([Series("K", "s", tuple(points), treated_from=before + 1)])[0]
    keys = [each.key for each in found.cautions]
    assert [name for name in keys if name.endswith("baseline")] == ([key] if key else [])


def test_a_rising_baseline_is_named_and_a_level_one_is_not() -> None:
    for rights, rising in (((1, 2, 3, 4, 5), True), ((2, 2, 2, 2, 2), False), ((1, 2, 1, 2), False)):
        points = [Point(at, right, 10, "A") for at, right in enumerate(rights, 1)] + [Point(9, 9, 10, "B")]
        found = panels([Series("K", "s", tuple(points), treated_from=9)])[0]
        assert ("rising" in [each.key for each in found.cautions]) is rising


def test_nothing_is_compared_before_treatment_has_begun() -> None:
    found = panels([series("set 1", {"A": (1, 2, 1)}, None)])[0]
    assert found.comparisons == ()
    assert "cause" not in [each.key for each in found.cautions]


def test_untreated_words_alone_have_a_panel() -> None:
    assert [panel.title for panel in panels([series("untreated", UNTREATED, None, True)])] == ["untreated"]
    assert panels([]) == ()
    assert panels([Series("K", "s", ())]) == ()


def test_children_and_measures_are_never_in_one_panel() -> None:
    one = Point(1, 1, 2)
    found = panels([Series("K", "s", (one,)), Series("L", "s", (one,)), Series("K", "s", (one,), measure="shape")])
    assert [(panel.child, panel.measure) for panel in found] == [("K", ""), ("L", ""), ("K", "shape")]


@pytest.mark.parametrize(("right", "out_of"), [(-1, 5), (6, 5), (0, 0)])
def test_impossible_counts_are_refused(right: int, out_of: int) -> None:
    with pytest.raises(ValueError, match="is impossible"):
        Point(1, right, out_of)


def test_interval_of_a_probe_is_the_exact_one() -> None:
    assert Point(1, 8, 10).interval == exact(8, 10)


COUNTS = st.lists(st.tuples(st.integers(0, 6), st.integers(6, 12)), min_size=1, max_size=8)


@given(COUNTS)
def test_summary_agrees_with_plain_arithmetic(counts: list[tuple[int, int]]) -> None:
    points = [Point(session, right, out_of) for session, (right, out_of) in enumerate(counts, 1)]
    shares = [100 * right / out_of for right, out_of in counts]
    found = summary("x", points)
    assert found.median == pytest.approx(median(shares))
    assert found.mean == pytest.approx(sum(shares) / len(shares))
    slopes = [(b - a) / (j - i) for (i, a), (j, b) in combinations(enumerate(shares), 2)]
    assert (found.slope is None) == (not slopes)
    if slopes:
        assert found.slope == pytest.approx(median(slopes), abs=1e-9)


def test_cautions_speak_both_languages() -> None:
    english = [each.text() for each in scenario()[0].cautions]
    spanish = [each.text("es-MX") for each in scenario()[0].cautions]
    assert len(english) == len(spanish) and all(one != other for one, other in zip(english, spanish))
    assert not any("{" in text for text in english + spanish)


def test_the_edges_of_what_is_stable_and_of_what_is_rising_belong_to_them() -> None:
    """Stable: within 25% of the median, the edge included (Lane & Gast 2014). Rising: S of at least .4 of the pairs, asked from
    three baseline probes on."""
    # median 4 of 10; 3 and 5 lie 25% of it away: all five are near; with 6 in place of 5 four of five are, which is 80%
    for rights, near in (((3, 4, 4, 4, 5), 5), ((3, 4, 4, 4, 6), 4)):
        found = summary("A", [Point(at, right, 10) for at, right in enumerate(rights, 1)])
        assert (found.near, found.stable) == (near, True)
    # of 10 pairs S is 4 (5 rises, 1 fall), then 2; then three probes that rise
    for rights, rising in (((1, 2, 1, 2, 2), True), ((1, 2, 1, 1, 2), False), ((1, 2, 3), True)):
        points = [Point(at, right, 10, "A") for at, right in enumerate(rights, 1)] + [Point(9, 9, 10, "B")]
        made = panels([Series("K", "s", tuple(points), treated_from=9)])[0]
        assert ("rising" in [each.key for each in made.cautions]) is rising
