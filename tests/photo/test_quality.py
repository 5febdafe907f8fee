"""Spoil a sound picture in a known way: the check that is meant for it speaks, the others keep quiet."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Finding, Photo
from matcher.photo.mixed_light import light_drift
from matcher.photo.quality import check_photo
from matcher.photo.reading import read_photo
from matcher.photo.sharpness import JUDGED_SIDE_PX, edge_width
from matcher.report.wording import finding_sentence

SAMPLES = Path(__file__).parents[2] / "sample_photos"

Floats = NDArray[np.float64]


def _encode(linear: Floats) -> Floats:
    """IEC 61966-2-1, equation 10."""
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


@cache
def _noise(shape: tuple[int, ...]) -> Floats:
    return np.random.default_rng(5).normal(0, 1.0, shape)


def _photo(linear: Floats, blur_px: float = 0.0, contrast: float = 0.0) -> Photo:
    """Return the photo of linear RGB; ``contrast`` 0..1 blends in 3 u^2 - 2 u^3, the common S of graphics."""
    encoded = _encode(linear)
    encoded = (encoded + contrast * (3 * encoded**2 - 2 * encoded**3 - encoded)) * 255
    if blur_px:
        encoded = cv2.GaussianBlur(encoded, (0, 0), blur_px)
    pixels = np.clip(np.round(encoded + _noise(encoded.shape)), 0, 255).astype(np.uint8)
    return Photo(Path("made.png"), pixels, (pixels.shape[1], pixels.shape[0]), 1.0, srgb(), ())


def _room(width: int = 1000, height: int = 750) -> Floats:
    """Linear RGB of a wall above and many flat rectangles of many colours below."""
    rng = np.random.default_rng(11)
    linear = np.full((height, width, 3), (0.55, 0.52, 0.47))
    for _ in range(60):
        x, y = int(rng.integers(0, width - 60)), int(rng.integers(height // 2, height - 40))
        w, h = (int(value) for value in rng.integers(25, 120, 2))
        linear[y : y + h, x : x + w] = rng.uniform(0.06, 0.7) * rng.uniform(0.6, 1.0, 3)
    return linear


def _levels(photo: Photo) -> dict[str, str]:
    return {finding.check: finding.level for finding in check_photo(photo)}


def _values(photo: Photo, check: str) -> dict[str, float | str]:
    found: dict[str, Finding] = {finding.check: finding for finding in check_photo(photo)}
    return dict(found[check].values)


def test_sound_picture_passes_every_check() -> None:
    assert set(_levels(_photo(_room())).values()) == {"ok"}


@pytest.mark.parametrize(("factor", "level"), [(0.12, "warn"), (0.03, "fail")])
def test_underexposed(factor: float, level: str) -> None:
    photo = _photo(_room() * factor)
    assert _levels(photo)["exposure"] == level
    assert _values(photo, "exposure")["verdict"] == "under"


def test_overexposed_and_clipped() -> None:
    photo = _photo(_room() * 2.5)
    assert _levels(photo)["clipping"] == "fail"
    assert _levels(photo)["exposure"] == "fail"
    assert _values(photo, "exposure")["verdict"] == "over"


def test_clipped_share_is_the_share_of_clipped_pixels() -> None:
    linear = _room()
    linear[:150, :500] = 1.2
    photo = _photo(linear)
    assert _values(photo, "clipping")["clipped"] == pytest.approx(150 * 500 / (750 * 1000), abs=0.01)
    assert _levels(photo)["clipping"] == "warn"


def test_pure_black_and_burnt_out_are_said_each_with_what_helps() -> None:
    dark, light = _room(), _room()
    dark[:300] = 0.0
    light[:150, :500] = 1.2
    for linear, word, remedy in ((dark, "black", "more light"), (light, "burnt out", "darker")):
        (finding,) = (finding for finding in check_photo(_photo(linear)) if finding.check == "clipping")
        assert word in finding_sentence(finding)
        assert remedy in finding_sentence(finding)


@pytest.mark.parametrize("sigma", [0.7, 1.0, 1.5, 2.0, 3.0])
def test_edge_width_finds_a_known_gaussian_blur(sigma: float) -> None:
    grey = cv2.cvtColor(_photo(_room(), blur_px=sigma).pixels, cv2.COLOR_RGB2GRAY)
    width = edge_width(grey)
    assert width is not None
    assert width == pytest.approx(sigma, abs=0.45)


@pytest.mark.parametrize("contrast", [0.3, 1.0])
def test_edge_width_does_not_depend_on_contrast(contrast: float) -> None:
    room = _room()
    photo = _photo(room.mean() + contrast * (room - room.mean()), blur_px=1.5)
    width = edge_width(cv2.cvtColor(photo.pixels, cv2.COLOR_RGB2GRAY))
    assert width == pytest.approx(1.5, abs=0.45)


def test_edge_width_is_relative_to_the_picture() -> None:
    large = cv2.resize(_photo(_room(), blur_px=2.0).pixels, None, fx=2, fy=2, interpolation=cv2.INTER_LINEAR)
    assert max(large.shape) == 2 * JUDGED_SIDE_PX
    width = edge_width(cv2.cvtColor(large, cv2.COLOR_RGB2GRAY))
    assert width == pytest.approx(2.0, abs=0.45)


@pytest.mark.parametrize(("sigma", "level"), [(0.8, "ok"), (2.0, "warn"), (4.5, "fail")])
def test_blurred(sigma: float, level: str) -> None:
    assert _levels(_photo(_room(), blur_px=sigma))["sharpness"] == level


def test_nothing_to_judge_sharpness_by_is_said() -> None:
    assert _levels(_photo(np.full((750, 1000, 3), 0.4)))["sharpness"] == "note"


@pytest.mark.parametrize(("width", "level"), [(1000, "ok"), (640, "warn"), (320, "fail")])
def test_too_small(width: int, level: str) -> None:
    assert _levels(_photo(_room(width, width * 3 // 4)))["size"] == level


def _light(warm_share: Floats) -> Floats:
    """Light on (H, W): a 2700 K lamp's share against daylight, as linear RGB of a white surface.

    The lamp under a daylight white balance: Planck's law at 610, 550 and 465 nm, 2700 K over 6500 K, green = 1.
    """
    nm = np.array([610.0, 550.0, 465.0])
    planck = {kelvin: 1 / (np.exp(1.4388e7 / (nm * kelvin)) - 1) for kelvin in (2700.0, 6500.0)}
    lamp = planck[2700.0] / planck[6500.0]
    lamp = lamp / lamp[1]
    return warm_share[..., None] * lamp + (1 - warm_share[..., None])


def test_mixed_light_across_one_wall_is_warned_about() -> None:
    across = np.broadcast_to(np.linspace(0.1, 0.9, 1000), (750, 1000))
    photo = _photo(_room() * 0.55 * _light(across))
    drift = light_drift(photo.pixels, photo.colour_space)
    assert drift is not None
    assert drift > 0.45
    assert _levels(photo)["mixed light"] == "warn"


def test_one_lamp_of_any_colour_is_no_mixed_light() -> None:
    photo = _photo(_room() * 0.45 * _light(np.ones((750, 1000))))
    assert _levels(photo)["mixed light"] == "ok"


def test_without_a_plain_surface_nothing_is_said_of_mixed_light() -> None:
    tiles = np.kron(np.random.default_rng(3).uniform(0.1, 0.6, (25, 33, 3)), np.ones((30, 30, 1)))
    photo = _photo(tiles)
    assert light_drift(photo.pixels, photo.colour_space) is None
    (finding,) = (finding for finding in check_photo(photo) if finding.check == "mixed light")
    assert finding.level == "note"
    assert "cannot be told" in finding_sentence(finding)


@pytest.mark.parametrize("stem", ["kitchen/corner_mixed", "sitting/whole_evening"])
def test_a_second_light_elsewhere_is_not_ruled_out(stem: str) -> None:
    """Window and lamp at once, as the truth files of these sample photos say: it is seen or said not to be known."""
    truth = json.loads((SAMPLES / f"{stem}.truth.json").read_text())
    assert len(truth["light"]) == 2
    (finding,) = (f for f in check_photo(read_photo(SAMPLES / f"{stem}.jpg")) if f.check == "mixed light")
    assert finding.level == "warn" or "cannot be told" in finding_sentence(finding)


def test_two_paints_side_by_side_are_no_mixed_light() -> None:
    room = _room()
    room[:, 500:] *= (1.0, 0.85, 0.5)
    assert _levels(_photo(room))["mixed light"] == "ok"


def test_fall_off_of_one_lamp_is_no_mixed_light() -> None:
    room = _room() * np.linspace(0.25, 1.0, 1000)[None, :, None]
    assert _levels(_photo(room))["mixed light"] == "ok"


@pytest.mark.parametrize("contrast", [0.3, 0.5, 0.7])
@pytest.mark.parametrize("wall", [(0.65, 0.5, 0.3), (0.3, 0.42, 0.5)])
def test_contrast_on_a_coloured_wall_is_no_mixed_light(contrast: float, wall: tuple[float, float, float]) -> None:
    """One light that falls off, and the camera's contrast channel by channel: they move apart, the light does not."""
    room = np.broadcast_to(np.array(wall), (750, 1000, 3)) * np.linspace(0.15, 1.0, 1000)[None, :, None]
    photo = _photo(room, contrast=contrast)
    drift = light_drift(photo.pixels, photo.colour_space)
    assert drift is not None
    assert drift < 0.06


