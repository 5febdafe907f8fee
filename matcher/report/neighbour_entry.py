"""The numbers of a paint's neighbours as JSON objects, beside the words that they carry."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from matcher.colorimetry.spaces import Floats
from matcher.description.partners import Partner
from matcher.description.push import Push
from matcher.description.step import Step
from matcher.report.neighbour_words import push_numbers, push_sentence, step_phrase
from matcher.report.numbers import rounded


def step_entry(step: Step) -> dict[str, Any]:
    """Return the step to a neighbour: dE00 of each part, signed, the difference in LRV, who sees it, and in words."""
    return {
        "de00": rounded(step.de00, 2),
        "lrv_difference": rounded(step.lrv, 1),
        "lighter": rounded(step.lighter, 2),
        "warmer": rounded(step.warmer, 2),
        "greener": rounded(step.greener, 2),
        "stronger": rounded(step.stronger, 2),
        "seen": step.seen,
        "says": step_phrase(step),
    }


def push_entry(push: Push) -> dict[str, Any]:
    """Return what a surface does to the look of a paint: ``shift`` of a* and b* at the weak and the strong end.

    ``visibility`` is the same over what just shows; ``claim`` null and ``says`` empty where nothing may be said.
    """
    return {
        "surface": push.surface,
        "kind": push.kind,
        "claim": push.claim,
        "towards": push.towards,
        "shift": [_ab(push.weak), _ab(push.strong)],
        "visibility": _two(push.seen),
        "says": push_sentence(push),
        "numbers": push_numbers(push),
    }


def partner_entry(partner: Partner) -> dict[str, Any]:
    """Return the predicted shifts of a pair, both ways: of a* and b*, weak and strong, and over what just shows."""
    return {
        "shift": [_ab(shift) for shift in partner.on_it],
        "visibility": _two(partner.gain_it),
        "partner_shift": [_ab(shift) for shift in partner.on_partner],
        "partner_visibility": _two(partner.gain_partner),
    }


def _ab(shift: Floats) -> list[float]:
    return [rounded(float(part), 2) for part in shift[1:]]


def _two(values: Iterable[float]) -> list[float]:
    return [rounded(value, 2) for value in values]
