"""Camera raw: DNG files made from measured spectra and sensitivities, against what those spectra truly are.

Truth: colour-science's spectra, illuminants and sensitivities (tests/calibration/spectral_camera.py), CIE colorimetry
of them, and the numbers that were written into the file. LibRaw does the reading and tifffile the writing.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.adaptation import BRADFORD, adapt
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab
from matcher.errors import PhotoError
from matcher.photo.decoded import Photo
from matcher.photo.display import srgb_jpeg
from matcher.photo.pixels import as_eight_bits
from matcher.photo.reading import kind_of, read_photo
from matcher.room.contents import Reference
from matcher.room.photo_size import upright_size
from tests.calibration.scenes import corners
from tests.calibration.spectral_camera import NIKON, SIGMA, grey_card, spectra, true_lab
from tests.photo.simulated_raw import sensor, write_dng

PATCH = 60
COLUMNS, ROWS = 6, 4
EXPOSURE = 0.5  # of a perfect white, of what saturates green: a stop of headroom, as raw has it


def _picture(answers: Floats) -> Floats:
    """Return sensor RGB (H, W, 3) with a patch for each of (N, 3), row by row."""
    cells = answers.reshape(ROWS, COLUMNS, 3)
    return np.repeat(np.repeat(cells, PATCH, axis=0), PATCH, axis=1)


def _spectra() -> Floats:
    """Return the chart measured by Ohta (24, 401), its last patch in the place of a perfectly grey card."""
    return np.concatenate([spectra("charts")[:23], grey_card()])


def _shoot(tmp_path: Path, name: str, light: str, *, orientation: int = 1) -> Photo:
    camera = sensor(name)
    linear = EXPOSURE * _picture(camera.answer(_spectra(), light))
    path = tmp_path / "photo.dng"
    write_dng(path, linear, matrix=camera.xyz_to_sensor, neutral=camera.white(light), orientation=orientation)
    return read_photo(path, longest_side=100)


def _patches(photo: Photo) -> Floats:
    """Return linear XYZ (24, 3) of the patches' middles, by the photo's own matrix and table."""
    side = round(PATCH * photo.scale)
    positions = np.linspace(0, 1, len(photo.colour_space.decode_table))
    linear = np.interp(photo.pixels / 65535, positions, photo.colour_space.decode_table)
    cells = linear.reshape(ROWS, side, COLUMNS, side, 3)[:, side // 4 : -side // 4, :, side // 4 : -side // 4]
    return cells.mean(axis=(1, 3)).reshape(-1, 3) @ photo.colour_space.to_xyz.T


@pytest.mark.parametrize("name", [NIKON, SIGMA])
@pytest.mark.parametrize("light", ["D65", "A", "LED-B1", "FL11"])
def test_linear_and_by_the_matrix_in_the_file(tmp_path: Path, name: str, light: str) -> None:
    """XYZ of every patch is what DNG 1.4, chapter 6 says of the sensor's values: ColorMatrix1 inverted, to a scale."""
    photo = _shoot(tmp_path, name, light)
    camera = sensor(name)
    expected = camera.answer(_spectra(), light) @ np.linalg.inv(camera.xyz_to_sensor).T
    measured = _patches(photo)
    np.testing.assert_allclose(measured / measured[-1, 1], expected / expected[-1, 1], rtol=3e-3, atol=3e-3)
    assert photo.colour_space.tone_known


@pytest.mark.parametrize(
    ("name", "light", "median", "worst_tenth"),
    [(NIKON, "D65", 1.0, 2.5), (SIGMA, "D65", 2.1, 4.0), (NIKON, "A", 2.4, 7.5), (SIGMA, "A", 3.3, 6.6)],
)
def test_measured_patches_against_the_true_colours(
    tmp_path: Path, name: str, light: str, median: float, worst_tenth: float
) -> None:
    """Balanced on the grey card, CIELAB is the spectra's own as far as a daylight matrix can: limits as measured."""
    measured = _patches(_shoot(tmp_path, name, light))
    white = measured[-1] / 0.18
    balanced = xyz_to_lab(adapt(measured / white[1], white / white[1], WHITE_D65))
    error = delta_e_2000(balanced, true_lab(_spectra()))[:-1]
    assert np.median(error) < median
    assert np.percentile(error, 90) < worst_tenth


def test_the_card_of_a_raw_photo_gives_the_light_and_no_curve_is_doubted(tmp_path: Path) -> None:
    photo = _shoot(tmp_path, NIKON, "A")
    box = ((COLUMNS - 1) * PATCH + 6, (ROWS - 1) * PATCH + 6, COLUMNS * PATCH - 6, ROWS * PATCH - 6)
    card = Reference(kind="grey card", reflectance=0.18, outline=corners(box), on=None)
    calibration = calibrate(photo, [card], "photo.dng")
    camera = sensor(NIKON)
    white = camera.white("A") @ np.linalg.inv(camera.xyz_to_sensor).T
    expected = np.log(BRADFORD @ white)
    # The level is the decoder's to choose, the colour of the light is not.
    np.testing.assert_allclose(np.diff(calibration.lights[0].cones), np.diff(expected), atol=0.02)
    np.testing.assert_array_equal(calibration.curve.strength, 0)
    assert np.sqrt(np.diag(calibration.curve.covariance)).max() < 0.01
    assert "tone curve none" in [finding.check for finding in calibration.findings]


