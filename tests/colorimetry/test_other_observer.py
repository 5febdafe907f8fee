"""Readings for another observer or light against measured spectra that nothing was learnt from (rawtoaces 1.0)."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths
from matcher.colorimetry.other_observer import to_d65_2deg
from matcher.colorimetry.recovery import recover_reflectance
from matcher.colorimetry.spaces import Floats, xyz_to_lab


def seen(reflectance: Floats, illuminant: str, observer_deg: int) -> Floats:
    weights = tristimulus_weights(illuminant, observer_deg)
    return xyz_to_lab(reflectance @ weights, weights.sum(axis=0))


def test_measured_surfaces_come_to_what_the_2_degree_observer_sees() -> None:
    training = colour_library().characterisation.read_training_data_rawtoaces_v1()
    spectra = np.clip([np.interp(wavelengths(), training.wavelengths, row) for row in training.values.T], 0, 1)
    truth = seen(spectra, "D65", 2)
    given = seen(spectra, "D65", 10)
    left = np.sqrt(np.mean(delta_e_2000(to_d65_2deg(given, "D65", 10), truth) ** 2))
    assert left < 0.8
    assert left < 0.35 * np.sqrt(np.mean(delta_e_2000(given, truth) ** 2))


@pytest.mark.parametrize(("illuminant", "observer_deg", "left"), [("D65", 10, 1e-3), ("D50", 10, 1e-3), ("A", 2, 1e-2)])
def test_what_is_found_has_the_numbers_given(illuminant: str, observer_deg: int, left: float) -> None:
    given = np.array([[76.0, 4.0, 12.0], [45.0, -10.0, 20.0], [60.0, 15.0, -5.0], [30.0, 2.0, -12.0]])
    found = to_d65_2deg(given, illuminant, observer_deg)
    np.testing.assert_allclose(seen(recover_reflectance(found), illuminant, observer_deg), given, atol=left)
    assert np.abs(found - given).max() > 0.3


def test_greys_stay_and_what_no_surface_has_is_not_carried_away() -> None:
    greys = np.array([[0.3, 0.0, 0.0], [50.0, 0.0, 0.0], [99.0, 0.0, 0.0]])
    np.testing.assert_allclose(to_d65_2deg(greys, "D65", 10), greys, atol=1e-3)
    given = np.array([[50.0, 150.0, -100.0], [90.0, -120.0, 100.0], [100.6, 0.0, 0.0], [-0.5, 0.0, 0.0]])
    found = to_d65_2deg(given, "A", 10)
    assert np.abs(found[:2] - given[:2]).max() <= 20
    assert found[2:, 0].tolist() == [100.0, 0.0]
    black = np.array([[0.0, 30.0, 0.0], [np.nan, 1.0, 2.0]])  # none has a reflectance
    np.testing.assert_array_equal(to_d65_2deg(black, "D65", 10)[0], black[0])
    assert np.isnan(to_d65_2deg(black, "D65", 10)[1, 0])
