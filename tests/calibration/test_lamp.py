"""Warmth left in cards: the logarithm of red over blue, whatever they reflect."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.lamp import lamp_share, warmth_left, warmth_of
from matcher.calibration.patch import LEVELS
from matcher.colorimetry.spaces import srgb_decode
from matcher.photo.colour_space import srgb
from tests.calibration.made_patch import made

CODES = (200, 150, 90)
LIGHT = srgb_decode(np.array(CODES) / (LEVELS - 1))


def test_warmth_is_red_over_blue_of_the_light() -> None:
    expected = np.log(LIGHT[0] / LIGHT[2])
    assert warmth_of(LIGHT) == pytest.approx(expected)
    assert warmth_left([made(CODES)], srgb()) == pytest.approx(expected, abs=1e-4)
    assert warmth_left([made(CODES, reflectance=0.5)], srgb()) == pytest.approx(expected, abs=1e-4)


def test_a_tint_of_the_card_itself_is_none_of_the_light() -> None:
    """Under a light of equal channels a tinted card has its own tint, and nothing is left."""
    assert warmth_left([made(CODES, tint=LIGHT)], srgb()) == pytest.approx(0, abs=1e-4)


def test_several_cards_tell_the_mean_of_their_lights() -> None:
    """Light adds: the mean is of red and of blue, not of their ratio."""
    other = (120, 120, 120)
    light = srgb_decode(np.array(other) / (LEVELS - 1)) / 0.5
    mean = (LIGHT / 0.18 + light) / 2
    found = warmth_left([made(CODES), made(other, reflectance=0.5)], srgb())
    assert found == pytest.approx(np.log(mean[0] / mean[2]), abs=1e-4)


def test_the_share_of_a_lamp_grows_evenly_from_nothing_to_certain() -> None:
    shares = np.array([lamp_share(warmth) for warmth in np.linspace(-1, 2, 301)])
    assert (shares[0], shares[-1]) == (0, 1)
    steps = np.diff(shares)
    assert (steps >= 0).all()
    rising = steps[(shares[:-1] > 0) & (shares[1:] < 1)]
    np.testing.assert_allclose(rising, rising[0], rtol=1e-9)
