"""The usual chart of 24 patches, four rows of six: what its patches are.

Row by row from the corner of the dark brown patch; the last row are greys, white first (colorimetry/data/SOURCES.md).
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

import numpy as np

from matcher.colorimetry.spaces import Floats, lab_to_xyz

ROWS, COLUMNS = 4, 6
GREYS = range(18, 24)


@cache
def chart_lab() -> Floats:
    """Return CIELAB D65/2 (24, 3) of the patches."""
    text = (files("matcher.colorimetry") / "data" / "chart24.csv").read_text(encoding="utf-8")
    lab = np.array([[float(row[axis]) for axis in "Lab"] for row in csv.DictReader(text.splitlines())])
    lab.setflags(write=False)
    return lab


@cache
def chart_xyz() -> Floats:
    """Return XYZ (24, 3) of the patches under D65, perfect white Y = 1."""
    xyz = lab_to_xyz(chart_lab())
    xyz.setflags(write=False)
    return xyz
