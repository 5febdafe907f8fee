"""The RGB colour spaces photos come in: the named ones, and recognising one from its numbers."""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import WHITE_D65, Floats, srgb_decode
from matcher.photo.decoded import ColourSpace

TABLE_SIZE = 4096

# xy of red, green, blue; the white is D65 in all of them.
_SRGB_PRIMARIES = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))  # ITU-R BT.709, IEC 61966-2-1
_DISPLAY_P3_PRIMARIES = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))  # SMPTE EG 432-1
_BT2020_PRIMARIES = ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046))  # ITU-R BT.2020-2, table 3
_ADOBE_RGB_PRIMARIES = ((0.64, 0.33), (0.21, 0.71), (0.15, 0.06))  # Adobe RGB (1998) encoding, 4.3.1.1
_ADOBE_RGB_GAMMA = 563 / 256  # same text, 4.3.4.2

# Profiles are stored with 16-bit fractions and D50-adapted by tools that round differently: the spread between
# common sRGB profiles is about 1e-3 in the matrix. Assumption: up to 3e-3 it is the same space. The name hangs on it,
# the numbers stay the profile's.
_MATRIX_TOLERANCE = 3e-3
_CURVE_TOLERANCE = 3e-3


def encoded_values() -> Floats:
    """Return the (4096,) encoded values 0..1 at which a decode table is sampled."""
    return np.linspace(0.0, 1.0, TABLE_SIZE)


def matrix_from_primaries(primaries: ArrayLike, white_xyz: ArrayLike) -> Floats:
    """Return the (3, 3) linear RGB -> XYZ matrix of ``primaries`` (3, 2) xy and a white (3,) with Y = 1.

    SMPTE RP 177-1993, section 3.3.
    """
    xy = np.asarray(primaries, dtype=float)
    columns = np.vstack([xy[:, 0], xy[:, 1], 1 - xy.sum(axis=1)])
    return columns * np.linalg.solve(columns, np.asarray(white_xyz, dtype=float))


@cache
def srgb() -> ColourSpace:
    """IEC 61966-2-1."""
    return _space("sRGB", _SRGB_PRIMARIES, srgb_decode(encoded_values()))


@cache
def display_p3() -> ColourSpace:
    """Display P3: the EG 432-1 primaries with a D65 white and the sRGB curve."""
    return _space("Display P3", _DISPLAY_P3_PRIMARIES, srgb_decode(encoded_values()))


@cache
def bt2020() -> ColourSpace:
    """The primaries of ITU-R BT.2020 and BT.2100 with the sRGB curve, into which HDR pictures are decoded."""
    return _space("BT.2020 primaries", _BT2020_PRIMARIES, srgb_decode(encoded_values()))


@cache
def adobe_rgb() -> ColourSpace:
    """Adobe RGB (1998); the space DCF calls "optional"."""
    return _space("Adobe RGB (1998)", _ADOBE_RGB_PRIMARIES, encoded_values() ** _ADOBE_RGB_GAMMA)


def the_one(space: ColourSpace) -> ColourSpace:
    """Return the one object that stands for every space like it: what was worked out for a photo's is known for the
    next one's.
    """
    to_xyz, table = (np.asarray(each, dtype=np.float64).tobytes() for each in (space.to_xyz, space.decode_table))
    return _the_one(space.name, to_xyz, table, space.tone_known)


@lru_cache(maxsize=16)
def _the_one(name: str, to_xyz: bytes, decode_table: bytes, tone_known: bool) -> ColourSpace:
    return ColourSpace(name, np.frombuffer(to_xyz).reshape(3, 3), np.frombuffer(decode_table), tone_known)


def known_name(to_xyz: Floats, decode_table: Floats) -> str | None:
    """Return the name of the space with this matrix and curve, or None where it is none of the named ones."""
    for space in (srgb(), display_p3(), adobe_rgb()):
        same_matrix = np.abs(space.to_xyz - to_xyz).max() <= _MATRIX_TOLERANCE
        if same_matrix and np.abs(space.decode_table - decode_table).max() <= _CURVE_TOLERANCE:
            return space.name
    return None


def _space(name: str, primaries: tuple[tuple[float, float], ...], decode_table: Floats) -> ColourSpace:
    return ColourSpace(name=name, to_xyz=matrix_from_primaries(primaries, WHITE_D65), decode_table=decode_table)
