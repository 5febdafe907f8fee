"""One colour broken down: LRV, ISCC-NBS name, undertone, warmth, and how it moves from light to light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.curves import Curves, curves_of
from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.iscc_nbs import designations
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats, labs_to_hex
from matcher.harmony.undertone import Undertone, undertones
from matcher.harmony.warmth import warmth


@dataclass(frozen=True, slots=True, eq=False)
class LightShift:
    """The colour under another light: ``lab`` (3,) fully adapted (CAT16, D = 1) and given as CIELAB D65/2."""

    light: str
    lab: Floats
    undertone: Undertone


@dataclass(frozen=True, slots=True, eq=False)
class ColourDescription:
    """``lab`` (3,) CIELAB D65/2, ``lrv`` 0..100, ``warmth`` -1..1; ``lights`` as asked for, in that order."""

    lab: Floats
    lrv: float
    hex: str
    designation: str
    undertone: Undertone
    warmth: float
    lights: tuple[LightShift, ...] = ()


def describe_colours(
    labs: ArrayLike,
    *,
    lrvs: ArrayLike | None = None,
    lights: Sequence[str] = (),
    reflectance: Floats | None = None,
    curves: Curves | None = None,
) -> tuple[ColourDescription, ...]:
    """Describe ``labs`` (N, 3).

    ``lrvs`` (N,) are published values that take precedence over 100 Y. ``reflectance`` (N, 36), 380..730 nm in 10 nm
    steps with rows of NaN where unknown, serves the shift by light; unknown rows are recovered from the colour, which
    is right under lamps for most surfaces and not for each (matcher/colorimetry/recovery.py).
    ``curves`` of the colours, where they are there already, take the place of ``reflectance``.
    """
    colours = np.atleast_2d(np.asarray(labs, dtype=float))
    values = lrv(colours) if lrvs is None else np.asarray(lrvs, dtype=float)
    shifts = _shifts(curves or curves_of(colours, reflectance), lights) if lights else []
    columns = zip(
        colours, values, labs_to_hex(colours), designations(colours), undertones(colours), warmth(colours), strict=True
    )
    return tuple(
        ColourDescription(
            lab=lab,
            lrv=float(value),
            hex=text,
            designation=name,
            undertone=tint,
            warmth=float(warm),
            lights=tuple(LightShift(light, moved[row], leans[row]) for light, moved, leans in shifts),
        )
        for row, (lab, value, text, name, tint, warm) in enumerate(columns)
    )


def _shifts(curves: Curves, lights: Sequence[str]) -> list[tuple[str, Floats, tuple[Undertone, ...]]]:
    """Return for each light its name, the colours (N, 3) under it and their undertones."""
    moved = [curves.look(tristimulus_weights(light)) for light in lights]
    return [(light, lab, undertones(lab)) for light, lab in zip(lights, moved, strict=True)]
