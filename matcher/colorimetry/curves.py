"""Colours with a reflectance curve each, measured or recovered, and their look in any light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.recovery import lab_by, recover_reflectance
from matcher.colorimetry.spaces import Floats, lab_to_xyz


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """``lab`` (N, 3) CIELAB D65/2; ``reflectance`` (N, 36) at :func:`illuminants.wavelengths`, 0..1, ``measured`` (N,)
    where it is not recovered from the colour.
    """

    lab: Floats
    reflectance: Floats
    measured: NDArray[np.bool_]

    def look(self, weights: Floats) -> Floats:
        """Return CIELAB, D65, (N, 3), of the look in a light of tristimulus ``weights`` (36, 3), eyes used to it.

        A colour that no surface has, and that has the curve of a paler one, is moved as that one is.
        """
        seen = lab_by(self.reflectance, weights)
        by_day = lab_by(self.reflectance, tristimulus_weights("D65"))
        return np.where(self.measured[:, None], seen, self.lab + seen - by_day)


def curves_of(lab: ArrayLike, measured: ArrayLike | None = None) -> Curves:
    """Return curves for CIELAB D65/2 (N, 3): the ``measured`` (N, 36), rows of NaN where unknown, or else recovered.

    A black that no surface has, with a tint, gets the level curve of its luminance; a colour that is not finite none.
    """
    colours = np.asarray(lab, dtype=float)
    known: NDArray[np.bool_] = np.zeros(len(colours), dtype=np.bool_)
    if measured is None:
        reflectance = _recovered(colours)
    else:
        reflectance = np.array(measured, dtype=float)
        known = np.asarray(np.isfinite(reflectance).all(axis=1))
        reflectance[~known] = _recovered(colours[~known])
    reflectance.setflags(write=False)
    return Curves(colours, reflectance, known)


def _recovered(lab: Floats) -> Floats:
    found = recover_reflectance(lab)
    none = np.isnan(found[:, 0])
    found[none] = np.clip(lab_to_xyz(lab[none])[:, 1:2], 0, 1)
    return found
