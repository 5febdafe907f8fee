"""Which way one paint leans, in the word for what it turns into, and how sure that word is."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.munsell import munsell
from matcher.colorimetry.normal import even_normals
from matcher.colorimetry.spaces import Floats
from matcher.description.comparison import VISIBLE_DE00
from matcher.description.plain_word import plain_word
from matcher.harmony.tint import visibility
from matcher.harmony.undertone import STRENGTHS

# What a tin, an eye and another eye disagree by, standard deviation of a* and b*: what observers take for neutral is a
# region and no point (Smet et al. 2014, Opt. Express 22:25830), so a* and b* of one either way are no
# undertone yet. That the two together make one unit nineteen times in twenty is an assumption.
NEUTRAL_SD = 0.5
# From here a word is said, from the lower one as likely; below no lean is called. Assumptions; the lower one is that of
# measured surfaces (matcher/ranking/called.py).
SURE_FROM, LIKELY_FROM = 0.9, 0.7
_DRAWS = 256
# A colour counts as neutral below the first visibility; one called so may truly show up to the second, where a tint is
# just visible in a colour alone.
_NEUTRAL, _STILL_NEUTRAL = STRENGTHS[0][0], 1.0
# But what is this far from the true neutral beside it, dE00, leans whatever its name: a white may be a clear cream
# beside stark white. Twice what is just seen side by side (matcher/description/comparison.py).
_SHOWS_BESIDE_GREY = 2 * VISIBLE_DE00

Kind = Literal["sure", "between", "likely", "neutral", "unsure"]


@dataclass(frozen=True, slots=True)
class Lean:
    """``kind``: how the lean may be told: "sure" by ``word``, "between" that and ``other`` (neither alone is sure, both
    together are), "likely" by ``word`` or by that and ``other``, "neutral" (there is none), or "unsure": it has a lean
    or none, and no word is to be said.

    ``certainty`` 0..1 is how probable it is that what is told holds.
    """

    kind: Kind
    word: str
    other: str
    certainty: float


def lean_of(lab: Floats, plain_lightness: float) -> Lean:
    """Return the lean of a paint (3,), CIELAB, in the word for its hue where it is plain, at L* ``plain_lightness``."""
    drawn = np.asarray(lab, dtype=float) + NEUTRAL_SD * even_normals(_DRAWS, np.full(3, 0.5)) * np.array([0, 1, 1])
    if not _leans(np.asarray(lab, dtype=float)):
        holds = float((visibility(drawn) < _STILL_NEUTRAL).mean())
        return Lean("neutral" if holds >= LIKELY_FROM else "unsure", "", "", holds)
    hues = munsell(drawn[_leans(drawn)])[0].tolist()
    counted = Counter(plain_word(hue, plain_lightness) for hue in hues).most_common(2)
    (word, times), (other, more) = (*counted, ("", 0), ("", 0))[:2]
    best, both = times / _DRAWS, (times + more) / _DRAWS
    if best >= SURE_FROM:
        return Lean("sure", word, "", best)
    if both >= SURE_FROM:
        return Lean("between", word, other, both)
    if best >= LIKELY_FROM:
        return Lean("likely", word, "", best)
    return Lean("likely", word, other, both) if both >= LIKELY_FROM else Lean("unsure", "", "", both)


def _leans(lab: Floats) -> NDArray[np.bool_]:
    """Tell of colours (..., 3), (...), whether they show any lean beside the true neutral of their lightness."""
    beside = delta_e_2000(lab, lab * np.array([1.0, 0.0, 0.0]))
    return np.asarray((visibility(lab) >= _NEUTRAL) | (beside >= _SHOWS_BESIDE_GREY))
