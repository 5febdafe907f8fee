"""A room photographed in camera raw, from the file to the surfaces' colours, against what the spectra truly are.

Truth: colour-science's measured spectra under CIE illuminants (tests/calibration/spectral_camera.py). Beside it the
same scene as a camera's own JPEG: the raw file must say more surely how light a surface is.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, srgb_encode, xyz_to_lab
from matcher.report.warnings import measurement_warnings
from matcher.room.reading import read_room
from matcher.surfaces.measure import RoomMeasurement, measure_room
from tests.calibration.spectral_camera import NIKON, camera, grey_card, spectra, true_lab
from tests.photo.simulated_raw import sensor, write_dng

HEIGHT, WIDTH = 400, 600
CARD, SURFACE = (slice(150, 250), slice(60, 160)), (slice(100, 300), slice(240, 500))
EXPOSURE, NOISE = 0.5, 0.004
ROOM = """
[room]
name = "Raw"
[[photos]]
file = "{file}"
  [[photos.references]]
  kind = "grey card"
  reflectance = 0.18
  outline = [[60, 150], [160, 150], [160, 250], [60, 250]]
  on = "wall"
  [[photos.surfaces]]
  name = "wall"
  material = "paint"
  outline = [[240, 100], [500, 100], [500, 300], [240, 300]]
"""


def _measure(folder: Path, file: str) -> RoomMeasurement:
    (folder / "room.toml").write_text(ROOM.format(file=file))
    return measure_room(read_room(folder / "room.toml"))


def _picture(around: Floats, card: Floats, surface: Floats) -> Floats:
    linear = np.broadcast_to(around, (HEIGHT, WIDTH, 3)).copy()
    linear[CARD], linear[SURFACE] = card, surface
    return linear


def _raw(folder: Path, surface: Floats, light: str) -> RoomMeasurement:
    eye = sensor(NIKON)
    answers = eye.answer(np.concatenate([0.5 * np.ones_like(surface), grey_card(), surface]), light)
    linear = EXPOSURE * _picture(*answers)
    linear += np.random.default_rng(4).normal(0, NOISE, linear.shape)
    write_dng(folder / "wall.dng", linear, matrix=eye.xyz_to_sensor, neutral=eye.white(light))
    return _measure(folder, "wall.dng")


def _jpeg(folder: Path, surface: Floats, light: str) -> RoomMeasurement:
    parts = np.concatenate([0.5 * np.ones_like(surface), grey_card(), surface])
    linear = EXPOSURE * _picture(*camera(NIKON).linear_rgb(parts, light))
    encoded = srgb_encode(np.clip(linear, 0, 1)) + np.random.default_rng(4).normal(0, NOISE, linear.shape)
    Image.fromarray((np.clip(encoded, 0, 1) * 255).round().astype(np.uint8)).save(folder / "wall.jpg", quality=95)
    return _measure(folder, "wall.jpg")


def _limit_of_the_matrix(spectrum: Floats, light: str) -> Floats:
    """Return CIELAB (3,) that the sensor's exact answers give by the file's matrix, balanced on a perfect white."""
    eye = sensor(NIKON)
    to_xyz = np.linalg.inv(eye.xyz_to_sensor).T
    xyz, white = eye.answer(spectrum, light) @ to_xyz, eye.white(light) @ to_xyz
    return xyz_to_lab(adapt(xyz / white[1], white / white[1], WHITE_D65))[0]


# Skin tone, pale grey, yellow of the chart, by place; limits are what a daylight matrix leaves of these spectra.
@pytest.mark.parametrize(
    ("patch", "light", "limit"), [(1, "D65", 2.6), (19, "D65", 1.0), (16, "D65", 1.3), (19, "A", 1.2)]
)
def test_a_surface_in_camera_raw(tmp_path: Path, patch: int, light: str, limit: float) -> None:
    spectrum = spectra("charts")[patch : patch + 1]
    measured = _raw(tmp_path, spectrum, light)
    (surface,) = measured.surfaces
    assert float(delta_e_2000(surface.lab, _limit_of_the_matrix(spectrum, light))) < 0.8  # noise and 8 bits
    assert float(delta_e_2000(surface.lab, true_lab(spectrum)[0])) < limit
    assert not [text for text in measurement_warnings(measured) if "tone curve" in text]


def test_raw_says_more_surely_how_light_a_surface_is(tmp_path: Path) -> None:
    """One grey card cannot show a JPEG's tone curve; a raw file has none."""
    spectrum = spectra("charts")[19:20]
    doubts = []
    for measured in (_raw(tmp_path, spectrum, "D65"), _jpeg(tmp_path, spectrum, "D65")):
        (surface,) = measured.surfaces
        doubts.append(float(np.sqrt(surface.covariance[0, 0])))
        error = surface.lab[0] - true_lab(spectrum)[0, 0]
        assert abs(error) < 3 * doubts[-1]
    assert doubts[0] < 0.5 * doubts[1]
