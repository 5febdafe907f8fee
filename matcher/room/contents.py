"""The room file as data: one frozen model per table of the file, nothing that the file may not hold.

Lengths are pixels of the upright full-size photo, x right, y down; reflectance 0..1; LRV 0..100; CIELAB D65/2.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PrivateAttr,
    StrictFloat,
    model_validator,
)
from pydantic_core import PydanticCustomError

from matcher.room.country import countries, country_meant
from matcher.room.outline import outline_fault

Role = Literal["walls", "trim", "ceiling", "cabinets", "island", "accent", "door"]
Material = Literal["stone", "timber", "tile", "brick", "metal", "textile", "laminate", "paint", "other"]
ReferenceKind = Literal["grey card", "white card", "black card", "grey scale", "chart 24", "white paper", "paint chip"]
CompassPoint = Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"]
Warmth = Literal["warm", "cool", "either"]
Light = Literal["D65", "D50", "C", "A"]
Family = Literal[
    "neutral", "red", "yellow-red", "yellow", "green-yellow", "green", "blue-green", "blue", "purple-blue", "purple",
    "red-purple",
]  # fmt: skip
Units = Literal["metres", "feet"]

# Assumption: from below a candle to a lamp bluer than any sold for rooms.
_LAMP_RANGE_K = (1500, 10000)
# One sheet of office paper on something darker: about 0.9 as a thick pile, less what shines through (assumption, from
# memory of makers' data on ISO 2470 brightness and opacity).
PAPER_REFLECTANCE = 0.84
# Days a room can be looked at in: what the sun's place is reckoned for without a thought to calendars.
_DAY, _YEARS = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII), (1900, 2199)
_FEWEST_STEPS, _MOST_STEPS = 2, 40
_SHARES_AGREE = 0.02  # shares are usually given with two decimals
# Assumption: no lived-in house is older than the first, and none is built beyond the second.
_BUILT_RANGE = (1000, 2100)
# Assumptions, metres or feet: a hall of a palace is shorter, and its walls and mouldings are less.
_LONGEST, _LARGEST = 300, 20_000
_UNIT = 1e-9
_SHOWN = 40  # letters of what is no country


def _between(low: float, high: float) -> AfterValidator:
    """Limits with one message for both ends."""

    def check(value: float) -> float:
        if not low <= value <= high:
            raise ValueError(f"{value:g} is not between {low:g} and {high:g}")
        return value

    return AfterValidator(check)


def _sound_outline(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    fault = outline_fault(points)
    if fault:
        raise ValueError(fault)
    return points


def a_day(text: str) -> str:
    """Return a day as it is written, YYYY-MM-DD; ValueError for what is none."""
    try:
        day = date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        day = None
    if day is None or not _YEARS[0] <= day.year <= _YEARS[1]:
        raise ValueError(f"{text[:40]!r} is no day; write the year from {_YEARS[0]}, month and day, as in 2026-03-21")
    return text


def _not_zero(value: float) -> float:
    if value == 0:
        raise ValueError("0 leaves nothing to measure by; give a number above 0")
    return value


def _not_none(value: float) -> float:
    if value == 0:
        raise ValueError("0 leaves nothing to paint; give a number above 0, or leave the key out")
    return value


def _country(code: str) -> str:
    if code not in countries():
        meant = country_meant(code)
        hint = f"; did you mean {meant!r}?" if meant else "; give two letters such as 'GB' or 'US'"
        raise ValueError(f"{code[:_SHOWN]!r} is no country code of ISO 3166-1{hint}")
    return code


def _year(year: int) -> int:
    low, high = _BUILT_RANGE
    if not low <= year <= high:
        text = str(year)
        raise ValueError(f"{text if len(text) <= _SHOWN else text[:_SHOWN] + '...'} is not between {low} and {high}")
    return year


def _ordered(limits: tuple[float, float]) -> tuple[float, float]:
    if limits[0] >= limits[1]:
        raise ValueError(f"the first number, {limits[0]:g}, has to be below the second, {limits[1]:g}")
    return limits


def _some_paints(value: int) -> int:
    if value < 1:
        raise ValueError(f"{value} paints are none; give 1 or more, or leave the key out")
    return value


def _distinct(values: tuple[Role, ...]) -> tuple[Role, ...]:
    twice = sorted({value for value in values if values.count(value) > 1})
    if twice:
        raise ValueError(f"{', '.join(twice)} stands there twice")
    return values


Text = Annotated[str, Field(strict=True, min_length=1)]
Number = Annotated[StrictFloat, Field(allow_inf_nan=False)]
Fraction = Annotated[Number, _between(0, 1), AfterValidator(_not_zero)]
Percent = Annotated[Number, _between(0, 100)]
Chromatic = Annotated[Number, _between(-150, 150)]
Point = tuple[Number, Number]
Outline = Annotated[tuple[Point, ...], AfterValidator(_sound_outline)]
Outlines = Annotated[tuple[Outline, ...], Field(min_length=1)]
Lab = tuple[Percent, Chromatic, Chromatic]
LrvRange = Annotated[tuple[Percent, Percent], AfterValidator(_ordered)]
Day = Annotated[str, Field(strict=True), AfterValidator(a_day)]
Lamps = Annotated[Number, _between(*_LAMP_RANGE_K)]
Roles = Annotated[tuple[Role, ...], AfterValidator(_distinct)]
Country = Annotated[Text, AfterValidator(_country)]
Year = Annotated[int, Field(strict=True), AfterValidator(_year)]
Length = Annotated[Number, _between(0, _LONGEST), AfterValidator(_not_none)]
Measure = Annotated[Number, _between(0, _LARGEST), AfterValidator(_not_none)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Room(_Table):
    """[room]; ``date`` is the day on which its light is shown."""

    name: Text
    kind: Text | None = None
    facing: CompassPoint | None = None
    latitude: Annotated[Number, _between(-90, 90)] | None = None
    lamps_k: Lamps | None = None
    date: Day | None = None
    country: Country | None = None
    built: Year | None = None


class ContrastWish(_Table):
    """[[wishes.contrast]]: LRV points that two roles are apart, whichever is lighter."""

    between: Annotated[tuple[Role, Role], AfterValidator(_distinct)]
    at_least: Percent | None = None
    at_most: Percent | None = None

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if self.at_least is None and self.at_most is None:
            raise ValueError("give at_least or at_most, or both, in LRV points")
        if self.at_least is not None and self.at_most is not None and self.at_least > self.at_most:
            raise ValueError(f"at_least, {self.at_least:g}, is above at_most, {self.at_most:g}")
        return self


class Wishes(_Table):
    """[wishes]; without a ``roles`` key walls and trim are chosen, the two that every room has.

    ``warmth`` and ``lrv`` (of the walls) are weighed; what follows ``roles`` is kept: codes and families of hue to
    ``avoid``, how many different paints to buy at most, the LRV of roles, contrast between two, and one trim for all
    rooms seen from each other.
    """

    warmth: Warmth = "either"
    lrv: LrvRange | None = None
    roles: Annotated[Roles, Field(min_length=1)] = ("walls", "trim")
    avoid: tuple[Text, ...] = ()
    avoid_families: tuple[Family, ...] = ()
    most_paints: Annotated[int, Field(strict=True), AfterValidator(_some_paints)] | None = None
    lrv_of: dict[Role, LrvRange] = Field(default_factory=dict)
    contrast: tuple[ContrastWish, ...] = ()
    one_trim: Annotated[bool, Field(strict=True)] = False

    @model_validator(mode="after")
    def _each_pair_once(self) -> Self:
        pairs = [frozenset(asked.between) for asked in self.contrast]
        if len(set(pairs)) < len(pairs):
            raise ValueError("contrast names two roles twice; give at_least and at_most in one entry")
        return self


class Sizes(_Table):
    """[sizes]: lengths in ``units``, areas in square units, ``trim`` in running units.

    ``walls`` are as painted, and go before what length, width and height less ``openings`` (windows and doors) make.
    What the keys have to be to each other :mod:`matcher.room.size_checks` says.
    """

    units: Units
    length: Length | None = None
    width: Length | None = None
    height: Length | None = None
    openings: Annotated[Number, _between(0, _LARGEST)] = 0.0
    walls: Measure | None = None
    trim: Measure | None = None
    ceiling: Measure | None = None
    cabinets: Measure | None = None
    island: Measure | None = None
    accent: Measure | None = None
    door: Measure | None = None


class Reference(_Table):
    """[[photos.references]]: a reference; ``on`` names the surface it lies flat on.

    A chart of 24 patches is known, paper has a usual ``reflectance``, a grey scale has ``reflectances`` from one end to
    the other, a paint chip the colour that the deck gives to ``paint``, or its own ``lab`` where it is of another
    edition; every other kind states its one reflectance.
    """

    kind: ReferenceKind
    reflectance: Fraction | None = None
    reflectances: Annotated[tuple[Fraction, ...], Field(min_length=1)] | None = None
    paint: Text | None = None
    lab: Lab | None = None
    outline: Outline
    on: Text | None = None

    @model_validator(mode="after")
    def _known_reflectance(self) -> Self:
        if self.reflectances is not None:
            if self.kind != "grey scale":
                raise ValueError(f"reflectances are for a grey scale; a {self.kind} has one reflectance or none")
            if not _FEWEST_STEPS <= len(self.reflectances) <= _MOST_STEPS:
                raise ValueError(f"a grey scale has {_FEWEST_STEPS} to {_MOST_STEPS} reflectances, one for each step")
        if self.kind == "paint chip":
            if self.reflectance is not None:
                raise ValueError("a paint chip has the colour of its paint in the deck: take out reflectance")
            if self.paint is None:
                raise PydanticCustomError("paint_missing", "paint is missing")
            return self
        if self.paint is not None or self.lab is not None:
            key = "lab" if self.paint is None else "paint"
            raise ValueError(f"{key} is for a paint chip; a {self.kind} has none")
        if self.plain_reflectance is None and self.kind != "chart 24" and self.reflectances is None:
            raise PydanticCustomError("reflectance_missing", "reflectance is missing")
        return self

    @property
    def plain_reflectance(self) -> float | None:
        """The one reflectance of a card or of paper; None where only parts of the reference have one."""
        if self.reflectance is None and self.kind == "white paper":
            return PAPER_REFLECTANCE
        return self.reflectance


class OutlinedSurface(_Table):
    """[[photos.surfaces]]: read :attr:`polygons`, whichever of the two keys the file uses."""

    name: Text
    material: Material
    outline: Outline | None = None
    outlines: Outlines | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.outline is None) == (self.outlines is None):
            raise ValueError("give outline (one polygon) or outlines (several), one of the two")
        return self

    @property
    def polygons(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """All polygons of the surface in this photo."""
        if self.outlines is not None:
            return self.outlines
        return (self.outline,) if self.outline is not None else ()


class Area(_Table):
    """[[photos.areas]]: what a role's paint would cover; ``holes`` stand in front."""

    role: Role
    outlines: Outlines
    holes: tuple[Outline, ...] = ()


