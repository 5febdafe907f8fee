"""The paints of a deck around one of them: nearest, same LRV but warmer or cooler, a step lighter or darker."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.description.comparison import VISIBLE_DE00, chromatic_part, greenness_part, warmth_part
from matcher.paints.deck import Deck

# "Same LRV": published LRVs are whole points, so two paints within 1.5 are at most one step apart in print.
SAME_LRV = 1.5
# A step that a consultant means by "one lighter" or "one darker" on a strip, LRV points. Assumption: at least what
# is visible between two large boards, and not so far that it is another colour.
_STEP_LRV = (3.0, 18.0)
# Among the darkest, where three points of LRV are more than a step on a strip: the same in L*, below this LRV
# (assumption: there three points are five of L*).
_DARK_LRV, _DARK_STEP = 12.0, (4.0, 10.0)


@dataclass(frozen=True, slots=True)
class Lookalikes:
    """Rows of the deck, best first; the paint itself is never among them."""

    nearest: tuple[int, ...]
    same_lrv_warmer: tuple[int, ...]
    same_lrv_cooler: tuple[int, ...]
    lighter: tuple[int, ...]
    darker: tuple[int, ...]
    greener_darker: tuple[int, ...]


def lookalikes(deck: Deck, paint: int, *, same_lrv: bool = False, count: int = 5) -> Lookalikes:
    """Return what lies around row ``paint``: see :func:`around`."""
    here = np.asarray(deck.lab[paint], dtype=float)
    return around(deck, here, float(deck.lrv[paint]), paint=paint, same_lrv=same_lrv, count=count)


def around(
    deck: Deck, here: Floats, lrv: float, *, paint: int | None = None, same_lrv: bool = False, count: int = 5
) -> Lookalikes:
    """Return what lies around the colour ``here`` (CIELAB) of an ``lrv``; ``paint`` is its row where the deck has it.

    With ``same_lrv`` the nearest are sought among paints of the same LRV. Lighter and darker keep the hue and chroma as
    nearly as the deck allows and change the lightness; warmer, cooler and greener differ visibly in that respect and as
    little as possible otherwise.
    """
    lab = np.asarray(deck.lab, dtype=float)
    step = lrv_steps(deck, lrv)
    de00 = delta_e_2000(here, lab)
    keeps_colour = chromatic_part(here, lab)
    warmer = warmth_part(here, lab)
    greener = greenness_part(here, lab)
    level = np.abs(step) <= SAME_LRV
    darker = a_step_darker(deck, here, lrv)
    other = np.ones(len(deck), bool) if paint is None else np.arange(len(deck)) != paint

    def best(allowed: NDArray[np.bool_], cost: Floats) -> tuple[int, ...]:
        rows = np.flatnonzero(allowed & other)
        return tuple(int(row) for row in rows[np.argsort(cost[rows], kind="stable")[:count]])

    return Lookalikes(
        nearest=best(level if same_lrv else np.ones(len(deck), bool), de00),
        same_lrv_warmer=best(level & (warmer >= VISIBLE_DE00), de00),
        same_lrv_cooler=best(level & (warmer <= -VISIBLE_DE00), de00),
        lighter=best(a_step_lighter(deck, here, lrv), keeps_colour),
        darker=best(darker, keeps_colour),
        greener_darker=best((greener >= VISIBLE_DE00) & darker, de00),
    )


def lrv_steps(deck: Deck, lrv: float) -> Floats:
    """Return the LRV of every paint above ``lrv``, (N,)."""
    return np.asarray(deck.lrv, dtype=float) - lrv


def a_step_lighter(deck: Deck, here: Floats, lrv: float) -> NDArray[np.bool_]:
    """Return which paints are a step lighter than the colour ``here`` of an ``lrv``, (N,)."""
    return _a_step(lrv_steps(deck, lrv), np.asarray(deck.lab, dtype=float)[:, 0] - here[0], lrv)


def a_step_darker(deck: Deck, here: Floats, lrv: float) -> NDArray[np.bool_]:
    """Return which paints are a step darker, (N,)."""
    return _a_step(-lrv_steps(deck, lrv), here[0] - np.asarray(deck.lab, dtype=float)[:, 0], lrv)


def _a_step(points: Floats, lightness: Floats, lrv: float) -> NDArray[np.bool_]:
    step = (points >= _STEP_LRV[0]) & (points <= _STEP_LRV[1])
    if lrv < _DARK_LRV:
        step |= (points > 0) & (lightness >= _DARK_STEP[0]) & (lightness <= _DARK_STEP[1])
    return step
