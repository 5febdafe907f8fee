"""Recovered reflectances: exact under D65, plausible under lamps, against measured surfaces nothing was learnt from.

Those come with colour-science 0.4.7: the 190 training patches of rawtoaces 1.0 (Dyer et al. 2017), and Munsell papers,
the test colours of CIE 13.3-1995 and of NIST's colour quality scale 9.0. ``tests.benchmarks.recovery`` takes more.
"""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.data import make_reflectance_shapes
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths
from matcher.colorimetry.recovery import lab_by, recover_reflectance
from matcher.colorimetry.smoothest import smoothest
from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, xyz_to_lab
from matcher.colorimetry.usual_shape import expected_shape, shape_covariance


@pytest.fixture(scope="module")
def patches() -> Floats:
    """Return reflectance (190, 36) of the training patches of rawtoaces."""
    colour = colour_library()

    training = colour.characterisation.read_training_data_rawtoaces_v1()
    return _at_bands(training.wavelengths, training.values.T)


@pytest.fixture(scope="module")
def munsell_papers() -> Floats:
    """Return reflectance (29, 36) of the test colours of CIE 13.3-1995 and of the colour quality scale 9.0."""
    colour_library()
    from colour.quality import SDS_TCS, SDS_VS

    papers = [*SDS_TCS["CIE 1995"].values(), *SDS_VS["NIST CQS 9.0"].values()]
    return np.concatenate([_at_bands(paper.wavelengths, paper.values[None]) for paper in papers])


def _at_bands(nm: Floats, values: Floats) -> Floats:
    return np.clip(np.stack([np.interp(wavelengths(), nm, row) for row in values]), 0, 1)


def test_round_trip_is_exact_for_every_srgb_colour() -> None:
    rgb = np.random.default_rng(2020).uniform(0.002, 0.99, (400, 3))
    lab = xyz_to_lab(linear_srgb_to_xyz(rgb))
    reflectance = recover_reflectance(lab)
    assert reflectance.shape == (400, 36)
    assert ((reflectance > 0) & (reflectance < 1)).all()
    assert delta_e_2000(lab_by(reflectance, tristimulus_weights("D65")), lab).max() < 0.01


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
def test_the_smoothest_curve_agrees_with_another_implementation(
    lab: tuple[float, ...], under_led_b1: tuple[float | None, ...]
) -> None:
    weights = tristimulus_weights("LED-B1")
    curves, reached = smoothest(np.array([lab], dtype=float))
    assert reached.all()
    (found,) = xyz_to_lab(curves @ weights, white=weights.sum(axis=0))
    for value, expected in zip(found, under_led_b1, strict=True):
        if expected is not None:
            assert value == pytest.approx(expected, abs=0.05)


def test_the_smoothest_curve_is_the_smoothest() -> None:
    """Lagrange's condition (Burns 2020, eq. 9): second differences of z, free at both ends, pull only along what the
    tristimulus values are sensitive to.
    """
    weights = tristimulus_weights("D65")
    lab = np.array([[76.0, 5.0, 8.0], [55.0, 14.0, 28.0], [40.0, -25.0, -20.0], [60.0, 50.0, 40.0]])
    curves, reached = smoothest(lab)
    assert reached.all()
    # Those of the colour, to a hundredth of its second decimal, where a surface that reflects everything is white.
    np.testing.assert_allclose(xyz_to_lab(curves @ weights, weights.sum(axis=0)), lab, rtol=0, atol=1e-4)
    for curve in curves:
        z = np.arctanh(2 * curve - 1)
        pull = np.diff(np.diff(z), prepend=0.0, append=0.0)
        pull[0], pull[-1] = z[1] - z[0], z[-2] - z[-1]
        held = weights * (1 - np.tanh(z) ** 2)[:, None]
        rest = pull - held @ np.linalg.lstsq(held, pull, rcond=None)[0]
        assert np.linalg.norm(rest) < 1e-3 * np.linalg.norm(pull)


@pytest.mark.parametrize("lamp", ["A", "LED-B1", "LED-B3", "FL11"])
@pytest.mark.parametrize("kept_apart", ["patches", "munsell_papers"])
def test_prediction_under_lamps_on_surfaces_that_nothing_was_learnt_from(
    kept_apart: str, lamp: str, request: pytest.FixtureRequest
) -> None:
    spectra = request.getfixturevalue(kept_apart)
    by_lamp = tristimulus_weights(lamp)
    lab, truth = lab_by(spectra, tristimulus_weights("D65")), lab_by(spectra, by_lamp)
    predicted = np.median(delta_e_2000(lab_by(recover_reflectance(lab), by_lamp), truth))
    assert predicted < 0.75 * np.median(delta_e_2000(lab, truth))
    curves, reached = smoothest(lab)
    assert reached.all()
    # Under the three-band lamp, whose lines weigh narrow parts of the curve, neither way is much better.
    assert predicted < (1.1 if lamp == "FL11" else 0.95) * np.median(delta_e_2000(lab_by(curves, by_lamp), truth))


