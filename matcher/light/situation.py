"""What a room says of its own light."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Situation:
    """What a room says of its light: ``latitude`` degrees, south negative, ``facing`` a compass point, the ``day`` and
    ``lamps_k`` kelvin; None where it says nothing. ``overcast``: under a grey sky instead of a clear one.
    """

    latitude: float | None = None
    facing: str | None = None
    day: date | None = None
    lamps_k: float | None = None
    overcast: bool = False
