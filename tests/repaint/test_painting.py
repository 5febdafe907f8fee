"""Repainting a scene whose truth is computed: light times reflectance, edges mixed as areas."""

from __future__ import annotations

import doctest

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths, white_point
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.recovery import lab_by
from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, srgb_decode, srgb_encode, xyz_to_lab
from matcher.photo.colour_space import display_p3
from matcher.photo.decoded import Finding
from matcher.repaint import bounce, lamp
from matcher.repaint.apply import apply, painted_light
from matcher.repaint.doubt import picture_doubt
from matcher.repaint.findings import repaint_findings
from matcher.repaint.lamp import colour_temperature, daylight_cones, seen_cones
from matcher.repaint.prepare import Prepared
from tests.repaint.scene import FINE, HEIGHT, HOLE, PANEL, WIDTH, Lab, inside, linear, picture, prepared

PALE, MIDDLE, DARK = (85.0, 1.0, 6.0), (60.0, -8.0, 10.0), (38.0, -4.0, -16.0)
ROUNDING = 1.5 / 255


def coverage(polygon: list[tuple[float, float]]) -> Floats:
    """Return the share (H, W) of each pixel inside."""
    return inside(polygon).reshape(HEIGHT, FINE, WIDTH, FINE).mean(axis=(1, 3))


PAINTED = np.clip(coverage(PANEL) - coverage(HOLE), 0, 1)


def depth(polygon: list[tuple[float, float]]) -> Floats:
    """Return (H, W) how far the middle of each pixel lies inside, in pixels."""
    outline = np.array(polygon, np.float32)
    middles = [[(x + 0.5, y + 0.5) for x in range(WIDTH)] for y in range(HEIGHT)]
    return np.array([[cv2.pointPolygonTest(outline, point, True) for point in row] for row in middles])


# A pixel beyond the outline may hold paint that the outline missed.
BEYOND = (depth(PANEL) < -2) | (depth(HOLE) > 2)
WELL_INSIDE = cv2.erode((PAINTED == 1).astype(np.uint8), np.ones((7, 7), np.uint8)) > 0


def srgb_of(light: Floats) -> Floats:
    return np.asarray(srgb_encode(np.clip(light, 0, 1)))


def found_of(ready: Prepared, lab: Lab) -> dict[str, Finding]:
    """Return what is said of the scene in a paint, by kind."""
    doubt = picture_doubt(ready, lab)
    return {f.check: f for f in repaint_findings(ready, painted_light(ready, lab), doubt, float(lrv(lab)))}


def labs(values: Floats) -> Floats:
    return xyz_to_lab(linear_srgb_to_xyz(srgb_decode(values / 255)))


@pytest.mark.parametrize(("noise", "strength"), [(0.0, 0.9), (2.0, 0.9), (1.0, 2.5)], ids=["clean", "noisy", "clipped"])
@pytest.mark.parametrize("role", ["walls", "cabinets"])
def test_the_same_paint_gives_the_photo_back(role: str, noise: float, strength: float) -> None:
    before = picture(MIDDLE, noise=noise, strength=strength)
    after = apply(prepared(before, MIDDLE, role=role), MIDDLE)
    assert np.abs(after.astype(int) - before).max() <= 1


