"""Paints that go with the walls': a lighter one of their undertone, a darker one, and a quiet complementary partner.

Common practice, no published source: what is lighter by about 20 points of LRV keeps the colour in a room with little
light; a darker one of the family suits an island or a door; a partner lies across the hue circle, shows, and stays
quiet. Where the room's light is known, the lighter one is told by it in matcher/light/companion.py; partners that bring
out each other's undertone are another thing (matcher/description/partners.py). Each fact is a Reason about the walls;
its values:

=================  ==============================================================================================
kind               values
=================  ==============================================================================================
companion-lighter  lrv_step (points, companion minus walls), hue_step_deg (h' of CIEDE2000, unsigned), chroma
companion-darker   the same
companion-partner  the same
=================  ==============================================================================================
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import deliberate_contrast
from matcher.harmony.tint import hue_step, visibility
from matcher.ranking import weights
from matcher.ranking.judge import accord, worst_clash
from matcher.ranking.limits import allowed_paints
from matcher.ranking.question import Question
from matcher.ranking.score import role_fit
from matcher.ranking.shortlist import Reason
from matcher.scheme.scheme import Companion, CompanionKind

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]

# LRV points, companion minus walls: about 20 lighter, and for the darker one about as much as makes an island a piece
# of its own; so far off either is still one. Assumptions.
_LIGHTER, _LIGHTER_WITHIN = 20.0, 6.0
_DARKER, _DARKER_WITHIN = -25.0, 12.0
# The same undertone: hue angles h' no farther apart than this, and chroma between these shares of the walls'; a pale
# colour shows less of it, a dark one more. Of walls whose tint does not show, one whose tint does not show either.
_SAME_UNDERTONE_DEG = 15.0
_LIGHTER_CHROMA, _DARKER_CHROMA = (0.3, 1.15), (0.6, 2.2)
# Across the hue circle: so far from the opposite hue; quiet: no stronger than this chroma, but showing.
_OPPOSITE_WITHIN_DEG, _QUIET_CHROMA, _SHOWS = 40.0, 16.0, 1.0
# A partner is not taken for the walls' own colour: CIELAB units (dE*ab) from where a step reads as meant.
_PARTNER_STEP = 12.0
# Of two as quiet the one nearer in lightness: points of LRV that count as much as all of the other tolerances.
_NEAR_LRV = 40.0


class _Beside(NamedTuple):
    """Every paint (N,) beside the walls'."""

    lrv_step: FloatArray
    hue_step: FloatArray
    chroma_ratio: FloatArray
    plain: Mask
    allowed: Mask


def find_companions(question: Question, walls: int) -> Iterator[Companion]:
    """What of the deck goes with the paint of the walls (a row); none of a kind where none is within tolerance."""
    paints = question.paints
    tints, here = paints.tint, paints.tint.at(walls)
    seen = visibility(paints.lab)
    beside = _Beside(
        lrv_step=paints.lrv - paints.lrv[walls],
        hue_step=hue_step(tints, here),
        chroma_ratio=paints.chroma / max(float(paints.chroma[walls]), 1e-6),
        plain=tints.gate < weights.NEUTRAL_GATE,
        allowed=allowed_paints(question.setting.limits, paints, ""),
    )
    peaceful = worst_clash("cabinets", question.judged, question.givens)[:, 0] == 0
    lighter = _kin(beside, walls, _LIGHTER_CHROMA) & (np.abs(beside.lrv_step - _LIGHTER) <= _LIGHTER_WITHIN)
    lighter &= role_fit("walls", paints, question.setting.wishes)[0] > 0
    darker = _kin(beside, walls, _DARKER_CHROMA) & (np.abs(beside.lrv_step - _DARKER) <= _DARKER_WITHIN)
    yield from _best("lighter", lighter, _off(beside, _LIGHTER, _LIGHTER_WITHIN), question, beside)
    yield from _best("darker", darker & peaceful, _off(beside, _DARKER, _DARKER_WITHIN), question, beside)
    if not beside.plain[walls]:
        opposite = np.abs(180 - beside.hue_step)
        partner = (opposite <= _OPPOSITE_WITHIN_DEG) & (paints.chroma <= _QUIET_CHROMA) & (seen >= _SHOWS)
        partner &= np.linalg.norm(paints.lab - paints.lab[walls], axis=1) >= _PARTNER_STEP
        at_ease = accord(tints, here).total > weights.CLASH_FROM
        meant = deliberate_contrast(tints, here) >= weights.DELIBERATE_FROM
        off = opposite / _OPPOSITE_WITHIN_DEG + paints.chroma / _QUIET_CHROMA + np.abs(beside.lrv_step) / _NEAR_LRV
        yield from _best("partner", partner & peaceful & (at_ease | meant), off, question, beside)


def _kin(beside: _Beside, walls: int, chroma: tuple[float, float]) -> Mask:
    """Of the walls' undertone, by hue and chroma."""
    if beside.plain[walls]:
        return beside.plain
    shown = (beside.chroma_ratio >= chroma[0]) & (beside.chroma_ratio <= chroma[1])
    return np.asarray((beside.hue_step <= _SAME_UNDERTONE_DEG) & shown)


def _off(beside: _Beside, step: float, within: float) -> FloatArray:
    """How far from what is meant, in tolerances."""
    hue = np.where(beside.plain, 0.0, beside.hue_step / _SAME_UNDERTONE_DEG)
    return np.asarray(np.hypot((beside.lrv_step - step) / within, hue))


def _best(kind: CompanionKind, fits: Mask, off: FloatArray, question: Question, beside: _Beside) -> Iterator[Companion]:
    rows = np.flatnonzero(fits & beside.allowed)
    if len(rows):
        row = int(rows[np.argmin(off[rows])])
        values = (
            ("lrv_step", float(beside.lrv_step[row])),
            ("hue_step_deg", float(beside.hue_step[row])),
            ("chroma", float(question.paints.chroma[row])),
        )
        yield Companion(kind, row, Reason(f"companion-{kind}", True, values, ("walls",), 1.0))
