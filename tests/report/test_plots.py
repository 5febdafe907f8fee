"""The two drawings: what stands where, whether it can be read. Geometry is checked, looks were looked at."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import pytest

from matcher.report.plots import PlotMark, lean_plot, lightness_plot

PINK = PlotMark("1", "pink tile", (70.0, 20.0, 0.0), 40.7, "#d79ba9")
YELLOW = PlotMark("2", "yellow stone", (70.0, 0.0, 20.0), 40.7, "#b9aa86")
GREY = PlotMark("A", "a < grey & more", (70.0, 0.0, 0.0), 40.7, "#ababab")


def test_pink_lies_right_and_yellow_up_of_grey() -> None:
    """CIE 15: +a* is red, +b* is yellow."""
    svg = lean_plot([PINK, YELLOW], [GREY]).svg
    pink, yellow = re.findall(r'<rect x="([\d.]+)" y="([\d.]+)"', svg)
    (grey,) = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="15.0"', svg)
    assert float(pink[0]) > float(grey[0])
    assert float(yellow[1]) < float(grey[1])


def test_names_are_escaped_and_the_file_is_xml() -> None:
    for drawing in (lean_plot([PINK], [GREY]), lightness_plot([PINK], [GREY])):
        ET.fromstring(drawing.svg)
        assert "a < grey & more" in drawing.alt


@pytest.mark.parametrize("count", [2, 8, 12])
def test_labels_of_one_colour_do_not_cover_each_other(count: int) -> None:
    same = [PlotMark(str(i), f"paint {i}", (70.0, 1.0, 2.0), 40.7, "#ababab") for i in range(count)]
    places = [
        (float(x), float(y))
        for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="15.0"', lean_plot([], same).svg)
    ]
    assert len(places) == count
    gaps = [math.dist(a, b) for i, a in enumerate(places) for b in places[i + 1 :]]
    assert min(gaps) > 27


def test_lighter_stands_higher_on_the_ladder() -> None:
    light = PlotMark("A", "light", (90.0, 0.0, 0.0), 76.3, "#e2e2e2")
    dark = PlotMark("B", "dark", (30.0, 0.0, 0.0), 6.2, "#474747")
    heights = [
        float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', lightness_plot([], [light, dark]).svg)
    ]
    assert heights[0] < heights[1]


def test_nothing_to_show_is_still_a_drawing() -> None:
    assert lean_plot([], []).svg.startswith("<svg ")
    assert lightness_plot([], []).svg.startswith("<svg ")
