"""How much darker or brighter the new paint may truly look than the picture shows it.

Carried through the whole way that a pixel goes: from file to light, off the old paint, back from the new one and into
the file again. What the tone curve gets wrong there it often puts right here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from matcher.calibration.light import CURVE_STEP, cone_matrix
from matcher.calibration.tone_curve import linear_table, plain_table
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.repaint.bounce import light_under
from matcher.repaint.lamp import seen_cones
from matcher.repaint.old_paint import BLACKEST, WHITEST
from matcher.repaint.prepare import Prepared
from matcher.surfaces.doubt import NINETY_PERCENT

# Assumptions, one-sigma, chosen so that bands hold in rooms rendered before and after: by what part of itself the
# change in the light that comes back is out (bounce.py), and what is mirrored (sheen.py); and what is left, as a
# logarithm.
_RETURNING, _MIRRORED, _LEFT = 0.5, 1.0, 0.05
_CODES = 4096
_DARKEST = 1e-5


@dataclass(frozen=True, slots=True)
class PictureDoubt:
    """Nine times in ten: the truth over the picture, as brightness on the screen (luminance), lies between ``darker``
    and ``brighter``, 0.8 and 1.3 say; the LRV of the old paint between ``old_low`` and ``old_high``.
    """

    darker: float
    brighter: float
    old_low: float
    old_high: float


def picture_doubt(prepared: Prepared, lab: ArrayLike, reflectance: Floats | None = None) -> PictureDoubt:
    """Return how sure the picture of ``prepared`` in CIELAB D65/2 ``lab`` (3,) is, for its middle pixel.

    The paint's ``reflectance`` (36,) is for where it was measured.
    """
    old = prepared.old
    reach = float(np.exp(NINETY_PERCENT * old.level_sd))
    middle = float(lrv(old.lab))
    low = max(min(100 * BLACKEST, middle), middle / reach)
    high = min(max(100 * WHITEST, middle), middle * reach)
    if not len(prepared.paint):
        return PictureDoubt(1.0, 1.0, low, high)
    shown = _Shown(prepared, lab, reflectance)
    here = shown.log()
    steps = np.eye(len(old.curve_shift)) * CURVE_STEP
    slopes = np.array([(shown.log(curve=step) - shown.log(curve=-step)) / (2 * CURVE_STEP) for step in steps])
    aside = [
        NINETY_PERCENT * float(np.sqrt(max(slopes @ prepared.curve.covariance @ slopes, 0.0))),
        shown.log(returning=NINETY_PERCENT * _RETURNING) - here,
        shown.log(mirrored=NINETY_PERCENT * _MIRRORED) - here,
        shown.log(old=NINETY_PERCENT * _LEFT) - here,
    ]
    bounds = np.log(np.array([low, high]) / middle)
    darker, brighter = (
        float(np.exp(sign * np.linalg.norm([shown.log(old=off) - here, *aside])))
        for sign, off in (
            (-1, min(NINETY_PERCENT * old.other_sd, bounds[1])),
            (1, max(-NINETY_PERCENT * old.other_sd, bounds[0])),
        )
    )
    return PictureDoubt(darker, brighter, low, high)


class _Shown:
    """What the middle pixel of a prepared photo shows in a new paint, were something otherwise than believed."""

    def __init__(self, prepared: Prepared, lab: ArrayLike, reflectance: Floats | None) -> None:
        self._prepared = prepared
        self._to_cones = cone_matrix(prepared.colour_space)
        self._new = seen_cones(lab, prepared.lamp_share, reflectance)
        self._plain = plain_table(prepared.colour_space, _CODES)
        whole = prepared.share > 0.999
        linear = np.median(prepared.paint[whole] if whole.any() else prepared.paint, axis=0).astype(float)
        self._code = np.interp(linear, self._table(np.zeros(len(prepared.old.curve_shift))), np.arange(_CODES))

    def _table(self, moved: Floats) -> Floats:
        return linear_table(self._prepared.curve.strength + moved, self._prepared.colour_space, _CODES)

    def log(
        self, *, curve: Floats | None = None, old: float = 0.0, returning: float = 0.0, mirrored: float = 0.0
    ) -> float:
        """Return the logarithm of luminance on the screen, were the strengths of the curve larger by ``curve`` (5,),
        the logarithm of what the old paint reflects by ``old``, the change of the light that comes back by a part
        ``returning`` of itself, and what is mirrored by a part ``mirrored``.
        """
        prepared, paint = self._prepared, self._prepared.old
        curve = np.zeros(len(paint.curve_shift)) if curve is None else curve
        table = self._table(curve)
        gloss = paint.gloss * (1 + mirrored)
        before = paint.cones * np.exp(old + float(paint.curve_shift @ curve))
        seen = np.interp(self._code, np.arange(_CODES), table) @ self._to_cones.T
        falling = (seen / (before + gloss))[None].astype(np.float32)
        share = prepared.picture_share
        under = light_under(falling, before, self._new, role=prepared.role, picture_share=share).astype(float)[0]
        under = under * (under / falling[0]) ** returning
        linear = (under * (self._new + gloss)) @ np.linalg.inv(self._to_cones).T
        shown = np.interp(np.interp(linear, table, np.arange(_CODES)), np.arange(_CODES), self._plain)
        return float(np.log(max(float(shown @ self._to_cones[1]), _DARKEST)))
