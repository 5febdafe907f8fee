"""What an action would leave of a colour's doubt: its causes, each shrunk to what that action leaves of it.

A new photo is a second reading, so what is its own (light, and with new cards the curve) combines with the first as
the readings of a surface do; what both photos share (the camera under that lamp, sheen, texture) stays.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from matcher.advice.model import ActionKind
from matcher.calibration.tone_curve import PRIOR_SD, SCENE_SD
from matcher.colorimetry.spaces import Floats, lab_to_xyz, xyz_to_lab
from matcher.surfaces.doubt import OTHER_CARD_COLOUR, OWN_CARD_COLOUR
from matcher.surfaces.model import Cause, SurfaceColour

# Sigma of the logarithm of the light's level on a surface with its own card, with what lies between the two: the median
# over rendered rooms is 0.075 (tests/benchmarks/next_photo.py prints it).
CLOSE_UP_LEVEL = 0.08
# Part of the tone curve's variance that white, grey and black side by side leave, by the same rooms (sigmas of L* of 5
# become 0.3); and what they leave in photos of other surfaces, from which the scene still differs.
THREE_CARDS_CURVE = 0.01
BORROWED_CURVE = min(1.0, THREE_CARDS_CURVE + float((SCENE_SD[0] / PRIOR_SD[0]) ** 2))
# Part of the variance between camera and eye that is left by daylight, and after a chart under the same lamp. Muted
# spectra through measured cameras leave a median dE00 of 0.4 by daylight and 1.1 to 2.4 under lamps behind a grey card;
# of a chart, an assumption.
DAYLIGHT_CAMERA, CHART_CAMERA = 0.15, 0.5
# What a hand-held instrument leaves, dE00 taken as a sigma of L*, a* and b*: the room file's own example value.
INSTRUMENT_SD = 0.5

_STEP = 1e-4
_NONE = np.zeros((3, 3))
_RIDGE = 1e-9 * np.eye(3)


def left_over(colour: SurfaceColour, kind: ActionKind, *, own_card: bool) -> Floats:
    """Return the covariance (3, 3) to be expected of ``colour`` once ``kind`` has been done on its surface.

    ``own_card`` tells whether a card has lain there already. Never more than it is now, in any direction.
    """
    if kind == "sample board":
        return colour.covariance
    if kind == "instrument":
        return _parallel(colour.covariance, INSTRUMENT_SD**2 * np.eye(3))
    fresh = _fresh_light(colour, own_card=own_card)
    curve, camera = colour.causes.get("tone curve", _NONE), colour.causes.get("camera and lamp", _NONE)
    if kind in ("three cards", "chart"):
        fresh["tone curve"] = THREE_CARDS_CURVE * curve
    if kind == "daylight":
        fresh["camera and lamp"] = DAYLIGHT_CAMERA * camera
    if kind == "chart":
        fresh["camera and lamp"] = CHART_CAMERA * camera
    return _with_second(colour, fresh)


def left_by_shared_curve(colour: SurfaceColour) -> Floats:
    """Return the covariance to be expected of a colour whose photo knows no curve, after three cards lay elsewhere."""
    curve = colour.causes.get("tone curve", _NONE)
    return np.asarray(colour.covariance - (1 - BORROWED_CURVE) * curve)


def _fresh_light(colour: SurfaceColour, *, own_card: bool) -> dict[Cause, Floats]:
    """What a close-up with a card leaves open of the light."""
    steps = np.array([[-_STEP], [_STEP]])
    low, high = xyz_to_lab(lab_to_xyz(colour.lab) * np.exp(steps))
    by_level = (high - low) / (2 * _STEP)
    by_colour = 1.0 if own_card else (OWN_CARD_COLOUR / OTHER_CARD_COLOUR) ** 2
    return {
        "level": CLOSE_UP_LEVEL**2 * np.outer(by_level, by_level),
        "colour": by_colour * colour.causes.get("colour", _NONE),
    }


def _with_second(colour: SurfaceColour, fresh: Mapping[Cause, Floats]) -> Floats:
    own = sum((colour.causes.get(cause, _NONE) for cause in fresh), start=_NONE)
    shared = colour.covariance - own
    return np.asarray(shared + _parallel(own, sum(fresh.values(), start=_NONE)))


def _parallel(first: Floats, second: Floats) -> Floats:
    """Return the covariance of the precision-weighted mean of two readings."""
    joined = first - first @ np.linalg.solve(first + second + _RIDGE, first)
    return np.asarray((joined + joined.T) / 2)
