"""A chart of 24 patches in a picture: tone curve, matrix and light from it, and what is refused with what words.

Truth: the mean of 30 charts measured as spectra (BabelColor 2012, colour-science), seen by real cameras' sensitivities;
the project reads them against the values published in 2014, so charts differ as real ones do (median dE00 about 0.9).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import count

import cv2
import numpy as np
import pytest

from matcher.calibration import chart as reading
from matcher.calibration.chart import Chart, _findings, _four_corners, _not_found
from matcher.calibration.chart_light import ChartLight, light_across
from matcher.calibration.correction import NO_CORRECTION, corrected, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.curve_evidence import shared_slope
from matcher.calibration.light import Light, cone_matrix, light_at, telling
from matcher.calibration.patch import LEVELS, Patch, read_patch
from matcher.calibration.photo_calibration import PhotoCalibration, _colour_fit, calibrate, with_believed_curve
from matcher.calibration.tone_curve import linear_table, same_camera_curve
from matcher.colorimetry.chart import chart_xyz
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.chart_grid import ChartGrid, find_grid
from matcher.photo.decoded import ColourSpace, Finding, Photo
from matcher.room.contents import Reference
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration.chart_scene import HEIGHT, LYING, WIDTH, ChartScene, Points, chart_linear, draw_chart
from tests.calibration.chart_scene import true_chart_lab as truth
from tests.calibration.made_patches import STRAIGHT, made, straight_space
from tests.calibration.scenes import Curve, plain, smoothstep_s
from tests.calibration.spectral_camera import NIKON, SIGMA

ACROSS = np.linspace(0, 1, WIDTH)[None] * np.ones((HEIGHT, 1))
GREYS = range(18, 24)


def read(scene: ChartScene, *references: Reference) -> PhotoCalibration:
    return calibrate(scene.photo, references or [scene.reference()], "photo.jpg")


def refusal(scene: ChartScene, reference: Reference | None = None) -> str:
    with pytest.raises(CardError) as caught:
        calibrate(scene.photo, [reference or scene.reference()], "photo.jpg")
    (problem,) = caught.value.problems
    assert problem.where == "photo.jpg: references[0] (chart 24)"
    return str(caught.value)


def patch_lab(
    calibration: PhotoCalibration, scene: ChartScene, matrix: Floats | None = None
) -> tuple[Floats, list[int]]:
    """CIELAB of the chart's own patches as a surface would be read, and which."""
    chart, light = calibration.charts[0], calibration.lights[0]
    used = [i for i, p in enumerate(chart.patches) if p is not None and p.usable and not p.sunk]
    patches = [p for p in (chart.patches[i] for i in used) if p is not None]
    to_cones = cone_matrix(scene.photo.colour_space)
    cones = [
        np.log(np.maximum(to_cones @ calibration.shared.of_patch(p, calibration.table), 1e-6))
        - light.cones
        - (p.centre - light.position) @ chart.slope
        for p in patches
    ]
    return reflectance_lab(corrected(np.stack(cones), calibration.correction if matrix is None else matrix)), used


def apart(one: tuple[Floats, list[int]], other: tuple[Floats, list[int]]) -> float:
    """Largest dE00 of patches that both readings have, which have to be nearly all."""
    both = sorted(set(one[1]) & set(other[1]))
    assert len(both) > 20
    labs = [lab[[used.index(i) for i in both]] for lab, used in (one, other)]
    return float(delta_e_2000(*labs).max())


def checks(calibration: PhotoCalibration) -> dict[str, Finding]:
    return {finding.check: finding for finding in calibration.findings}


