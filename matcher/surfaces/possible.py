"""The one door that readings leave by: a colour that no surface can have is not a reading.

What is not finite, or lighter than a perfect white by more than its own doubt, comes of outlines or cards that are not
what they are said to be; handed on it would look like any other number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from matcher.errors import Problem, SurfaceError
from matcher.surfaces.doubt import NINETY_PERCENT
from matcher.surfaces.surface import SurfaceColour

_REMEDY = (
    "Check that the outlines lie on this surface and on the card alone, and that the card has the light that "
    "falls here; correct them, or lay the card on the surface and photograph both again"
)


def possible_colours(colours: Sequence[SurfaceColour], where: str) -> tuple[SurfaceColour, ...]:
    """Return those ``colours`` of one surface, largest share first, that a surface can have; their shares sum to 1.

    A smaller colour that none can have is a glint or an edge and is left out. Raises :class:`SurfaceError` where the
    main colour is none.
    """
    main = colours[0]
    if not _finite(main):
        raise SurfaceError(Problem(where, "no colour can be made of what is outlined", _REMEDY))
    if _too_light(main):
        raise SurfaceError(
            Problem(where, f"it comes out at LRV {100 * _y(main):.0f}, and no surface is lighter than 100", _REMEDY)
        )
    kept = [colour for colour in colours if _finite(colour) and not _too_light(colour)]
    if len(kept) == len(colours):
        return tuple(colours)
    total = sum(colour.share for colour in kept)
    return tuple(replace(colour, share=colour.share / total) for colour in kept)


def _finite(colour: SurfaceColour) -> bool:
    return bool(np.isfinite(colour.lab).all() and np.isfinite(colour.covariance).all())


def _y(colour: SurfaceColour) -> float:
    """Return the luminance factor of a colour that is far from black (CIE 15)."""
    return float(((colour.lab[0] + 16) / 116) ** 3)


def _too_light(colour: SurfaceColour) -> bool:
    # Light is uncertain by a factor: in units of LRV the doubt of a nonsensical number would grow with it.
    factor_sd = 3 * float(np.sqrt(colour.covariance[0, 0])) / (float(colour.lab[0]) + 16)
    return bool(colour.lab[0] > 100 and np.log(_y(colour)) > NINETY_PERCENT * factor_sd)
