"""A chip of the deck lying in the photo: a known colour under that light, seen by that camera.

Cards without colour tell the light and the tone curve. What a camera makes of a colour under a lamp they cannot tell;
chips near a surface in colour can, as their own colours are known from the deck. Where no card lies at a place, the
chips lying there stand in for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from matcher.calibration.patch import Patch, read_patch
from matcher.colorimetry.spaces import Floats, lab_to_xyz
from matcher.errors import CardError, Problem
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference

PRINTED_SD = 0.7  # dE, of L*, a* and b* each: how far a chip is from what the deck says of it (assumption)
# What a chip lacks as a card: it is not quite the colour stated, and no camera sees its colour as the eye does.
# Relative, of its level and of each channel; as large as what an unknown camera gets wrong of muted colours.
_LEVEL_SD, _COLOUR_SD = 0.04, 0.05

Paints = Mapping[str, Floats]
"""CIELAB D65/2 (3,) by the code that the deck has for a paint."""


@dataclass(frozen=True, slots=True, eq=False)
class Chip:
    """``code`` in the deck, ``lab`` (3,) as the deck states it, and its ``patch`` in the photo."""

    code: str
    lab: Floats
    patch: Patch


def read_chip(photo: Photo, reference: Reference, paints: Paints, where: str) -> Chip:
    """Read one chip; raises :class:`CardError` where it cannot serve, also where ``paints`` do not know its code."""
    code = str(reference.paint)
    if code not in paints:
        raise CardError(
            Problem(where, f"the deck has no paint {code!r}", "Choose the chip's paint from the deck that is ranked")
        )
    lab = paints[code]
    xyz = lab_to_xyz(lab)
    patch = read_patch(photo, reference, where, reflectance=float(xyz[1]))
    if not patch.usable:
        raise CardError(
            Problem(where, f"{100 * patch.clipped:.0f} % of it is clipped to white", "Photograph it again, darker")
        )
    tint = np.linalg.inv(photo.colour_space.to_xyz) @ xyz
    return Chip(code, lab, replace(patch, tint=tint, level_sd=_LEVEL_SD, colour_sd=_COLOUR_SD))
