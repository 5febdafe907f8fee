"""Two paints in one room: how well they fit by their roles. Used for paints already chosen, and for whole schemes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.lrv import lrv
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import tint
from matcher.ranking import weights
from matcher.ranking.judge import accord

FloatArray = NDArray[np.floating[Any]]

# Kinship of two paints as a factor: no opinion 0.85, clear kin (agreement 0.3) 1, a full fight 0.
_NO_OPINION, _KIN_GAIN, _FIGHT_LOSS = 0.85, 0.5, 1.25
# The same colour in two roles is a known device ("drenched"), but not what most clients expect of trim.
_SAME_PAINT = 0.85
# A trim darker than the wall by this many LRV points is a device as well, a bolder one.
_DARK_TRIM, _DARK_TRIM_FIT = (12.0, 30.0), 0.6
# A ceiling may be as light as the walls, and is wanted lighter, LRV points.
_CEILING_LIFT = (-4.0, 4.0)
# Two whites, by the LRV of the darker.
_WHITES_LRV = (64.0, 74.0)
# Steps that read as meant, HyAB units.
_FURNITURE_STEP, _ACCENT_STEP = (3.0, 12.0), (12.0, 30.0)
# Seen through a doorway: walls of two rooms, HyAB units, either one colour or a step that reads as meant; trim that is
# not the same paint is at best this.
_DOORWAY_STEP, _OTHER_TRIM = (3.0, 12.0), 0.6
# A door that stands out by LRV points (30 is the named rule of matcher/harmony/visual_contrast.py for those who see
# poorly).
_DOOR_STEP = (3.0, 30.0)


class Between(NamedTuple):
    """Two paints: ``lift`` in LRV points, first role minus second; ``apart`` in HyAB units; how far they are the
    ``same`` colour, and how far both are ``whites``, 0..1.
    """

    lift: FloatArray
    apart: FloatArray
    same: FloatArray
    whites: FloatArray


# How far the step between two paints is what their roles ask for, 0..1.
Step = Callable[[Between], FloatArray]


def _hyab(first: FloatArray, second: FloatArray) -> FloatArray:
    lightness, a, b = (first[..., axis] - second[..., axis] for axis in range(3))
    # np.hypot guards against overflow, at several times the cost.
    return np.asarray(np.abs(lightness) + np.sqrt(a * a + b * b))


def _trim_walls(two: Between) -> FloatArray:
    fit = np.maximum(smoothstep(two.lift, *weights.TRIM_LIFT), _DARK_TRIM_FIT * smoothstep(-two.lift, *_DARK_TRIM))
    return np.asarray(np.maximum(fit, _SAME_PAINT * two.same))


def _ceiling_walls(two: Between) -> FloatArray:
    return np.asarray(np.maximum(smoothstep(two.lift, *_CEILING_LIFT), _SAME_PAINT * two.same))


def _ceiling_trim(two: Between) -> FloatArray:
    return np.ones_like(two.apart)


def _furniture(two: Between) -> FloatArray:
    # Off-white doors in an off-white room are one calm thing; whether the two whites fit is asked of their undertones.
    alike = _SAME_PAINT * np.maximum(two.same, two.whites)
    return np.asarray(np.maximum(smoothstep(two.apart, *_FURNITURE_STEP), alike))


def _accent_walls(two: Between) -> FloatArray:
    return smoothstep(two.apart, *_ACCENT_STEP)


def _door_walls(two: Between) -> FloatArray:
    return np.asarray(np.maximum(0.5 + 0.5 * smoothstep(np.abs(two.lift), *_DOOR_STEP), _SAME_PAINT * two.same))


RULES: dict[tuple[str, str], Step] = {
    ("trim", "walls"): _trim_walls,
    ("ceiling", "walls"): _ceiling_walls,
    ("ceiling", "trim"): _ceiling_trim,
    ("cabinets", "walls"): _furniture,
    ("island", "cabinets"): _furniture,
    ("accent", "walls"): _accent_walls,
    ("door", "walls"): _door_walls,
}


def _kinship(paint: FloatArray, fixed: FloatArray) -> FloatArray:
    """Undertones of two paints, with near-miss whites and clean beside muted: 0.85 where one is neutral, up to 1.15."""
    total = accord(tint(paint), tint(fixed)).total
    return np.asarray(_NO_OPINION + _FIGHT_LOSS * total + (_KIN_GAIN - _FIGHT_LOSS) * np.maximum(total, 0))


def _walls_through(two: Between) -> FloatArray:
    return np.asarray(np.maximum(smoothstep(two.apart, *_DOORWAY_STEP), two.same))


def _trim_through(two: Between) -> FloatArray:
    return np.asarray(_OTHER_TRIM + (1 - _OTHER_TRIM) * two.same)


# The same role in two rooms that are seen from each other.
THROUGH: dict[str, Step] = {"walls": _walls_through, "trim": _trim_through}


def related(role: str, other: str) -> bool:
    """Whether a rule speaks of these two roles."""
    return (role, other) in RULES or (other, role) in RULES


def pair_fit(role: str, lab: ArrayLike, other: str, other_lab: ArrayLike) -> FloatArray:
    """Fit 0..1 of (..., 3) colours in ``role`` with (..., 3) in ``other``, broadcast.

    KeyError if no rule speaks of them.
    """
    first, second = np.asarray(lab), np.asarray(other_lab)
    if (role, other) not in RULES:
        role, other, first, second = other, role, second, first
    return _fit(RULES[role, other], first, second)


def through_fit(role: str, lab: ArrayLike, other_lab: ArrayLike) -> FloatArray:
    """Fit 0..1 of (..., 3) colours of a role in one room with (..., 3) of it in a room seen from there, broadcast.

    KeyError for a role that no rule speaks of there.
    """
    return _fit(THROUGH[role], np.asarray(lab), np.asarray(other_lab))


def _fit(rule: Step, first: FloatArray, second: FloatArray) -> FloatArray:
    apart = _hyab(first, second)
    same = smoothstep(apart, weights.SAME_COLOUR, 0.5)
    one, another = lrv(first), lrv(second)
    whites = smoothstep(np.minimum(one, another), *_WHITES_LRV)
    step = rule(Between(one - another, apart, same, whites))
    return np.asarray(step * np.maximum(_kinship(first, second), same).clip(0, 1))
