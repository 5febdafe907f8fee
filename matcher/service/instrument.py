"""A surface read with an instrument: what the reading says, looked at before it is kept with the room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matcher.errors import Problem, RequestError

Json = dict[str, Any]
# CIELAB and dE00 as they are kept: finer than any instrument.
_DIGITS = 2


@dataclass(frozen=True, slots=True)
class Understood:
    """A reading understood: ``lab`` CIELAB D65/2, ``lrv`` 0..100, ``sd`` one sigma in dE00, the ``count`` of readings.

    ``off`` is how far off it may be, in words; ``remarks`` are sentences on what was assumed or noticed.
    """

    lab: tuple[float, float, float]
    hex: str
    lrv: float
    sd: float
    off: str
    count: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A surface whose reading is kept with the room; ``lab`` of its main colour, CIELAB D65/2; ``sd`` and ``off`` as in
    :class:`Understood`.
    """

    name: str
    lab: tuple[float, float, float]
    hex: str
    lrv: float
    sd: float
    off: str


def understand(source: str | bytes, *, light: str | None = None, observer: int | None = None) -> Understood:
    """Return what typed text or a file (CGATS, CxF3, text) says of one surface.

    ``light`` (of ``choices.LIGHTS``) and ``observer`` (2 or 10) are what the person says of it, None for as written.
    Raises :class:`matcher.errors.ReadingError`.
    """
    from matcher.colorimetry.lrv import lrv
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.instrument import reading
    from matcher.report.wording import remark_sentence

    if isinstance(source, bytes):
        found = reading.understand_bytes(source, light=light, observer=observer)
    else:
        found = reading.understand(source, light=light, observer=observer)
    return Understood(
        lab=_rounded(found.lab.tolist()),
        hex=lab_to_hex(found.lab),
        lrv=float(lrv(found.lab)),
        sd=round(found.sd, _DIGITS),
        off=_off(found.sd),
        count=len(found.readings),
        remarks=tuple(f"{remark_sentence(remark)}." for remark in found.remarks),
    )


def outlined(document: Json) -> dict[str, str]:
    """Return the surfaces outlined in the photos of a room, each with its material."""
    found: dict[str, str] = {}
    for photo in document.get("photos", ()):
        for surface in photo.get("surfaces", ()):
            found.setdefault(surface["name"], surface["material"])
    return found


def kept_readings(document: Json) -> tuple[Kept, ...]:
    """Return the surfaces of a room that an instrument read."""
    from matcher.colorimetry.lrv import lrv
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.room.measured import measured_tables

    return tuple(
        Kept(read.name, lab, lab_to_hex(lab), float(lrv(lab)), read.sd, _off(read.sd))
        for read in measured_tables(document.get("surfaces", ()))
        for lab in (read.colours[0].lab,)
    )


def with_reading(document: Json, understood: Understood, *, surface: str, material: str) -> Json:
    """Return the room's document with the reading as that of ``surface``, in place of an earlier one.

    A surface that is outlined in a photo keeps the material it has there. Raises
    :class:`matcher.errors.RequestError` for a name that is none.
    """
    from matcher.service.choices import MATERIALS
    from matcher.service.typed_text import line

    name = line(surface, "surface")
    material = outlined(document).get(name, material)
    if material not in MATERIALS:
        raise RequestError(Problem("material", f"{material!r} is not known", f"Use one of: {', '.join(MATERIALS)}."))
    entry = {"name": name, "material": material, "lab": list(understood.lab), "sd": understood.sd}
    tables = list(document.get("surfaces", ()))
    places = [place for place, table in enumerate(tables) if table.get("name") == name]
    if places:
        tables[places[0]] = entry
    else:
        tables.append(entry)
    return {**document, "surfaces": tables}


def without_reading(document: Json, surface: str) -> Json:
    """Return the room's document without what an instrument said of ``surface``."""
    return {**document, "surfaces": [table for table in document.get("surfaces", ()) if table.get("name") != surface]}


def _off(sd: float) -> str:
    """Return in words how far off a reading of one sigma ``sd``, dE00, may be nine times in ten."""
    from matcher.report.doubt import NINETY_PERCENT
    from matcher.report.trade_words import colour_step_phrase

    return colour_step_phrase(NINETY_PERCENT * sd)


def _rounded(lab: Sequence[float]) -> tuple[float, float, float]:
    lightness, a, b = (round(float(part), _DIGITS) for part in lab)
    return lightness, a, b
