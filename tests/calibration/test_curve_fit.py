"""The fit of a tone curve to patches against what Bayes' rule makes of the same, in closed form and by drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
import pytest
from scipy.special import ndtr
from scipy.stats import multivariate_normal

from matcher.calibration.curve_evidence import CARD_SD, CurveEvidence
from matcher.calibration.curve_fit import _fit, fit_tone_curve
from matcher.calibration.curve_prior import NOT_PLAIN, Belief, beliefs, curve_without_scale
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import ToneCurve, linear_table, smooth_covariance
from matcher.colorimetry.spaces import Floats
from tests.calibration.made_patches import made, straight_space
from tests.calibration.test_curve_evidence import known_errors


@dataclass(frozen=True)
class Straight:
    """Departures that move with the strengths in a straight line."""

    base: Floats
    jacobian: Floats

    def departure(self, strength: Floats) -> tuple[Floats, Floats]:
        return self.base + self.jacobian @ strength, self.jacobian


@pytest.mark.parametrize("error", [1.0, 2.5])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_straight_line_is_fitted_as_normal_distributions_are(seed: int, error: float) -> None:
    """Mean and covariance by conditioning a joint normal distribution (Rasmussen & Williams 2006, A.6), likelihood by
    scipy's density of what was seen.
    """
    rng = np.random.default_rng(seed)
    evidence = Straight(1.5 * rng.standard_normal(9), 1.2 * rng.standard_normal((9, 5)))
    belief = Belief(0.3 * rng.standard_normal(5), smooth_covariance(0.4, 0.2), 0.37)
    fit = _fit(cast(CurveEvidence, evidence), belief, error)
    seen = multivariate_normal(
        evidence.base + evidence.jacobian @ belief.mean,
        error**2 * np.eye(9) + evidence.jacobian @ belief.covariance @ evidence.jacobian.T,
    )
    both = belief.covariance @ evidence.jacobian.T
    np.testing.assert_allclose(fit.strength, belief.mean + both @ np.linalg.solve(seen.cov, 0 - seen.mean), atol=1e-7)
    np.testing.assert_allclose(fit.covariance, belief.covariance - both @ np.linalg.solve(seen.cov, both.T), atol=1e-9)
    in_common = multivariate_normal(np.zeros(9), error**2 * np.eye(9)).logpdf(np.zeros(9))
    assert fit.log_likelihood == pytest.approx(np.log(0.37) + seen.logpdf(np.zeros(9)) - in_common)


def scale(
    departures: Floats, reflectances: tuple[float, ...] = (0.75, 0.3, 0.12), beside: float = np.nan
) -> list[Patch]:
    """Cards side by side whose levels are off by ``departures`` (N, 3) or (N, 1)."""
    return [
        made(
            0.9 * reflectance * np.exp(off), reflectance, centre=np.array([50.0 * i, 0.0]), slope_sd=1e-3,
            beside=np.full(3, beside),
        )
        for i, (reflectance, off) in enumerate(zip(reflectances, departures, strict=True))
    ]  # fmt: skip


def by_drawing(patches: list[Patch], error: float) -> tuple[Floats, Floats]:
    """Mean and covariance of curves drawn from all that is believed, weighed by how likely the patches are."""
    rng = np.random.default_rng(9)
    strengths = [rng.multivariate_normal(kind.mean, kind.covariance, 5000) for kind in beliefs(NOT_PLAIN)]
    drawn = np.concatenate(strengths)
    tables = linear_table(drawn, straight_space(), LEVELS)
    claimed = np.stack([np.log(p.linear(tables) / p.reflectance) for p in patches], axis=1).reshape(len(drawn), -1)
    precise = np.linalg.inv(known_errors([patches], np.eye(len(patches))))
    log = -0.5 * np.einsum("ni,ij,nj->n", claimed, precise, claimed) / error**2
    weights = np.repeat([kind.chance for kind in beliefs(NOT_PLAIN)], 5000) * np.exp(log - log.max())
    if np.isfinite(patches[0].beside).all():
        brightest = np.max(
            [tables[:, int(p.beside[0])] / p.linear(tables)[:, 1] * p.reflectance for p in patches], axis=0
        )
        weights = weights * ndtr(np.log(0.9 / brightest) / 0.06)
    assert 1 / np.square(weights / weights.sum()).sum() > 50  # as good as so many
    return np.average(drawn, axis=0, weights=weights), np.cov(drawn.T, aweights=weights, ddof=0)


@pytest.mark.parametrize(
    ("off", "beside"),
    [((0.0, 0.0, 0.0), np.nan), ((0.15, 0.0, -0.2), np.nan), ((-0.05, 0.0, 0.1), np.nan), ((0.1, 0.0, -0.1), 240.0)],
)
def test_the_curve_fitted_is_that_of_bayes_rule(off: tuple[float, ...], beside: float) -> None:
    patches = scale(np.array(off)[:, None], beside=beside)
    found = fit_tone_curve(patches, straight_space())
    error = float(np.sqrt(1 + (found.misfit / (0.7 * CARD_SD)) ** 2))
    mean, covariance = by_drawing(patches, error)
    sd = np.sqrt(np.diag(covariance))
    # Drawing is good to a tenth of a sigma; one normal distribution about the likeliest is not much better.
    np.testing.assert_array_less(np.abs(found.strength - mean), 0.3 * sd + 0.02)
    np.testing.assert_allclose(np.sqrt(np.diag(found.covariance)), sd, rtol=0.25)
    assert found.evidence == 2


def test_what_no_curve_explains_widens_the_doubt_by_as_much() -> None:
    """Channels that miss to opposite sides: then errors are taken for as much larger as their squares are over their
    freedom, and of what surfaces show too 0.7 is stated (charts in photographs).
    """
    quiet = fit_tone_curve(scale(np.zeros((3, 1))), straight_space())
    assert quiet.misfit == 0
    for size in (0.15, 0.4):
        patches = scale(size * np.array([[1.0, 0.0, -1.0], [0.0, 0.0, 0.0], [-1.0, 0.0, 1.0]]))
        found = fit_tone_curve(patches, straight_space())
        excess = CurveEvidence([patches], straight_space()).excess(found.strength)
        assert excess > 1.5
        assert found.misfit == pytest.approx(0.7 * np.hypot(0.02, 0.04) * np.sqrt(excess - 1), rel=0.05)
        assert np.trace(found.covariance) > np.trace(quiet.covariance)


def test_only_places_with_two_reflectances_tell_of_the_curve() -> None:
    space = straight_space()
    pair = scale(np.zeros((2, 1)), (0.75, 0.12))
    apart = [made(p.linear(np.arange(256) / 255), p.reflectance, on=on) for p, on in zip(pair, "ab", strict=True)]
    alike = scale(np.zeros((2, 1)), (0.3, 0.3))
    burnt = [pair[0], made(0.12, 0.12, clipped=0.5)]
    for silent in (apart, alike, burnt, pair[:1], []):
        found, expected = fit_tone_curve(silent, space), curve_without_scale([p for p in silent if p.usable], space)
        np.testing.assert_array_equal(found.strength, expected.strength)
        np.testing.assert_array_equal(found.covariance, expected.covariance)
        assert found.evidence == 0
    lent = ToneCurve(np.full(5, 0.1), 0.01 * np.eye(5), 3)
    assert fit_tone_curve(alike, space, lent) is lent
    assert fit_tone_curve(pair, space, lent).evidence == 1


def test_a_file_that_states_its_curve_has_none_to_fit() -> None:
    found = fit_tone_curve(scale(np.array([0.3, 0.0, -0.3])[:, None]), straight_space(tone_known=True))
    np.testing.assert_array_equal(found.strength, 0)
    assert np.diag(found.covariance).max() < 1e-5
    assert (found.evidence, found.misfit) == (0, 0.0)
