"""The words for a paint's neighbours: the step to each, what surfaces do to it, its partners. All from numbers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.description.comparison import VISIBLE_DE00
from matcher.description.lean_word import lean_word
from matcher.description.partners import Partner
from matcher.description.push import Push
from matcher.description.step import Step
from matcher.harmony.undertone import Undertone
from matcher.report.numbers import filled
from matcher.report.sentences import (
    OTHER_DIFFERENCE,
    PARTNER,
    PARTNER_NUMBERS,
    PARTNER_SIZES,
    PUSH_NUMBERS,
    PUSHES,
    SAME_COLOUR,
    SAME_UNDERTONE,
    STEP_LIGHTNESS,
    STEP_SEEN,
    STEP_TINT,
    STEP_WORDS,
)
from matcher.report.trade_words import sentence_case

# More words than this about a tint are not told apart any more.
_MOST_TINTS = 2


def step_phrase(step: Step) -> str:
    """Return what a neighbour is and who sees it: ``a shade darker, greener; you would see it across the room``."""
    return f"{', '.join(_parts(step))}; {STEP_SEEN[step.seen]}"


def _parts(step: Step) -> list[str]:
    if step.de00 < VISIBLE_DE00:
        return [SAME_COLOUR]
    lightness = _by_size(step.lighter, STEP_LIGHTNESS)
    tints = _tints(step)
    if lightness and not tints and step.same_undertone:
        tints = [SAME_UNDERTONE]
    return [*lightness, *tints] or [OTHER_DIFFERENCE]


def _by_size(part: float, words: Sequence[tuple[float, str, str]]) -> list[str]:
    if abs(part) < VISIBLE_DE00:
        return []
    _, more, less = next(row for row in words if abs(part) < row[0])
    return [more if part > 0 else less]


def _tints(step: Step) -> list[str]:
    """Return the words for the difference in tint, the larger first; its strength only where no hue says it."""
    # What is warmer by the published models is said to be, if little of the step lies along the warm-cool axis.
    warmer = step.warmer if abs(step.warmer) >= VISIBLE_DE00 else step.warm_side * VISIBLE_DE00
    seen = {name: part for name, part in (("warmer", warmer), ("greener", step.greener)) if abs(part) >= VISIBLE_DE00}
    if not seen and abs(step.stronger) >= VISIBLE_DE00:
        seen = {"stronger": step.stronger}
    named = sorted(seen, key=lambda name: -abs(seen[name]))[:_MOST_TINTS]
    return [_tint(seen[name], *STEP_WORDS[name]) for name in named]


def _tint(part: float, more: str, less: str) -> str:
    template = next(words for limit, words in STEP_TINT if abs(part) < limit)
    return template.format(word=more if part > 0 else less)


def push_sentence(push: Push) -> str:
    """Return what a surface does to the look of a paint; empty where nothing may be claimed."""
    if push.claim is None:
        return ""
    template = PUSHES[f"{push.kind} {push.claim}"]
    return sentence_case(template.format(surface=push.surface, towards=push.towards, lean=push.lean)) + "."


def push_numbers(push: Push) -> str:
    """Return the range of a shift, in CIELAB and over what just shows."""
    fields = {"weak": float(np.hypot(*push.weak[1:])), "strong": float(np.hypot(*push.strong[1:]))}
    return filled(PUSH_NUMBERS, {**fields, "seen_weak": push.seen[0], "seen_strong": push.seen[1]})


def partner_phrase(partner: Partner, own: Undertone, others: Undertone) -> str:
    """Return what a partner does, and how much of it the eye adds, of the two undertones."""
    both = PARTNER.format(lean=_word(own), partner_lean=_word(others))
    most = max(partner.gain_it[1], partner.gain_partner[1])
    return f"{both}; {next(words for limit, words in PARTNER_SIZES if most < limit)}"


def partner_numbers(partner: Partner) -> str:
    """Return the predicted shifts, both ways, over what just shows."""
    return filled(
        PARTNER_NUMBERS,
        {
            "weak_it": partner.gain_it[0],
            "strong_it": partner.gain_it[1],
            "weak_partner": partner.gain_partner[0],
            "strong_partner": partner.gain_partner[1],
        },
    )


def _word(undertone: Undertone) -> str:
    return lean_word(undertone.family, undertone.hue_deg, undertone.chroma)