@pytest.mark.parametrize("curve", [plain, smoothstep_s(0.2), smoothstep_s(0.4)])
@pytest.mark.parametrize("light", ["D65", "FL11"])
def test_greys_give_the_tone_curve_and_the_light(curve: Curve, light: str) -> None:
    scene = draw_chart(linear=chart_linear(light=light), curve=curve, level=0.6)
    calibration = read(scene)
    lab, used = patch_lab(calibration, scene)
    grey = [k for k, i in enumerate(used) if i in GREYS]
    expected = truth()[[used[k] for k in grey]]
    assert np.abs(lrv(lab[grey]) - lrv(expected)).max() < 2.6  # white itself differs by 3 between editions
    assert np.median(delta_e_2000(lab[grey], expected)) < 1.2
    assert calibration.curve.evidence >= 4


def test_colours_under_lamps_come_nearer_through_the_matrix() -> None:
    plainly, better = [], []
    for camera in (NIKON, SIGMA):
        for light in ("FL11", "A"):
            scene = draw_chart(linear=chart_linear(camera, light), level=0.6)
            calibration = read(scene)
            np.testing.assert_allclose(calibration.correction.sum(axis=1), 1, atol=1e-12)
            lab, used = patch_lab(calibration, scene)
            without, _ = patch_lab(calibration, scene, NO_CORRECTION)
            plainly.append(delta_e_2000(without, truth()[used]))
            better.append(delta_e_2000(lab, truth()[used]))
    for quantile in (0.5, 0.9):
        assert np.quantile(np.concatenate(better), quantile) < 0.8 * np.quantile(np.concatenate(plainly), quantile)


@pytest.mark.parametrize("lamp", ["D65", "A"])
def test_coloured_stray_light_is_taken_out(lamp: str) -> None:
    """Without a word for it the 90th percentile was 3.3 by daylight and 5.5 under CIE A; drawn without it 1.0, 2.3."""
    scene = draw_chart(linear=chart_linear(light=lamp), level=0.6, stray=(0.018, 0.024, 0.036))
    lab, used = patch_lab(read(scene), scene)
    off = delta_e_2000(lab, truth()[used])
    assert np.median(off) < 1.4
    assert np.quantile(off, 0.9) < 2.4


def test_stray_light_lies_over_a_card_elsewhere_too() -> None:
    """One light on a chart and on a dark grey card far from it, under one veil; without a word for it blue told 0.2."""
    spread = []
    for stray in ((0.0, 0.0, 0.0), (0.018, 0.024, 0.036)):
        scene = draw_chart(level=0.6, stray=stray, ground=(0.06, 0.06, 0.06))
        card = Reference(kind="grey card", reflectance=0.06, outline=((30, 30), (90, 30), (90, 90), (30, 90)))
        here, there = read(scene, scene.reference(), card).lights
        spread.append(here.cones - there.cones)
    np.testing.assert_allclose(spread[1], spread[0], atol=0.03)


def test_light_that_falls_off_over_the_chart_is_taken_out() -> None:
    scene = draw_chart(light=np.exp(-1.2 * ACROSS))
    calibration = read(scene)
    lab, used = patch_lab(calibration, scene)
    level, all_used = patch_lab(read(draw_chart()), draw_chart())
    both = sorted(set(used) & set(all_used))
    assert len(both) > 20
    # 0.52 of the logarithm over the chart, 12 in lightness; of that a seventh may be left at one patch.
    change = lab[[used.index(i) for i in both], 0] - level[[all_used.index(i) for i in both], 0]
    assert np.abs(change).max() < 1.8
    assert np.median(np.abs(change)) < 0.5
    slope = calibration.charts[0].slope
    assert slope[0] == pytest.approx(-1.2 / WIDTH, rel=0.1)
    assert abs(slope[1]) < 0.12 * abs(slope[0])
    # All greys take it over, so that together they know it as well as the chart does; colours keep what is inside them.
    chart = calibration.charts[0]
    members = [p for p in chart.patches if p is not None]
    assert [np.array_equal(p.slope, slope) for p in members] == [i in GREYS for i in range(24)]
    found, sd = shared_slope(chart.greys)
    np.testing.assert_allclose(found, slope)
    of_chart = light_across([p for p in members if p.usable and not p.sunk], scene.photo.colour_space)
    np.testing.assert_allclose(of_chart.slope, slope)
    assert sd == pytest.approx(np.hypot(of_chart.slope_sd, 0.3 * np.linalg.norm(slope)))


