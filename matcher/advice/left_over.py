"""What an action would leave of a colour's doubt: its causes, each shrunk to what that action leaves of it.

A new photo is a second reading, so what is its own (light, and with new cards the curve) combines with the first as
the readings of a surface do; what both photos share (the camera under that lamp, sheen, texture) stays.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from matcher.advice.advice import ActionKind
from matcher.calibration.correction import unknown_camera_sd
from matcher.colorimetry.spaces import Floats
from matcher.surfaces.doubt import (
    COAT_LEVEL,
    OTHER_CARD_COLOUR,
    OWN_CARD_COLOUR,
    OWN_CARD_LEVEL,
    light_covariances,
)
from matcher.surfaces.surface import Cause, Surface, SurfaceColour

# What the field of light leaves open between card and surface in a close-up, sigma of the logarithm of the level: with
# the rest of doubt.py as much as surfaces with a card have in rendered rooms (medians 0.03 to 0.07 by material).
CLOSE_UP_FIELD = 0.015
# Part of the tone curve's variance that white, grey and black side by side leave: median over the patches of eight
# photographs of charts, from grey alone to all three. Of other photos they tell little: a phone's curve differs by
# scene nearly as much as from what is believed of any (tone_curve.SCENE_SD).
THREE_CARDS_CURVE = 0.1
# Part of the variance between camera and eye that chips near in colour, and a chart, leave under the same lamp: the
# squares of what the 90th percentiles fall by (python -m tests.benchmarks.chips).
CHIPS_CAMERA, CHART_CAMERA = 0.37, 0.40
# What a hand-held instrument leaves, dE00 taken as a sigma of L*, a* and b*: the room file's own example value.
INSTRUMENT_SD = 0.5

_NONE = np.zeros((3, 3))
_RIDGE = 1e-9 * np.eye(3)


def left_over(colour: SurfaceColour, kind: ActionKind, surface: Surface) -> Floats:
    """Return the covariance (3, 3) to be expected of a ``colour`` of ``surface`` once ``kind`` has been done there.

    Never more than it is now, in any direction.
    """
    if kind == "sample board":
        return colour.covariance
    if kind == "instrument":
        return _parallel(colour.covariance, INSTRUMENT_SD**2 * np.eye(3))
    fresh = _fresh_light(colour, surface)
    curve, camera = colour.causes.get("tone curve", _NONE), colour.causes.get("camera and lamp", _NONE)
    # Chips as light as the surface tell the curve where it matters; as well as a scale does (assumption).
    if kind in ("three cards", "paint chips", "chart"):
        fresh["tone curve"] = THREE_CARDS_CURVE * curve
    if kind == "daylight":
        fresh["camera and lamp"] = _camera_by_day(colour)
    if kind in ("paint chips", "chart"):
        fresh["camera and lamp"] = (CHART_CAMERA if kind == "chart" else CHIPS_CAMERA) * camera
    return _with_second(colour, fresh)


def _fresh_light(colour: SurfaceColour, surface: Surface) -> dict[Cause, Floats]:
    """What a close-up with a card leaves open of the light."""
    coat = COAT_LEVEL.get(surface.material, COAT_LEVEL["other"])
    level_sd = float(np.linalg.norm([OWN_CARD_LEVEL, coat, CLOSE_UP_FIELD]))
    by_colour = 1.0 if surface.has_own_card else (OWN_CARD_COLOUR / OTHER_CARD_COLOUR) ** 2
    return {
        "level": light_covariances(colour.lab, level_sd=level_sd, colour_sd=np.zeros(3))["level"],
        "colour": by_colour * colour.causes.get("colour", _NONE),
    }


def _camera_by_day(colour: SurfaceColour) -> Floats:
    base, per_chroma = unknown_camera_sd(0.0)
    sd = base + per_chroma * float(np.hypot(colour.lab[1], colour.lab[2]))
    return np.diag((sd * np.array([0.5, 1.0, 1.0])) ** 2)


def _with_second(colour: SurfaceColour, fresh: Mapping[Cause, Floats]) -> Floats:
    own = sum((colour.causes.get(cause, _NONE) for cause in fresh), start=_NONE)
    shared = colour.covariance - own
    return np.asarray(shared + _parallel(own, sum(fresh.values(), start=_NONE)))


def _parallel(first: Floats, second: Floats) -> Floats:
    """Return the covariance of the precision-weighted mean of two readings."""
    joined = first - first @ np.linalg.solve(first + second + _RIDGE, first)
    return np.asarray((joined + joined.T) / 2)
