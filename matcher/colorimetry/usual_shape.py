"""How reflectance usually runs along the spectrum for a colour: what measured surfaces have in common.

Speaks of the shape of z, R = (tanh z + 1) / 2, and not of its level: a curve expected for the colour, and how curves
stray from it, learnt from measured surfaces and their tints (data/make_reflectance_shapes.py; no Munsell paper is among
them). A grey is expected to be level.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import Floats, as_floats

# Any fixed numbers would do that keep the products near 1; those of the table were made with these.
_LIGHTNESS_MIDDLE, _LIGHTNESS_SPAN = 60.0, 30.0
_CHROMA_SPAN = 40.0


def chromatic_terms(lab: ArrayLike) -> Floats:
    """Return what the expected shape is linear in, (N, 7), of CIELAB (N, 3): all are 0 for a grey."""
    colours = as_floats(lab)
    light = (colours[:, 0] - _LIGHTNESS_MIDDLE) / _LIGHTNESS_SPAN
    a, b = colours[:, 1] / _CHROMA_SPAN, colours[:, 2] / _CHROMA_SPAN
    return np.stack([a, b, light * a, light * b, a * a, a * b, b * b], axis=1)


def expected_shape(lab: ArrayLike) -> Floats:
    """Return z (N, 36), its mean 0, that is expected of CIELAB D65/2 (N, 3)."""
    return np.asarray(chromatic_terms(lab) @ _table()[0])


def shape_covariance() -> Floats:
    """Return the covariance (36, 36) of z about what is expected; it says nothing of level."""
    return _table()[1]


@cache
def _table() -> tuple[Floats, Floats]:
    text = (files("matcher.colorimetry") / "data" / "reflectance_shapes.csv").read_text(encoding="utf-8")
    rows = [[float(value) for value in row[1:]] for row in csv.reader(text.splitlines()[1:])]
    table = np.array(rows)
    terms = table.shape[1] - len(table)
    expected, covariance = np.ascontiguousarray(table[:, :terms].T), np.ascontiguousarray(table[:, terms:])
    for array in (expected, covariance):
        array.setflags(write=False)
    return expected, covariance
