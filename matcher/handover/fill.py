"""The sRGB of a swatch: the nearest there is in 8 bits, as the eye counts.

A screen draws 8 bits a channel. Rounding each channel by itself leaves near-neutrals up to dE00 0.9 off their colour;
the best of the 27 neighbours is within 0.45 of any colour that sRGB holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import product

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import hex_to_lab, lab_to_hex, linear_srgb_to_xyz, srgb_decode, xyz_to_lab

_AROUND = np.array(list(product((0, -1, 1), repeat=3)))
_BEYOND = 1.0  # dE00; a difference of about 1 can just be seen


def fill(lab: Sequence[float]) -> str:
    """Return ``#rrggbb`` of CIELAB D65/2 (3,), the nearest by CIEDE2000 among the rounded one and its neighbours.

    >>> lab_to_hex([64.0, -0.5, -2.0]), fill([64.0, -0.5, -2.0])
    ('#989b9f', '#989b9e')
    """
    lightness, a, b = lab
    return _fill(float(lightness), float(a), float(b))


def beyond_screens(lab: Sequence[float]) -> bool:
    """Tell whether a colour is so strong that no fill shows it."""
    return float(delta_e_2000(np.asarray(lab, dtype=np.float64), hex_to_lab(fill(lab)))) > _BEYOND


@lru_cache(maxsize=512)
def _fill(lightness: float, a: float, b: float) -> str:
    lab = np.array([lightness, a, b])
    rounded = np.frombuffer(bytes.fromhex(lab_to_hex(lab)[1:]), dtype=np.uint8).astype(int)
    codes = np.clip(rounded + _AROUND, 0, 255)
    apart = delta_e_2000(lab, xyz_to_lab(linear_srgb_to_xyz(srgb_decode(codes / 255))))
    best = bytes(codes[int(np.argmin(apart))].tolist())
    return f"#{best.hex()}"
