"""What colours look like in a room's light: neutrals, partial adaptation, bounce, black and white."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.recovery import lab_by, recover_reflectance
from matcher.colorimetry.spaces import lab_to_lch
from matcher.harmony.undertone import undertones
from matcher.light.bounce import with_bounce
from matcher.light.flips import flips
from matcher.light.keeps import keeps, kept
from matcher.light.lamps import lamp
from matcher.light.light import Light, natural_weights
from matcher.light.muted import colour_left
from matcher.light.parting import partings
from matcher.light.seen import seen

D65 = Light(tristimulus_weights("D65"), 6504, 6504, 6504)
LED_B1 = Light(tristimulus_weights("LED-B1"), 2733, 2733, 2733)
WARM = lamp("LED", 2700)
GREY, VIOLET, GREIGE, OAK = [76.0, 0.0, 0.0], [76.0, 1.5, -3.0], [76.0, 1.0, 6.0], [55.0, 14.0, 28.0]


def _of(*labs: list[float]) -> np.ndarray:
    return recover_reflectance(np.array(labs))


def test_in_its_own_daylight_a_colour_is_itself() -> None:
    labs = np.array([GREY, VIOLET, OAK])
    np.testing.assert_allclose(seen(_of(GREY, VIOLET, OAK), [D65], 0.83)[:, 0], labs, atol=0.02)


def test_fully_adapted_it_is_what_a_paint_is_described_by() -> None:
    reflectance = _of(GREY, VIOLET, OAK)
    described = lab_by(reflectance, tristimulus_weights("LED-B1"))
    np.testing.assert_allclose(seen(reflectance, [LED_B1], 1.0)[:, 0], described, atol=1e-9)


def test_partly_adapted_even_a_grey_turns_to_the_lamp() -> None:
    """With D = 0.83 the white card itself keeps a part of the lamp's colour, and a grey takes the same way."""
    grey, white = seen(_of(GREY, [99.0, 0.0, 0.0]), [WARM], 0.83)[:, 0]
    assert grey[2] > 4
    assert abs(lab_to_lch(grey)[2] - lab_to_lch(white)[2]) < 1
    # Beside that card it is a grey all the same.
    assert seen(_of(GREY), [WARM], 1.0)[0, 0, 1:] == pytest.approx([0, 0], abs=0.01)


def test_every_light_is_seen_by_itself() -> None:
    reflectance, lights = _of(VIOLET, OAK), [D65, WARM, lamp("fluorescent", 4000)]
    together = seen(reflectance, lights, [0.9, 0.83, 0.84])
    for place, (light, degree) in enumerate(zip(lights, (0.9, 0.83, 0.84), strict=True)):
        np.testing.assert_allclose(together[:, place], seen(reflectance, [light], degree)[:, 0], atol=1e-9)


def test_walls_make_themselves_more_of_a_colour_and_not_lighter_than_white() -> None:
    """In painted rooms colours come out more chromatic than the chip (Harleman 2007)."""
    reflectance = _of(GREIGE, OAK, [99.9, 0.0, 0.0])
    alone, around = (seen(reflectance, [D65], 1.0, bounce)[:, 0] for bounce in (None, with_bounce(reflectance, None)))
    assert np.all(np.hypot(*around[:2, 1:].T) > np.hypot(*alone[:2, 1:].T))
    assert around[2] == pytest.approx([99.9, 0, 0], abs=0.05)
    # A green floor tints a grey wall green.
    tinted = seen(_of(GREY), [D65], 1.0, with_bounce(None, _of([50.0, -40.0, 20.0])[0]))[0, 0]
    assert tinted[1] < -0.5


def test_black_stays_black() -> None:
    black = seen(_of([0.0, 0.0, 0.0]), [D65, WARM], 0.8)[0]
    assert np.all(np.abs(black) < 0.6)


def _day(*labs: list[float]) -> tuple[list[float], np.ndarray]:
    return [float(hour) for hour in range(len(labs))], np.array(labs)


def test_a_colour_flips_where_it_shows_another_family() -> None:
    hours, labs = _day([76, 4, -6], [76, 3, -2], [76, 3, 8], [76, 4, 9])
    found = flips(hours, labs, undertones(labs))
    assert [(flip.before, flip.after) for flip in found][-1][1] == undertones(labs)[3].family
    assert found[0].before == "purple"


