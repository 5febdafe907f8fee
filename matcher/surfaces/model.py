"""What a measured surface is: its colours, what part each plays, and how sure we are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceColour:
    """One colour of a surface.

    ``lab`` (3,) is CIELAB D65/2 of the reflectance, ``covariance`` (3, 3) its uncertainty in Lab units squared,
    ``share`` the part of the outlined area (0..1), ``part`` one of field, vein, grout, fleck, board, shade.
    """

    lab: FloatArray
    covariance: FloatArray
    share: float
    part: str


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """A fixed element of the room.

    ``colours`` come largest share first. ``lab`` (3,) is the area-weighted mean colour (mixed as light, in XYZ) with
    ``covariance`` (3, 3). ``visibility`` (0..1, all surfaces of a room sum to 1) is the part this surface takes of what
    is seen of the givens. ``source`` is "photo", "instrument", or "photo and instrument"; ``has_own_card`` tells
    whether a card lay on it in some photo.
    """

    name: str
    material: str
    colours: tuple[SurfaceColour, ...]
    lab: FloatArray
    covariance: FloatArray
    visibility: float
    source: str
    has_own_card: bool
