"""Measured colours as a file of an exchange format gives them, before anybody asks what they are for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]

# Twice the largest deck that is meant to be read, a million paints; a spectrum by the nanometre beside whatever else
# a program writes of a colour (assumptions).
MOST_COLOURS, MOST_COLUMNS = 2_000_000, 1000
BANDS_NM = tuple(range(380, 731, 10))
# Assumption: no opaque surface is more chromatic; MacAdam's limits lie well inside for all but fluorescent colours.
MOST_CHROMATIC = 150.0


@dataclass(frozen=True, slots=True)
class Conditions:
    """What tristimulus values were computed for: a CIE illuminant and the observer, 2 or 10 degrees.

    ``stated`` tells whether the file says so itself. A spectrum needs neither: its conditions are :data:`SPECTRAL`.
    """

    light: str
    observer: int
    stated: bool


SPECTRAL = Conditions("", 0, True)


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """N colours: ``rows`` names each one's place, ``codes`` and ``names`` are None where the file has neither.

    ``lab`` (N, 3) is CIELAB D65/2, NaN where it is unreadable and already a problem; ``reflectance`` (N, 36) at
    ``BANDS_NM``, rows of NaN where there is no spectrum, or None where no row has one; ``conditions`` what each ``lab``
    was converted from.
    """

    rows: Sequence[str]
    codes: Sequence[str] | None
    names: Sequence[str] | None
    lab: FloatArray
    reflectance: FloatArray | None
    conditions: tuple[Conditions, ...]
