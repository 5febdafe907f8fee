"""CIELAB, XYZ, sRGB and the cylindrical form of CIELAB.

Sources: CIE 015:2018 (CIELAB), IEC 61966-2-1 (sRGB). Every function takes and returns shape ``(..., 3)``. Many pixels
are converted several times faster where they are laid out in columns (Fortran order), which the results then are too.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.floating[Any]]

# D65 for the 2 degree observer, as ASTM E308 tabulates it and IEC 61966-2-1 uses it.
WHITE_D65: Floats = np.array([0.95047, 1.0, 1.08883])

# CIE 015:2018 eq. 8.6 to 8.11, in the exact rational form.
_EPSILON = (6 / 29) ** 3
_LINEAR_SLOPE = (29 / 6) ** 2 / 3
_LINEAR_OFFSET = 4 / 29

# IEC 61966-2-1: chromaticities of the primaries, and the transfer function's constants.
_SRGB_PRIMARIES_XY = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
_SRGB_LINEAR_LIMIT_ENCODED = 0.04045
_SRGB_LINEAR_LIMIT = 0.0031308
_SRGB_SLOPE = 12.92
_SRGB_OFFSET = 0.055
_SRGB_GAMMA = 2.4


def as_floats(values: ArrayLike) -> Floats:
    """Return an array of floats; float32 stays float32, everything else becomes float64."""
    array = np.asarray(values)
    return array if array.dtype == np.float32 else array.astype(np.float64, copy=False)


def _matrix_from_primaries() -> Floats:
    """Linear sRGB to XYZ, scaled so that (1, 1, 1) is exactly ``WHITE_D65``.

    The standard prints the matrix to four digits; deriving it keeps neutral greys at a* = b* = 0.
    """
    x, y = _SRGB_PRIMARIES_XY.T
    columns = np.stack([x / y, np.ones(3), (1 - x - y) / y])
    return columns * np.linalg.solve(columns, WHITE_D65)


SRGB_TO_XYZ: Floats = _matrix_from_primaries()
XYZ_TO_SRGB: Floats = np.linalg.inv(SRGB_TO_XYZ)


def xyz_to_lab(xyz: ArrayLike, white: ArrayLike = WHITE_D65) -> Floats:
    """Return CIELAB of XYZ relative to ``white`` (CIE 015:2018 eq. 8.3 to 8.8)."""
    xyz = as_floats(xyz)
    ratio = xyz / np.asarray(white, dtype=xyz.dtype)
    # A power, which numpy computes in single precision more than twice as fast as a cube root, and as exactly.
    curved = np.power(np.maximum(ratio, _EPSILON), 1 / 3)
    f = np.where(ratio > _EPSILON, curved, ratio * xyz.dtype.type(_LINEAR_SLOPE) + _LINEAR_OFFSET)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    lab = np.empty_like(f)
    lab[..., 0], lab[..., 1], lab[..., 2] = 116 * y - 16, 500 * (x - y), 200 * (y - z)
    return lab


def lab_to_xyz(lab: ArrayLike, white: ArrayLike = WHITE_D65) -> Floats:
    """Return XYZ of CIELAB, the exact inverse of :func:`xyz_to_lab`.

    >>> round(float(lab_to_xyz([50.0, 0.0, 0.0])[1]), 5)
    0.18419
    """
    lab = as_floats(lab)
    y = (lab[..., 0] + 16) / 116
    f = np.empty_like(lab)
    f[..., 0], f[..., 1], f[..., 2] = y + lab[..., 1] / 500, y, y - lab[..., 2] / 200
    ratio = np.where(f > 6 / 29, f**3, (f - _LINEAR_OFFSET) / lab.dtype.type(_LINEAR_SLOPE))
    return ratio * np.asarray(white, dtype=lab.dtype)


def lab_to_lch(lab: ArrayLike) -> Floats:
    """Return lightness, chroma C*ab and hue angle h_ab in degrees [0, 360); the hue of an exact grey is 0."""
    lab = as_floats(lab)
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    hue = np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360
    # A tiny negative angle rounds up to 360 under the modulo.
    return np.stack([lab[..., 0], chroma, np.where(hue >= 360, 0, hue)], axis=-1)


def lch_to_lab(lch: ArrayLike) -> Floats:
    """Return CIELAB of lightness, chroma and hue angle in degrees."""
    lch = as_floats(lch)
    hue = np.radians(lch[..., 2])
    return np.stack([lch[..., 0], lch[..., 1] * np.cos(hue), lch[..., 1] * np.sin(hue)], axis=-1)


def srgb_decode(encoded: ArrayLike) -> Floats:
    """Return linear RGB of sRGB-encoded values 0..1 (IEC 61966-2-1); negative values are mirrored at 0."""
    encoded = as_floats(encoded)
    size = np.abs(encoded)
    curved = ((size + _SRGB_OFFSET) / (1 + _SRGB_OFFSET)) ** _SRGB_GAMMA
    return np.copysign(np.where(size <= _SRGB_LINEAR_LIMIT_ENCODED, size / _SRGB_SLOPE, curved), encoded)


def srgb_encode(linear: ArrayLike) -> Floats:
    """Return sRGB-encoded values of linear RGB (IEC 61966-2-1); negative values are mirrored at 0."""
    linear = as_floats(linear)
    size = np.abs(linear)
    curved = (1 + _SRGB_OFFSET) * size ** (1 / _SRGB_GAMMA) - _SRGB_OFFSET
    return np.copysign(np.where(size <= _SRGB_LINEAR_LIMIT, size * _SRGB_SLOPE, curved), linear)


def linear_srgb_to_xyz(rgb: ArrayLike) -> Floats:
    """Return XYZ of linear sRGB 0..1."""
    rgb = as_floats(rgb)
    return rgb @ SRGB_TO_XYZ.T.astype(rgb.dtype)


def xyz_to_linear_srgb(xyz: ArrayLike) -> Floats:
    """Return linear sRGB of XYZ, out of 0..1 where the colour is outside the gamut."""
    xyz = as_floats(xyz)
    return xyz @ XYZ_TO_SRGB.T.astype(xyz.dtype)


def hex_to_lab(text: str) -> Floats:
    """Return CIELAB, shape (3,), of ``#rrggbb`` or ``rrggbb``.

    Raises ``ValueError`` for anything else; readers of files turn that into a message with the row.
    """
    digits = text.strip().removeprefix("#")
    if len(digits) != 6 or not set(digits) <= set("0123456789abcdefABCDEF"):
        raise ValueError(f"not a colour of the form #rrggbb: {text!r}")
    encoded = np.frombuffer(bytes.fromhex(digits), dtype=np.uint8) / 255
    return xyz_to_lab(linear_srgb_to_xyz(srgb_decode(encoded)))


def lab_to_hex(lab: ArrayLike) -> str:
    """Return ``#rrggbb`` of one colour, clipped to the sRGB gamut per channel.

    >>> lab_to_hex([100.0, 0.0, 0.0])
    '#ffffff'
    """
    return labs_to_hex(np.reshape(as_floats(lab), (1, 3)))[0]


def labs_to_hex(labs: ArrayLike) -> list[str]:
    """Return ``#rrggbb`` for each row of ``(N, 3)``, clipped to the sRGB gamut per channel."""
    encoded = srgb_encode(np.clip(xyz_to_linear_srgb(lab_to_xyz(labs)), 0, 1))
    return ["#" + row.tobytes().hex() for row in np.rint(encoded * 255).astype(np.uint8)]
