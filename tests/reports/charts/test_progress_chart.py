"""Charts: what is drawn, read back from the picture itself, and the table beside each chart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from places import SAMPLES

from approx.progress.phases import Panel, Point, Series, panels
from approx.progress.probe_file import read_probe_table
from approx.reports.charts.progress_chart import THEMES, chart_svg, chart_table, stacked_svg, svg_png
from approx.samples.files.table import open_table

SAMPLE = SAMPLES / "probes.csv"
SVG = "{http://www.w3.org/2000/svg}"


def sample() -> tuple[Panel, ...]:
    return panels(read_probe_table(open_table(SAMPLE)).series)


def drawn(stack: Sequence[Panel], language: str = "en") -> Element:
    return ElementTree.fromstring(stacked_svg(stack, "light", language))


def of_class(root: Element, name: str) -> list[Element]:
    return [each for each in root.iter() if each.get("class") == name]


def place(point: Element) -> tuple[float, float]:
    x, y = re.findall(r"[\d.]+", point.get("transform") or "")
    return float(x), float(y)


def test_every_probe_is_drawn_with_its_numbers_and_the_higher_the_more() -> None:
    points = of_class(drawn(sample()), "point")
    wanted = sorted(
        (point.session, point.right, point.out_of)
        for panel in sample()
        for series in panel.series
        for point in series.points
    )
    assert (
        sorted(
            (int(each.get("data-session", 0)), int(each.get("data-right", -1)), int(each.get("data-n", 0)))
            for each in points
        )
        == wanted
    )
    first = of_class(drawn(sample()[:1]), "point")
    heights = {int(each.get("data-right", -1)): place(each)[1] for each in first}
    ordered = [heights[right] for right in sorted(heights)]
    assert ordered == sorted(ordered, reverse=True) and len(set(ordered)) == len(ordered)


def test_sets_treated_in_turn_share_the_sessions_and_a_stepped_line() -> None:
    root = drawn(sample())
    by_session: dict[str, set[float]] = {}
    for point in of_class(root, "point"):
        by_session.setdefault(point.get("data-session", ""), set()).add(place(point)[0])
    # a point on that of another set stands beside it
    assert all(max(places) - min(places) <= 7 for places in by_session.values())
    step = re.findall(r"[MVH][\d.,]+", of_class(root, "step")[0].get("d") or "")
    assert [part[0] for part in step] == ["M", "V", "V", "H", "V"]
    first, second = float(step[0][1:].split(",")[0]), float(step[3][1:])
    x = {session: min(places) for session, places in by_session.items()}
    assert x["4"] < first < x["5"] and x["12"] < second < x["13"]


def test_probes_are_joined_within_a_phase_and_never_across() -> None:
    root = drawn(sample()[:1])
    x = {place(point)[0]: int(point.get("data-session", 0)) for point in of_class(root, "point")}
    joined = {(x[float(line.get("x1", 0))], x[float(line.get("x2", 0))]) for line in of_class(root, "probes")}
    assert (4, 5) not in joined and (12, 13) not in joined and (18, 19) not in joined
    assert {(1, 2), (5, 6), (17, 18)} <= joined and len(joined) == 15


def test_a_long_pause_breaks_the_line_and_the_axis() -> None:
    days = ("2026-03-02", "2026-03-05", "2026-03-09", "2026-05-11")
    points = tuple(Point(at, at, 5, "B", day) for at, day in enumerate(days, 1))
    root = drawn(panels([Series("K", "s", points)]))
    assert len(of_class(root, "probes")) == 2 and len(of_class(root, "break")) == 1


def test_zero_is_lifted_off_the_axis() -> None:
    root = drawn(panels([Series("K", "s", (Point(1, 0, 5, "A"), Point(2, 0, 5, "A")))]))
    floor = max(float(line.get("y1", 0)) for line in root.iter(f"{SVG}line") if line.get("y1") == line.get("y2"))
    assert all(place(point)[1] <= floor - 5 for point in of_class(root, "point"))


def test_series_are_named_at_their_ends_and_differ_in_shape_and_dash() -> None:
    root = drawn(sample()[1:2])
    assert sorted(each.text or "" for each in of_class(root, "end")) == ["set 2", "untreated"]
    last = max(place(point)[0] for point in of_class(root, "point"))
    assert all(float(each.get("x", 0)) > last for each in of_class(root, "end"))
    assert len({point.get("d") for point in of_class(root, "point")}) == 2
    assert {line.get("stroke-dasharray") for line in of_class(root, "probes")} == {None, "6 4"}


def test_phases_are_named_and_dates_are_shown() -> None:
    root = drawn(sample()[:1])
    assert [each.text for each in of_class(root, "phase-name")] == ["A", "B1", "B2", "M"]
    assert of_class(root, "date")[0].text == "3/5" and "2026" in "".join(root.itertext())


def test_whiskers_stand_only_where_they_help() -> None:
    assert len(of_class(drawn(sample()[:1]), "whisker")) == 19
    many = tuple(Point(at, at % 5, 5, "B") for at in range(1, 40))
    assert not of_class(drawn(panels([Series("K", "s", many)])), "whisker")


def test_n_stands_at_every_probe_where_it_differs_and_once_where_it_does_not() -> None:
    points = (Point(1, 3, 5, "A"), Point(2, 4, 8, "A"), Point(3, 8, 8, "B"))
    root = drawn(panels([Series("K", "s", points, treated_from=3)]))
    assert [each.text for each in of_class(root, "n")] == ["n 5", "n 8", "n 8"]
    assert not of_class(drawn(sample()), "n") and "10 items" in "".join(drawn(sample()).itertext())


def test_the_table_has_every_number_of_the_chart() -> None:
    table = chart_table(sample()[0])
    assert len(table.rows) == 19 and {len(row) for row in table.rows} == {len(table.head)} == {9}
    assert table.rows[11][:5] == ("12", "Apr\xa014,\xa02026", "B1", "8 / 10", "80")
    # Clopper-Pearson for 8 of 10, as in the table of any textbook: 44.4 to 97.5
    assert table.rows[11][5] == "44 - 97"


def test_a_session_without_a_probe_of_a_set_is_a_dash() -> None:
    one = Series("K", "s", (Point(1, 1, 5, "A"), Point(3, 2, 5, "A")))
    two = Series("K", "control", (Point(2, 1, 5, "A"),), untreated=True)
    assert [row[3] for row in chart_table(panels([one, two])[0]).rows] == ["1 / 5", "-", "2 / 5"]


def test_spanish_words() -> None:
    text = "".join(drawn(sample(), "es-MX").itertext())
    assert "sesión" in text and "porcentaje correcto" in text and "session" not in text


def test_an_unknown_theme_is_a_callers_mistake() -> None:
    with pytest.raises(KeyError):
        chart_svg(sample()[0], "sepia")


@pytest.mark.parametrize("theme", THEMES)
def test_the_drawing_names_itself_and_loads_nothing(theme: str) -> None:
    svg = chart_svg(sample()[0], theme)
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img" and root.get("aria-label") == "K07: set 1: percent correct, without cues"
    assert root[0].tag.endswith("title") and root[1].tag.endswith("desc")
    assert "session 5" in (root[1].text or "")
    assert not re.search(r"(href|src|url)\s*[=(]\s*[\"']?http", svg)
    assert ("currentColor" in svg) == (theme == "page")


def test_names_are_text_and_nothing_else() -> None:
    name = '<script>alert("1")</script> & co'
    points = (Point(1, 1, 5, name), Point(2, 2, 5, "B"))
    svg = chart_svg(panels([Series(name, name, points, treated_from=2)])[0])
    assert ElementTree.fromstring(svg) is not None
    assert "<script" not in svg


def test_the_drawing_as_a_picture() -> None:
    png = svg_png(chart_svg(sample()[0]))
    assert png.startswith(b"\x89PNG") and len(png) > 10_000


def coinciding(percent: int) -> Element:
    """A treated and an untreated set with the same figures in every session, ten items each."""

    def points(name: str) -> Series:
        probes = tuple(
            Point(at, percent // 10, 10, "A" if at < 4 else "B", f"2026-03-{at + 1:02}") for at in range(1, 9)
        )
        return Series("K", name, probes, treated_from=4 if name == "set 1" else None, untreated=name != "set 1")

    return drawn(panels([points("set 1"), points("others")]))


@pytest.mark.parametrize("percent", [0, 100])
def test_sets_that_coincide_are_both_seen(percent: int) -> None:
    root = coinciding(percent)
    places = [place(point) for point in of_class(root, "point")]
    assert len(places) == len(set(places)) == 16
    ends = [float(end.get("y") or 0) for end in of_class(root, "end")]
    axis = max(float(line.get("y1") or 0) for line in root.iter() if line.tag.endswith("line"))
    assert len(ends) == 2 and abs(ends[0] - ends[1]) >= 13 and max(ends) < axis
    names = [float(name.get("y") or 0) for name in of_class(root, "phase-name")]
    assert max(names) + 5 < min(y for _, y in places), "points at 100 % stand in the names of phases"


def test_the_day_after_a_pause_is_written() -> None:
    """Eight weekly probes, a pause of three months before the fourth: its day is told, also where not every day fits."""
    days = [date(2026, 1, 5) + timedelta(days=7 * at + (90 if at >= 3 else 0)) for at in range(14)]
    points = tuple(Point(at, 5, 10, "B", day.isoformat()) for at, day in enumerate(days, 1))
    root = drawn(panels([Series("K", "s", points)]))
    shown = [text.text for text in of_class(root, "date")]
    assert f"{days[3].month}/{days[3].day}" in shown and len(shown) < len(days)
