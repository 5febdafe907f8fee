"""Two-colour harmony of Ou & Luo (2006), in its three parts.

Ou, L.-C. & Luo, M. R. (2006), "A colour harmony model for two-colour combinations", Color Research & Application
31(3), 191-204, doi 10.1002/col.20208: CH = HC + HL + HH, above 0 on the harmonious side. 54 colours, 1431 pairs,
observers judged them on a screen with a mid-grey surround. Light near-neutral pairs go past the quoted range of
-1.24..+1.39, so nothing is clamped.

Two properties decide how the model may be used for paints: its lightness part outweighs the rest among near-neutrals,
and its hue part likes some hues whatever they stand beside. :func:`relative_harmony` therefore asks how much better a
paint does than a plain grey of its own lightness.

Colours are (..., 3) CIELAB arrays and broadcast; results have the broadcast shape without the last axis.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.floating[Any]]


def _split(lab: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    array = np.asarray(lab)
    if not np.issubdtype(array.dtype, np.floating):
        array = array.astype(np.float64)
    # Each column in one piece: whatever is computed from it runs several times faster.
    lightness, a, b = np.ascontiguousarray(np.moveaxis(array, -1, 0))
    return lightness, a, b


def chroma_part(lab1: ArrayLike, lab2: ArrayLike) -> FloatArray:
    """HC: falls as hue and chroma differ; dC = sqrt(dH*ab^2 + (dC*ab / 1.46)^2) with the metric hue difference."""
    _, a1, b1 = _split(lab1)
    _, a2, b2 = _split(lab2)
    chroma_step = np.hypot(a1, b1) - np.hypot(a2, b2)
    # dH^2 = da^2 + db^2 - dC^2; rounding may take it a hair below zero.
    hue_step_squared = np.maximum((a1 - a2) ** 2 + (b1 - b2) ** 2 - chroma_step**2, 0)
    distance = np.sqrt(hue_step_squared + (chroma_step * (1 / 1.46)) ** 2)
    return np.asarray(0.04 + 0.53 * np.tanh(0.8 - 0.045 * distance))


def lightness_part(lab1: ArrayLike, lab2: ArrayLike) -> FloatArray:
    """HL: rises with the sum of the lightnesses and with their difference."""
    first, second = _split(lab1)[0], _split(lab2)[0]
    total = 0.28 + 0.54 * np.tanh(-3.88 + 0.029 * (first + second))
    difference = 0.14 + 0.15 * np.tanh(-2 + 0.2 * np.abs(first - second))
    return np.asarray(total + difference)


def hue_liking(lab: ArrayLike) -> FloatArray:
    """HSY of one colour: EC (HS + EY), h in degrees 0..360."""
    lightness, a, b = _split(lab)
    hue = np.degrees(np.arctan2(b, a)) % 360
    chroma_effect = 0.5 + 0.5 * np.tanh(-2 + 0.5 * np.hypot(a, b))
    hue_effect = -0.08 - 0.14 * np.sin(np.radians(hue + 50)) - 0.07 * np.sin(np.radians(2 * hue + 90))
    yellowness = (90 - hue) / 10
    yellow_effect = (0.22 * lightness - 12.8) / 10 * np.exp(yellowness - np.exp(yellowness))
    return np.asarray(chroma_effect * (hue_effect + yellow_effect))


def hue_part(lab1: ArrayLike, lab2: ArrayLike) -> FloatArray:
    """HH: the sum of both colours' hue liking; no interaction between them."""
    return hue_liking(lab1) + hue_liking(lab2)


def pair_harmony(lab1: ArrayLike, lab2: ArrayLike) -> FloatArray:
    """CH of Ou & Luo 2006, above 0 harmonious.

    >>> round(float(pair_harmony((50, 0, 0), (50, 0, 0))), 4)
    0.2514
    """
    return chroma_part(lab1, lab2) + lightness_part(lab1, lab2) + hue_part(lab1, lab2)


def liking_above_grey(lab: ArrayLike) -> FloatArray:
    """HSY of one colour minus that of a grey as light."""
    array = np.asarray(lab)
    # Nought is added so that none is negative: a grey has no hue, and its angle would be 0 or 180 degrees by the sign.
    return np.asarray(hue_liking(array) - hue_liking(array * np.array([1, 0, 0], dtype=array.dtype) + 0))


def relative_harmony(paint: ArrayLike, fixed: ArrayLike, liking: ArrayLike) -> FloatArray:
    """CH of the pair minus CH of a plain grey as light as ``paint`` beside the same ``fixed``.

    The lightness part and the fixed colour's own hue liking cancel, so lightness cannot swamp it; 0 for a grey paint.
    ``liking`` is what is left in it of the paint's own :func:`liking_above_grey`, the same beside anything.
    """
    array = np.asarray(paint)
    # Of the lightness no chroma part knows: one grey does for all.
    gain = chroma_part(array, fixed) - chroma_part(np.zeros(3, dtype=array.dtype), fixed)
    return np.asarray(gain + np.asarray(liking, dtype=gain.dtype))
