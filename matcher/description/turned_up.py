"""A paint with its colour turned up step by step, so that an eye that was never trained sees which way it leans."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.description.hue_line import along_hue, in_srgb, most_chroma
from matcher.harmony.tint import tint_boundary, visibility

# How far it is turned up: this many times the smallest chroma at which the hue shows as a tint (matcher/harmony/
# tint.py). Assumption, found by looking at pictures of the demo deck with their words covered; strong begins at 3.
PLAIN = 14.0
# What at least shows to everybody: where the screen ends before it, the steps go darker or lighter as well. Assumption.
ENOUGH = 7.0
# A colour that is this plain already has nothing to turn up: half of PLAIN and more. Assumption.
PLAIN_ALREADY = 7.0
STEPS = 7
# In such steps of L* is sought how much lighter or darker a screen has room for the colour.
_LIGHTNESS_STEP = 3.0

End = Literal["plain", "edge", "already plain", "no room", "no lean"]


@dataclass(frozen=True, slots=True, eq=False)
class TurnedUp:
    """``steps`` (N, 3) CIELAB from the paint on, of one Munsell hue, all within sRGB; none where nothing is turned up.

    ``end`` says why they stop: the lean is "plain", or they are at the "edge" of what a screen shows; and why there are
    none: the paint is "already plain", there is "no room" on a screen, or "no lean" that may be told.
    ``lightness_step`` is what L* of the last one differs from the paint's: 0 unless the screen has no room at its own.
    """

    steps: Floats
    end: End
    lightness_step: float = 0.0

    @property
    def seen(self) -> float:
        """How visible the lean of the last step is: chroma over the smallest that shows; 0.0 without steps."""
        return float(visibility(self.steps[-1])) if len(self.steps) else 0.0


def turned_up(lab: Floats) -> TurnedUp:
    """Turn up the colour of a paint (3,), CIELAB, at its own Munsell hue and lightness.

    The hue of an exact grey has no meaning: ask :mod:`matcher.description.lean` first whether there is one.
    """
    none = np.empty((0, 3))
    chroma, hue_deg = float(np.hypot(lab[1], lab[2])), float(np.degrees(np.arctan2(lab[2], lab[1])) % 360)
    if float(visibility(lab)) >= PLAIN_ALREADY:
        return TurnedUp(none, "already plain")
    if not in_srgb(lab):
        return TurnedUp(none, "no room")
    lightness, room = _with_room(lab, hue_deg)
    wanted = PLAIN * float(tint_boundary(hue_deg, lightness))
    last = min(wanted, room)
    if last <= chroma:
        return TurnedUp(none, "no room")
    share = np.linspace(0.0, 1.0, STEPS)
    steps = along_hue(lab, chroma + share * (last - chroma), lab[0] + share * (lightness - lab[0]))
    return TurnedUp(steps, "plain" if last == wanted else "edge", lightness - float(lab[0]))


def _with_room(lab: Floats, hue_deg: float) -> tuple[float, float]:
    """Return the lightness nearest the paint's at which a screen shows its hue plainly, and the most chroma there."""
    own = float(lab[0])
    towards = 1 if own < 50 else -1
    levels = np.arange(own, 50.0, towards * _LIGHTNESS_STEP) if own != 50 else np.array([own])
    found = [(own, 0.0)]
    for level in levels.tolist():
        room = most_chroma(lab, level)
        found.append((level, room))
        if room >= ENOUGH * float(tint_boundary(hue_deg, level)):
            return level, room
    return max(found, key=lambda one: one[1])
