"""One paint examined: what its lightness means, how far it goes, how grey it is, and its undertone revealed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.munsell import munsell_notation
from matcher.colorimetry.spaces import Floats, hex_to_lab
from matcher.description.body_word import body_word
from matcher.description.colour import ColourDescription, describe_colours
from matcher.description.depth import Depth, depth_of
from matcher.description.greyness import Greyness, greyness_of
from matcher.description.hue_line import in_srgb
from matcher.description.lean import Lean, lean_of
from matcher.description.reach import Reach, reach_of
from matcher.description.turned_up import TurnedUp, turned_up

# Stark white: as white as a wall paint comes, neutral. Assumption: LRV 94 and no undertone.
STARK_WHITE: Floats = np.array([97.6, 0.0, 0.0])


@dataclass(frozen=True, slots=True, eq=False)
class Examined:
    """``body`` is what it is called ("grey"), ``depth``, ``reach``, ``greyness`` and ``lean`` what is found of it.

    ``true_grey`` (3,) is CIELAB of the neutral of the same LRV, ``grey_de00`` how far the paint is from it; ``strip``
    its colour turned up. ``on_screen`` tells whether sRGB holds the colour; where not, ``screen_de00`` is by how much
    what is shown differs, otherwise it is what rounding to 8 bits costs.
    """

    colour: ColourDescription
    munsell: str
    body: str
    depth: Depth
    reach: Reach
    greyness: Greyness
    lean: Lean
    true_grey: Floats
    grey_de00: float
    strip: TurnedUp
    on_screen: bool
    screen_de00: float


def examine(lab: ArrayLike, *, lrv: float | None = None, away_from_sun: float | None = None) -> Examined:
    """Examine a colour (3,), CIELAB D65/2; a published ``lrv`` takes precedence over 100 Y.

    ``away_from_sun`` is how little sun the room gets, -1 (full) to +1 (none), None where that is not known.
    """
    own = np.asarray(lab, dtype=float)
    colour = describe_colours(own, lrvs=None if lrv is None else [lrv])[0]
    strip = turned_up(own)
    plain_lightness = float(strip.steps[-1, 0]) if len(strip.steps) else float(own[0])
    lean = lean_of(own, plain_lightness)
    if lean.kind in ("neutral", "unsure"):
        # What came out might be chance.
        strip = TurnedUp(strip.steps[:0], "no lean")
    grey = np.array([own[0], 0.0, 0.0])
    tint = colour.undertone
    return Examined(
        colour=colour,
        munsell=munsell_notation(own),
        body=body_word(colour.designation, float(own[0]), tint.chroma, tint.hue_deg, colour.lrv),
        depth=depth_of(colour.lrv),
        reach=reach_of(colour.lrv, tint.chroma, away_from_sun),
        greyness=greyness_of(own, colour.designation),
        lean=lean,
        true_grey=grey,
        grey_de00=float(delta_e_2000(own, grey)),
        strip=strip,
        on_screen=bool(in_srgb(own)),
        screen_de00=float(delta_e_2000(own, hex_to_lab(colour.hex))),
    )
