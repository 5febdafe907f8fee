"""A decoded photo, upright, still in its own encoding; and what was found when looking at it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

Level = Literal["ok", "note", "warn", "fail"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One fact about a photo: ``check`` names it, ``values`` carry the numbers, ``subject`` says where.

    The sentence a person reads is made from it in one place (matcher/report/wording.py).
    """

    check: str
    level: Level
    values: tuple[tuple[str, float | str], ...] = ()
    subject: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class ColourSpace:
    """The RGB space the pixels are in: ``to_xyz`` (3, 3) takes linear RGB to XYZ under D65.

    A profile's D50 numbers are adapted by Bradford. ``decode_table`` (4096,) maps an encoded value 0..1, sampled
    evenly, to linear 0..1. ``tone_known``: the table is all that lies between light and file, as it is for camera raw;
    whatever else a camera writes may have its own tone curve on top.
    """

    name: str
    to_xyz: NDArray[np.floating[Any]]
    decode_table: NDArray[np.floating[Any]]
    tone_known: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """``pixels`` (H, W, 3) uint8 or uint16, upright, encoded in ``colour_space``.

    ``full_size`` is (width, height) of the upright full-size picture, the frame every outline is given in; ``scale`` =
    W / full width (1, 1/2, 1/4, 1/8: large files are decoded at display size). ``findings`` hold what decoding noticed.
    """

    path: Path
    pixels: NDArray[np.uint8] | NDArray[np.uint16]
    full_size: tuple[int, int]
    scale: float
    colour_space: ColourSpace
    findings: tuple[Finding, ...]
