"""How many coats hide what is underneath: an estimate from the colour alone, by Kubelka and Munk, wavelength by
wavelength.

A film of scattering power SX and of reflectivity R (what the paint reflects when it is thick enough) over a ground Rg
reflects ``[1 - Rg (a - b coth bSX)] / [a - Rg + b coth bSX]`` with a = (1/R + R) / 2 and b = sqrt(a a - 1) (P. Kubelka,
F. Munk, "Ein Beitrag zur Optik der Farbanstriche", 1931; ISO 6504-1 uses it). What a colour does not tell is how much
its paint scatters. Assumed here:

- a white scatters 4.2 a coat of 10 m2/L, from 3 (thin) to 5.4 (dense): two such coats reach a contrast ratio of 98 %,
  class 2 of EN 13300, at 5 m2/L, where lay guides put it;
- the deeper and the cleaner a colour, the less white is in it: the wavelength it reflects least tells how much. A clean
  yellow and a black are tinted from a clear base, which scatters a fifth of what a white does;
- a roller leaves the film uneven, and its thin places, three quarters of the mean, are what shows;
- hidden is what differs by less than dE00 1 from the paint over itself;
- nobody paints fewer than two coats, for the evenness of the sheen (common practice, no source).

Gloss, the brush and how well a paint was stirred are in no formula: the tin's own words and a trial patch go first.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths
from matcher.colorimetry.recovery import recover_reflectance
from matcher.colorimetry.spaces import xyz_to_lab
from matcher.quantities.quantity import Coats

FloatArray = NDArray[np.floating[Any]]

# A white's scattering power in one coat at this spreading rate: dense, likely, thin.
_WHITE_SX = (5.4, 4.2, 3.0)
_AT_RATE = 10.0
# Reflectance at the wavelength reflected least, of a paint from a clear base and of one from a white base.
_CLEAR_TO_WHITE, _CLEAR_SHARE = (0.05, 0.45), 0.2
_SEEN_NM = (410.0, 680.0)  # beyond, hardly anything is seen
_THIN_PLACES = 0.75
_HIDDEN_DE00 = 1.0
FEWEST_COATS, MOST_COATS = 2, 6
# Grounds that are assumed where nobody measured, as reflectance: what is likely, and what is common at its palest and
# deepest.
USUAL_GROUND = 0.6
_PALEST, _DEEPEST = 0.8, 0.1
# What is measured is not 0 or 1 at any wavelength, and the formulas divide by both.
_REFLECTIVITY = (1e-3, 0.995)
# ISO 6504-3: the chart's white reflects 80 % within two points.
_CHART_WHITE = 0.8


def over_ground(reflectivity: ArrayLike, ground: ArrayLike, scattering: ArrayLike) -> FloatArray:
    """Return the reflectance of a film; all three broadcast, ``scattering`` is SX, above 0.

    >>> round(float(over_ground(0.85, 0.0, 4.0)), 4)
    0.7705
    """
    thick = np.clip(np.asarray(reflectivity, dtype=np.float64), *_REFLECTIVITY)
    under = np.asarray(ground, dtype=np.float64)
    a = (1 / thick + thick) / 2
    b = np.sqrt(a**2 - 1)
    coth = 1 / np.tanh(b * np.asarray(scattering, dtype=np.float64))
    return np.asarray((1 - under * (a - b * coth)) / (a - under + b * coth))


def contrast_ratio(reflectivity: ArrayLike, scattering: ArrayLike) -> float:
    """Return Y over black to Y over white (ISO 6504-3), 0..1, of a film of ``reflectivity`` (36,) or of a grey."""
    curve = np.broadcast_to(np.asarray(reflectivity, dtype=np.float64), wavelengths().shape)
    black, white = (_luminance(over_ground(curve, ground, scattering)) for ground in (0.0, _CHART_WHITE))
    return black / white


def coats_for(
    lab: ArrayLike,
    *,
    rate: float,
    ground: ArrayLike | None,
    usual: float = USUAL_GROUND,
    reflectance: ArrayLike | None = None,
) -> Coats:
    """Return the coats of a paint of CIELAB ``lab`` (3,), spread at ``rate`` m2 a litre and coat.

    ``reflectance`` (36,) is its measured spectrum, recovered from the colour where there is none; ``ground`` is the
    CIELAB of what it covers, None where nobody measured it: then a grey of reflectance ``usual`` is likely.
    """
    curve = _curve(lab, reflectance)
    if ground is None:
        grounds = [np.full(len(curve), level) for level in (usual, _PALEST, _DEEPEST)]
    else:
        grounds = [np.asarray(recover_reflectance([np.asarray(ground, dtype=np.float64)])[0])]
    dense, likely, thin = (sx * _white_share(curve) * _AT_RATE / rate for sx in _WHITE_SX)
    best = min(_coats(curve, under, dense) for under in grounds)
    worst = max(_coats(curve, under, thin) for under in grounds)
    middle = _coats(curve, grounds[0], likely)
    return Coats(
        likely=min(middle, MOST_COATS),
        low=min(best, MOST_COATS),
        high=min(worst, MOST_COATS),
        ratio=contrast_ratio(curve, likely),
        ground="assumed" if ground is None else "measured",
        beyond=worst > MOST_COATS,
    )


def _curve(lab: ArrayLike, reflectance: ArrayLike | None) -> FloatArray:
    measured = None if reflectance is None else np.asarray(reflectance, dtype=np.float64)
    if measured is not None and np.isfinite(measured).all():
        return measured
    return np.asarray(recover_reflectance([np.asarray(lab, dtype=np.float64)])[0])


def _white_share(curve: FloatArray) -> float:
    """Return how much of a white's scattering a paint has, by what it reflects least of."""
    nm = wavelengths()
    least = float(curve[(nm >= _SEEN_NM[0]) & (nm <= _SEEN_NM[1])].min())
    return float(np.interp(least, _CLEAR_TO_WHITE, (_CLEAR_SHARE, 1.0)))


def _coats(curve: FloatArray, ground: FloatArray, scattering: float) -> int:
    """Return the coats of this scattering power that hide a ground (36,), one more than is counted where none do."""
    numbers = np.arange(1, MOST_COATS + 1)
    films = over_ground(curve, ground, scattering * _THIN_PLACES * numbers[:, None])
    seen = np.asarray(delta_e_2000(_lab(films), _lab(np.clip(curve, *_REFLECTIVITY))))
    hidden = np.flatnonzero(seen < _HIDDEN_DE00)
    return max(int(numbers[hidden[0]]), FEWEST_COATS) if len(hidden) else MOST_COATS + 1


def _lab(curves: FloatArray) -> FloatArray:
    return np.asarray(xyz_to_lab(curves @ _weights()))


def _luminance(curve: FloatArray) -> float:
    return float(curve @ _weights()[:, 1])


@cache
def _weights() -> FloatArray:
    return tristimulus_weights("D65")
