"""What the large surfaces of a room do to the look of a paint, as facts: which way, how surely, how much.

Nothing is claimed below what shows. Sizes are a range, from the weak to the strong end of harmony/induced.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import Floats
from matcher.description.lean_word import lean_word
from matcher.harmony.induced import STRONG, WEAK, accounts_agree, brings_out, induced_shift, push_visibility
from matcher.harmony.undertone import undertone

# Along the paint's own lean, against it, or towards another hue.
PushKind = Literal["brings-out", "quietens", "pushes"]
# "will" where even the weak end shows, "may" where the middle of the range does.
Claim = Literal["will", "may"]

_MIDDLE = (WEAK + STRONG) / 2
# Chroma at which a direction is given its hue's word: there every family is a plain colour, beige an orange. A push up
# to this hue, degrees of CIELAB, is towards blue, if a paint of that hue would be called a violet-blue (assumption).
_WORD_CHROMA, _BLUE_UNTIL_DEG = 20.0, 280.0
# What a paint is pushed towards, or loses, is a colour: these words only describe one.
_NOUNS = {"golden": "yellow", "pinkish orange": "orange"}


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """A large surface beside a paint: its mean colour ``lab`` (3,), its single ``colours`` (K, 3), and whether its lean
    is ``known`` well enough to say what it does.
    """

    name: str
    lab: Floats
    colours: Floats
    known: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Push:
    """What ``surface`` does: ``weak`` and ``strong`` are CIELAB differences (3,), ``seen`` both over what just shows.

    ``towards`` is the word of the shift's hue, ``lean`` that of the paint; ``claim`` is None where nothing may be said.
    """

    surface: str
    kind: PushKind
    claim: Claim | None
    towards: str
    lean: str
    weak: Floats
    strong: Floats
    seen: tuple[float, float]


def pushes(paint: ArrayLike, surfaces: Iterable[Beside]) -> tuple[Push, ...]:
    """Return what each surface does to the look of ``paint``, CIELAB (3,), the strongest first."""
    colour = np.asarray(paint, dtype=float)
    found = [_push(colour, surface) for surface in surfaces]
    return tuple(sorted(found, key=lambda push: -push.seen[1]))


def _push(colour: Floats, surface: Beside) -> Push:
    weak, middle, strong = (induced_shift(colour, surface.lab, p) for p in (WEAK, _MIDDLE, STRONG))
    seen_weak, seen_middle, seen_strong = (float(push_visibility(colour, one)) for one in (weak, middle, strong))
    claim: Claim | None = "will" if seen_weak >= 1 else "may" if seen_middle >= 1 else None
    if not surface.known or not accounts_agree(colour, surface.lab, middle):
        claim = None
    own = undertone(colour)
    hue = float(np.degrees(np.arctan2(middle[2], middle[1])) % 360)
    return Push(
        surface=surface.name,
        kind=_kind(colour, middle, neutral=own.family == "neutral"),
        claim=claim,
        towards=_hue_word(float(colour[0]), hue),
        lean=_noun(own.family, own.hue_deg, own.chroma),
        weak=weak,
        strong=strong,
        seen=(seen_weak, seen_strong),
    )


def _hue_word(lightness: float, hue_deg: float) -> str:
    """Return the word of a hue as a direction."""
    angle = np.radians(hue_deg)
    far = undertone([lightness, _WORD_CHROMA * np.cos(angle), _WORD_CHROMA * np.sin(angle)])
    family = "blue" if far.family == "purple-blue" and hue_deg < _BLUE_UNTIL_DEG else far.family
    return _noun(family, hue_deg, _WORD_CHROMA)


def _noun(family: str, hue_deg: float, chroma: float) -> str:
    word = lean_word(family, hue_deg, chroma)
    return _NOUNS.get(word, word)


def _kind(colour: Floats, shift: Floats, *, neutral: bool) -> PushKind:
    """Return whether a shift goes along the lean of the colour, against it, or, where that is turned round or there is
    none, towards a hue of its own.
    """
    if neutral:
        return "pushes"
    if brings_out(colour, shift):
        return "brings-out"
    left = float(colour[1:] @ (colour + shift)[1:])
    return "quietens" if brings_out(colour, -shift) and left > 0 else "pushes"
