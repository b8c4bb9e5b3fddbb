"""Charts: what the specification says, what the drawing keeps, and the table beside each chart."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest
from places import SAMPLES

from approx.progress.phases import Panel, Point, Series, panels
from approx.progress.probe_file import read_probes
from approx.reports.charts.progress_chart import THEMES, chart_spec, chart_svg, chart_table, svg_png

SAMPLE = SAMPLES / "probes.csv"


def sample() -> tuple[Panel, ...]:
    return panels(read_probes(SAMPLE).series)


def layers(panel: Panel, kind: str) -> list[dict[str, Any]]:
    return [layer for layer in chart_spec(panel)["layer"] if layer["mark"]["type"] == kind]


def test_a_panel_holds_one_treated_set_and_the_untreated_words() -> None:
    texts = [layer["mark"]["text"] for layer in layers(sample()[1], "text") if "text" in layer["mark"]]
    assert texts == ["set 2", "untreated"]


def test_probes_are_joined_within_a_phase_and_never_across() -> None:
    lines = [layer for layer in layers(sample()[0], "line") if "strokeDash" in layer["mark"]]
    for line in lines:
        assert line["encoding"]["detail"]["field"] == "run"
        phases: dict[int, set[int]] = {}
        for row in line["data"]["values"]:
            phases.setdefault(row["run"], set()).add(round(row["session"]))
        assert [min(found) for found in phases.values()] == [1, 5, 13, 19]
        assert [max(found) for found in phases.values()] == [4, 12, 18, 19]


def test_series_differ_in_shape_and_dash_and_share_one_ink() -> None:
    spec = chart_spec(sample()[0])
    marks = [layer["mark"] for layer in spec["layer"]]
    assert len({mark["shape"] for mark in marks if mark["type"] == "point"}) == 2
    assert len({str(mark["strokeDash"]) for mark in marks if "strokeDash" in mark}) == 2
    inks = {str(mark[key]) for mark in marks for key in ("color", "stroke", "fill") if key in mark}
    assert inks == {"currentColor", "transparent"}


def test_lines_stand_between_phases_and_the_thick_one_where_treatment_begins() -> None:
    for panel, thick in zip(sample(), (4.5, 12.5)):
        rules = next(layer for layer in layers(panel, "rule") if "strokeWidth" in layer["encoding"])
        widths = {row["session"]: row["width"] for row in rules["data"]["values"]}
        assert list(widths) == [4.5, 12.5, 18.5]
        assert max(widths, key=lambda at: widths[at]) == thick


def test_scale_is_0_to_100_and_every_session_has_its_place() -> None:
    spec = chart_spec(sample()[0])
    ys = [layer["encoding"]["y"] for layer in spec["layer"] if "field" in layer["encoding"].get("y", {})]
    assert {tuple(y["scale"]["domain"]) for y in ys} == {(0, 100)}
    assert spec["encoding"]["x"]["axis"]["values"] == list(range(1, 20))
    assert "2026-03-05" in spec["encoding"]["x"]["title"]


def test_n_stands_at_every_probe_where_it_differs_and_once_where_it_does_not() -> None:
    points = (Point(1, 3, 5, "A"), Point(2, 4, 8, "A"), Point(3, 8, 8, "B"))
    found = panels([Series("K", "s", points, treated_from=3)])[0]
    labels = [layer for layer in layers(found, "text") if layer["encoding"].get("text", {}).get("field") == "n"]
    assert [row["n"] for row in labels[0]["data"]["values"]] == ["n 5", "n 8", "n 8"]
    assert "5" in chart_spec(found)["title"]["subtitle"][0] and "8" in chart_spec(found)["title"]["subtitle"][0]
    assert "10 items" in chart_spec(sample()[0])["title"]["subtitle"][0]


def test_the_table_has_every_number_of_the_chart() -> None:
    table = chart_table(sample()[0])
    assert len(table.rows) == 19 and {len(row) for row in table.rows} == {len(table.head)} == {9}
    assert table.rows[11][:5] == ("12", "2026-04-14", "B1", "8 / 10", "80")
    # Clopper-Pearson for 8 of 10, as in the table of any textbook: 44.4 to 97.5
    assert table.rows[11][5] == "44 - 97"


def test_a_session_without_a_probe_of_a_set_is_a_dash() -> None:
    one = Series("K", "s", (Point(1, 1, 5, "A"), Point(3, 2, 5, "A")))
    two = Series("K", "control", (Point(2, 1, 5, "A"),), untreated=True)
    assert [row[3] for row in chart_table(panels([one, two])[0]).rows] == ["1 / 5", "-", "2 / 5"]


def test_spanish_words() -> None:
    spec = chart_spec(sample()[0], language="es-MX")
    assert spec["encoding"]["x"]["title"].startswith("sesión")


def test_an_unknown_theme_is_a_callers_mistake() -> None:
    with pytest.raises(KeyError):
        chart_spec(sample()[0], "sepia")


@pytest.mark.slow
def test_the_specification_keeps_to_the_schema() -> None:
    import altair

    for panel in sample():
        assert altair.Chart.from_dict(chart_spec(panel)) is not None


@pytest.mark.slow
@pytest.mark.parametrize("theme", THEMES)
def test_the_drawing_names_itself_and_loads_nothing(theme: str) -> None:
    svg = chart_svg(sample()[0], theme)
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img" and root.get("aria-label") == "K07: set 1: percent right, without help"
    assert root[0].tag.endswith("title") and root[1].tag.endswith("desc")
    assert "session 5" in (root[1].text or "")
    assert not re.search(r"(href|src|url)\s*[=(]\s*[\"']?http", svg)
    assert ("currentColor" in svg) == (theme == "page")


@pytest.mark.slow
def test_names_are_text_and_nothing_else() -> None:
    name = '<script>alert("1")</script> & co'
    points = (Point(1, 1, 5, name), Point(2, 2, 5, "B"))
    svg = chart_svg(panels([Series(name, name, points, treated_from=2)])[0])
    assert ElementTree.fromstring(svg) is not None
    assert "<script" not in svg


@pytest.mark.slow
def test_the_drawing_as_a_picture() -> None:
    png = svg_png(chart_svg(sample()[0]))
    assert png.startswith(b"\x89PNG") and len(png) > 10_000
