"""From the illuminants that exchange formats use to the deck's CIELAB D65/2."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz, xyz_to_lab
from matcher.errors import RequestError
from matcher.paints.deck import FloatArray
from matcher.paints.rows import BANDS_NM

# ICC.1:2022, 7.2.16, the D50 of graphic arts; ISO 13655 prints the same to four digits.
_WHITE_D50 = np.array([0.9642, 1.0, 0.8249])


def white_of(illuminant: str) -> FloatArray | None:
    """Return XYZ (3,), Y = 1, of a CIE illuminant for the 2 degree observer, or None for a name CIE does not have."""
    name = illuminant.strip().upper().replace("ILLUMINANT", "").strip(" _,")
    if name == "D50":
        return _WHITE_D50
    if name == "D65":
        return np.asarray(WHITE_D65, dtype=float)
    # Loads colour-science, so only for the rare file that is in neither.
    from matcher.colorimetry.illuminants import white_point

    try:
        return np.asarray(white_point(name), dtype=float)
    except RequestError:
        return None


def xyz_to_lab_d65(xyz: FloatArray, white: FloatArray) -> FloatArray:
    """Return CIELAB D65 of XYZ (N, 3) under ``white`` (Y = 1), by Bradford (the adaptation ICC.1:2022 uses)."""
    return np.asarray(xyz_to_lab(adapt(xyz, white, WHITE_D65)), dtype=float)


def lab_to_lab_d65(lab: FloatArray, white: FloatArray) -> FloatArray:
    """Return CIELAB D65 of CIELAB (N, 3) that is relative to ``white``."""
    return xyz_to_lab_d65(np.asarray(lab_to_xyz(lab, white), dtype=float), white)


def reflectance_to_lab(reflectance: FloatArray) -> FloatArray:
    """Return CIELAB D65/2 of reflectance (N, 36) at 380 to 730 nm by 10; rows of NaN stay NaN."""
    from matcher.colorimetry.illuminants import tristimulus_weights

    weights = np.asarray(tristimulus_weights("D65"), dtype=float)
    return np.asarray(xyz_to_lab(reflectance @ weights), dtype=float)


def on_deck_bands(wavelengths_nm: NDArray[Any], values: FloatArray) -> FloatArray:
    """Return (N, 36) at the deck's bands from (N, M) at ``wavelengths_nm``, interpolated linearly.

    Beyond the measured range the end value is held (CIE 15:2018, 7.2.3 allows it where nothing better is known).
    """
    return np.array([np.interp(BANDS_NM, wavelengths_nm, row) for row in values]).reshape(-1, len(BANDS_NM))