def test_a_good_chart_by_daylight_states_a_smaller_error_of_the_camera() -> None:
    base, per_chroma = read(draw_chart()).camera_sd
    assert base < unknown_camera_sd(0.0)[0]
    assert per_chroma < 0.7 * unknown_camera_sd(0.0)[1]


def test_a_chart_turned_upside_down_reads_the_same_and_is_said() -> None:
    as_it_lies, on_its_head = draw_chart(), draw_chart(LYING[2:] + LYING[:2])
    upright, turned = read(as_it_lies), read(on_its_head)
    assert apart(patch_lab(upright, as_it_lies), patch_lab(turned, on_its_head)) < 1
    assert "chart turned" not in checks(upright)
    assert dict(checks(turned)["chart turned"].values)["way"] == "upside down"


def test_clipped_patches_are_used_for_nothing_and_said() -> None:
    calibration = read(draw_chart(level=1.3))
    found = checks(calibration)
    assert found["clipped patch"].level == "warn"
    assert dict(found["chart"].values)["patches"] < 24
    assert all(light.cones.max() < np.log(1.6) for light in calibration.lights)
    lab, used = patch_lab(calibration, draw_chart(level=1.3))
    assert 18 not in used
    assert np.median(delta_e_2000(lab, truth()[used])) < 1.5


def test_clipping_below_the_largest_value_is_seen() -> None:
    """Some programs clip lower; a bright channel without the others' noise gives it away."""
    warm = draw_chart(level=1.3, linear=chart_linear() * [1.0, 0.75, 0.6])
    warm.photo.pixels[:] = np.minimum(warm.photo.pixels, 246)
    assert checks(read(warm))["clipped patch"].level == "warn"


def test_two_calls_agree_to_the_bit_and_a_believed_curve_keeps_the_chart() -> None:
    scene = draw_chart()
    one, other = read(scene), read(scene)
    assert one.correction.tobytes() == other.correction.tobytes()
    assert one.camera_sd == other.camera_sd
    lent = with_believed_curve(one, scene.photo.colour_space, same_camera_curve([one.curve]))
    np.testing.assert_array_equal(lent.correction, one.correction)


def test_without_a_chart_only_what_is_known_of_all_cameras_is_corrected() -> None:
    scene = draw_chart()
    grey = Reference(kind="grey card", reflectance=0.19, outline=_cell(scene, 21))
    calibration = read(scene, grey)
    np.testing.assert_array_equal(calibration.correction, unknown_camera_correction(0.0, developed=True))
    assert calibration.camera_sd == unknown_camera_sd(0.0)
    assert calibration.chroma_sd > 0 == read(scene).chroma_sd
    assert calibration.charts == ()


def test_one_even_patch_named_a_chart_with_its_reflectance_is_read_as_that_patch() -> None:
    scene = draw_chart()
    as_chart = scene.reference(_cell(scene, 21), reflectance=0.19)
    as_card = Reference(kind="grey card", reflectance=0.19, outline=_cell(scene, 21))
    np.testing.assert_array_equal(read(scene, as_chart).lights[0].cones, read(scene, as_card).lights[0].cones)


def test_an_outline_may_be_drawn_either_way_round() -> None:
    scene = draw_chart()
    drawn = scene.reference()
    reversed_ = drawn.model_copy(update={"outline": drawn.outline[::-1]})
    assert apart(patch_lab(read(scene), scene), patch_lab(read(scene, reversed_), scene)) < 0.2
    assert "mirrored" in refusal(draw_chart(mirrored=True), reversed_)


