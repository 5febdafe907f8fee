"""How much of its colour a room takes from a paint by being dim: the Hunt effect, by CIECAM02."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.appearance import colourfulness
from matcher.colorimetry.partial_adaptation import adapting_luminance
from matcher.colorimetry.spaces import Floats, lab_to_xyz
from matcher.light.window import GOOD_LUX

# A grey has no colour to lose; below this colourfulness the ratio is that of a faint colour, not of noise.
_FAINTEST = 0.05


def colour_left(lab: Floats, lux: float) -> Floats:
    """Return (N,), 0..1 and a little above where it is brighter, what is left of the colourfulness of CIELAB (N, 3) in
    so much light, against a good light for judging colours (500 lux). Greys, which have none, keep all of it.
    """
    # Black at no light at all has no appearance; a thousandth of a lux is a moonless night.
    xyz = np.maximum(lab_to_xyz(lab), 1e-6)
    here = colourfulness(xyz, float(adapting_luminance(max(lux, 1e-3))))
    there = colourfulness(xyz, float(adapting_luminance(GOOD_LUX)))
    return np.where(there > _FAINTEST, here / np.maximum(there, _FAINTEST), 1.0)
