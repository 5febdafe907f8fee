"""What to measure next, as plain values: for the page, the command line and the app."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.difference import delta_e_2000
from matcher.ranking.diversity import representatives
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.numbers import rounded
from matcher.report.wording import action_reason, action_sentence

if TYPE_CHECKING:
    from matcher.advice.advice import Action, Advice
    from matcher.paints.deck import Deck
    from matcher.surfaces.surface import Surface


# As many as a strip is handed over with; near-identical ones would tell the same twice (assumption).
_CHIPS = 3


def advice_entry(advice: Advice, deck: Deck, surfaces: Sequence[Surface]) -> dict[str, Any]:
    """Return the ``advice`` object: what to measure next, and what each action is good for; ``deck`` has the chips,
    ``surfaces`` the doubt that stands beside each.
    """
    doubts = {surface.name: lrv_sd(surface.lab, surface.covariance) for surface in surfaces}
    return {
        "stands": advice.stands,
        "regret": rounded(advice.regret, 4),
        "roles": {
            doubt.role: {"regret": rounded(doubt.regret, 4), "change": rounded(doubt.change, 3)}
            for doubt in advice.roles
        },
        "next": _named(advice.best, deck, doubts),
        "photo": _named(advice.photo, deck, doubts),
        "actions": [_action_entry(action, deck, doubts) for action in advice.actions],
    }


def chips_near(lab: ArrayLike, deck: Deck) -> list[str]:
    """Return the codes of the paints nearest to CIELAB ``lab`` (3,), nearest first, no two nearly the same."""
    order = np.argsort(delta_e_2000(deck.lab, np.asarray(lab, dtype=float)), kind="stable")
    return [deck.codes[row] for row in representatives(deck.lab, order, _CHIPS)]


def _named(action: Action | None, deck: Deck, doubts: Mapping[str, float]) -> dict[str, Any] | None:
    return None if action is None else _action_entry(action, deck, doubts)


def _action_entry(action: Action, deck: Deck, doubts: Mapping[str, float]) -> dict[str, Any]:
    chips = chips_near(action.lab, deck) if action.kind == "paint chips" else []
    message = action_sentence(action.kind, action.surface, chips)
    entry: dict[str, Any] = {"kind": action.kind, "message": message, **({"chips": chips} if chips else {})}
    if not action.surface:
        return entry
    now, after = (lrv_sd(action.lab, covariance) for covariance in (action.covariance, action.afterwards))
    # An action works on the main colour; the sentence states the doubt beside the surface, brought down as much.
    stated = NINETY_PERCENT * rounded(doubts.get(action.surface, now), 2)
    why = action_reason(now=stated, after=stated * (after / now if now else 1.0), change=action.change)
    return {
        **entry,
        "surface": action.surface,
        "gain": rounded(action.gain, 4),
        "change": rounded(action.change, 3),
        "lrv_sd": rounded(now, 2),
        "lrv_sd_after": rounded(after, 2),
        "why": why,
    }
