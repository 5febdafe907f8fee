"""Sky, window and lamps: what is published of them, and their limits."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from matcher.colorimetry.illuminants import daylight_chromaticity, tristimulus_weights
from matcher.errors import RequestError
from matcher.light.lamps import LampKind, lamp
from matcher.light.light import KelvinRange, natural_light, natural_weights
from matcher.light.sky import sun_beam
from matcher.light.sun import Sun
from matcher.light.window import falls_at, level, room_lux, sky_lux, sun_lux


def _xy(weights: np.ndarray) -> tuple[float, float]:
    x, y, z = weights.sum(axis=0)
    return x / (x + y + z), y / (x + y + z)


# CIE 015:2018 Tables 10.1 and 12: chromaticities of the lamps themselves, as printed.
@pytest.mark.parametrize(
    ("kind", "kelvin", "x", "y"),
    [
        ("LED", 2733, 0.4560, 0.4078),
        ("LED", 2998, 0.4357, 0.4012),
        ("LED", 4103, 0.3756, 0.3723),
        ("LED", 5109, 0.3422, 0.3502),
        ("LED", 6598, 0.3118, 0.3236),
        ("fluorescent", 3000, 0.4370, 0.4042),
        ("fluorescent", 4000, 0.3805, 0.3769),
        ("fluorescent", 5000, 0.3458, 0.3588),
        # CIE 015:2018: illuminant A is a black body of 2855.5 K.
        ("incandescent", 2855.5, 0.44758, 0.40745),
    ],
)
def test_lamps_at_the_printed_temperatures(kind: LampKind, kelvin: float, x: float, y: float) -> None:
    # The weights span 380 to 730 nm with reflectance held beyond; CIE sums at 5 nm.
    assert _xy(lamp(kind, kelvin).weights) == pytest.approx((x, y), abs=3e-4)


@pytest.mark.parametrize(
    ("kind", "kelvin"),
    [
        ("LED", 1800), ("LED", 2200), ("LED", 2700), ("LED", 3500), ("LED", 4000), ("LED", 8000), ("LED", 10000),
        ("incandescent", 1600), ("incandescent", 3200), ("fluorescent", 3500), ("fluorescent", 2900),
    ],
)  # fmt: skip
def test_a_lamp_has_the_temperature_it_is_sold_by(kind: LampKind, kelvin: float) -> None:
    found = lamp(kind, kelvin)
    assert found.kelvin == pytest.approx(kelvin, rel=0.03)  # found by Ohno's method, colour-science's
    assert found.low < kelvin < found.high


@pytest.mark.parametrize(
    ("kind", "kelvin"), [("LED", 900), ("LED", 40_000), ("incandescent", 5000), ("fluorescent", 2000), ("LED", np.nan)]
)
def test_a_lamp_of_no_room_is_refused(kind: LampKind, kelvin: float) -> None:
    with pytest.raises(RequestError, match="lamp for a room"):
        lamp(kind, kelvin)


@pytest.mark.parametrize("kelvin", [4000, 5000, 6500, 8600, 12000, 25000])
def test_daylight_has_cie_chromaticity(kelvin: float) -> None:
    assert _xy(natural_weights(kelvin)) == pytest.approx(daylight_chromaticity(kelvin), abs=3e-4)


def test_a_setting_sun_goes_over_from_daylight_to_a_black_body_without_a_jump() -> None:
    places = [_xy(natural_weights(kelvin)) for kelvin in np.linspace(2000, 5000, 61)]
    steps = [np.hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(places)]
    assert max(steps) < 0.012
    assert np.all(np.diff([x for x, _ in places]) < 0)


def test_sun_and_sky_together_lie_between_them() -> None:
    both = natural_light([(1.0, KelvinRange(7500, 8600, 10000)), (1.0, sun_beam(40))])
    assert 5300 < both.low < both.kelvin < both.high < 8600
    alone = natural_light([(3.0, KelvinRange(6503, 6503, 6503))])
    np.testing.assert_allclose(alone.weights, tristimulus_weights("D65"), atol=2e-4)


def test_the_sun_turns_warm_as_it_sinks() -> None:
    # REFERENCE: noon 5000 to 5600 K, sunrise and sunset 2000 to 3200 K (lay tables).
    noon, horizon = sun_beam(50), sun_beam(0)
    assert (noon.low, noon.high) == (5000, 5600)
    assert (horizon.low, horizon.high) == (2000, 3200)
    assert sun_beam(5).middle < sun_beam(15).middle < sun_beam(30).middle


@pytest.mark.parametrize(
    ("sun", "facing", "shines"),
    [
        (Sun(30, 90), "E", True),
        (Sun(30, 90), "W", False),
        (Sun(30, 135), "NE", False),
        (Sun(60, 170), "S", True),
        (Sun(5, 300), "NW", True),
        (Sun(-1, 90), "E", False),
        (Sun(20, 10), "N", True),
        (Sun(89.9, 180), "S", False),
    ],
)
def test_where_the_sun_shines_on_the_window(sun: Sun, facing: str, shines: bool) -> None:
    assert (falls_at(sun, facing) > 0) == shines


def test_an_overcast_sky_gives_a_window_what_cie_says() -> None:
    """Of what the CIE overcast sky lays on level ground a wall gets 0.396 (Moon & Spencer 1942); IES 1984 gives ground
    twice the 10.7 klx of half the sky, times the sine of the sun's altitude."""
    for altitude in (10, 30, 60):
        ground = 2 * 10_700 * np.sin(np.radians(altitude))
        assert sky_lux(Sun(altitude, 180), "N", overcast=True) == pytest.approx(0.396 * ground, rel=0.01)
        assert sky_lux(Sun(altitude, 180), None, overcast=True) == sky_lux(Sun(altitude, 180), "S", overcast=True)


def test_full_sun_is_about_a_hundred_thousand_lux() -> None:
    """Direct sun at right angles and sky: 100 klx, as text books say; outside the air 127.5 klx (IES)."""
    sun = Sun(35, 180)
    found = sun_lux(sun, "S", date(2026, 3, 20)) / falls_at(sun, "S")
    assert 80_000 < found < 100_000


def test_light_fades_through_twilight_without_a_jump() -> None:
    heights = np.linspace(-6, 2, 161)
    for overcast in (False, True):
        found = [sky_lux(Sun(float(height), 90), "W", overcast=overcast) for height in heights]
        assert all(later >= earlier for earlier, later in pairwise(found))
        assert max(later / earlier for earlier, later in pairwise(found)) < 1.3
    assert sky_lux(Sun(-6.1, 90), "E", overcast=False) == 0
    # The end of civil twilight: about 3.4 lux on the ground.
    assert 1 < 2 * sky_lux(Sun(-6, 90), "E", overcast=False) < 5


def test_the_level_runs_from_nothing_to_one() -> None:
    assert level(0) == 0
    assert level(250) == 0.5
    assert level(room_lux(90_000)) == 1
