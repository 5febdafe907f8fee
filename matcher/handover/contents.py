"""What a hand-over is made from: the result, the room's pictures, and what other parts found out, where they did.

Everything that may be absent is None or empty, and what would show it is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from matcher.handover.fill import fill
from matcher.quantities.cautions import Caution

Json = Mapping[str, Any]
Lab = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A JPEG or PNG file, upright, sRGB, of ``width`` x ``height`` pixels."""

    data: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class PaintedRole:
    """A role in its new paint in the picture, which may truly be ``darker`` or ``brighter`` by these shares, 0..1, nine
    times in ten.
    """

    role: str
    darker: float
    brighter: float


@dataclass(frozen=True, slots=True)
class RoomPictures:
    """The room ``as_it_is`` and ``repainted``; the roles of the scheme are ``painted`` there or still as they are:
    ``unmeasured``, because nothing tells how light their paint is now, or ``not_outlined``.
    """

    as_it_is: PictureFile | None = None
    repainted: PictureFile | None = None
    painted: tuple[PaintedRole, ...] = ()
    unmeasured: tuple[str, ...] = ()
    not_outlined: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Whose sheet it is: ``name``, ``contact`` lines, the ``day`` printed on it, its ``mark``."""

    name: str = ""
    contact: tuple[str, ...] = ()
    day: date | None = None
    mark: PictureFile | None = None


@dataclass(frozen=True, slots=True)
class Sample:
    """A board to paint: ``code`` of a paint for ``role``. ``kind`` says why ("chosen", "tied", "doubtful", "beside");
    ``other`` is the code it is weighed against or looked at beside, ``differs`` how it differs from that.
    """

    code: str
    role: str
    kind: str
    other: str = ""
    differs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TurnedDown:
    """A paint that was weighed and turned down beside ``surface``; ``fact`` as an entry of ``facts`` in the result, or
    None where the clash (``clash`` its kind) is all there is to say; ``text`` where it is said already.
    """

    code: str
    name: str
    lab: Lab
    surface: str
    clash: str
    fact: Json | None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """A heading and what it says."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Site:
    """What is known of the room: ``facing`` a compass point, ``latitude`` degrees, ``country`` ISO 3166-1."""

    facing: str | None = None
    latitude: float | None = None
    country: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Contents:
    """``result`` is the content of result.json; ``stays`` those of its surfaces that stay, ``labs`` CIELAB D65/2 and
    ``names`` of the paints shown, by code, ``invented`` whether the scenario is made up. ``schedule`` is the
    painter's (:func:`matcher.service.quantities.schedule_of`), ``light`` the JSON of ``givens light`` for the paints of
    the scheme, None where nothing is known of the room's window; ``cautions`` come in the order of their weight.
    """

    result: Json
    stays: tuple[Json, ...]
    schedule: Json
    cautions: tuple[Caution, ...]
    labs: Mapping[str, Lab]
    names: Mapping[str, str]
    site: Site = Site()
    pictures: RoomPictures = RoomPictures()
    letterhead: Letterhead = Letterhead()
    paper: str = "a4"
    invented: bool = False
    samples: tuple[Sample, ...] = ()
    turned_down: tuple[TurnedDown, ...] = ()
    light: Json | None = None

    @property
    def roles(self) -> Mapping[str, Json]:
        """The paint of each role, as in the result's scheme."""
        roles: Mapping[str, Json] = self.result["scheme"]["roles"]
        return roles

    @property
    def main_role(self) -> str:
        """The role that the room is about: the walls, or else the first."""
        return main_role_of(self.roles)

    def swatch(self, code: str) -> str:
        """Return the sRGB that a paint of the scheme or of a board is drawn in."""
        return fill(self.labs[code])

    def row_of(self, role: str) -> Json:
        """Return the row of a role in the painter's schedule."""
        row: Json = next(row for row in self.schedule["rows"] if row["role"] == role)
        return row


def main_role_of(roles: Mapping[str, Json]) -> str:
    """Return the role that a room is about: the walls, or else the first."""
    return "walls" if "walls" in roles else next(iter(roles))