def test_mirrored_is_refused() -> None:
    message = refusal(draw_chart(mirrored=True))
    assert "mirrored" in message
    assert "as the camera wrote it" in message


def test_half_out_of_the_picture_is_refused_and_said_so() -> None:
    scene = draw_chart(tuple((x - 560, y) for x, y in LYING))
    inside: Points = tuple((max(x, 0.0), y) for x, y in scene.frame)
    message = refusal(scene, scene.reference(inside))
    assert "runs out of the picture" in message
    assert "whole chart" in message


def test_something_else_or_shuffled_patches_are_refused() -> None:
    shuffled = draw_chart(linear=np.random.default_rng(1).permutation(chart_linear()))
    elsewhere: Points = ((50, 50), (250, 50), (250, 200), (50, 200))
    for scene, outline in ((shuffled, None), (draw_chart(), elsewhere)):
        assert "in any order" in refusal(scene, scene.reference(outline))


@pytest.mark.parametrize("shadow", [0.3, 0.5])
def test_a_shadows_edge_across_the_chart_is_refused(shadow: float) -> None:
    diagonal = ACROSS + np.linspace(0, 1, HEIGHT)[:, None]
    message = refusal(draw_chart(light=np.where(diagonal < 1, 1.0, shadow)))
    assert "uneven" in message
    assert "shadow" in message


def test_a_faint_shadow_is_warned_of() -> None:
    diagonal = ACROSS + np.linspace(0, 1, HEIGHT)[:, None]
    assert checks(read(draw_chart(light=np.where(diagonal < 1, 1.0, 0.7))))["chart unevenly lit"].level == "warn"
    assert "chart unevenly lit" not in checks(read(draw_chart(curve=smoothstep_s(0.4))))


def test_too_small_says_to_come_nearer() -> None:
    small = draw_chart(tuple((100 + x * 0.1, 100 + y * 0.1) for x, y in LYING))
    assert "nearer" in refusal(small)


def test_an_outline_without_four_corners_is_refused() -> None:
    scene = draw_chart()
    triangle: Points = ((330, 260), (850, 300), (600, 640))
    assert "four corners" in refusal(scene, scene.reference(triangle))


def test_points_along_the_sides_do_no_harm() -> None:
    scene = draw_chart()
    many = [
        tuple((np.array(a) * (1 - t) + np.array(b) * t).tolist()) for a, b in _sides(scene.frame) for t in (0, 0.3, 0.7)
    ]
    careful = patch_lab(read(scene), scene)
    assert apart(patch_lab(read(scene, scene.reference(tuple(many))), scene), careful) < 1


def _sides(points: Points) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(points, points[1:] + points[:1], strict=True))


def _cell(scene: ChartScene, index: int) -> Points:
    patch = read(scene).charts[0].patches[index]
    assert patch is not None
    x, y = patch.centre
    half = 0.4 * patch.extent
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


SQUARE: Points = ((100.0, 80.0), (400.0, 90.0), (390.0, 300.0), (110.0, 290.0))


def signed_area(points: Floats) -> float:
    """By the shoelace formula; above 0 where points run clockwise in a picture, whose y grows downwards."""
    x, y = points.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def outlined(points: Points) -> Reference:
    return Reference(kind="chart 24", outline=points)


def test_corners_run_clockwise_whichever_way_they_were_drawn() -> None:
    for points in (SQUARE, SQUARE[::-1], SQUARE[2:] + SQUARE[:2]):
        corners = _four_corners(outlined(points), "chart")
        assert sorted(map(tuple, corners)) == sorted(SQUARE)
        assert signed_area(corners) == pytest.approx(signed_area(np.array(SQUARE)))


