"""The two transfer functions of high dynamic range pictures, ITU-R BT.2100-2, and pixels decoded by them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.spaces import Floats
from matcher.photo.code_points import HLG, PQ
from matcher.photo.linear_light import FULL, in_standard_curve

# BT.2100-2, table 4.
_M1, _M2 = 2610 / 16384, 2523 / 4096 * 128
_C1, _C2, _C3 = 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32
# Table 5.
_A = 0.17883277
_B = 1 - 4 * _A
_C = 0.5 - _A * np.log(4 * _A)

# ITU-R BT.2408-7, table 1: where a perfect white lies, as a signal; linear of it by the functions below.
_WHITE_SIGNAL = {PQ: 0.58, HLG: 0.75}
# Assumption: cards and surfaces do not lie further above that white; what does is a lamp, the sky or a glint. Nor does
# the brightest thing of a picture lie further below.
_ABOVE_WHITE, _BELOW_WHITE = 2.0, 8.0
NAMES = {PQ: "PQ", HLG: "HLG"}


def pq_to_linear(signal: ArrayLike) -> Floats:
    """Return light 0..1 of 10,000 cd/m2 for a PQ signal 0..1: the reference EOTF.

    >>> round(float(10_000 * pq_to_linear(0.58)))
    202
    """
    root = np.asarray(signal, dtype=float) ** (1 / _M2)
    return np.asarray((np.maximum(root - _C1, 0) / (_C2 - _C3 * root)) ** (1 / _M1))


def hlg_to_linear(signal: ArrayLike) -> Floats:
    """Return scene light 0..1 for an HLG signal 0..1: the reference OETF inverted.

    The scene's light is what a card and a surface reflect; the display's would carry the system gamma as well.
    """
    signal = np.asarray(signal, dtype=float)
    return np.asarray(np.where(signal <= 0.5, signal**2 / 3, (np.exp((signal - _C) / _A) + _B) / 12))


def decode_hdr(codes: NDArray[np.uint16], transfer: int) -> NDArray[np.uint16]:
    """Return PQ or HLG coded pixels (H, W, 3), 16 bits, in the sRGB curve; far above white they clip."""
    to_linear = pq_to_linear if transfer == PQ else hlg_to_linear
    white = float(to_linear(_WHITE_SIGNAL[transfer]))
    linear = to_linear(np.linspace(0, 1, FULL + 1))
    return in_standard_curve(codes, linear, least=white / _BELOW_WHITE, most=white * _ABOVE_WHITE)
