"""What would settle the choice, as plain values: for the page, the command line and the app."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.numbers import rounded
from matcher.report.wording import action_reason, action_sentence

if TYPE_CHECKING:
    from matcher.advice.model import Action, Advice


def advice_entry(advice: Advice) -> dict[str, Any]:
    """Return the ``advice`` object: what to measure next, and what each action is good for."""
    return {
        "stands": advice.stands,
        "regret": rounded(advice.regret, 4),
        "roles": {
            doubt.role: {"regret": rounded(doubt.regret, 4), "change": rounded(doubt.change, 3)}
            for doubt in advice.roles
        },
        "next": _named(advice.best, advice.regret),
        "photo": _named(advice.photo, advice.regret),
        "actions": [_action_entry(action, advice.regret) for action in advice.actions],
    }


def _named(action: Action | None, regret: float) -> dict[str, Any] | None:
    return None if action is None else _action_entry(action, regret)


def _action_entry(action: Action, regret: float) -> dict[str, Any]:
    entry: dict[str, Any] = {"kind": action.kind, "message": action_sentence(action.kind, action.surface)}
    if not action.surface:
        return entry
    now, after = (lrv_sd(action.lab, covariance) for covariance in (action.covariance, action.afterwards))
    share = action.gain / regret if regret else 0.0
    why = action_reason(now=NINETY_PERCENT * now, after=NINETY_PERCENT * after, share=share, change=action.change)
    return {
        **entry,
        "surface": action.surface,
        "gain": rounded(action.gain, 4),
        "change": rounded(action.change, 3),
        "lrv_sd": rounded(now, 2),
        "lrv_sd_after": rounded(after, 2),
        "why": why,
    }
