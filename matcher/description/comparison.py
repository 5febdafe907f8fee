"""Two colours side by side: which is lighter, warmer, greener, and whether a person can see it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.harmony.warmth import warmth

# dE00 at which half of the observers see a difference between two samples side by side: 0.8, the perceptibility
# threshold of ISO/TR 28642 (dental colour). The figure is from memory, not read in the standard.
VISIBLE_DE00 = 0.8
# Warmth runs -1..1; below this two colours are called equally warm. Assumption: about the noise of a 0.5 unit reading.
_WARMTH_STEP = 0.02


@dataclass(frozen=True, slots=True)
class Comparison:
    """Colour b against colour a; differences are b minus a.

    ``lighter``, ``warmer`` and ``greener`` are "a", "b" or None where that part of the difference cannot be seen.
    """

    de00: float
    lrv_difference: float
    lighter: str | None
    warmer: str | None
    greener: str | None
    visible: bool


def compare_colours(
    lab_a: ArrayLike, lab_b: ArrayLike, *, lrv_a: float | None = None, lrv_b: float | None = None
) -> Comparison:
    """Compare two CIELAB D65/2 colours (3,); published LRVs take precedence over 100 Y."""
    a, b = np.asarray(lab_a, dtype=float), np.asarray(lab_b, dtype=float)
    light_a = float(lrv(a)) if lrv_a is None else lrv_a
    light_b = float(lrv(b)) if lrv_b is None else lrv_b
    de00 = float(delta_e_2000(a, b))
    return Comparison(
        de00=de00,
        lrv_difference=light_b - light_a,
        lighter=_name(float(lightness_part(a, b))),
        warmer=_name(float(warmth_part(a, b))),
        greener=_name(float(greenness_part(a, b))),
        visible=de00 >= VISIBLE_DE00,
    )


def lightness_part(lab_a: Floats, lab_b: Floats) -> Floats:
    """Return the dE00 of the lightness difference alone, (...), positive where b is lighter."""
    moved = lab_a + (lab_b - lab_a) * np.array([1.0, 0.0, 0.0])
    return np.sign(lab_b[..., 0] - lab_a[..., 0]) * delta_e_2000(lab_a, moved)


def chromatic_part(lab_a: Floats, lab_b: Floats) -> Floats:
    """Return the dE00, (...), that is left when b is brought to the lightness of a."""
    moved = lab_b - (lab_b - lab_a) * np.array([1.0, 0.0, 0.0])
    return delta_e_2000(lab_a, moved)


def warmth_part(lab_a: Floats, lab_b: Floats) -> Floats:
    """Return the chromatic dE00, (...), signed positive where b is warmer; 0 where both are equally warm."""
    step = warmth(lab_b) - warmth(lab_a)
    return np.where(np.abs(step) < _WARMTH_STEP, 0.0, np.sign(step)) * chromatic_part(lab_a, lab_b)


def greenness_part(lab_a: Floats, lab_b: Floats) -> Floats:
    """Return the dE00, (...), of the difference in a* alone, positive where b is greener (lower a*)."""
    moved = lab_a + (lab_b - lab_a) * np.array([0.0, 1.0, 0.0])
    return np.sign(lab_a[..., 1] - lab_b[..., 1]) * delta_e_2000(lab_a, moved)


def _name(part: float) -> str | None:
    """Return who has more of it, or None below the visible threshold."""
    if abs(part) < VISIBLE_DE00:
        return None
    return "b" if part > 0 else "a"
