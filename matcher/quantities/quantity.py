"""What is to be painted and bought, as numbers: areas in m2, paint in litres, spreading rates in m2 a litre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Area:
    """``m2`` of a role; ``gross`` before ``openings`` were taken off, ``how`` says where it comes from.

    ``room``: from length, width and height; ``given``: as the file says; ``running``: a length times a width that is
    assumed.
    """

    role: str
    m2: float
    gross: float
    openings: float
    how: Literal["room", "given", "running"]


@dataclass(frozen=True, slots=True)
class Coats:
    """How many coats hide the ground: the ``likely`` number and its range, an estimate.

    ``ratio`` is the contrast ratio 0..1 of one coat over black and white (ISO 6504-3); ``ground`` says whether the
    colour underneath was ``measured``; ``beyond`` is true where the range ends at the most that is counted.
    """

    likely: int
    low: int
    high: int
    ratio: float
    ground: Literal["measured", "assumed"]
    beyond: bool = False


@dataclass(frozen=True, slots=True)
class Spreading:
    """How far a litre goes in one coat, from the least to the most; ``source`` is the deck, or published guidance."""

    low: float
    high: float
    source: Literal["deck", "guidance"]


@dataclass(frozen=True, slots=True)
class Tins:
    """``count`` tins of ``litres``."""

    litres: float
    count: int


@dataclass(frozen=True, slots=True)
class Sheen:
    """The ``wanted`` gloss units at 60 degrees of a role, and what the paint has, None where the deck does not say."""

    wanted: Range
    paint: float | None

    @property
    def fits(self) -> bool:
        """False only where the deck says another sheen than is wanted."""
        return self.paint is None or self.wanted[0] <= self.paint <= self.wanted[1]


@dataclass(frozen=True, slots=True)
class Job:
    """One role to be painted: ``paint`` is its row in the deck."""

    role: str
    paint: int
    coats: Coats
    spreading: Spreading
    sheen: Sheen


@dataclass(frozen=True, slots=True)
class Quantity:
    """What a job takes where the size of its role is known.

    ``litres`` from the least to the most, waste counted in the most; ``primer`` likewise for the places that are bare
    or stained; ``tins`` hold the most, at the least left over.
    """

    job: Job
    area: Area
    litres: Range
    primer: Range
    tins: tuple[Tins, ...]


@dataclass(frozen=True, slots=True)
class Purchase:
    """Tins of one paint in one sheen for all ``roles`` together."""

    paint: int
    roles: tuple[str, ...]
    litres: Range
    tins: tuple[Tins, ...]
