"""What a paint and one surface do to each other where they meet: their undertones and the edge between them.

The same thresholds as in the ranking (matcher/ranking/weights.py); unlike there one paint is looked at, not a deck.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.difference import delta_e_2000
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import hue_step, tint
from matcher.harmony.undertone import undertone
from matcher.ranking.called import CALLED_FROM
from matcher.ranking.clashes import cause_of
from matcher.ranking.judge import Accord, accord, clash_severity
from matcher.ranking.weights import COLOUR_SEEN, KIN_FROM, LEAST_SEVERITY, NEAR_IDENTICAL, QUIET_OFFSET_DEG

Kind = Literal["match", "push apart", "near miss", "outshines", "kin", "quiet", "unsure"]
FIGHTS: frozenset[Kind] = frozenset({"push apart", "near miss", "outshines"})
# What a fight comes from (matcher/ranking/clashes.py) as a kind of meeting.
_BY_CAUSE: dict[str, Kind] = {"undertone": "push apart", "near-miss white": "near miss", "cleanness": "outshines"}

# LRV points within which two colours are as light as each other: the edge between them goes soft, unless they match.
# As for words (matcher/report/sentences.py: LIGHTNESS_STEPS); assumption.
SOFT_EDGE_LRV = 3.0


@dataclass(frozen=True, slots=True)
class SurfacePart:
    """One colour of a surface: ``lab`` CIELAB, ``share`` of it 0..1, ``lrv``, ``hex``, and how sure its lean is."""

    lab: tuple[float, float, float]
    share: float
    lrv: float
    hex: str
    certainty: float


@dataclass(frozen=True, slots=True)
class Meeting:
    """How a paint meets ``surface``: the ``part`` of it that matters most, and what the two do there.

    ``agreement`` -0.75..0.6 as the ranking has it: of the undertones, less for two whites that nearly match and for a
    colour so clean that it dulls the other; ``hue_step`` between their hues in degrees, 0..180;
    ``lrv_step`` the paint's LRV minus the part's, ``de00`` between them.
    """

    surface: str
    part: SurfacePart
    kind: Kind
    agreement: float
    hue_step: float
    lrv_step: float
    de00: float

    @property
    def calms(self) -> bool:
        """Whether the two go together without leaning the same way: the paint quiets what stays."""
        return self.kind == "kin" and self.hue_step > QUIET_OFFSET_DEG

    @property
    def soft_edge(self) -> bool:
        """Whether the two are so nearly as light as each other that the edge between them blurs."""
        return abs(self.lrv_step) <= SOFT_EDGE_LRV and self.kind != "match"


def meet(paint: ArrayLike, lrv: float, surface: str, parts: Sequence[SurfacePart]) -> Meeting:
    """Return how a paint (3,), CIELAB, of an ``lrv`` meets the colours of a surface, its main one first.

    Of colours large enough to be seen it is the one that the paint's undertone fights most, else the main one.
    """
    seen = [part for part in parts if part.share >= COLOUR_SEEN[1]] or list(parts[:1])
    own, fixed = tint(np.array([paint], dtype=float)), tint(np.array([[part.lab for part in seen]]))
    judged = accord(own.at(np.s_[:, None]), fixed)
    kinds = [_kind(judged, place, seen[place], paint) for place in range(len(seen))]
    totals = judged.total[0].tolist()
    fought = [place for place, kind in enumerate(kinds) if kind in FIGHTS]
    chosen = min(fought, key=totals.__getitem__) if fought else 0
    part, apart = seen[chosen], float(hue_step(own.at(0), fixed.at((0, chosen))))
    return Meeting(surface, part, kinds[chosen], totals[chosen], apart, lrv - part.lrv, _difference(paint, part))


def telling(meetings: Sequence[Meeting]) -> tuple[Meeting, ...]:
    """Return meetings with the one that tells most of the paint first: the sharpest fight, then what is kin to it."""
    order: dict[Kind, int] = {**dict.fromkeys(FIGHTS, 0), "kin": 1, "quiet": 2, "match": 2, "unsure": 3}
    return tuple(sorted(meetings, key=lambda one: (order[one.kind], -abs(one.agreement))))


def _kind(judged: Accord, place: int, part: SurfacePart, paint: ArrayLike) -> Kind:
    if _difference(paint, part) <= NEAR_IDENTICAL:
        return "match"
    total = judged.total[0, place]
    # As in matcher/ranking/clashes.py: what is hardly a fight, or hardly to be seen, is none.
    fights = float(clash_severity(total) * smoothstep(np.array(part.share), *COLOUR_SEEN)) >= LEAST_SEVERITY
    kind = _BY_CAUSE[cause_of(judged, (0, place))] if fights else "kin" if total >= KIN_FROM else "quiet"
    # Two whites, and a clean colour beside a dull one, are what they are whichever way the surface leans.
    return "unsure" if part.certainty < CALLED_FROM and kind not in ("near miss", "outshines") else kind


def _difference(paint: ArrayLike, part: SurfacePart) -> float:
    return float(delta_e_2000(np.asarray(paint, dtype=float), part.lab))


def part_of(lab: ArrayLike, lrv: float, hex_text: str, *, share: float = 1.0, certainty: float = 1.0) -> SurfacePart:
    """Return one colour (3,) as part of a surface; ``certainty`` 1 where the colour is stated and not measured."""
    lightness, a, b = (float(value) for value in np.asarray(lab))
    return SurfacePart((lightness, a, b), share, lrv, hex_text, certainty)


def called(part: SurfacePart) -> str:
    """Return the Munsell family by which the lean of a part may be called, "" where it is too uncertain."""
    return undertone(np.asarray(part.lab)).family if part.certainty >= CALLED_FROM else ""