@pytest.mark.parametrize("stem", ["sitting/whole_day", "kitchen/cabinets_day", "kitchen/tile_led"])
def test_no_sample_photo_in_one_light_is_warned_about(stem: str) -> None:
    """One window, or lamps of one kind, as their truth files say, among brick, pine and painted walls."""
    truth = json.loads((SAMPLES / f"{stem}.truth.json").read_text())
    assert len(truth["light"]) == 1
    (finding,) = (f for f in check_photo(read_photo(SAMPLES / f"{stem}.jpg")) if f.check == "mixed light")
    assert finding.level in ("ok", "note")


@pytest.mark.parametrize("contrast", [0.0, 0.5])
def test_mixed_light_is_warned_about_whatever_the_contrast(contrast: float) -> None:
    across = np.broadcast_to(np.linspace(0.1, 0.9, 1000), (750, 1000))
    assert _levels(_photo(_room() * 0.55 * _light(across), contrast=contrast))["mixed light"] == "warn"


def test_16_bit_photos_are_checked_alike() -> None:
    eight = _photo(_room(), blur_px=2.0)
    sixteen = Photo(eight.path, eight.pixels.astype(np.uint16) * 257, eight.full_size, 1.0, eight.colour_space, ())
    assert _levels(sixteen) == _levels(eight)
