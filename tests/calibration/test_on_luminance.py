"""A curve on luminance keeps the ratios of channels, neutrals tell nothing of it, and a chart tells how much there is.

The picture is drawn by that definition: luminance of linear sRGB (IEC 61966-2-1) through a curve, channels with it.
"""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.on_luminance import BY_CHANNEL, on_luminance
from matcher.calibration.patch import LEVELS
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import linear_table, plain_table
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, srgb_decode, srgb_encode
from matcher.photo.colour_space import srgb
from tests.calibration.chart_scene import chart_linear, draw_chart
from tests.calibration.chart_scene import true_chart_lab as truth
from tests.calibration.made_patch import made
from tests.calibration.scenes import smoothstep_s
from tests.calibration.test_chart import patch_lab

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
TABLE = linear_table(np.array([-0.4, -0.5, -0.3, 0.0, 0.3]), srgb(), LEVELS)
CODES = np.random.default_rng(2).integers(20, 250, (300, 3))
LEVEL = 0.6


def bent(linear: Floats, share: float, level: float = LEVEL) -> Floats:
    """Linear values (N, 3) in light of ``level`` by a curve that lies on luminance by ``share``, on channels else."""
    plain = level * np.clip(linear, 1e-4, None)
    luminance = plain @ LUMINANCE

    def curve(linear: Floats) -> Floats:
        return srgb_decode(smoothstep_s(0.4)(srgb_encode(linear)))

    whole = plain * (curve(luminance) / luminance)[:, None]
    return np.asarray(whole**share * curve(plain) ** (1 - share)) / level


def test_a_curve_on_channels_is_the_table() -> None:
    assert BY_CHANNEL.of_codes(CODES, TABLE).tobytes() == TABLE[CODES].tobytes()
    assert BY_CHANNEL.of_file_values(CODES.T, TABLE).tobytes() == TABLE.astype(np.float32)[CODES.T].tobytes()


def test_a_curve_on_luminance_keeps_the_ratios_of_channels() -> None:
    linear, plain = on_luminance(1.0, srgb()).of_codes(CODES, TABLE), plain_table(srgb(), LEVELS)[CODES]
    np.testing.assert_allclose(linear / linear[:, [1]], plain / plain[:, [1]], rtol=1e-9)
    expected = np.interp(plain @ LUMINANCE, plain_table(srgb(), LEVELS), TABLE)
    np.testing.assert_allclose(linear @ LUMINANCE, expected, rtol=1e-3)  # the matrix of the standard has four digits


@pytest.mark.parametrize("share", [0.3, 1.0])
def test_neutrals_are_the_same_either_way(share: float) -> None:
    greys = np.arange(5, 256, 10)[:, None].repeat(3, axis=1)
    np.testing.assert_allclose(on_luminance(share, srgb()).of_codes(greys, TABLE), TABLE[greys], rtol=1e-3)


def test_pictures_and_single_colours_are_read_alike() -> None:
    part = on_luminance(0.4, srgb())
    np.testing.assert_allclose(part.of_file_values(CODES.T, TABLE).T, part.of_codes(CODES, TABLE), rtol=1e-4)


@pytest.mark.parametrize("share", [0.0, 0.6, 1.0])
def test_a_chart_tells_how_much_of_the_curve_lies_on_luminance(share: float) -> None:
    scene = draw_chart(linear=bent(chart_linear(), share), level=LEVEL)
    calibration = calibrate(scene.photo, [scene.reference()], "photo.jpg")
    assert calibration.shared.share == pytest.approx(share, abs=0.25)  # it leans to 0
    lab, used = patch_lab(calibration, scene)
    off = delta_e_2000(lab, truth()[used])
    assert np.median(off) < 0.65  # taken for a curve on channels: 0.54, 0.60, 0.79
    assert np.quantile(off, 0.9) < 1.12  # 1.05, 1.15, 1.47


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_an_even_patch_is_read_as_its_file_value(share: float) -> None:
    """Under one curve and under several at once."""
    codes, part = np.array([200, 120, 60]), on_luminance(share, srgb())
    tables = np.stack([TABLE, TABLE**1.1])
    each = np.stack([part.of_codes(codes, table) for table in tables])
    np.testing.assert_allclose(part.of_patch(made(codes), tables), each, rtol=1e-12)
    np.testing.assert_allclose(part.of_patch(made(codes), TABLE), each[0], rtol=1e-12)