def test_of_many_points_the_four_corners_are_found() -> None:
    """Between them, a little off the sides by hand, and drawn either way; an ellipse has none, nor has a triangle."""
    rng = np.random.default_rng(6)
    many = [
        np.array(a) * (1 - t) + np.array(b) * t + rng.normal(0, 1.0 if t else 0.0, 2)
        for a, b in _sides(SQUARE)
        for t in (0, 0.25, 0.6)
    ]
    drawn: Points = tuple((float(x), float(y)) for x, y in many)
    for points in (drawn, drawn[::-1], drawn[1:] + drawn[:1]):
        corners = _four_corners(outlined(points), "chart")
        assert signed_area(corners) > 0
        away = np.linalg.norm(corners[:, None] - np.array(SQUARE), axis=2).min(axis=1)
        assert away.max() < 3
    flat: Points = ((100.0, 100.0), (500.0, 100.0), (500.0, 108.0), (100.0, 108.0))
    np.testing.assert_array_equal(_four_corners(outlined(flat), "chart"), flat)  # four points are taken at their word
    hexagon: Points = tuple((250 + 100 * np.cos(t), 200 + 100 * np.sin(t)) for t in np.arange(6) * np.pi / 3)
    for points in (hexagon, SQUARE[:3]):
        said = rf"^chart: the outline has {len(points)} points and no four corners\. .* at each corner"
        with pytest.raises(CardError, match=said):
            _four_corners(outlined(points), "chart")


@pytest.mark.parametrize(
    ("height", "across", "along"), [(30, 8, 4), (60, 8, 20), (60, 68, 8), (120, 88, 52), (150, 28, 68)]
)
def test_cut_corners_are_corners_also_of_a_chart_that_is_seen_aslant(height: int, across: int, along: int) -> None:
    """A rectangle of 400 by ``height`` without its corners: each is found where it was cut, none elsewhere."""
    cuts = [((0, 0), (across, along)), ((400, 0), (-across, along))]
    cuts += [((400, height), (-across, -along)), ((0, height), (across, -along))]
    points = tuple(
        at
        for turn, ((x, y), (by_x, by_y)) in enumerate(cuts)
        for at in (((x, y + by_y), (x + by_x, y)) if turn % 2 == 0 else ((x + by_x, y), (x, y + by_y)))
    )
    corners = _four_corners(outlined(tuple((float(x), float(y)) for x, y in points)), "chart")
    away = np.linalg.norm(corners[:, None] - np.array([corner for corner, _ in cuts]), axis=2)
    assert sorted(away.argmin(axis=1)) == [0, 1, 2, 3]
    assert away.min(axis=1).max() <= max(across, along)


@pytest.mark.parametrize(
    ("corner", "x_or_y", "said"),
    [
        (0, (2, None), "runs out"),
        (0, (None, 1), "runs out"),
        (1, (1198, None), "runs out"),
        (2, (None, 899), "runs out"),
        (0, (2.4, None), "not found"),
        (0, (None, 3), "not found"),
        (1, (1197, None), "not found"),
        (2, (None, 897), "not found"),
    ],
)
def test_a_chart_at_the_edge_of_the_picture_may_run_out_of_it(
    corner: int, x_or_y: tuple[float | None, float | None], said: str
) -> None:
    points = list(SQUARE)
    points[corner] = tuple(was if at is None else at for at, was in zip(x_or_y, points[corner], strict=True))
    problem = _not_found(even_chart().photo, outlined(tuple(points)), "chart")
    assert said in problem.what
    assert ("the whole chart" if said == "runs out" else "corners of the chart") in problem.remedy
    assert problem.where == "chart"


@cache
def even_chart() -> ChartScene:
    return draw_chart()


@cache
def even_grid() -> ChartGrid:
    return find_grid(even_chart().photo, np.array(even_chart().frame))


def read_only(monkeypatch: pytest.MonkeyPatch) -> Chart:
    """Read the even chart, whose patches have been found."""
    monkeypatch.setattr(reading, "find_grid", lambda *_: even_grid())
    return reading.read_chart(even_chart().photo, even_chart().reference(), "photo.jpg")


