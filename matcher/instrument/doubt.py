"""How far a reading may be off as one sigma in dE00: the spot, the spread, what was converted, what was not said."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.exchange.samples import FloatArray

# Assumption: an instrument read on one spot of a surface that varies; the contract's example value.
ONE_SPOT_SD = 0.5
# dE00, root mean square over 147 measured spectra (99 of TM-30, 48 chart patches), of CIELAB D65/2 converted from that
# of the light and observer, against CIELAB computed from the spectrum. tests/instrument/test_doubt.py holds them to it.
_CONVERTED_SD = {("D65", 2): 0.0, ("D50", 2): 0.85, ("C", 2): 0.35, ("D65", 10): 1.3, ("D50", 10): 0.6, ("C", 10): 1.3}
_OTHER_LIGHT_SD = 3.1  # A, FL11 and their like
# Assumption: one user in four has the device on the other usual setting, so that the square of what it would change
# counts a quarter.
_OTHER_SETTING = 0.5
# The light that instruments are usually set to where it is not the one taken for granted.
OTHER_LIGHT = {"D65": "D50", "D50": "D65"}


def conversion_sd(light: str, observer: int) -> float:
    """Return the doubt of CIELAB converted to D65/2 from another light or observer."""
    return _CONVERTED_SD.get((light, observer), _OTHER_LIGHT_SD)


def unstated_sd(apart: float) -> float:
    """Return the doubt of a setting that was assumed, where the other would move the colour by ``apart``."""
    return _OTHER_SETTING * apart


def spread_of(labs: FloatArray, mean: FloatArray) -> float:
    """Return the spread of readings (N, 3) around their mean (3,): dE00, with N - 1; 0 for one.

    The type A evaluation of JCGM 100:2008, 4.2.2, of one reading and not of the mean: what is left open is which spot
    of the surface counts, and more readings do not settle that.
    """
    if len(labs) < 2:
        return 0.0
    return float(np.sqrt(np.sum(delta_e_2000(labs, mean) ** 2) / (len(labs) - 1)))
