"""Recovered reflectances: exact under D65, plausible under lamps, against real measured papers."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import names, tristimulus_weights, wavelengths
from matcher.colorimetry.recovery import lab_under, recover_reflectance
from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, xyz_to_lab


@pytest.fixture(scope="module")
def measured_patches() -> Floats:
    """Return reflectance (24, 36) of the usual chart of 24 patches, measured, as colour-science carries it."""
    names()  # imports colour-science without its notice about matplotlib
    import colour

    chart = colour.SDS_COLOURCHECKERS["BabelColor Average"]
    return np.array([np.interp(wavelengths(), patch.wavelengths, patch.values) for patch in chart.values()])


def test_round_trip_is_exact_for_every_srgb_colour() -> None:
    rgb = np.random.default_rng(2020).uniform(0.002, 0.99, (400, 3))
    lab = xyz_to_lab(linear_srgb_to_xyz(rgb))
    reflectance = recover_reflectance(lab)
    assert reflectance.shape == (400, 36)
    assert ((reflectance > 0) & (reflectance < 1)).all()
    assert delta_e_2000(lab_under(reflectance, "D65"), lab).max() < 0.01


@pytest.mark.parametrize(
    ("lab", "under_led_b1"),
    # LHTSS by another implementation; CIELAB with the lamp's own white for reference, one or two decimals.
    [
        ((76, 1, 6), (None, 1.97, 6.81)),
        ((76, 1.5, -3), (None, 0.68, -2.99)),
        ((76, 5, 8), (None, 5.61, 9.89)),
        ((55, 14, 28), (58.2, None, 32.9)),
    ],
)
def test_led_b1_agrees_with_another_implementation(
    lab: tuple[float, ...], under_led_b1: tuple[float | None, ...]
) -> None:
    weights = tristimulus_weights("LED-B1")
    (found,) = xyz_to_lab(recover_reflectance([lab]) @ weights, white=weights.sum(axis=0))
    for value, expected in zip(found, under_led_b1, strict=True):
        if expected is not None:
            assert value == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize("lamp", ["A", "LED-B1", "LED-B3", "FL11"])
def test_prediction_under_lamps_beats_adaptation_alone_on_measured_patches(measured_patches: Floats, lamp: str) -> None:
    lab = lab_under(measured_patches, "D65")
    truth = lab_under(measured_patches, lamp)
    predicted = np.median(delta_e_2000(lab_under(recover_reflectance(lab), lamp), truth))
    assert predicted < 0.75 * np.median(delta_e_2000(lab, truth))


def test_greys_are_flat_and_look_the_same_under_every_lamp() -> None:
    greys = np.array([[lightness, 0.0, 0.0] for lightness in (5, 30, 76, 97)])
    reflectance = recover_reflectance(greys)
    np.testing.assert_allclose(reflectance, reflectance[:, :1].repeat(36, axis=1), rtol=0, atol=1e-6)
    for lamp in ("A", "LED-B1", "FL11"):
        np.testing.assert_allclose(lab_under(reflectance, lamp), greys, rtol=0, atol=1e-4)


def test_colours_no_surface_can_have_keep_lightness_and_hue() -> None:
    impossible = np.array(
        [[90, -100, 90], [30, 60, -110], [50, 120, 0], [99, 20, 20], [100, 0, 0], [0, 0, 0]], dtype=float
    )
    reflectance = recover_reflectance(impossible)
    assert ((reflectance > 0) & (reflectance < 1)).all()
    found = lab_under(reflectance, "D65")
    np.testing.assert_allclose(found[:, 0], impossible[:, 0], rtol=0, atol=0.02)
    cosine = (found[:4, 1:] * impossible[:4, 1:]).sum(axis=1) / np.linalg.norm(found[:4, 1:], axis=1)
    np.testing.assert_allclose(cosine, np.linalg.norm(impossible[:4, 1:], axis=1), rtol=1e-6)


def test_nan_rows_stay_nan_and_an_empty_deck_is_empty() -> None:
    reflectance = recover_reflectance([[np.nan, 0.0, 0.0], [50.0, 0.0, 0.0]])
    assert np.isnan(reflectance[0]).all()
    assert np.isfinite(reflectance[1]).all()
    assert recover_reflectance(np.empty((0, 3))).shape == (0, 36)
