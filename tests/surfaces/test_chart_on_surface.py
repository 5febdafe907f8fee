"""A surface with a chart on it: nearer to its truth than with a grey card alone, and stated more narrowly.

Spectra: colour evaluation samples of CIE 224:2017 through a real camera's sensitivities (colour-science).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.on_luminance import BY_CHANNEL
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.difference import delta_e_2000
from matcher.room.contents import OutlinedSurface, Reference
from matcher.surfaces.reading import SurfaceReading, read_surface
from tests.calibration.chart_scene import HEIGHT, WIDTH, ChartScene, chart_linear, draw_chart
from tests.calibration.spectral_camera import NIKON, SIGMA, camera, spectra, true_lab
from tests.calibration.test_on_luminance import bent

EDGE = ((2.0, 2.0), (WIDTH - 2.0, 2.0), (WIDTH - 2.0, HEIGHT - 2.0), (2.0, HEIGHT - 2.0))
FLOOR = OutlinedSurface(name="floor", material="other", outline=EDGE)


def measured(scene: ChartScene, reference: Reference, *, by_channel: bool = False) -> SurfaceReading:
    calibration = calibrate(scene.photo, [reference], "photo.jpg")
    if by_channel:
        calibration = replace(calibration, shared=BY_CHANNEL)
    cards = [np.array(scene.frame)]
    return read_surface(
        scene.photo,
        calibration,
        FLOOR,
        cards=cards,
        noise_left=np.eye(3),
        whole_room=False,
        where="photo.jpg",
    )


@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_muted_floors_under_fluorescent_light(name: str) -> None:
    samples = spectra("evaluation samples")
    truth = true_lab(samples)
    muted = np.flatnonzero((np.hypot(truth[:, 1], truth[:, 2]) < 20) & (truth[:, 0] > 35))[::3]
    by_chart, by_card, narrower = [], [], []
    for i in muted:
        ground = camera(name).linear_rgb(samples[i : i + 1], "FL2")[0]
        scene = draw_chart(linear=chart_linear(name, "FL2"), level=0.6, ground=np.maximum(ground, 0))
        patch = calibrate(scene.photo, [scene.reference()], "photo.jpg").charts[0].patches[21]
        assert patch is not None
        x, y = patch.centre
        half = 0.4 * patch.extent
        square = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        card = Reference(kind="grey card", reflectance=patch.reflectance, outline=square, on="floor")
        with_chart, with_card = measured(scene, scene.reference(on="floor")), measured(scene, card)
        by_chart.append(float(delta_e_2000(with_chart.colours[0].lab, truth[i])))
        by_card.append(float(delta_e_2000(with_card.colours[0].lab, truth[i])))
        narrower.append(np.trace(with_chart.colours[0].covariance) < np.trace(with_card.colours[0].covariance))
    assert len(by_chart) >= 5
    assert np.median(by_chart) < np.median(by_card)
    assert np.mean(by_chart) < 0.9 * np.mean(by_card)
    assert all(narrower)  # the tone curve alone narrows it


def off_floors(*, stray: float = 0.0, share: float = 0.0, by_channel: bool = False) -> float:
    """Mean CIEDE2000 of floors of some chroma with a chart on each, by daylight, through a curve if there is ``share``.

    Bluish ``stray`` light lies over all of the picture, as the part of white that it is in blue.
    """
    samples = spectra("evaluation samples")
    truth = true_lab(samples)
    chroma = np.hypot(truth[:, 1], truth[:, 2])
    floors = np.flatnonzero((chroma > 15) & (chroma < 35) & (truth[:, 0] > 30))[5::10]
    off = []
    for i in floors:
        ground, patches = camera(NIKON).linear_rgb(samples[i : i + 1], "D65"), chart_linear()
        if share:
            ground, patches = bent(ground, share), bent(patches, share)
        veil = 0.6 * stray * np.array([0.5, 0.67, 1.0])
        scene = draw_chart(linear=patches, level=0.6, ground=ground[0], stray=veil)
        found = measured(scene, scene.reference(on="floor"), by_channel=by_channel)
        off.append(float(delta_e_2000(found.colours[0].lab, truth[i])))
    assert len(off) >= 4
    return float(np.mean(off))


def test_stray_light_comes_off_floors_too() -> None:
    assert off_floors(stray=0.06) < 2.0  # left on them 2.9


def test_a_curve_on_luminance_is_taken_off_floors_too() -> None:
    assert off_floors(share=1.0) < 0.75 * off_floors(share=1.0, by_channel=True)
