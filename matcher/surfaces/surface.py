"""What a measured surface is: its colours, what part each plays, and how sure we are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]
# Level and colour of the light on the surface (how far from its card), what the camera's curve and its way of seeing
# under that lamp leave open, mirrored light, what "the" colour of a varying material is; or an instrument's own doubt.
Cause = Literal["level", "colour", "tone curve", "camera and lamp", "sheen", "texture", "instrument"]


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceColour:
    """One colour of a surface.

    ``lab`` (3,) is CIELAB D65/2 of the reflectance, ``covariance`` (3, 3) its uncertainty in Lab units squared,
    ``share`` the part of the outlined area (0..1), ``part`` one of field, vein, grout, fleck, board, shade. ``causes``
    splits the covariance, as far as it is known what it comes from: (3, 3) each, together at most the covariance.
    """

    lab: FloatArray
    covariance: FloatArray
    share: float
    part: str
    causes: Mapping[Cause, FloatArray] = field(default_factory=dict)


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
