"""How light a surface without its own card can be: nothing in a room is lighter than white paint, and little is black.

The level of light on such a surface is known from another card only, within tens of per cent. What surfaces are made of
bounds it from the other side: a reading of LRV 130 is a surface in more light than the card, not a lighter one.
"""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.normal import log_normal_below
from matcher.colorimetry.spaces import Floats
from matcher.surfaces.doubt import NINETY_PERCENT

# Assumptions. Before anything is read, half of all surfaces have an LRV below the first; the second is a sigma of its
# logarithm, broad on purpose. The lightest paints, tiles and stones reflect about the third (common practice, no
# source), a few per cent more or less.
_HALF_BELOW, _SPREAD, _LIGHTEST, _LIGHTEST_SD = 0.35, 1.2, 0.90, 0.04
_TAIL = 0.05  # beyond each end of the interval that is stated
_LOG_Y: Floats = np.linspace(np.log(0.008), np.log(1.0), 480)
_Y: Floats = np.exp(_LOG_Y)
# A logistic step is as good as a normal one here: what counts is that it is soft.
_BELIEF: Floats = -0.5 * ((_LOG_Y - np.log(_HALF_BELOW)) / _SPREAD) ** 2 - np.log1p(
    np.exp((_LOG_Y - np.log(_LIGHTEST)) * (1.7 / _LIGHTEST_SD))
)


def plausible_level(log_y: float, sd: float, fall: float = 0.0) -> tuple[float, float]:
    """Return how far a level is to be moved (logarithm) and its one-sigma then, by Bayes' rule.

    ``log_y`` is the logarithm of the luminance factor as read, white 0, ``sd`` its one-sigma, 0.05 or more; ``fall`` is
    the mean of an exponential part on top of it, by which the surface may be lighter than read (darker, below 0). The
    sigma returned is one whose 90 % interval, as a factor on the longer side, reaches the true interval's farther end.
    """
    off = _LOG_Y - log_y
    log_weight = _BELIEF + (log_delayed(np.sign(fall) * off / sd, abs(fall) / sd) if fall else -0.5 * (off / sd) ** 2)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    moved = float(weight @ _LOG_Y)
    low, high = np.interp([_TAIL, 1 - _TAIL], np.cumsum(weight), _Y)
    middle = float(np.exp(moved))
    farther = max(high / middle - 1, 1 - low / middle)
    return moved - log_y, float(np.log1p(farther)) / NINETY_PERCENT


def log_delayed(z: Floats, delay: float) -> Floats:
    """Return (N,), up to a constant, the logarithm of the density of a standard normal number plus an exponential one
    of mean ``delay``, at ``z`` (N,).

    Written out because scipy.stats, which has it as exponnorm, takes longer to import than a room to measure.
    """
    return np.asarray(-z / delay + log_normal_below(z - 1 / delay))