def test_patches_lie_on_what_the_chart_lies_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "find_grid", lambda *_: even_grid())
    for on in ("worktop", None):
        chart = reading.read_chart(even_chart().photo, even_chart().reference(on=on), "photo.jpg")
        assert [patch and patch.on for patch in chart.patches] == [on] * 24


def grid(turns: int) -> ChartGrid:
    """A chart lying in the middle of a picture, turned by so many quarters clockwise."""
    turn = cv2.getRotationMatrix2D((300.0, 200.0), -90.0 * turns, 50.0)
    return ChartGrid(np.vstack([turn, [0, 0, 1]]), 0.0, False)


@pytest.mark.parametrize(
    ("turns", "way"),
    [(0, None), (1, "turned a quarter clockwise"), (2, "upside down"), (3, "turned a quarter anticlockwise")],
)
def test_findings_say_how_it_lies_how_many_patches_tell_and_how_it_is_lit(turns: int, way: str | None) -> None:
    on, loose = Reference(kind="chart 24", outline=SQUARE, on="worktop"), outlined(SQUARE)
    found = {f.check: f for f in _findings(grid(turns), 24, 0.14, on)}
    assert set(found) == {"chart"} | ({"chart turned"} if way else set())
    assert (found["chart"].level, found["chart"].values, found["chart"].subject) == (
        "ok",
        (("patches", 24.0),),
        "worktop",
    )
    if way:
        assert found["chart turned"] == Finding("chart turned", "note", (("way", way),), "worktop")
    fewer = {f.check: f for f in _findings(grid(turns), 23, 0.17, loose)}
    assert (fewer["chart"].level, fewer["chart"].values, fewer["chart"].subject) == (
        "note",
        (("patches", 23.0),),
        "chart 24",
    )
    assert fewer["chart unevenly lit"] == Finding("chart unevenly lit", "warn", (("share", 0.17),), "chart 24")


@pytest.mark.parametrize(
    ("edge", "rest", "percent"),
    # A step in the logarithm takes 1 - exp(-|step|) of the light; scatter of it is off by exp(scatter) - 1.
    # Scatter is told of where it is the reason.
    [
        (-0.7, 0.1, 50),
        (0.5, 0.1, 39),
        (0.7, 0.2, 50),
        (0.7, 0.55, 50),
        (0.1, 0.7, 101),
        (0.0, 0.65, 92),
        (1.2, 0.9, 146),
        (-0.3, 0.5, None),
    ],
)
def test_uneven_light_is_told_by_how_much(
    edge: float, rest: float, percent: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "light_across", lambda *_: ChartLight(np.zeros(2), 1e-5, edge, rest))
    if percent is None:
        lit = {finding.check: finding for finding in read_only(monkeypatch).findings}["chart unevenly lit"]
        assert dict(lit.values) == {"share": pytest.approx(1 - np.exp(-0.3), abs=5e-4)}
        return
    with pytest.raises(CardError) as caught:
        read_only(monkeypatch)
    assert re.findall(r"off by (\d+) %", str(caught.value)) == [str(percent)]
    assert [(p.where, "even light" in p.remedy) for p in caught.value.problems] == [("photo.jpg", True)]


