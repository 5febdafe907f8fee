"""The family of tone curves holds curves of published form, and what is believed of it is what cameras do."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.curve_prior import NOT_PLAIN, beliefs, mixed
from matcher.calibration.tone_curve import linear_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.colour_space import srgb
from tests.calibration.curve_shapes import nearest_strengths

LIGHT = np.linspace(0, 1, 4001)


def bt709(light: Floats) -> Floats:
    """Rec. ITU-R BT.709-6, item 1.2."""
    return np.where(light < 0.018, 4.5 * light, 1.099 * np.maximum(light, 1e-9) ** 0.45 - 0.099)


def photographic(light: Floats, white: float = 4.0) -> Floats:
    """Reinhard, Stark, Shirley & Ferwerda 2002 (ACM TOG 21(3):267-276), eq. 4, then the standard encoding."""
    bright = light * white
    return standard(bright * (1 + bright / white**2) / (1 + bright))


def filmic(light: Floats) -> Floats:
    """Narkowicz 2015, the fit to the ACES reference rendering that games use, then the standard encoding."""
    bright = light * 2.0
    toned = bright * (2.51 * bright + 0.03) / (bright * (2.43 * bright + 0.59) + 0.14)
    return standard(toned / toned[-1])


def standard(light: Floats) -> Floats:
    """IEC 61966-2-1."""
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)


def smooth_s(light: Floats) -> Floats:
    u = standard(light)
    return u + 0.5 * (3 * u**2 - 2 * u**3 - u)


SHAPES = {
    "standard": standard(LIGHT),
    "BT.709": bt709(LIGHT),
    "gamma 1.8": LIGHT ** (1 / 1.8),
    "gamma 2.4": LIGHT ** (1 / 2.4),
    "photographic": photographic(LIGHT),
    "filmic": filmic(LIGHT),
    "smooth S": smooth_s(LIGHT),
}


@pytest.mark.parametrize("name", SHAPES)
def test_published_curves_are_followed(name: str) -> None:
    """To 2.5 % of the light at nineteen of twenty file values from 0.06 to 0.97, and to a tenth at the darkest."""
    _, missed = nearest_strengths(LIGHT, SHAPES[name])
    assert np.quantile(np.abs(missed), 0.95) < 0.025
    assert np.abs(missed).max() < 0.1


def test_a_camera_s_curve_is_steep_about_mid_grey_and_soft_at_both_ends() -> None:
    """Grossberg & Nayar 2004 as five numbers: with white at saturation, the mean of 201 measured responses decoded by
    the standard gives 1.24, 1.29, 1.25, 0.67 and 0.47 of the true ratios of white 9.5, neutral 8, 6.5, 3.5 and black 2
    to neutral 5. What is believed of cameras gives each within 1.3 of its sigmas.
    """
    reflectance = np.array([0.88, 0.59, 0.365, 0.0882, 0.0315])
    expected = np.array([1.24, 1.29, 1.25, 0.67, 0.47])
    camera = beliefs(NOT_PLAIN)[1]
    drawn = np.random.default_rng(3).multivariate_normal(camera.mean, camera.covariance, 400)
    tables = linear_table(drawn, srgb(), 1024)
    plain = linear_table(np.zeros(5), srgb(), 1024)
    # Saturation is white 1.0: a camera at that exposure sees these.
    ratios = []
    for table in tables:
        seen = np.interp(np.append(reflectance, 0.19), table, plain)
        ratios.append(np.log(seen[:-1] / seen[-1] / (reflectance / 0.19)))
    middle, sd = np.mean(ratios, axis=0), np.std(ratios, axis=0)
    assert (np.abs(np.log(expected) - middle) < 1.3 * sd).all()
    assert middle[2] > 0.08 > -0.2 > middle[3]


def test_chances_add_to_one_and_their_mixture_is_what_sampling_says() -> None:
    kinds = beliefs(NOT_PLAIN)
    assert sum(kind.chance for kind in kinds) == pytest.approx(1)
    rng = np.random.default_rng(1)
    which = rng.choice(len(kinds), 60000, p=[kind.chance for kind in kinds])
    drawn = np.concatenate(
        [rng.multivariate_normal(k.mean, k.covariance, int((which == i).sum())) for i, k in enumerate(kinds)]
    )
    mean, covariance = mixed(kinds)
    np.testing.assert_allclose(drawn.mean(axis=0), mean, atol=0.02)
    np.testing.assert_allclose(np.cov(drawn.T), covariance, atol=0.03)