class PhotoEntry(_Table):
    """[[photos]]; :meth:`RoomFile.path_of` resolves ``file``."""

    file: Text
    whole_room: Annotated[bool, Field(strict=True)] = False
    references: tuple[Reference, ...] = ()
    surfaces: tuple[OutlinedSurface, ...] = ()
    areas: tuple[Area, ...] = ()

    @model_validator(mode="after")
    def _one_colour_a_code(self) -> Self:
        labs = self.chip_labs
        for chip in self.references:
            if chip.paint is not None and chip.lab not in (None, labs.get(chip.paint)):
                raise ValueError(f"the chips of {chip.paint[:_SHOWN]!r} have two colours under lab; give one of them")
        return self

    @property
    def chip_labs(self) -> dict[str, tuple[float, float, float]]:
        """The colours that this photo's own entry gives to paint chips, by code: all chips of a code in a photo."""
        return {str(chip.paint): chip.lab for chip in self.references if chip.lab is not None}


class MeasuredColour(_Table):
    """One colour of an instrument-measured surface and the share of the surface it covers."""

    share: Fraction
    lab: Lab


class MeasuredSurface(_Table):
    """[[surfaces]]: a fixed element read with an instrument, in numbers or in the instrument's ``file``.

    ``sd`` is one sigma in dE00, None for what the readings say. ``light`` and ``observer`` are what the values are for,
    None for D65 and 2 degrees, or for what the file says. :func:`matcher.room.measured.measured` reads it all.
    """

    name: Text
    material: Material
    lab: Lab | None = None
    colours: Annotated[tuple[MeasuredColour, ...], Field(min_length=1)] | None = None
    file: Text | None = None
    light: Light | None = None
    observer: Literal[2, 10] | None = None
    sd: Annotated[Number, _between(0, 50)] | None = None

    @model_validator(mode="after")
    def _one_reading(self) -> Self:
        if sum(given is not None for given in (self.lab, self.colours, self.file)) != 1:
            raise ValueError("give lab (one colour) or colours (several with their shares) or file, one of the three")
        total = sum(colour.share for colour in self.colours or ())
        if self.colours and abs(total - 1) > _SHARES_AGREE + _UNIT:
            raise ValueError(f"the shares of colours add up to {total:.2f}; they have to add up to 1")
        return self