@pytest.mark.parametrize(
    ("burnt", "unread", "said"),
    # Sixteen patches are needed, and four greys among them (assumptions).
    [
        (range(8), [], None),
        (
            range(9),
            [],
            "only 15 of the chart's 24 patches can be used, 6 of its 6 greys (the others are clipped to white)",
        ),
        ([18, 19], [], None),
        ([18, 19, 20], [], "only 21 of the chart's 24 patches can be used, 3 of its 6 greys (the others are clipped"),
        (range(6), range(6, 9), "only 15 of the chart's 24 patches can be used, 6 of its 6 greys (patch 6 is odd)"),
        ([], [18], None),
    ],
)
def test_too_few_patches_say_why_and_what_to_do(
    burnt: Sequence[int], unread: Sequence[int], said: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    numbers = count()

    def read_patch_of(photo: Photo, cell: Reference, where: str) -> Patch:
        number = next(numbers)
        if number in unread:
            raise CardError(Problem(where, f"patch {number} is odd", f"Mend {number}"))
        return replace(read_patch(photo, cell, where), clipped=0.5 * (number in burnt))

    monkeypatch.setattr(reading, "read_patch", read_patch_of)
    if said is None:
        chart = read_only(monkeypatch)
        assert dict(chart.findings[0].values) == {"patches": 24.0 - len(burnt) - len(unread)}
        assert len(chart.greys) == 6 - len(set(unread) & set(GREYS))
        return
    with pytest.raises(CardError) as caught:
        read_only(monkeypatch)
    assert said in str(caught.value)
    assert [problem.where for problem in caught.value.problems] == ["photo.jpg"]
    assert ("Mend 6" if unread else "a little darker") in str(caught.value)


@pytest.mark.parametrize(("sunk", "told_by"), [(12, 12), (13, 24)])
def test_twelve_patches_tell_the_light_without_those_that_have_sunk(
    sunk: int, told_by: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With fewer all do: a slope, a curve and a border are too much for them (assumption)."""
    numbers, told = count(), []

    def read_patch_of(photo: Photo, cell: Reference, where: str) -> Patch:
        patch = read_patch(photo, cell, where)
        counts = patch.quadrants.copy()
        # Cyan lies at black in red as it is.
        counts[..., :2] = counts.sum(axis=-1, keepdims=True) if next(numbers) < sunk else 0
        return replace(patch, quadrants=counts)

    def light_of(members: Sequence[Patch], space: ColourSpace) -> ChartLight:
        told.append(len(members))
        return ChartLight(np.zeros(2), 1e-5, 0.0, 0.0)

    monkeypatch.setattr(reading, "read_patch", read_patch_of)
    monkeypatch.setattr(reading, "light_across", light_of)
    read_only(monkeypatch)
    assert told == [told_by]


SPACE = straight_space()
WARM = np.array([0.5, 0.45, 0.3])
LIT = Light(np.zeros(2), 40.0, 1.0, np.log(cone_matrix(SPACE) @ WARM), None, np.zeros((5, 3)))


def made_chart(slope: Sequence[float] = (0.0, 0.0)) -> list[Patch]:
    """The chart's patches as the eye sees them, in four rows of six, in a warm light with a ``slope`` about the first
    one's place.
    """
    from_xyz = np.linalg.inv(SPACE.to_xyz)
    places = np.array([[50.0 * (i % 6), 50.0 * (i // 6)] for i in range(24)])
    return [
        made(
            np.exp(place @ slope) * WARM * np.maximum(from_xyz @ xyz, 0.05),
            float(xyz[1]),
            tint=from_xyz @ xyz,
            centre=place,
        )
        for xyz, place in zip(chart_xyz(), places, strict=True)
    ]


def test_light_that_falls_off_over_the_chart_is_no_error_of_the_camera() -> None:
    slope = np.array([1.2e-3, -1e-3])
    level, sloping = (
        Chart(tuple(patches), along, ()).fit(STRAIGHT, LIT, SPACE, patches[18:23])
        for patches, along in ((made_chart(), 0 * slope), (made_chart((1.2e-3, -1e-3)), slope))
    )
    assert level is not None
    assert sloping is not None
    np.testing.assert_allclose(sloping.correction, level.correction, atol=1e-6)
    np.testing.assert_allclose(sloping.left_out, level.left_out, atol=1e-4)


@pytest.mark.parametrize("told_by", [range(18, 23), [5], [14]])
def test_the_curve_on_luminance_is_in_what_told_the_light_too(told_by: Sequence[int]) -> None:
    """Drawn by its definition: by half, channels go through the curve with their luminance. Whichever patches tell the
    light, greys or a blue or red one, were read as if they went one by one.
    """
    table = linear_table(np.array([-0.2, -0.5, -0.4, 0.0, 0.3]), SPACE, LEVELS)
    patches = []
    for xyz in chart_xyz():
        tint = np.linalg.inv(SPACE.to_xyz) @ xyz
        plain = 0.6 * np.clip(tint, 1e-3, None)
        luminance = plain @ SPACE.to_xyz[1]
        whole = plain * np.interp(luminance, table, STRAIGHT) / luminance
        patches.append(made(np.sqrt(np.interp(plain, table, STRAIGHT) * whole), float(xyz[1]), tint=tint))
    told = [patches[i] for i in told_by]
    light = light_at(told, table, table[None].repeat(5, axis=0), SPACE)
    found = Chart(tuple(patches), np.zeros(2), ()).fit(table, light, SPACE, told)
    assert found is not None
    assert found.on_luminance == pytest.approx(0.5, abs=0.15)
    assert np.median(np.linalg.norm(found.left_out, axis=1)) < 1.2


def test_a_lamp_that_leaves_next_to_nothing_of_blue_is_what_is_amiss() -> None:
    """Nearly all patches have sunk, and the light over the chart is even: it is not said to be uneven."""
    assert "not neutral" in refusal(draw_chart(linear=chart_linear() * [1.0, 0.4, 0.003], level=0.6))


def test_patches_that_are_clipped_or_sunk_tell_nothing_of_the_camera() -> None:
    """What is fitted with them, however odd they are, is to the bit what is fitted without them."""
    patches: list[Patch | None] = [*made_chart()]
    told_by = [patch for patch in patches[18:23] if patch is not None]
    odd, without = list(patches), list(patches)
    odd[3], odd[8] = made((0.9, 0.1, 0.9), 0.2, clipped=0.5), made((0.5, 0.3, 0.0), 0.2)
    without[3] = without[8] = None
    one, other, all_of_them = (
        Chart(tuple(each), np.zeros(2), ()).fit(STRAIGHT, LIT, SPACE, told_by) for each in (odd, without, patches)
    )
    assert one is not None
    assert other is not None
    assert all_of_them is not None
    np.testing.assert_array_equal(one.correction, other.correction)
    np.testing.assert_array_equal(one.left_out, other.left_out)
    assert (one.on_luminance, one.camera_sd) == (other.on_luminance, other.camera_sd)
    assert (len(one.left_out), len(all_of_them.left_out)) == (22, 24)
    assert Chart((None,) * 24, np.zeros(2), ()).fit(STRAIGHT, LIT, SPACE, told_by) is None


def test_the_first_chart_that_can_tell_is_read_in_the_light_of_its_own_greys() -> None:
    """Beside a card in another light and a chart of too few patches."""
    few, whole, late = (Chart((None,) * lost + tuple(made_chart()[lost:]), np.zeros(2), ()) for lost in (14, 0, 6))
    members = [[made((0.1, 0.1, 0.2))], *(list(chart.greys) for chart in (few, whole, late))]
    elsewhere = replace(LIT, cones=LIT.cones + np.array([0.0, 0.1, 0.4]))
    lights = [elsewhere, elsewhere, LIT, elsewhere]
    expected = whole.fit(STRAIGHT, LIT, SPACE, telling(whole.greys))
    assert expected is not None
    for charts in ([whole], [few, whole], [whole, late]):
        found = _colour_fit(charts, members, lights, STRAIGHT, SPACE)
        assert found is not None
        np.testing.assert_array_equal(found.correction, expected.correction)
    other = _colour_fit([late, whole], members, lights, STRAIGHT, SPACE)
    assert other is not None
    assert np.abs(other.correction - expected.correction).max() > 0.05
    assert _colour_fit([few], members, lights, STRAIGHT, SPACE) is None
    assert _colour_fit([], members, lights, STRAIGHT, SPACE) is None
