"""What the room's light takes off, by the numbers stated beside each effect."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicHermiteSpline

from matcher.light.day import room_day
from matcher.light.look import kept_through
from matcher.paints.deck import Deck
from matcher.ranking.light import LightCost, RoomLight, away_from_sun, keeps_in, light_cost, room_light
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import Setting


def test_each_effect_takes_its_share_and_no_more() -> None:
    """Of a paint that is all that an effect speaks against, in a room that is; half of it where the room is half so.

    Columns: cold; warm and of chroma 24 along a*; warm and grey; dark; light.
    """
    lab = np.array([[60.0, 0, -20], [60, 24, 0], [60, 0, 0.1], [30, 0, 0], [97, 0, 0]])
    lrv, warmth = np.array([60.0, 60, 60, 20, 95]), np.array([-1.0, 1, 1, 0, 0])
    most = {
        "cold": (RoomLight(1, 0, 0), [0.55, 0, 0, 0, 0]),
        "dull": (RoomLight(1, 0, 0), [0, 0, 0, 0.25, 0]),
        "hot": (RoomLight(-1, 0, 0), [0, 0.35, 0, 0, 0]),
        "glare": (RoomLight(-1, 0, 0), [0, 0, 0, 0, 0.20]),
        "lamp_yellow": (RoomLight(0, 1, 0), [0, 0.40, 0, 0, 0]),
        "lamp_cold": (RoomLight(0, 0, 1), [0.30, 0, 0, 0, 0]),
    }
    for name, (light, expected) in most.items():
        half = RoomLight(light.away_from_sun / 2, light.warm_lamp / 2, light.cool_lamp / 2)
        for part, room in ((1.0, light), (0.5, half)):
            found = light_cost(room, lab, lrv, warmth, large=True)
            np.testing.assert_allclose(getattr(found, name), part * np.array(expected), atol=1e-12, err_msg=name)


def test_strong_yellows_dull_and_glaring_paints_come_in_softly() -> None:
    """Chroma from 8 to 24 whatever the hue; LRV from 52 down to 28, and from 82 up to 93: half way by half."""
    turned = np.radians([0.0, 70, 140, 250])
    lab = np.stack([np.full(4, 60.0), 16 * np.cos(turned), 16 * np.sin(turned)], axis=-1)
    by_lamps = light_cost(RoomLight(-1, 1, 0), lab, np.full(4, 60.0), np.ones(4), large=True)
    np.testing.assert_allclose(by_lamps.lamp_yellow, 0.20)
    np.testing.assert_allclose(by_lamps.hot, 0.175)
    lrv = np.array([52.0, 40, 28, 82, 87.5, 93])
    north, south = (
        light_cost(RoomLight(away, 0, 0), np.zeros((6, 3)), lrv, np.zeros(6), large=True) for away in (1, -1)
    )
    np.testing.assert_allclose(north.dull, [0, 0.125, 0.25, 0, 0, 0], atol=1e-12)
    np.testing.assert_allclose(south.glare, [0, 0, 0, 0, 0.1, 0.2], atol=1e-12)


def test_the_term_is_what_the_costs_leave_and_never_below_nothing() -> None:
    rng = np.random.default_rng(2)
    costs = rng.uniform(0, 0.4, (6, 50))
    np.testing.assert_allclose(LightCost(*costs).term(), np.maximum(1 - costs.sum(axis=0), 0))
    assert (LightCost(*costs).term() == 0).any()


def test_lamps_are_warm_and_cool_by_their_temperature() -> None:
    """Warm from 4000 K down to 2700 K, cool from 4500 up to 6500 (ANSI C78.377: 2700 to 6500); between neither."""
    kelvin = np.array([2200.0, 2700, 3000, 3350, 4000, 4250, 4500, 5500, 6500, 9000])
    warm = CubicHermiteSpline([2700, 4000], [1, 0], [0, 0])(kelvin.clip(2700, 4000))
    cool = CubicHermiteSpline([4500, 6500], [0, 1], [0, 0])(kelvin.clip(4500, 6500))
    found = [room_light(None, None, each) for each in kelvin.tolist()]
    np.testing.assert_allclose([each.warm_lamp for each in found], warm, atol=1e-12)
    np.testing.assert_allclose([each.cool_lamp for each in found], cool, atol=1e-12)


def test_east_and_west_are_neither_away_from_the_sun_nor_in_it() -> None:
    """Exactly: what is not there is not told."""
    assert {away_from_sun(facing, latitude) for facing in ("E", "W") for latitude in (52.0, -34.0, None)} == {0.0}
    # A quarter of the way round, the cosine of 45 degrees.
    assert [away_from_sun(facing, 52.0) for facing in ("NE", "SE", "SW", "NW")] == pytest.approx(
        [np.sqrt(0.5), -np.sqrt(0.5), -np.sqrt(0.5), np.sqrt(0.5)]
    )


def test_what_is_known_of_the_light_decides_what_a_paint_keeps(random_deck: Deck) -> None:
    """By day alone where only the window is known, by the lamps too where they are."""
    paints = paints_of(random_deck).take(np.arange(12))
    by_day, by_lamps, both, neither = (
        Setting(facing=facing, latitude=53.4, lamps_k=kelvin).situation
        for facing, kelvin in (("N", None), (None, 2700.0), ("N", 2700.0), (None, None))
    )
    found = {name: keeps_in(each, paints) for name, each in (("day", by_day), ("lamps", by_lamps), ("both", both))}
    assert keeps_in(neither, paints).tolist() == [1.0] * 12
    assert (found["day"] < 1).any()
    np.testing.assert_array_equal(found["day"], kept_through(room_day(by_day), paints.curves(), by_lamps=False))
    # Lamps can only take off more.
    assert (found["both"] <= found["day"] + 1e-12).all()
    assert (found["both"] < found["day"] - 0.02).any()
    assert (found["lamps"] < 0.98).any()