class SeenRoomEntry(_Table):
    """[[rooms]]: another room, seen from this one ``through`` a doorway; both schemes are chosen together. It is a
    ``file``, or one ``stored`` in the browser app, by its id there, with the ``name`` that it went by.
    """

    file: Text | None = None
    stored: Text | None = None
    name: Text | None = None
    through: Text | None = None

    @model_validator(mode="after")
    def _one_room(self) -> Self:
        if (self.file is None) == (self.stored is None):
            raise ValueError("name the file of the room that is seen, or have it stored, one of the two")
        return self

    @property
    def key(self) -> str:
        """What stands for the room: its file, or its id where it is stored."""
        return self.file or self.stored or ""

    @property
    def called(self) -> str:
        """What the room is called as long as it has not been read."""
        return self.file or self.name or ""


class RoomFile(_Table):
    """The whole file; ``photos``, ``surfaces`` and ``rooms`` keep file order."""

    room: Room
    wishes: Wishes = Wishes()
    pins: dict[Role, Text] = Field(default_factory=dict)
    sizes: Sizes | None = None
    photos: tuple[PhotoEntry, ...] = ()
    surfaces: tuple[MeasuredSurface, ...] = ()
    rooms: tuple[SeenRoomEntry, ...] = ()
    _folder: Path | None = PrivateAttr(default=None)
    _paths: dict[str, Path] = PrivateAttr(default_factory=dict)

    def model_post_init(self, context: Any, /) -> None:
        """Keep where the photos are: validation context ``{"folder": Path}``, or ``{"paths": {file: Path}}``."""
        if context:
            self._folder = context.get("folder")
            self._paths = dict(context.get("paths", {}))

    @property
    def folder(self) -> Path | None:
        """The room file's own folder, None where the room is kept without one."""
        return self._folder

    def path_of(self, photo: PhotoEntry) -> Path:
        """Return where the photo is: its ``file``, relative to the room file unless absolute or kept elsewhere."""
        return self._paths.get(photo.file) or (self._folder or Path()) / photo.file
