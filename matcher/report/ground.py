"""The neutral grey that swatches lie on, and the paler one for colours that would melt into it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from matcher.colorimetry.lrv import lightness_from_lrv
from matcher.colorimetry.spaces import hex_to_lab

Ground = Literal["ground", "pale"]

# The greys as the style sheets have them, L* 75 and 89; and how near in L* a colour vanishes into one (assumption, by
# looking).
GREYS: dict[Ground, str] = {"ground": "#b9b9b9", "pale": "#e0e0e0"}
MELTS_WITHIN = 10.0


def ground_of(lrv: float) -> Ground:
    """Return the ground that a paint of ``lrv`` 0..100 is seen on: the paler one where it melts into the usual one and
    stands out from the paler one more.

    >>> ground_of(48.0), ground_of(90.0), ground_of(64.0)
    ('pale', 'ground', 'ground')
    """
    return _usual_unless_melting(_apart([float(lightness_from_lrv(lrv))]))


def grey_for(hexes: Iterable[str]) -> str:
    """Return the grey for several colours, one at least, by the same rule, so that none of them melts into it.

    >>> grey_for(["#d7d9c2", "#546e73"]), grey_for(["#bcbac0"])
    ('#b9b9b9', '#e0e0e0')
    """
    return GREYS[_usual_unless_melting(_apart(_lightness(text) for text in hexes))]


def farthest_grey(hexes: Iterable[str]) -> str:
    """Return the grey that stands out most from the colour nearest to it, of one colour at least.

    >>> farthest_grey(["#303030"]), grey_for(["#303030"])
    ('#e0e0e0', '#b9b9b9')
    """
    return GREYS[_farthest(_apart(_lightness(text) for text in hexes))]


def _usual_unless_melting(apart: dict[Ground, float]) -> Ground:
    return "ground" if apart["ground"] >= MELTS_WITHIN else _farthest(apart)


def _farthest(apart: dict[Ground, float]) -> Ground:
    return max(apart, key=lambda ground: apart[ground])


def _apart(lightness: Iterable[float]) -> dict[Ground, float]:
    """Return how far from each grey in L* the nearest of some colours is."""
    levels, greys = list(lightness), {ground: _lightness(grey) for ground, grey in GREYS.items()}
    return {ground: min(abs(level - own) for level in levels) for ground, own in greys.items()}


def _lightness(hex_text: str) -> float:
    return float(hex_to_lab(hex_text)[0])