# Exif 2.32, tag 274; Pillow's transposition of the stored picture is the independent side of the test.
UPRIGHT_FROM_STORED = {
    3: Image.Transpose.ROTATE_180,
    6: Image.Transpose.ROTATE_270,
    8: Image.Transpose.ROTATE_90,
}


@pytest.mark.parametrize("orientation", list(UPRIGHT_FROM_STORED))
def test_orientation_is_applied(tmp_path: Path, orientation: int) -> None:
    straight = as_eight_bits(_shoot(tmp_path, NIKON, "D65").pixels)
    turned = _shoot(tmp_path, NIKON, "D65", orientation=orientation)
    expected = np.asarray(Image.fromarray(straight).transpose(UPRIGHT_FROM_STORED[orientation]))
    np.testing.assert_allclose(as_eight_bits(turned.pixels).astype(int), expected.astype(int), atol=1)
    height, width = expected.shape[:2]
    assert turned.full_size == (2 * width, 2 * height)
    assert upright_size(turned.path) == turned.full_size


def test_display_size_is_an_area_mean_of_the_whole(tmp_path: Path) -> None:
    camera = sensor(NIKON)
    linear = EXPOSURE * _picture(camera.answer(_spectra(), "D65"))
    path = write_dng(tmp_path / "photo.dng", linear, matrix=camera.xyz_to_sensor, neutral=camera.white("D65"))
    sizes = [read_photo(path, longest_side=side).pixels.shape[:2] for side in (400, 200, 90, 40)]
    assert sizes == [(240, 360), (240, 360), (60, 90), (30, 45)]


def test_the_picture_shown_is_neutral_where_the_light_was(tmp_path: Path) -> None:
    import io

    photo = _shoot(tmp_path, NIKON, "A")
    shown = np.asarray(Image.open(io.BytesIO(srgb_jpeg(photo, 400))))
    side = PATCH // 2
    card = shown[-side + 5 : -5, -side + 5 : -5].reshape(-1, 3).mean(axis=0)
    assert np.ptp(card) < 3


def test_what_saturates_the_sensor_stays_white(tmp_path: Path) -> None:
    camera = sensor(NIKON)
    linear = np.full((120, 180, 3), 0.2) * camera.white("A")
    linear[:, :90] = 2.0
    path = write_dng(tmp_path / "photo.dng", linear, matrix=camera.xyz_to_sensor, neutral=camera.white("A"))
    pixels = as_eight_bits(read_photo(path).pixels)
    assert pixels[:, :80].min() == 255
    assert pixels[:, 100:].max() < 200


def test_without_a_noted_balance_daylight_is_used_and_said(tmp_path: Path) -> None:
    camera = sensor(NIKON)
    linear = EXPOSURE * _picture(camera.answer(_spectra(), "D65"))
    path = write_dng(tmp_path / "photo.dng", linear, matrix=camera.xyz_to_sensor, neutral=None)
    photo = read_photo(path)
    values = {finding.check: dict(finding.values) for finding in photo.findings}["camera raw"]
    assert values == {"balance": "daylight's"}
    white = photo.colour_space.to_xyz.sum(axis=1)
    np.testing.assert_allclose(white / white[1], WHITE_D65, atol=2e-3)


def _refusal(path: Path) -> str:
    with pytest.raises(PhotoError) as caught:
        read_photo(path)
    (problem,) = caught.value.problems
    assert problem.where == str(path)
    assert "TIFF" in problem.remedy
    return problem.what


def test_raw_without_the_cameras_matrix_is_refused(tmp_path: Path) -> None:
    path = write_dng(tmp_path / "photo.dng", np.full((120, 180, 3), 0.2), matrix=None, neutral=None)
    assert "how its camera's sensor sees colour" in _refusal(path)


def test_raw_that_is_not_known(tmp_path: Path) -> None:
    path = tmp_path / "photo.cr3"
    path.write_bytes(b"\0\0\0\x18ftypcrx " + bytes(2000))
    assert "of a kind that cannot be read here" in _refusal(path)
    assert upright_size(path) is None


def test_raw_that_is_cut_short(tmp_path: Path) -> None:
    camera = sensor(NIKON)
    linear = _picture(camera.answer(_spectra(), "D65"))
    path = write_dng(tmp_path / "photo.dng", linear, matrix=camera.xyz_to_sensor, neutral=camera.white("D65"))
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    assert "damaged or cut short" in _refusal(path)


def test_content_decides_not_the_name(tmp_path: Path) -> None:
    path = _shoot(tmp_path, NIKON, "D65").path
    renamed = path.with_suffix(".tif")
    path.rename(renamed)
    assert kind_of(renamed) == "RAW"
    assert read_photo(renamed).colour_space.tone_known


def test_a_picture_that_is_no_raw_is_taken_for_none(tmp_path: Path) -> None:
    path = tmp_path / "photo.dng"
    Image.new("RGB", (120, 90), (90, 80, 70)).save(path, "JPEG")
    assert kind_of(path) == "JPEG"
