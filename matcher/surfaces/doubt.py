"""How far a reading may be off: every known cause as a covariance, carried into CIELAB.

Levels and colours of light are uncertain as logarithms of cone responses; the camera differs from the eye in Lab.
"""

from __future__ import annotations

import numpy as np

from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES, relative_cones
from matcher.colorimetry.spaces import Floats, lab_to_xyz, xyz_to_lab
from matcher.surfaces.surface import Cause

_STEP = 1e-4  # for derivatives
NINETY_PERCENT = 1.645  # half-width of the central 90 % of a normal distribution, in sigmas

# One-sigma values, fitted to the errors on rendered rooms with known truth (tests/benchmarks/reliability.py) and on
# charts in photographs together, unless marked assumption. Levels are logarithms of light.
OWN_CARD_LEVEL = 0.02  # of a card lying on the surface: tilt, its own rim, bounce
OTHER_CARD_LEVEL = 0.30  # light on another surface than the card's
BETWEEN_CARDS_LEVEL = 0.15  # the same with cards on several others, beside what those disagree by
# What is polished, glazed or painted to a sheen lets less light out of the colour under its coat, or mirrors a window;
# a matt card lying there does not show it. By material; "other" for those not named.
COAT_LEVEL = {"stone": 0.025, "tile": 0.025, "metal": 0.025, "other": 0.02}
# The same seen at a slant: sigma for all that the coat then mirrors of the light from inside (see :func:`mirrored`).
SLANT_LEVEL = 0.8
REACH_LEVEL = 0.06  # part of how differently the pixels are lit than the card that the smooth field may get wrong
CLIPPED_LEVEL = 0.8  # where all of a surface is clipped to white, what is left is its dark end (assumption)
OWN_CARD_COLOUR = 0.012  # of light's colour between card and surface
OTHER_CARD_COLOUR = 0.05
COLOUR_SHAPE: Floats = np.sqrt([1.0, 0.2, 1.0])  # of either, by cone
# A coat mirrors about 4 % of the light at its surface, more at a slant; how much of it reaches the camera depends on
# sheen and on what stands opposite. One sigma, as luminance factor, seen straight on.
SHEEN = 0.009
_STRAIGHT_ON = 0.04  # Fresnel's reflectance at n = 1.5
TEXTURE = 0.6  # what "the" colour of a varying material leaves open, in Lab
SECOND_COLOUR = 1.2  # on top of it for veins, grout, flecks and boards: thin parts mix with their neighbours


def reflectance_lab(log_cones: Floats) -> Floats:
    """Return CIELAB of logarithms of cone responses relative to a perfect white (..., N, 3)."""
    to_xyz = (WHITE_CONES[:, None] * FROM_BRADFORD.T).astype(log_cones.dtype)
    # Turned twice, so that many pixels stay in columns (see matcher/colorimetry/spaces.py).
    return xyz_to_lab((to_xyz.T @ np.exp(log_cones).swapaxes(-1, -2)).swapaxes(-1, -2))


def mirrored(foreshortening: float) -> float:
    """Return what a coat mirrors more of the light than seen straight on, 0..0.96, by Schlick's formula (1994).

    ``foreshortening`` of a card lying on the surface, 0..1, stands for the cosine of the angle it is seen at.
    """
    return float((1 - _STRAIGHT_ON) * (1 - min(max(foreshortening, 0.0), 1.0)) ** 5)


def sheen_sd(foreshortening: float) -> float:
    """Return one-sigma of the sheen's luminance factor on a surface seen at a slant, as :func:`mirrored`."""
    return SHEEN * (1 + mirrored(foreshortening) / _STRAIGHT_ON)


def lab_covariances(
    log_cones: Floats,
    *,
    level_sd: Floats,
    colour_sd: Floats,
    curve: ToneCurve,
    curve_shift: Floats,
    camera_sd: tuple[float, float],
    chroma_sd: float,
    sheen: float,
) -> dict[Cause, Floats]:
    """Return the (G, 3, 3) covariances in Lab of colours (G, 3), one a cause: together they are the doubt.

    The first colour is the main one. ``level_sd`` (G,) and ``colour_sd`` (3,), by cone, are sigmas of the logarithm of
    light, ``curve_shift`` (G, 5, 3) the change of ``log_cones`` (columns) with each strength of the tone curve (rows),
    ``camera_sd`` the camera's error in Lab at grey and for each unit of chroma, ``chroma_sd`` that of its own factor on
    chroma, ``sheen`` that of a luminance factor.
    """
    lab, jacobian, haze = lab_derivatives(log_cones)
    # Light is uncertain by a factor, so a reading may be further too dark than too bright; the symmetric interval that
    # is stated reaches as far as the longer side.
    level_sd = (np.exp(NINETY_PERCENT * level_sd) - 1) / NINETY_PERCENT
    in_cones: dict[Cause, Floats] = {
        "level": level_sd[:, None, None] ** 2 * np.ones((3, 3)),
        "colour": np.diag(colour_sd**2),
        "tone curve": curve_shift.swapaxes(1, 2) @ curve.covariance @ curve_shift,
    }
    causes: dict[Cause, Floats] = {
        cause: jacobian @ light @ jacobian.swapaxes(1, 2) for cause, light in in_cones.items()
    }
    camera = camera_lab_sd(lab, camera_sd)
    chroma = lab * np.array([0.0, chroma_sd, chroma_sd])
    causes["camera and lamp"] = (camera**2)[:, None] * np.eye(3) + chroma[:, :, None] * chroma[:, None]
    texture = np.hypot(TEXTURE, np.where(np.arange(len(lab)) > 0, SECOND_COLOUR, 0.0))
    causes["texture"] = texture[:, None, None] ** 2 * np.eye(3)
    causes["sheen"] = sheen**2 * haze[:, :, None] * haze[:, None]
    return causes


def camera_lab_sd(lab: Floats, camera_sd: tuple[float, float]) -> Floats:
    """Return one-sigma (G, 3) of what a camera gets wrong of colours (G, 3): half as much in L* as in a* and b*.

    ``camera_sd`` is its error in Lab at grey and for each unit of chroma.
    """
    base, per_chroma = camera_sd
    camera = base + per_chroma * np.hypot(lab[:, 1], lab[:, 2])
    return np.asarray(camera[:, None] * np.array([0.5, 1.0, 1.0]))


def light_covariances(lab: Floats, *, level_sd: float, colour_sd: Floats) -> dict[Cause, Floats]:
    """Return the (3, 3) covariances in Lab of a colour (3,) by doubt in the light's level and, by cone (3,), colour."""
    log_cones = np.log(np.maximum(relative_cones(lab_to_xyz(lab)), 1e-6))
    _, jacobian, _ = lab_derivatives(log_cones[None])
    return {
        "level": jacobian[0] @ np.full((3, 3), level_sd**2) @ jacobian[0].T,
        "colour": jacobian[0] @ np.diag(colour_sd**2) @ jacobian[0].T,
    }


def lab_derivatives(log_cones: Floats) -> tuple[Floats, Floats, Floats]:
    """Return Lab (G, 3), d Lab / d log cones (G, 3, 3), and d Lab / d Y (G, 3) for lamp-coloured light on top."""
    steps = np.zeros((len(log_cones), 5, 3))
    steps[:, 1:4] = _STEP * np.eye(3)
    steps[:, 4] = np.log(np.exp(log_cones) + _STEP) - log_cones
    moved = reflectance_lab(log_cones[:, None] + steps)
    change = (moved[:, 1:] - moved[:, :1]) / _STEP
    return moved[:, 0], change[:, :3].swapaxes(1, 2), change[:, 3]
