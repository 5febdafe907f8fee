"""Patches of colours that look alike, and what any colour of one can be worth beside any of another at the most.

A patch is known by the colour in its midst and by how far its members lie from that: in HyAB units and in steps of the
wheel of hues, both of which keep the triangle inequality. So one look rules out a thousand pairs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import coloured, wheel_distance
from matcher.harmony.tint import tint
from matcher.ranking.neighbours import (
    RULES,
    Between,
    Looked,
    both_white,
    hyab_apart,
    most_kin,
    same_colour,
)

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

# Single precision, HyAB units, LRV points and steps of the wheel: a bound may not be missed by the last digit.
_ROUNDING = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Patches:
    """P patches: ``lab`` (P, 3) and ``hue_deg`` (h' of CIEDE2000) in the midst of each, and (P,) each how far members
    lie from it, ``wide`` in HyAB units and ``hues_wide`` in steps of the wheel; the ``low`` and the ``high`` LRV; the
    most that the ``gate`` of a tint is, and how far a member is ``real``, a colour and no undertone.
    """

    lab: FloatArray
    hue_deg: FloatArray
    wide: FloatArray
    hues_wide: FloatArray
    low: FloatArray
    high: FloatArray
    gate: FloatArray
    real: FloatArray

    @classmethod
    def of(cls, looked: Looked, starts: Rows) -> Patches:
        """Patches of colours (N, 3) that stand together: where each of them begins."""
        sizes = np.diff(starts, append=len(looked.lab))
        lab = np.add.reduceat(looked.lab, starts, dtype=np.float64) / sizes[:, None]
        lab = lab.astype(np.float32)
        hue_deg = tint(lab).hue_deg
        patch = np.repeat(np.arange(len(starts)), sizes)
        hues = wheel_distance(looked.tint.hue_deg, hue_deg[patch])
        return cls(
            lab, hue_deg,
            np.maximum.reduceat(hyab_apart(looked.lab, lab[patch]), starts) + _ROUNDING,
            np.maximum.reduceat(hues, starts) + _ROUNDING,
            np.minimum.reduceat(looked.lrv, starts) - _ROUNDING,
            np.maximum.reduceat(looked.lrv, starts) + _ROUNDING,
            np.maximum.reduceat(looked.tint.gate, starts),
            np.maximum.reduceat(coloured(looked.tint), starts),
        )  # fmt: skip

    def at(self, index: Rows) -> Patches:
        """The same of some, in any shape."""
        return Patches(
            self.lab.take(index, axis=0), self.hue_deg[index], self.wide[index], self.hues_wide[index],
            self.low[index], self.high[index], self.gate[index], self.real[index],
        )  # fmt: skip


def most_between(pair: tuple[str, str], first: Patches, second: Patches) -> FloatArray:
    """Return no less than the fit 0..1 of any two colours of two patches, broadcast; the ``pair`` as in ``RULES``."""
    rule = RULES[pair]
    apart, wide = hyab_apart(first.lab, second.lab), first.wide + second.wide
    far, same = apart + wide, same_colour(np.maximum(apart - wide, 0))
    whites = both_white(first.high, second.high)
    step = np.maximum(
        rule(Between(first.high - second.low, far, same, whites)),
        rule(Between(first.low - second.high, far, same, whites)),
    )
    hues = wheel_distance(first.hue_deg, second.hue_deg) - (first.hues_wide + second.hues_wide)
    kin = most_kin(np.maximum(hues, 0), first.gate, second.gate, second.real)
    return np.asarray(step * np.minimum(np.maximum(kin, same) + _ROUNDING, 1))
