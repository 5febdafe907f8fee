"""How grey a colour is: its Munsell chroma, and a word that follows the published names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from matcher.colorimetry.munsell import munsell
from matcher.colorimetry.spaces import Floats

Grey = Literal["plain grey", "nearly grey", "well greyed", "softened", "clean"]

# By the modifiers of ISCC-NBS names (Kelly & Judd 1976): "gray", "white" and "black" alone; with a tint ("purplish
# gray"); the greyish and pale colours; the moderate, light and dark ones. What is left is strong, brilliant or vivid.
_NEUTRAL, _LEVELS = ("gray", "white", "black"), {"light", "medium", "dark"}
_GREYED = ("grayish", "pale", "blackish")
_SOFT = ("moderate", "light", "dark")


@dataclass(frozen=True, slots=True)
class Greyness:
    """``chroma`` in Munsell steps, 0 for a grey; ``word`` after the ISCC-NBS name."""

    word: Grey
    chroma: float


def greyness_of(lab: Floats, designation: str) -> Greyness:
    """Return how grey a colour (3,) of CIELAB and its ISCC-NBS ``designation`` is."""
    return Greyness(_word(designation), float(munsell(lab)[2]))


def _word(designation: str) -> Grey:
    words = designation.split()
    if words[-1] in _NEUTRAL:
        return "plain grey" if set(words[:-1]) <= _LEVELS else "nearly grey"
    if any(word in _GREYED for word in words):
        return "well greyed"
    return "softened" if any(word in _SOFT for word in words) else "clean"
