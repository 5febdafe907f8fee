"""CIE illuminants and the CIE 1931 2 degree observer, at the wavelengths of measured paint: 380 to 730 nm by 10.

The 1964 10 degree observer is there where it is asked for, for readings that come in it. The tables are CIE 015:2018's
(``data/SOURCES.md``).
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.spaces import Floats
from matcher.errors import Problem, RequestError

_FIRST_NM, _LAST_NM, _STEP_NM = 380, 730, 10
_FINE_NM: NDArray[np.float64] = np.arange(360.0, 831.0)

_LAMP = "lamp "  # keys of the table of illuminants begin so

# CIE 015:2018 eq. 4.6 to 4.11: chromaticity of daylight as polynomials of 1000 K / T, T in kelvin.
_DAYLIGHT_RANGE_K = (4000.0, 25000.0)
_DAYLIGHT_X_WARM = (-4.6070, 2.9678, 0.09911, 0.244063)
_DAYLIGHT_X_COOL = (-2.0064, 1.9018, 0.24748, 0.237040)
_DAYLIGHT_SPLIT_K = 7000.0

# Planck's law: h c / k in nm kelvin, exact in the SI since 2019.
SECOND_RADIATION_NM_K = 1.438776877e7
# From below a candle's flame to above any filament (tungsten melts at 3695 K). Assumption.
_INCANDESCENT_RANGE_K = (1500.0, 3900.0)


def wavelengths() -> Floats:
    """Return the 36 sample wavelengths in nm."""
    return np.arange(_FIRST_NM, _LAST_NM + _STEP_NM, _STEP_NM, dtype=np.float64)


def names() -> tuple[str, ...]:
    """Return the CIE illuminants that can be asked for (the ISO 7589 photographic sources are left out)."""
    return tuple(key.removeprefix(_LAMP) for key in _tables() if key.startswith(_LAMP))


@cache
def spectral_power(name: str) -> Floats:
    """Return relative spectral power, shape (36,), of a CIE illuminant such as ``A``, ``D65``, ``FL11``, ``LED-B1``.

    Raises ``RequestError`` for a name CIE does not have, listing those it does.
    """
    return _frozen(np.interp(wavelengths(), _FINE_NM, _fine_power(name)))


def observer_fine() -> tuple[Floats, Floats]:
    """Return the wavelengths from 360 to 830 nm by 1 and the CIE 1931 colour-matching functions there, (471, 3)."""
    return _FINE_NM, _fine_observer(2)


@cache
def white_point(name: str, observer_deg: int = 2) -> Floats:
    """Return XYZ of the illuminant, Y = 1, integrated over 360 to 830 nm by 1, for the 2 or the 10 degree observer."""
    xyz = _fine_power(name) @ _fine_observer(observer_deg)
    return _frozen(xyz / xyz[1])


def chromaticity(name: str) -> tuple[float, float]:
    """Return CIE 1931 x, y of the illuminant as CIE computes what it prints: a sum every 5 nm, from 380 to 780."""
    every_5nm = slice(380 - 360, 780 - 360 + 1, 5)
    xyz = _fine_power(name)[every_5nm] @ _fine_observer(2)[every_5nm]
    return float(xyz[0] / xyz.sum()), float(xyz[1] / xyz.sum())


@cache
def tristimulus_weights(name: str, observer_deg: int = 2) -> Floats:
    """Return weights W, shape (36, 3), so that XYZ = reflectance (..., 36) @ W, Y = 1 for the perfect reflector.

    They are for the 2 or the 10 degree observer.

    The lamp is integrated at 1 nm with reflectance interpolated linearly between its samples (and held at its end
    values outside them): a lamp's narrow lines fall through a plain 10 nm sum.
    """
    return _frozen(_weights(_fine_power(name), observer_deg))


def weights_of(power: ArrayLike, observer_deg: int = 2) -> Floats:
    """Return the weights, (36, 3), as :func:`tristimulus_weights` does, of a light of relative spectral power (36,).

    Power is taken to run straight between its samples and to stay level outside them, which suits daylight, flames and
    filaments and mixtures of them; an LED or fluorescent lamp by itself is better asked for by name. The light's white,
    Y = 1, is the sum over the samples.

    >>> dusk = daylight(10000) + incandescent(2700)
    >>> [round(float(value), 3) for value in weights_of(dusk).sum(axis=0)]
    [1.038, 1.0, 0.892]
    """
    return _weights(np.interp(_FINE_NM, wavelengths(), np.asarray(power)), observer_deg)


def _weights(fine_power: Floats, observer_deg: int) -> Floats:
    distance = np.abs(np.clip(_FINE_NM, _FIRST_NM, _LAST_NM)[:, None] - wavelengths()) / _STEP_NM
    share = np.maximum(1 - distance, 0)
    weights = share.T @ (fine_power[:, None] * _fine_observer(observer_deg))
    return np.asarray(weights / weights[:, 1].sum())


def incandescent(kelvin: float) -> Floats:
    """Return relative spectral power, shape (36,), 100 at 560 nm, of a black body of 1500..3900 K (Planck's law).

    CIE A is the one of 2855.5 K (CIE 015:2018 sec. 4.1.1). Raises ``ValueError`` outside the range.
    """
    low, high = _INCANDESCENT_RANGE_K
    if not low <= kelvin <= high:
        raise ValueError(f"flames and filaments have from {low:.0f} to {high:.0f} K, not {kelvin:.0f} K")
    nm = wavelengths()
    exponents = np.expm1(SECOND_RADIATION_NM_K / (560.0 * kelvin)), np.expm1(SECOND_RADIATION_NM_K / (nm * kelvin))
    return np.asarray(100 * (560.0 / nm) ** 5 * exponents[0] / exponents[1])


def daylight(cct_kelvin: float) -> Floats:
    """Return relative spectral power, shape (36,), of CIE daylight of a correlated colour temperature of 4000..25000 K.

    CIE 015:2018 sec. 4.1.2. The temperature is the real one: D65 is 6504 K (its nominal 6500 K times 1.4388/1.4380).
    Raises ``ValueError`` outside the range for which CIE defines daylight.
    """
    x, y = daylight_chromaticity(cct_kelvin)
    m = 0.0241 + 0.2562 * x - 0.7341 * y
    m1 = (-1.3515 - 1.7703 * x + 5.9114 * y) / m
    m2 = (0.0300 - 31.4424 * x + 30.0717 * y) / m
    s0, s1, s2 = (np.interp(wavelengths(), *_tables()[f"daylight {key}"]) for key in ("S0", "S1", "S2"))
    return np.asarray(s0 + m1 * s1 + m2 * s2)


def daylight_chromaticity(cct_kelvin: float) -> tuple[float, float]:
    """Return CIE 1931 x, y of daylight (CIE 015:2018 eq. 4.6 to 4.8); raises ``ValueError`` outside 4000..25000 K."""
    low, high = _DAYLIGHT_RANGE_K
    if not low <= cct_kelvin <= high:
        raise ValueError(f"CIE daylight is defined from {low:.0f} to {high:.0f} K, not at {cct_kelvin:.0f} K")
    terms = _DAYLIGHT_X_WARM if cct_kelvin <= _DAYLIGHT_SPLIT_K else _DAYLIGHT_X_COOL
    x = float(np.polyval(terms, 1000 / cct_kelvin))
    return x, -3 * x**2 + 2.87 * x - 0.275


@cache
def _fine_power(name: str) -> Floats:
    if name not in names():
        raise RequestError(
            Problem(
                where="lamp", what=f"no CIE illuminant is called {name!r}", remedy="Use one of: " + ", ".join(names())
            )
        )
    # Tables end at 780 nm, where the observer has all but ended: linear between, held at the ends.
    return np.asarray(np.interp(_FINE_NM, *_tables()[_LAMP + name]))


@cache
def _fine_observer(observer_deg: int) -> Floats:
    return _tables()[f"observer {observer_deg}"]


@cache
def _tables() -> dict[str, Floats]:
    """Return CIE's tables by key: ``data/make_cie_tables.py``."""
    with (files("matcher.colorimetry") / "data" / "cie_tables.npz").open("rb") as stream, np.load(stream) as stored:
        return {key: _frozen(stored[key]) for key in stored.files}


def _frozen(array: Floats) -> Floats:
    """Guard a cached array against being changed by one of its users."""
    array.setflags(write=False)
    return array
