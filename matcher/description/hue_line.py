"""Colours of one hue, from grey outwards: the line a paint moves along when nothing but its colour is turned up.

CIELAB hue bends: along chips that observers judged to be of one hue it turns by up to ten degrees between chroma 2 and
8, most for blues and yellows, and a violet grey would end up blue. So a line keeps its Munsell hue: the renotation
(Newhall, Nickerson & Judd 1943) is what observers made of surface colours, where OKLab and IPT are formulas fitted to
such judgements; and the family by which a lean is called stays the same all along by its making.
``tests/description/test_hue_line.py`` compares them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.munsell import munsell
from matcher.colorimetry.spaces import Floats, as_floats, lab_to_lch, lab_to_xyz, lch_to_lab, xyz_to_linear_srgb

# The hue angle is sought by halving: between these bounds off that of the start, degrees (no line of the renotation
# bends by as much), until it is known to less than 0.001.
_BENDS_AT_MOST_DEG, _HALVINGS = 45.0, 17
# Chroma in steps in which the edge of sRGB is sought, up to beyond the strongest colour it has (C*ab 134).
_EDGE_STEPS: Floats = np.arange(0.0, 141.0)
# How far linear sRGB may pass 0..1 and still be shown exactly: less than half a level of 8 bits at either end.
_HALF_LEVEL = 0.5 / 255 / 12.92


def along_hue(lab: ArrayLike, chroma: ArrayLike, lightness: ArrayLike) -> Floats:
    """Return CIELAB, (N, 3), of ``chroma`` C*ab and ``lightness`` L* (N,) at the Munsell hue of one colour (3,)."""
    start = lab_to_lch(as_floats(lab).astype(np.float64))
    chroma, lightness = np.broadcast_arrays(as_floats(chroma).astype(np.float64), as_floats(lightness))
    wanted = float(munsell(lch_to_lab(start))[0])
    low, high = (np.full(chroma.shape, float(start[2]) + bend) for bend in (-_BENDS_AT_MOST_DEG, _BENDS_AT_MOST_DEG))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        short = (munsell(_lab(lightness, chroma, middle))[0] - wanted + 50) % 100 < 50
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return _lab(lightness, chroma, (low + high) / 2)


def most_chroma(lab: ArrayLike, lightness: float) -> float:
    """Return the largest chroma C*ab at the hue of a colour (3,) and a ``lightness`` L* that sRGB holds unclipped.

    Found to one unit, never beyond the edge; 0.0 where not even the grey is in it.
    """
    within = in_srgb(along_hue(lab, _EDGE_STEPS, lightness))
    outside = np.flatnonzero(~within)
    last = len(within) - 1 if not outside.size else int(outside[0]) - 1
    return float(_EDGE_STEPS[max(last, 0)])


def in_srgb(lab: ArrayLike) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Tell, (...), which colours (..., 3) sRGB (IEC 61966-2-1) shows without clipping, to half a level of 8 bits."""
    linear = xyz_to_linear_srgb(lab_to_xyz(as_floats(lab).astype(np.float64)))
    return np.asarray(((linear >= -_HALF_LEVEL) & (linear <= 1 + _HALF_LEVEL)).all(axis=-1))


def _lab(lightness: Floats, chroma: Floats, angle: Floats) -> Floats:
    return lch_to_lab(np.stack([lightness, chroma, angle], axis=-1))
