"""Two paints in one room: how well they fit by their roles. Used for paints already chosen, and for whole schemes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.lrv import lrv
from matcher.harmony.agreement import HIGHEST, coloured, kinship, wheel_distance
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, tint
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


# Single precision: a bound is no bound if it is missed by the last digit.
_ROUNDING = 1e-5


class Between(NamedTuple):
    """Two paints: ``lift`` in LRV points, first role minus second; ``apart`` in HyAB units; how far they are the
    ``same`` colour, and how far both are ``whites``, 0..1.

    What a rule makes of it falls with none of the last three, and of several lifts is most at the least or the largest.
    """

    lift: FloatArray
    apart: FloatArray
    same: FloatArray
    whites: FloatArray


# How far the step between two paints is what their roles ask for, 0..1.
Step = Callable[[Between], FloatArray]


def hyab_apart(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return HyAB between (..., 3) colours, broadcast."""
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


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """Colours as pairs are judged by: ``lab`` (..., 3), and of the same shape without the last axis ``tint`` and
    ``lrv``.
    """

    lab: FloatArray
    tint: Tint
    lrv: FloatArray

    @classmethod
    def at(cls, lab: ArrayLike) -> Looked:
        """Look at colours once, for whoever asks of many pairs of them."""
        array = np.asarray(lab)
        return cls(array, tint(array), np.asarray(lrv(array)))

    def take(self, rows: NDArray[np.intp]) -> Looked:
        """The same of some rows of (N, 3) colours, in any shape."""
        # Whole rows are taken several times faster than they are indexed.
        return Looked(self.lab.take(rows, axis=0), self.tint.at(rows), self.lrv[rows])


def _kinship(paint: Tint, fixed: Tint) -> FloatArray:
    """Undertones of two paints, with near-miss whites and clean beside muted: 0.85 where one is neutral, up to 1.15."""
    total = accord(paint, fixed).total
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
    return looked_fit(role, Looked.at(lab), other, Looked.at(other_lab))


def looked_fit(role: str, looked: Looked, other: str, other_looked: Looked) -> FloatArray:
    """Return :func:`pair_fit` of colours that were looked at."""
    first, second = looked, other_looked
    if (role, other) not in RULES:
        role, other, first, second = other, role, second, first
    return _fit(RULES[role, other], first, second)


def most_fit(role: str, other: str, looked: Looked) -> tuple[FloatArray, FloatArray] | None:
    """Return the most that :func:`pair_fit` can be of each of these colours in ``role``, (N,), and in ``other``,
    whichever of them stands in the other role; None where the rule says nothing of the kind.

    The pair is told as in ``RULES``. Undertones are kin only as far as both are seen (matcher/harmony/agreement.py):
    what has next to none is at best no matter. Where two are one colour no step between them is meant, so that they fit
    no better than that either; but a ceiling in the trim's own white fits in full.
    """
    if (role, other) == ("ceiling", "trim"):
        return None
    gate = looked.tint.gate.astype(np.float64)
    first, second = (np.minimum(_NO_OPINION + _KIN_GAIN * HIGHEST * each, 1.0) for each in (np.sqrt(gate), gate))
    if (role, other) == ("trim", "walls"):
        # Nothing of the deck is so much lighter than very light walls.
        second = second * smoothstep(looked.lrv.max() - looked.lrv, *weights.TRIM_LIFT)
    return first + _ROUNDING, np.maximum(second, _SAME_PAINT) + _ROUNDING


def most_looked_fit(pair: tuple[str, str], first: Looked, second: Looked) -> FloatArray:
    """Return no less than :func:`looked_fit` of a pair as in ``RULES``, at half of its cost: undertones are asked only
    how far they can be seen, and can be kin by their hues.
    """
    step, same = _stepped(RULES[pair], first, second)
    apart = wheel_distance(first.tint.hue_deg, second.tint.hue_deg)
    kin = most_kin(apart, first.tint.gate, second.tint.gate, coloured(second.tint))
    return np.asarray(step * np.minimum(np.maximum(kin, same) + _ROUNDING, 1))


def most_kin(apart: FloatArray, gate: FloatArray, fixed_gate: FloatArray, real: FloatArray) -> FloatArray:
    """Return the most that kinship can be of two undertones so many steps of the wheel ``apart``, of paint and fixed
    colour, which is ``coloured`` so far; it falls with ``apart`` and rises with all else.
    """
    agreed = np.maximum(kinship(apart), 0)
    # Beside a real colour other hues agree, but none better than the best.
    agreed = agreed + real * (HIGHEST - agreed)
    return np.asarray(_NO_OPINION + _KIN_GAIN * (fixed_gate * np.sqrt(gate)) * agreed)


def through_fit(role: str, lab: ArrayLike, other_lab: ArrayLike) -> FloatArray:
    """Fit 0..1 of (..., 3) colours of a role in one room with (..., 3) of it in a room seen from there, broadcast.

    KeyError for a role that no rule speaks of there.
    """
    return _fit(THROUGH[role], Looked.at(lab), Looked.at(other_lab))


def _fit(rule: Step, first: Looked, second: Looked) -> FloatArray:
    step, same = _stepped(rule, first, second)
    return np.asarray(step * np.minimum(np.maximum(_kinship(first.tint, second.tint), same), 1))


def _stepped(rule: Step, first: Looked, second: Looked) -> tuple[FloatArray, FloatArray]:
    """How far the step is what the roles ask for, and how far both are the same colour."""
    apart = hyab_apart(first.lab, second.lab)
    same = same_colour(apart)
    return rule(Between(first.lrv - second.lrv, apart, same, both_white(first.lrv, second.lrv))), same


def same_colour(apart: FloatArray) -> FloatArray:
    """How far two colours so many HyAB units apart are the same, 0..1."""
    return smoothstep(apart, weights.SAME_COLOUR, 0.5)


def both_white(first_lrv: FloatArray, second_lrv: FloatArray) -> FloatArray:
    """How far two are whites by their LRV, 0..1."""
    return smoothstep(np.minimum(first_lrv, second_lrv), *_WHITES_LRV)
