"""Which paint of a deck stands at each place of the small map round a colour; a place may stay empty.

Two questions apart: how light (a ladder: lighter, it, darker) and which colour at that lightness (a cross: warmer and
cooler, greener and pinker). The arms of the cross stand at right angles: where the published warm-cool models change
over, at the hue angles 140 and 320, lie the greens and pinks that are neither.
"""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.description.comparison import VISIBLE_DE00, chromatic_part, greenness_part
from matcher.description.lookalikes import SAME_LRV, a_step_darker, a_step_lighter, lrv_steps
from matcher.description.step import WARM_DEG, warm_axis_part
from matcher.paints.deck import Deck

Place = Literal["lighter", "darker", "warmer", "cooler", "greener", "pinker"]
PLACES: tuple[Place, ...] = get_args(Place)

# Where the best neighbour of each place would lie: so far that the lean shows between two large swatches, and not so
# far that it is another colour. Assumptions: L* for the ladder, dE00 for the cross, and the most that is still a
# neighbour there.
_LADDER_STEP, _CROSS_STEP, _CROSS_MOST = 7.0, 4.5, 10.0
# On the ladder the colour may change by so much, dE00: less than shows where two walls meet (description/step.py).
_LADDER_TINT = 3.0
_ARMS_DEG: dict[Place, float] = {"warmer": 0.0, "greener": 90.0, "cooler": 180.0, "pinker": 270.0}


def neighbour_places(deck: Deck, here: Floats, lrv: float, *, paint: int | None = None) -> dict[Place, int | None]:
    """Return the row at each place round the colour ``here`` (CIELAB) of an ``lrv``, None where the deck has none.

    ``paint`` is its own row where the deck has it.
    """
    lab = np.asarray(deck.lab, dtype=float)
    other = np.ones(len(deck), bool) if paint is None else np.arange(len(deck)) != paint
    keeps = other & (chromatic_part(here, lab) <= _LADDER_TINT)
    level = other & (np.abs(lrv_steps(deck, lrv)) <= SAME_LRV) & (delta_e_2000(here, lab) <= _CROSS_MOST)
    signed = {"warmer": warm_axis_part(here, lab), "greener": greenness_part(here, lab)}
    visible: dict[Place, NDArray[np.bool_]] = {
        "warmer": signed["warmer"] >= VISIBLE_DE00,
        "cooler": signed["warmer"] <= -VISIBLE_DE00,
        "greener": signed["greener"] >= VISIBLE_DE00,
        "pinker": signed["greener"] <= -VISIBLE_DE00,
    }
    along, across = _axes(lab - here)
    rung = np.array([_LADDER_STEP, 0.0, 0.0])

    def best(allowed: NDArray[np.bool_], ideal: Floats) -> int | None:
        rows = np.flatnonzero(allowed)
        return int(rows[np.argmin(delta_e_2000(ideal, lab[rows]))]) if len(rows) else None

    found: dict[Place, int | None] = {
        "lighter": best(keeps & a_step_lighter(deck, here, lrv), here + rung),
        "darker": best(keeps & a_step_darker(deck, here, lrv), here - rung),
    }
    for place, turn in _ARMS_DEG.items():
        toward = np.cos(np.radians(turn)) * along + np.sin(np.radians(turn)) * across
        aside = np.abs(np.cos(np.radians(turn)) * across - np.sin(np.radians(turn)) * along)
        found[place] = best(level & visible[place] & (toward >= aside), _ideal(here, WARM_DEG + turn))
    return {place: found[place] for place in PLACES}


def _axes(steps: Floats) -> tuple[Floats, Floats]:
    """Return how far each step (N, 3) goes along the warm-cool axis and across it, towards green."""
    angle = np.radians(WARM_DEG)
    a, b = steps[:, 1], steps[:, 2]
    return a * np.cos(angle) + b * np.sin(angle), b * np.cos(angle) - a * np.sin(angle)


def _ideal(here: Floats, hue_deg: float) -> Floats:
    """Return the colour that lies one step of the cross away in a direction of a* and b*."""
    axis = np.array([0.0, np.cos(np.radians(hue_deg)), np.sin(np.radians(hue_deg))])
    return np.asarray(here + axis * (_CROSS_STEP / float(delta_e_2000(here, here + axis))))
