"""How strongly a JPEG was compressed, on the usual scale of 1 to 100, from its quantisation table alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

# ITU-T T.81, table K.1: luminance, row by row.
# fmt: off
LUMINANCE = np.array([
    16, 11, 10, 16,  24,  40,  51,  61,
    12, 12, 14, 19,  26,  58,  60,  55,
    14, 13, 16, 24,  40,  57,  69,  56,
    14, 17, 22, 29,  51,  87,  80,  62,
    18, 22, 37, 56,  68, 109, 103,  77,
    24, 35, 55, 64,  81, 104, 113,  92,
    49, 64, 78, 87, 103, 121, 120, 101,
    72, 92, 95, 98, 112, 100, 103,  99,
])
# fmt: on


def jpeg_quality(luminance_table: Sequence[int]) -> float:
    """Return the quality 1..100 at which the Independent JPEG Group's scaling of table K.1 comes nearest.

    ``luminance_table``: 64 steps, row by row. Cameras have tables of their own: then it is the quality alike in
    strength.
    """
    steps = np.asarray(luminance_table, dtype=float)
    scale = float(np.median(100 * steps / LUMINANCE))
    if (steps <= 1).mean() > 0.5:
        # Where steps of 1 end the scale the table says no more than that it is fine.
        scale = float(100 * steps.mean() / LUMINANCE.mean())
    return float(np.clip((200 - scale) / 2 if scale <= 100 else 5000 / scale, 1, 100))


def is_scaled_standard(luminance_table: Sequence[int]) -> bool:
    """Tell whether the table is K.1 as that group's library scales it to a whole quality, give or take its rounding."""
    quality = round(jpeg_quality(luminance_table))
    scale = 200 - 2 * quality if quality >= 50 else 5000 // quality
    expected = np.clip((LUMINANCE * scale + 50) // 100, 1, 255)
    return bool(np.abs(np.asarray(luminance_table) - expected).max() <= 1)
