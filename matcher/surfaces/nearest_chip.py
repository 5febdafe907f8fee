"""Which chip lying on a surface is nearest to it, and what the surface is beside it: compared within the photo.

Both lie in one light and went through one camera, so what is wrong with either is mostly wrong with both. The
comparison holds where a reading alone would not, and it needs no word of the deck but the chip's code.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.description.comparison import VISIBLE_DE00, greenness_part, lightness_part, warmth_part
from matcher.surfaces.beside_chips import ChipEvidence, Points
from matcher.surfaces.doubt import NINETY_PERCENT


@dataclass(frozen=True, slots=True)
class NearestChip:
    """``code`` of the chip and how far the surface lies from it in the photo, ``de00``, within ``de00_doubt`` (half the
    width of the stated 90 %); ``lighter``, ``warmer`` and ``greener`` are parts of the difference (dE00), positive
    where the surface is that, 0 where it cannot be seen or told.
    """

    code: str
    de00: float
    de00_doubt: float
    lighter: float
    warmer: float
    greener: float


def nearest_chip(evidence: ChipEvidence, points: Points, covariance: Floats) -> NearestChip | None:
    """Return the nearest of the chips that lie with the first of ``points``, whose own doubt is ``covariance`` (3, 3);
    None where none does.
    """
    place = points.light[0]
    beside = [i for i, light in enumerate(evidence.seen.light) if place is not None and light is place]
    if not beside:
        return None
    surface = points.lab[0]
    away = delta_e_2000(evidence.seen.lab[beside], surface)
    nearest = beside[int(away.argmin())]
    doubt = evidence.apart_covariance(points, covariance, nearest)
    chip = evidence.seen.lab[nearest]
    parts = {"lighter": lightness_part, "warmer": warmth_part, "greener": greenness_part}
    # One sigma of the difference either way along each axis of its doubt: what it does to each part of it.
    moved = surface + np.concatenate([symmetric_root(doubt), -symmetric_root(doubt)])
    compared: Mapping[str, float] = {
        name: _told(float(part(chip, surface)), np.asarray(part(chip[None], moved))) for name, part in parts.items()
    }
    de00 = float(delta_e_2000(chip, surface))
    spread = _sigma(np.asarray(delta_e_2000(chip[None], moved)), de00)
    return NearestChip(evidence.codes[nearest], de00, NINETY_PERCENT * spread, **compared)


def _told(value: float, moved: Floats) -> float:
    """Return a part of a difference, 0 where it is not seen, or is within its own 90 %."""
    return value if abs(value) > max(VISIBLE_DE00, NINETY_PERCENT * _sigma(moved, value)) else 0.0


def _sigma(moved: Floats, value: float) -> float:
    """Return one-sigma of a value that ``moved`` (6,) by a sigma up and down each of three axes."""
    up, down = np.split(moved - value, 2)
    return float(np.sqrt(((np.maximum(np.abs(up), np.abs(down))) ** 2).sum()))
