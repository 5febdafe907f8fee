"""The step from one paint to another in numbers: lighter, warmer, greener, stronger, by how much, and who sees it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.description.comparison import (
    VISIBLE_DE00,
    chromatic_part,
    greenness_part,
    lightness_part,
    warmth_part,
)

# Who would see a difference, by the dE00 up to which each holds. 0.8 is where half of the observers see it side by side
# (comparison.py), so under half of it nobody is said to; 5 reads as meant from across a room, as elsewhere in the
# program; what takes two walls that meet lies between. Assumptions but for the first source.
SEEN: tuple[tuple[float, str], ...] = (
    (VISIBLE_DE00 / 2, "nobody"),
    (VISIBLE_DE00, "few"),
    (3.0, "side by side"),
    (5.0, "walls that meet"),
    (np.inf, "across the room"),
)
# The published warm-cool models agree on this hue as the middle of warm, degrees of CIELAB (harmony/warmth.py).
WARM_DEG = 50.0
# Chroma counts as the same while it changes by less than this, dE00: half of what is seen (assumption).
_SAME_TINT = 1.2


@dataclass(frozen=True, slots=True)
class Step:
    """From a colour to a neighbour; every part is a dE00, signed, 0 where it is not there.

    ``lrv`` in points; ``lighter``, ``warmer`` (along the warm-cool axis), ``greener`` (a* alone), ``stronger`` (chroma
    alone) are positive where the neighbour is that; ``tint`` is what is left at equal lightness. ``warm_side`` is 1
    where the published models call it warmer and it shows, -1 cooler, else 0; ``seen`` a word of :data:`SEEN`.
    """

    de00: float
    lrv: float
    lighter: float
    warmer: float
    greener: float
    stronger: float
    tint: float
    warm_side: int
    seen: str

    @property
    def same_undertone(self) -> bool:
        """Whether nothing but the lightness changes, as far as people see."""
        return self.tint < _SAME_TINT


def steps(here: ArrayLike, lrv: float, labs: ArrayLike, lrvs: ArrayLike) -> tuple[Step, ...]:
    """Return the steps from ``here`` (3,) CIELAB of an ``lrv`` to ``labs`` (N, 3) of ``lrvs`` (N,)."""
    colour, others = np.asarray(here, dtype=float), np.asarray(labs, dtype=float).reshape(-1, 3)
    numbers = {
        "de00": delta_e_2000(colour, others),
        "lrv": np.asarray(lrvs, dtype=float).reshape(-1) - lrv,
        "lighter": lightness_part(colour, others),
        "warmer": warm_axis_part(colour, others),
        "greener": greenness_part(colour, others),
        "stronger": _strength_part(colour, others),
        "tint": chromatic_part(colour, others),
    }
    whole = warmth_part(colour, others)
    sides = np.where(np.abs(whole) >= VISIBLE_DE00, np.sign(whole), 0).astype(int)
    return tuple(
        Step(
            **{name: float(part[row]) + 0.0 for name, part in numbers.items()},
            warm_side=int(sides[row]),
            seen=seen_word(float(numbers["de00"][row])),
        )
        for row in range(len(others))
    )


def seen_word(de00: float) -> str:
    """Return who sees a difference: a word of :data:`SEEN`.

    >>> seen_word(0.3), seen_word(2.0), seen_word(6.0)
    ('nobody', 'side by side', 'across the room')
    """
    return next(word for limit, word in SEEN if de00 < limit)


def warm_axis_part(here: Floats, others: Floats) -> Floats:
    """Return the dE00, (...), of what the step has along the warm-cool axis, positive towards warm; 0 where the other
    is not warmer or cooler by the published models (:func:`warmth_part`).
    """
    axis = np.array([0.0, np.cos(np.radians(WARM_DEG)), np.sin(np.radians(WARM_DEG))])
    along = (others - here) @ axis
    size = delta_e_2000(here, here + along[..., None] * axis)
    whole = warmth_part(here, others)
    return np.where(np.sign(whole) == np.sign(along), np.sign(along) * size, 0.0)


def _strength_part(here: Floats, others: Floats) -> Floats:
    """Return the dE00, (...), of the change of chroma at the hue that is there, positive where it is stronger."""
    chroma = float(np.hypot(here[1], here[2]))
    change = np.hypot(others[..., 1], others[..., 2]) - chroma
    hue = here[1:] / chroma if chroma > 0 else np.zeros(2)
    moved = np.array(np.broadcast_to(here, others.shape))
    moved[..., 1:] += change[..., None] * hue
    return np.sign(change) * delta_e_2000(here, moved)
