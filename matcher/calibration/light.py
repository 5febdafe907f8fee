"""The light at a place, as cone responses to a perfect white lying there; and how surely it is known elsewhere.

"Cone" responses are Bradford's: the space in which real photographs were balanced best (median dE00 3.6 against 4.7
for plain RGB gains, measured on photographs with a card).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.calibration.curve_evidence import shared_slope
from matcher.calibration.on_luminance import BY_CHANNEL, OnLuminance
from matcher.calibration.patch import BLACK_REFLECTANCE, LEVELS, Patch
from matcher.calibration.tone_curve import ToneCurve, linear_table, moved_strengths
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

CURVE_STEP = 0.02
# What cards of one place disagree by on photographs without a fault, one-sigma of the logarithm (assumption).
_AGREEMENT = 0.02
# Part of what no curve explains of the cards that is in colour: the channels mostly miss it together.
_IN_COLOUR = 0.36
_LEAST = 0.05  # of what a patch reflects: as much is always taken to be left of it
NO_STRAY_LIGHT: Floats = np.zeros(3)


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """``position`` (2,) full-size pixels; ``cones`` (3,) logarithm of the response to a perfect white there, with the
    stray light that lies over it;
    ``extent`` the width of the cards lying there in full-size pixels, ``foreshortening`` their short side over their
    long one; ``on`` the surface the card lies on; ``curve_shift`` (5, 3) change of ``cones`` (columns) with each
    strength of the tone curve (rows); ``card_sd`` one-sigma of the logarithm of level and colour that the cards
    themselves leave open, 0 for cards of known reflectance. ``guess_sd`` (3,), where no card was there and the light is
    guessed (no_card.py): one-sigma of the logarithm of its level anywhere in the picture, and of the first and third
    cone against that. ``by_chips`` where paint chips stand in for a card.
    """

    position: Floats
    extent: float
    foreshortening: float
    cones: Floats
    on: str | None
    curve_shift: Floats
    card_sd: tuple[float, float] = (0.0, 0.0)
    guess_sd: Floats | None = None
    by_chips: bool = False


def cone_matrix(space: ColourSpace) -> Floats:
    """Return the (3, 3) matrix from linear RGB of the photo to cone responses."""
    return BRADFORD @ space.to_xyz


def brightened(reflected: Floats, stray: Floats) -> Floats:
    """Return the logarithm by which ``stray`` light (3,), part of what white reflects, makes what was ``reflected``
    (..., 3) of white brighter against white.
    """
    by: Floats = np.log(np.maximum(reflected + stray, _LEAST * reflected) / ((1 + stray) * reflected))
    return by


def decode_tables(curve: ToneCurve, space: ColourSpace) -> tuple[Floats, Floats]:
    """Return (256,) linear values of the file's under ``curve``, and (5, 256) with each strength moved by
    :data:`CURVE_STEP`.
    """
    table, *moved = (linear_table(each, space, LEVELS) for each in moved_strengths(curve.strength, CURVE_STEP))
    return table, np.stack(moved)


def telling(patches: Sequence[Patch]) -> list[Patch]:
    """Return those of the usable patches of one place that tell its light: cards before chips, none black."""
    cards = [p for p in patches if not p.colour_sd] or patches
    return [p for p in cards if p.reflectance > BLACK_REFLECTANCE] or list(cards)


def light_at(
    patches: Sequence[Patch],
    table: Floats,
    shifted: Floats,
    space: ColourSpace,
    misfit: float = 0.0,
    stray: Floats = NO_STRAY_LIGHT,
    shared: OnLuminance = BY_CHANNEL,
) -> Light:
    """Return the light at one place from the usable patches lying there (at least one).

    ``table`` (256,) decodes file values under the fitted curve, ``shifted`` under curves with each strength moved by
    :data:`CURVE_STEP`; ``misfit`` is what the curve leaves unexplained of the cards (tone_curve.py); ``stray`` (3,) the
    light that lies over them all (correction.py), ``shared`` what of the curve lies on luminance.
    """
    members = telling(patches)
    slope, _ = shared_slope(members)
    position = np.mean([p.centre for p in members], axis=0)
    claimed = _levels(members, position, slope, np.stack([table, *shifted]), space, shared)
    claimed -= brightened(np.stack([p.reflected(cone_matrix(space)) for p in members]), stray)[:, None]
    cones, *moved = claimed.mean(axis=0)
    apart = _disagreement(claimed[:, 0])
    return Light(
        position=position,
        extent=float(np.mean([p.extent for p in members]) * np.sqrt(len(members))),
        foreshortening=float(np.mean([p.foreshortening for p in members])),
        cones=cones,
        on=members[0].on,
        curve_shift=(np.stack(moved) - cones) / CURVE_STEP,
        card_sd=(
            float(np.linalg.norm([max(p.level_sd for p in members), apart[0], misfit])),
            float(np.linalg.norm([max(p.colour_sd for p in members), apart[1], _IN_COLOUR * misfit])),
        ),
    )


def _levels(
    members: Sequence[Patch],
    position: Floats,
    slope: Floats,
    tables: Floats,
    space: ColourSpace,
    shared: OnLuminance,
) -> Floats:
    """Return (P, T, 3) cones that each of P patches claims under each of the ``tables`` (T, 256)."""
    to_cones = cone_matrix(space)
    levels = [
        np.log(np.maximum(shared.of_patch(p, tables) @ to_cones.T / p.reflected(to_cones), 1e-6))
        - (p.centre - position) @ slope
        for p in members
    ]
    return np.stack(levels)


def _disagreement(cones: Floats) -> tuple[float, float]:
    """Return one-sigma of the level and of the colour of a light of which patches claim ``cones`` (P, 3), logarithms,
    beyond what cards do anywhere.
    """
    off = cones - cones.mean(axis=0)
    level = off.mean(axis=1)
    spread = np.array([(level**2).mean(), ((off - level[:, None]) ** 2).mean()])
    above, colour_above = np.sqrt(np.maximum(spread - _AGREEMENT**2, 0.0))
    return float(above), float(colour_above)
