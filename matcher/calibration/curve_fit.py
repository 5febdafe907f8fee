"""Fit the photo's tone curve to its neutral patches, starting from what is known of curves.

Two kinds of curve are known (curve_prior.py). Each is fitted, and they weigh as likely as the patches are under each:
by Bayes' rule, with Laplace's approximation of the evidence (MacKay 2003, Information Theory, Inference, and Learning
Algorithms, ch. 27 and 28).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.calibration.curve_evidence import CARD_SD, CurveEvidence, places
from matcher.calibration.curve_prior import NOT_PLAIN, Belief, beliefs, bounded, curve_without_scale, mixed
from matcher.calibration.patch import Patch
from matcher.calibration.tone_curve import ToneCurve, known_curve
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

_ITERATIONS = 12
_REWEIGHTED, _SAME_ERROR = 3, 0.02
# Part of what no curve explains of the cards that surfaces show too: so that intervals hold on charts in photographs.
_MISSED = 0.7
_LONGEST_STEP, _SMALLEST_STEP = 0.5, 1e-3


def fit_tone_curve(patches: Sequence[Patch], space: ColourSpace, believed: ToneCurve | None = None) -> ToneCurve:
    """Return the curve that makes neighbouring patches stand in the ratio of their reflectances.

    Without two usable patches of different reflectance at one place this is what is ``believed``, by default the prior
    over curves. Where the file has no curve of a camera's, as camera raw, there is nothing to fit.
    """
    if space.tone_known:
        return known_curve()
    usable = [p for p in patches if p.usable]
    groups = [g for g in places(usable) if len({usable[i].reflectance for i in g}) > 1]
    if not groups:
        return curve_without_scale(usable, space, believed)
    evidence = CurveEvidence([[usable[i] for i in g] for g in groups], space)
    # Patches that no curve explains are not believed more than they fit: their errors are taken for as much larger.
    error = 1.0
    for _ in range(_REWEIGHTED):
        fits = [_fit(evidence, belief, error) for belief in beliefs(NOT_PLAIN)]
        larger = float(np.sqrt(min(evidence.excess(fit.strength) for fit in fits)))
        if abs(larger - error) < _SAME_ERROR:
            break
        error = larger
    likely = np.array([fit.log_likelihood for fit in fits])
    found = [
        Belief(fit.strength, fit.covariance, float(np.exp(log - likely.max())))
        for fit, log in zip(fits, likely, strict=True)
    ]
    mean, covariance = mixed([bounded(each, usable, space) for each in found])
    return ToneCurve(mean, covariance, evidence.evidence, _MISSED * CARD_SD * float(np.sqrt(error**2 - 1)))


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """``strength`` (5,) most probable under one belief, its ``covariance`` (5, 5); ``misfit`` of the patches and
    ``lean`` from the belief as sums of squares over variances; ``narrowed``, the logarithm of how much smaller the
    covariance's volume is than the belief's; ``chance`` of the belief.
    """

    strength: Floats
    covariance: Floats
    misfit: float
    lean: float
    narrowed: float
    chance: float

    @property
    def log_likelihood(self) -> float:
        """The logarithm of how likely this kind of curve is, less what all kinds have in common."""
        return float(np.log(self.chance)) - 0.5 * (self.misfit + self.lean) + self.narrowed


def _fit(evidence: CurveEvidence, belief: Belief, error: float) -> _Fit:
    """Return the most probable strengths, by Gauss-Newton, where patches err ``error`` times as much as is usual."""
    precision = np.linalg.inv(belief.covariance)
    strength = belief.mean
    residual, jacobian = (part / error for part in evidence.departure(strength))
    for _ in range(_ITERATIONS):
        normal = jacobian.T @ jacobian + precision
        step = np.linalg.solve(normal, jacobian.T @ residual + precision @ (strength - belief.mean))
        strength = strength - step * min(1.0, _LONGEST_STEP / max(float(np.abs(step).max()), _SMALLEST_STEP))
        residual, jacobian = (part / error for part in evidence.departure(strength))
        if np.abs(step).max() < _SMALLEST_STEP:
            break
    covariance = np.linalg.inv(jacobian.T @ jacobian + precision)
    off = strength - belief.mean
    return _Fit(
        strength=strength,
        covariance=covariance,
        misfit=float(residual @ residual),
        lean=float(off @ precision @ off),
        narrowed=0.5 * float(np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(precision)[1]),
        chance=belief.chance,
    )
