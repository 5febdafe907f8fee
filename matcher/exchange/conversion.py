"""From the illuminants and observers that measured colours come in to CIELAB D65/2."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz, xyz_to_lab
from matcher.errors import RequestError
from matcher.exchange.samples import BANDS_NM, FloatArray

# ICC.1:2022, 7.2.16, the D50 of graphic arts; ISO 13655 prints the same to four digits.
_WHITE_D50 = np.array([0.9642, 1.0, 0.8249])
_LINEAR_UP_TO_NM = 10
# ASTM E308 has weights for reflectance every 10 and every 20 nm, and for no wider steps.
WIDEST_STEP_NM = 20.0
_SEEN_NM = (400.0, 700.0)


def cie_name(illuminant: str) -> str:
    """Return an illuminant as CIE writes it.

    >>> cie_name("Illuminant_d65"), cie_name("F11")
    ('D65', 'FL11')
    """
    name = illuminant.strip().upper().replace("ILLUMINANT", "").strip(" _,")
    return f"FL{name[1:]}" if name.startswith("F") and name[1:].isdigit() else name


def white_of(illuminant: str, observer: int = 2) -> FloatArray | None:
    """Return XYZ (3,), Y = 1, of an illuminant for the 2 or 10 degree observer, None for one that CIE does not have."""
    name = cie_name(illuminant)
    if observer == 2 and name == "D50":
        return _WHITE_D50
    if observer == 2 and name == "D65":
        return np.asarray(WHITE_D65, dtype=float)
    # Loads colour-science, so only for the rarer ones.
    from matcher.colorimetry.illuminants import white_point

    try:
        return np.asarray(white_point(name, observer), dtype=float)
    except RequestError:
        return None


def xyz_to_lab_d65(xyz: FloatArray, light: str, observer: int = 2) -> FloatArray:
    """Return CIELAB D65/2 of XYZ (N, 3), Y = 1 for white, under a light that :func:`white_of` knows."""
    white = white_of(light, observer)
    assert white is not None, light
    if observer == 2:
        # Bradford, the adaptation ICC.1:2022 uses.
        return np.asarray(xyz_to_lab(adapt(xyz, white, WHITE_D65)), dtype=float)
    from matcher.colorimetry.other_observer import to_d65_2deg

    return np.asarray(to_d65_2deg(xyz_to_lab(xyz, white), cie_name(light), observer), dtype=float)


def lab_to_lab_d65(lab: FloatArray, light: str, observer: int = 2) -> FloatArray:
    """Return CIELAB D65/2 of CIELAB (N, 3) relative to a light that :func:`white_of` knows."""
    white = white_of(light, observer)
    assert white is not None, light
    return xyz_to_lab_d65(np.asarray(lab_to_xyz(lab, white), dtype=float), light, observer)


def reflectance_to_lab(reflectance: FloatArray) -> FloatArray:
    """Return CIELAB D65/2 of reflectance (N, 36) at 380 to 730 nm by 10; rows of NaN stay NaN."""
    from matcher.colorimetry.illuminants import tristimulus_weights

    weights = np.asarray(tristimulus_weights("D65"), dtype=float)
    return np.asarray(xyz_to_lab(reflectance @ weights), dtype=float)


def gap(wavelengths_nm: Sequence[float]) -> tuple[float, float] | None:
    """Return the first two neighbours of increasing wavelengths, within 400 to 700 nm, too far apart for a colour.

    >>> gap([400, 420, 520, 700])
    (420, 520)
    """
    for low, high in pairwise(wavelengths_nm):
        if high - low > WIDEST_STEP_NM and high > _SEEN_NM[0] and low < _SEEN_NM[1]:
            return low, high
    return None


def on_bands(wavelengths_nm: NDArray[Any], values: FloatArray) -> FloatArray:
    """Return (N, 36) at ``BANDS_NM`` from (N, M) at ``wavelengths_nm``, increasing.

    Linear between samples up to 10 nm apart; wider ones along a cubic: at 20 nm a straight line leaves 0.34 dE00 (root
    mean square of 147 measured spectra), a cubic 0.10. Beyond the measured range the end value is held (CIE 15:2018,
    7.2.3 allows it where nothing better is known).
    """
    if len(wavelengths_nm) > 2 and np.diff(wavelengths_nm).max() > _LINEAR_UP_TO_NM:
        from scipy.interpolate import CubicSpline

        inside = np.clip(BANDS_NM, wavelengths_nm[0], wavelengths_nm[-1])
        # A row with a value that could not be read is a problem already.
        sound = np.isfinite(values).all(axis=1)
        bands = np.full((len(values), len(BANDS_NM)), np.nan)
        bands[sound] = np.clip(CubicSpline(wavelengths_nm, values[sound], axis=1)(inside), 0, 1)
        return bands
    return np.array([np.interp(BANDS_NM, wavelengths_nm, row) for row in values]).reshape(-1, len(BANDS_NM))