@pytest.mark.parametrize(("old", "new"), [(PALE, DARK), (DARK, PALE), (MIDDLE, PALE), (PALE, MIDDLE)])
def test_the_panel_takes_the_new_reflectance_under_the_old_light(
    old: Lab, new: Lab, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Truth: light times reflectance, nothing coming back to the panel."""
    monkeypatch.setattr(bounce, "_OF_PICTURE", 0.0)
    after = apply(prepared(picture(old), old), new)
    true = srgb_of(linear(new)) * 255
    off = delta_e_2000(labs(after[WELL_INSIDE].astype(float)), labs(true[WELL_INSIDE]))
    assert off.mean() < 1
    assert np.quantile(off, 0.99) < 2


def test_light_that_comes_back_is_the_sum_of_its_returns() -> None:
    """Against bounces added up one by one; half of what walls send out meets walls again (their share)."""
    old, new = np.array([0.7, 0.6, 0.5]), np.array([0.1, 0.2, 0.3])
    falling = np.full((5, 3), 0.4, np.float32)
    under = bounce.light_under(falling, old, new, role="walls", picture_share=0.2)
    series = [sum((0.5 * paint) ** bounces for bounces in range(200)) for paint in (old, new)]
    assert under == pytest.approx(np.broadcast_to(0.4 * series[1] / series[0], (5, 3)), rel=1e-5)
    assert bounce.light_under(falling, old, old, role="walls", picture_share=0.2) == pytest.approx(falling)


@pytest.mark.parametrize("new", [DARK, PALE])
def test_nothing_changes_outside_nor_in_the_hole(new: Lab) -> None:
    before = picture(MIDDLE, noise=2.0)
    after = apply(prepared(before, MIDDLE), new)
    assert np.array_equal(after[BEYOND], before[BEYOND])
    in_the_hole = coverage(HOLE) == 1
    assert (BEYOND & in_the_hole).sum() > 1000
    assert (after[WELL_INSIDE] != before[WELL_INSIDE]).any(axis=1).mean() > 0.99


@pytest.mark.parametrize(("old", "new"), [(PALE, DARK), (DARK, PALE)])
def test_edges_mix_as_areas_do(old: Lab, new: Lab) -> None:
    """On the border the truth is the mix by area; painting a pixel wholly or not at all is far worse there."""
    before = picture(old)
    after = apply(prepared(before, old), new) / 255
    # The panel's own level differs from the truth by what comes back to it; compare against a mix of what it became.
    truth = mixed_truth(after, new)
    border = (PAINTED > 0.02) & (PAINTED < 0.98)
    ours = np.abs(after - truth)[border].mean()
    hard = np.where((PAINTED > 0.5)[..., None], srgb_of(linear(new)), before / 255)
    assert ours < 0.03
    assert ours < np.abs(hard - truth)[border].mean() / 2


def mixed_truth(after: Floats, new: Lab) -> Floats:
    """Return the scene in ``new``, the panel as bright as it came out: the mix at its border by area."""
    true = linear(new)
    level = np.median(srgb_decode(after[WELL_INSIDE]) / true[WELL_INSIDE], axis=0)
    bare = linear((0.0, 0.0, 0.0))
    return srgb_of(bare + (true - bare) * level)


def test_an_outline_a_pixel_off_leaves_no_rim() -> None:
    """The hole is drawn a pixel too large all round: its rim is paint, and has to be painted."""
    centre = np.mean(HOLE, axis=0)
    grown = [tuple(centre + (np.array(p) - centre) * (1 + 1.0 / 20)) for p in HOLE]
    after = apply(prepared(picture(DARK), DARK, holes=[grown]), PALE)
    rim = (coverage(HOLE) == 0) & (coverage(grown) > 0.3) & (coverage(grown) < 0.9)
    panel = np.median(labs(after[WELL_INSIDE].astype(float))[:, 0])
    assert rim.sum() > 100
    assert np.median(labs(after[rim].astype(float))[:, 0]) > panel - 12


def test_clipped_paint_is_made_up_from_around() -> None:
    """A third of the pale panel is at white; in a middle paint its light has to go on where it was cut off."""
    before = picture(PALE, strength=1.7)
    clipped = (before.max(axis=-1) == 255) & WELL_INSIDE
    assert 0.2 < clipped.sum() / WELL_INSIDE.sum() < 0.9
    ready = prepared(before, PALE)
    after = apply(ready, MIDDLE)
    true = srgb_of(linear(MIDDLE, strength=1.7)) * 255
    assert np.median(delta_e_2000(labs(after[clipped].astype(float)), labs(true[clipped]))) < 4
    assert "burnt-out paint" in found_of(ready, MIDDLE)


def test_noise_grows_no_faster_than_light_allows() -> None:
    """A camera's shot noise grows with the square root of light; noise of dark paint must not grow with the light."""
    before = picture(DARK, noise=1.5)
    after = apply(prepared(before, DARK), PALE)
    flat = WELL_INSIDE & (np.arange(WIDTH) > 200)[None, :]

    def relative(values: Floats) -> float:
        light = srgb_decode(values[..., 1] / 255)
        smooth = cv2.GaussianBlur(light, (0, 0), 4)
        return float(((light - smooth) / smooth)[flat].std())

    assert 0.1 * relative(before) < relative(after) < 0.6 * relative(before)


def test_sixteen_bits_and_other_primaries_stay_what_they_are() -> None:
    deep = apply(prepared(picture(MIDDLE, levels=65536), MIDDLE), PALE)
    assert deep.dtype == np.uint16
    shallow = apply(prepared(picture(MIDDLE), MIDDLE), PALE)
    assert np.abs(deep[WELL_INSIDE] / 257 - shallow[WELL_INSIDE]).max() < 2
    wide = apply(prepared(picture(MIDDLE), MIDDLE, space=display_p3()), MIDDLE)
    assert np.abs(wide.astype(int) - picture(MIDDLE)).max() <= 1


def test_a_smaller_picture_for_a_preview_shows_the_same() -> None:
    before = picture(MIDDLE)
    whole = apply(prepared(before, MIDDLE), DARK)
    small = apply(prepared(before, MIDDLE, longest_side=160), DARK)
    assert small.shape == (120, 160, 3)
    shrunk = cv2.resize(whole, (160, 120), interpolation=cv2.INTER_AREA)
    inner = cv2.erode(WELL_INSIDE.astype(np.uint8), np.ones((7, 7), np.uint8))[::2, ::2] > 0
    assert np.abs(small[inner].astype(int) - shrunk[inner]).mean() < 2


def test_unmeasured_old_paint_is_judged_and_said() -> None:
    ready = prepared(picture(MIDDLE), None)
    assert not ready.old.measured
    assert 0.05 < ready.old.cones[1] < 0.9
    said = dict(found_of(ready, DARK)["old paint unmeasured"].values)
    assert float(said["low"]) < float(lrv(MIDDLE)) < float(said["high"])
    assert min(float(said["darker"]), float(said["brighter"])) > 0.2
    assert "picture brightness" not in found_of(ready, DARK)


def test_walls_say_what_the_picture_does_not_show() -> None:
    ready = prepared(picture(MIDDLE), MIDDLE, role="walls")
    assert "light elsewhere" in found_of(ready, DARK)


@settings(max_examples=25, deadline=None)
@given(st.tuples(st.floats(0, 100), st.floats(-130, 130), st.floats(-130, 130)))
def test_any_colour_can_be_asked_for(lab: tuple[float, float, float]) -> None:
    before = picture(MIDDLE)
    after = apply(READY, lab)
    assert after.shape == before.shape
    assert np.array_equal(after[BEYOND], before[BEYOND])
    assert np.array_equal(after, apply(READY, lab))


READY = prepared(picture(MIDDLE), MIDDLE)


@pytest.mark.parametrize(("illuminant", "kelvin"), [("A", 2856), ("D65", 6504), ("D50", 5003), ("D75", 7504)])
def test_colour_temperature_of_cie_illuminants(illuminant: str, kelvin: float) -> None:
    """CIE 015:2018, table of illuminants; McCamy 1992 claims an error below 2 K at A and a few tens in daylight."""
    assert colour_temperature(white_point(illuminant)) == pytest.approx(kelvin, rel=0.003)


def test_docstring_examples() -> None:
    result = doctest.testmod(lamp)
    assert (result.attempted, result.failed) == (1, 0)


def test_a_measured_reflectance_says_what_lamplight_does_to_a_paint() -> None:
    """Two paints of one colour by day: one as curves usually are, one a grey with a dip that only the lamp shows."""
    level = np.full(36, 0.3)
    np.testing.assert_allclose(seen_cones((61.65, 0.0, 0.0), 1.0, level), daylight_cones((61.65, 0.0, 0.0)), rtol=1e-3)
    red = level + 0.3 * (wavelengths() > 640)  # deep red, which D65 has less of than a filament
    lab = lab_by(red[None], tristimulus_weights("D65"))[0]
    seen, by_day = seen_cones(lab, 1.0, red), daylight_cones(lab)
    weights = tristimulus_weights("A")
    truth = (red @ weights @ BRADFORD.T) / (weights.sum(axis=0) @ BRADFORD.T)
    np.testing.assert_allclose(seen, truth, rtol=1e-3)
    assert seen[0] > by_day[0] * 1.02
    assert abs(seen[0] - truth[0]) < abs(seen_cones(lab, 1.0)[0] - truth[0])


def test_neutral_paint_is_neutral_in_any_light() -> None:
    for share in (0.0, 0.4, 1.0):
        assert np.ptp(seen_cones((50.0, 0.0, 0.0), share)) < 0.002
    assert seen_cones(DARK, 0.0) == pytest.approx(daylight_cones(DARK))
