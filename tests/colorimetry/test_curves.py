"""Curves measured or recovered, and the look in a light."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.curves import curves_of
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import incandescent, tristimulus_weights, wavelengths, weights_of
from matcher.colorimetry.recovery import lab_by, recover_reflectance
from matcher.colorimetry.spaces import Floats, lab_to_xyz


def test_what_is_measured_is_used_and_the_rest_recovered() -> None:
    lab = np.array([[68.0, 9.0, 14.0], [76.0, 4.0, -4.0]])
    known = np.stack([np.linspace(0.3, 0.6, 36), np.full(36, np.nan)])
    curves = curves_of(lab, known)
    assert curves.measured.tolist() == [True, False]
    assert (~curves_of(lab).measured).all()
    np.testing.assert_array_equal(curves.reflectance[0], known[0])
    np.testing.assert_allclose(curves.reflectance[1], recover_reflectance(lab)[1], rtol=0, atol=1e-12)
    seen = curves.look(tristimulus_weights("LED-B1"))
    np.testing.assert_allclose(seen, lab_by(curves.reflectance, tristimulus_weights("LED-B1")), atol=1e-3)
    assert np.isnan(known[1]).all()
    with pytest.raises(ValueError, match="read-only"):
        curves.reflectance[0] = 1


def test_the_look_in_a_light_of_any_power_is_that_in_the_lamp_by_name() -> None:
    curves = curves_of([[55.0, 14.0, 28.0], [40.0, -12.0, -20.0]])
    # CIE 015:2018 sec. 4.1.1: illuminant A is the black body of 2855.5 K.
    by_power = curves.look(weights_of(incandescent(2855.5)))
    assert delta_e_2000(by_power, curves.look(tristimulus_weights("A"))).max() < 0.01


def test_a_colour_no_surface_has_keeps_its_strength_in_a_lamp() -> None:
    """Its curve is that of a paler colour: by daylight it has to be itself, and no paler by lamplight for that."""
    impossible = np.array([[50.0, 120.0, 0.0], [90.0, -100.0, 90.0], [100.0, 0.0, 0.0], [0.0, 0.0, 0.0]])
    curves = curves_of(impossible)
    np.testing.assert_allclose(curves.look(tristimulus_weights("D65")), impossible, atol=1e-9)
    for lamp in ("A", "LED-B1", "FL11"):
        seen: Floats = curves.look(tristimulus_weights(lamp))
        assert np.isfinite(seen).all()
        chroma = np.hypot(impossible[:2, 1], impossible[:2, 2])
        assert (np.hypot(seen[:2, 1], seen[:2, 2]) > 0.7 * chroma).all()
    assert delta_e_2000(curves.look(tristimulus_weights("A"))[2:], impossible[2:]).max() < 0.01


def test_blacks_with_a_tint_that_no_surface_has_are_level() -> None:
    blacks = np.array([[0.0, 0.0, 0.0], [0.0, 30.0, 0.0], [0.5, -20.0, 20.0], [2.0, 0.0, -60.0]])
    curves = curves_of(blacks)
    assert ((curves.reflectance >= 0) & (curves.reflectance <= 1)).all()
    for lamp in ("A", "LED-B1"):
        assert np.abs(curves.look(tristimulus_weights(lamp)) - blacks).max() < 12
    level = np.isnan(recover_reflectance(blacks)[:, 0])
    assert level.any()
    # A surface that reflects R of every wavelength has the luminance factor R.
    level_of = np.repeat(lab_to_xyz(blacks[level])[:, 1:2], 36, axis=1)
    np.testing.assert_array_equal(curves.reflectance[level], level_of)
    absurd = curves_of([[-5.0, 30.0, 0.0], [150.0, 1e6, 0.0]]).reflectance
    assert ((absurd >= 0) & (absurd <= 1)).all()
    assert np.isnan(curves_of([[np.nan, 0.0, 0.0]]).reflectance).all()


def test_an_empty_deck_has_no_curves() -> None:
    curves = curves_of(np.empty((0, 3)))
    assert curves.reflectance.shape == (0, len(wavelengths()))
    assert curves.look(tristimulus_weights("A")).shape == (0, 3)


def test_a_long_deck_has_the_curves_of_its_parts() -> None:
    """Colours are worked on some thousand at a time; a black with a tint, which has no curve of its own, among them."""
    rng = np.random.default_rng(4)
    lab = np.stack([rng.uniform(25, 95, 5000), *rng.normal(2, 6, (2, 5000))], axis=1)
    lab[4500] = [0.0, 1.0, 0.0]
    whole = curves_of(lab).reflectance
    assert np.isfinite(whole).all()
    for part in (slice(4000, 4200), slice(4400, 5000)):
        np.testing.assert_allclose(curves_of(lab[part]).reflectance, whole[part], rtol=0, atol=1e-6)