def test_the_table_of_shapes_is_what_its_maker_makes() -> None:
    expected, covariance = make_reflectance_shapes.learnt(make_reflectance_shapes.samples())
    np.testing.assert_allclose(shape_covariance(), covariance, rtol=0, atol=1e-5)
    lab = np.array([[45.0, 20.0, 31.0]])
    np.testing.assert_allclose(expected_shape(lab), make_reflectance_shapes.chromatic_terms(lab) @ expected, atol=1e-4)


def test_the_curve_is_the_likeliest_of_those_that_have_the_colour() -> None:
    """Against random curves of the same colour, as near as 0.01 in z and as far as 0.3."""
    rng = np.random.default_rng(22437)
    weights = tristimulus_weights("D65")
    precise = np.linalg.pinv(shape_covariance())
    for lab in ([76.0, 1.5, 6.0], [55.0, 14.0, 28.0], [40.0, -12.0, -20.0]):
        z = np.arctanh(2 * recover_reflectance([lab])[0] - 1)
        expected = expected_shape([lab])[0]

        def cost(z: Floats, expected: Floats = expected) -> float:
            stray = z - z.mean() - expected
            return float(stray @ precise @ stray)

        held = weights * (1 - np.tanh(z) ** 2)[:, None]
        for size in (0.01, 0.1, 0.3):
            other = z + size * rng.standard_normal(len(z))
            for _ in range(20):  # back to the colour
                off = (np.tanh(other) - np.tanh(z)) @ weights
                other -= np.linalg.lstsq(held.T, off, rcond=None)[0]
            np.testing.assert_allclose(np.tanh(other) @ weights, np.tanh(z) @ weights, rtol=0, atol=1e-9)
            assert cost(other) > cost(z)


def test_greys_are_flat_and_look_the_same_under_every_lamp() -> None:
    greys = np.array([[lightness, 0.0, 0.0] for lightness in (5, 30, 76, 97)])
    reflectance = recover_reflectance(greys)
    np.testing.assert_allclose(reflectance, reflectance[:, :1].repeat(36, axis=1), rtol=0, atol=1e-6)
    for lamp in ("A", "LED-B1", "FL11"):
        np.testing.assert_allclose(lab_by(reflectance, tristimulus_weights(lamp)), greys, rtol=0, atol=1e-4)


def test_colours_no_surface_can_have_keep_lightness_and_hue() -> None:
    impossible = np.array(
        [[90, -100, 90], [30, 60, -110], [50, 120, 0], [99, 20, 20], [100, 0, 0], [0, 0, 0]], dtype=float
    )
    reflectance = recover_reflectance(impossible)
    assert ((reflectance > 0) & (reflectance < 1)).all()
    found = lab_by(reflectance, tristimulus_weights("D65"))
    np.testing.assert_allclose(found[:, 0], impossible[:, 0], rtol=0, atol=0.02)
    cosine = (found[:4, 1:] * impossible[:4, 1:]).sum(axis=1) / np.linalg.norm(found[:4, 1:], axis=1)
    np.testing.assert_allclose(cosine, np.linalg.norm(impossible[:4, 1:], axis=1), rtol=1e-6)


def test_what_lies_beyond_any_surface_has_a_curve_or_none_and_stops_nothing() -> None:
    """Towards reflectances of 0 and 1 the equations lose their hold; the first still has a curve, of its lightness."""
    beyond = np.array(
        [[9.355384230787, -107.80898145645696, 43.880152662449575], [0.01, -200, 1000], [99.99, 1e3, -200]]
    )
    found = recover_reflectance(beyond)
    assert ((found > 0) & (found < 1) | np.isnan(found).all(axis=1)[:, None]).all()
    assert lab_by(found[:1], tristimulus_weights("D65"))[0, 0] == pytest.approx(beyond[0, 0], abs=0.02)


def test_nan_rows_stay_nan_and_an_empty_deck_is_empty() -> None:
    reflectance = recover_reflectance([[np.nan, 0.0, 0.0], [50.0, 0.0, 0.0]])
    assert np.isnan(reflectance[0]).all()
    assert np.isfinite(reflectance[1]).all()
    assert recover_reflectance(np.empty((0, 3))).shape == (0, 36)