def test_what_is_barely_visible_does_not_flip() -> None:
    """Visibility below 1 is neutral; a border of two families crossed by a hair is noise."""
    hours, faint = _day([76, 0.8, -0.8], [76, 0.8, 0.8], [76, -0.8, 0.8], [76, -0.8, -0.8])
    assert flips(hours, faint, undertones(faint)) == ()
    rng = np.random.default_rng(5)
    noisy = np.array([76.0, 1.3, -3.05]) + np.concatenate([np.zeros((40, 1)), rng.normal(0, 0.1, (40, 2))], axis=1)
    leans = undertones(noisy)
    assert len({lean.family for lean in leans}) == 2  # the noise does cross the border
    assert flips([float(hour) for hour in range(40)], noisy, leans) == ()


def test_between_two_families_it_may_be_neutral() -> None:
    hours, labs = _day([76, 3, -5], [76, 0, 0], [76, 1, 9])
    (only,) = flips(hours, labs, undertones(labs))
    assert (only.before, only.hour) == ("purple", 2)


def test_a_true_grey_keeps_its_character_and_an_orange_timber_less() -> None:
    labs = np.array([GREY, GREIGE, OAK])
    parts = kept(labs, seen(_of(GREY, GREIGE, OAK), [D65, WARM], 1.0))
    grey, greige, oak = keeps(parts, np.array([10.0, 6.0]))
    assert grey == pytest.approx(1, abs=1e-3)
    assert grey > greige > oak > 0
    # An hour in no light counts nothing.
    assert keeps(parts, np.array([10.0, 0.0])) == pytest.approx(np.ones(3), abs=1e-4)


def test_a_metameric_pair_parts_by_lamp_light() -> None:
    """Fluorescent green and red paints aside, two spectra of one colour: one smooth, one with a dent that D65 does not
    see (a null vector of its weights, found by linear algebra)."""
    smooth, weights = _of(GREIGE)[0], tristimulus_weights("D65")
    dent = np.sin(np.linspace(0, 5 * np.pi, 36))
    dent -= weights @ np.linalg.lstsq(weights, dent, rcond=None)[0]
    pair = np.stack([smooth, smooth + 0.12 * dent / np.abs(dent).max()])
    by_day, by_lamps = seen(pair, [D65], 1.0)[:, 0], seen(pair, [D65, WARM], 1.0)
    (parting,) = partings(by_day, by_lamps)
    assert (parting.a, parting.b, parting.light) == (0, 1, 1)
    assert parting.by_day < 0.1 < 2 < parting.de00
    assert partings(by_day, seen(pair[[0, 0]], [D65, WARM], 1.0)) == ()


def test_a_dim_room_takes_colour() -> None:
    labs = np.array([OAK, VIOLET, GREY])
    dim, dimmer, good = (colour_left(labs, lux) for lux in (100, 10, 500))
    assert good == pytest.approx([1, 1, 1])
    assert np.all(dimmer[:2] < dim[:2])
    assert np.all(dim[:2] < 1)
    assert dim[2] == 1


def test_common_practice_no_source_a_violet_grey_leans_less_by_warm_lamps() -> None:
    """Eyes used to the lamp in part, as in a room: the lamp's own yellow takes the violet away."""
    for lab in (VIOLET, [70.0, 2.0, -3.5], [82.0, 1.2, -2.5]):
        by_day, by_lamps = seen(_of(lab), [Light(natural_weights(8600), 8600, 8600, 8600), WARM], [0.85, 0.83])[0]
        assert by_day[2] < -1
        assert by_lamps[2] > by_day[2] + 2
        adapted = undertones(seen(_of(lab), [D65, WARM], 1.0)[0])
        assert adapted[1].visibility < adapted[0].visibility


def test_what_turns_in_the_morning_turns_back_in_the_evening() -> None:
    hours, labs = _day([76, 2.7, 9.2], [76, 1.2, 9.4], [76, 1.2, 9.4], [76, 2.7, 9.2])
    found = flips(hours, labs, undertones(labs))
    assert [(flip.before, flip.after) for flip in found] == [("yellow-red", "yellow"), ("yellow", "yellow-red")]
