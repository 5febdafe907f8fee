"""What the marking tool tells the app, checked: nothing that comes from a browser is taken on trust."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, fields
from typing import Any, Literal, get_args

from matcher.errors import Problem, RequestError
from matcher.service.choices import MOST_POINTS, ROLES
from ui.marking.words import BAD_MESSAGE, MATERIALS, REFERENCES, RELOAD

Kind = Literal["surface", "card", "area", "hole"]
Point = tuple[float, float]
Line = tuple[Point, ...]
Size = tuple[int, int]

_MOST_MARKS = 500
_MOST_STROKES = 200
_LONGEST_TEXT = 80
_LONGEST_CODE = 200  # of a paint; decks set no limit (assumption: ten times what one has)
_MOST_STEPS = 40
_EDGE_SLACK_PX = 1.0  # as the room file allows
_CONTROL = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff]")  # half a character is none that can be kept


@dataclass(frozen=True, slots=True)
class Mark:
    """One outline on a photo; ``polygon`` in full-size pixels. Several marks of one kind and name are its parts.

    A surface has a ``material``, a card a ``reference`` kind with its ``reflectance`` 0..1 or, of a scale, the
    ``reflectances`` of its steps, or, of a paint chip, the code of its ``paint`` once it is chosen, and the surface it
    lies ``on``, an area to paint and what stands in front of it (a hole) a ``role``. Cards that lie side by side have
    their ``set`` in common.
    """

    id: str
    kind: Kind
    name: str
    polygon: Line
    material: str | None = None
    role: str | None = None
    reference: str | None = None
    reflectance: float | None = None
    reflectances: tuple[float, ...] | None = None
    paint: str | None = None
    on: str | None = None
    set: str | None = None

    def as_data(self) -> dict[str, Any]:
        """Return the mark as JSON data, without what it does not have."""
        values = ((field.name, getattr(self, field.name)) for field in fields(self))
        return {name: value for name, value in values if value is not None}


@dataclass(frozen=True, slots=True)
class MarksChanged:
    """All marks of the photo as they are now, drawn on top of ``base_revision`` of the stored ones."""

    marks: tuple[Mark, ...]
    base_revision: int


@dataclass(frozen=True, slots=True)
class StrokeDrawn:
    """Strokes to propose outlines from; ``tolerance`` 0..1, ``target`` the mark it is to be a part of, if any."""

    include: tuple[Line, ...]
    exclude: tuple[Line, ...]
    tolerance: float
    target: str | None
    serial: int


@dataclass(frozen=True, slots=True)
class MarkSelected:
    """Another mark was chosen, or none."""

    id: str | None


@dataclass(frozen=True, slots=True)
class StripCounted:
    """A strip of chips was outlined as one, ``polygon``, and has ``count`` of them: their outlines are asked for."""

    polygon: Line
    count: int
    serial: int


@dataclass(frozen=True, slots=True)
class PhotoChosen:
    """Another photo is to be marked, by its ``sha``."""

    sha: str


@dataclass(frozen=True, slots=True)
class CardsRefused:
    """Which ``sets`` of proposed cards are none, all of them as they are now."""

    sets: tuple[str, ...]


MarkingEvent = MarksChanged | StrokeDrawn | MarkSelected | StripCounted | PhotoChosen | CardsRefused


def parse_marks_changed(raw: Any, size: Size) -> MarksChanged:
    """Return the event; ``size`` (width, height) of the upright full-size photo.

    Raises :class:`matcher.errors.RequestError` for anything that is none.
    """
    marks = tuple(_mark(one, size) for one in _list(_get(raw, "marks"), "marks", _MOST_MARKS))
    if len({mark.id for mark in marks}) != len(marks):
        raise _error("list of marks", "two have the same id")
    return MarksChanged(marks, _whole(_get(raw, "base_revision"), "revision"))


def parse_stroke_drawn(raw: Any, size: Size) -> StrokeDrawn:
    """Return the event, or raise :class:`matcher.errors.RequestError`."""
    tolerance = _number(_get(raw, "tolerance"), "tolerance")
    if not 0 <= tolerance <= 1:
        raise _error("tolerance", f"{tolerance:g} is not between 0 and 1")
    target = _get(raw, "target")
    return StrokeDrawn(
        _strokes(_get(raw, "include"), size),
        _strokes(_get(raw, "exclude"), size),
        tolerance,
        None if target is None else _text(target, "target"),
        _whole(_get(raw, "serial"), "serial"),
    )


def parse_mark_selected(raw: Any) -> MarkSelected:
    """Return the event, or raise :class:`matcher.errors.RequestError`."""
    chosen = _get(raw, "id")
    return MarkSelected(None if chosen is None else _text(chosen, "id"))


def parse_strip_counted(raw: Any, size: Size) -> StripCounted:
    """Return the event, or raise :class:`matcher.errors.RequestError`."""
    return StripCounted(
        _line(_get(raw, "polygon"), size), _whole(_get(raw, "count"), "count"), _whole(_get(raw, "serial"), "serial")
    )


def parse_photo_chosen(raw: Any) -> PhotoChosen:
    """Return the event, or raise :class:`matcher.errors.RequestError`."""
    return PhotoChosen(_text(_get(raw, "sha"), "photo"))


def parse_cards_refused(raw: Any) -> CardsRefused:
    """Return the event, or raise :class:`matcher.errors.RequestError`."""
    return CardsRefused(tuple(_text(one, "set of cards") for one in _list(_get(raw, "sets"), "sets", _MOST_MARKS)))


def _mark(raw: Any, size: Size) -> Mark:
    kind: Kind = _one_of(_get(raw, "kind"), "kind", get_args(Kind))
    polygon = _line(_get(raw, "polygon"), size)
    if len(polygon) < 3:
        raise _error("outline", f"it has {len(polygon)} points")
    wanted = _get(raw, "reflectance") if kind == "card" else None
    steps = _get(raw, "reflectances") if kind == "card" else None
    on = _get(raw, "on") if kind == "card" else None
    together = _get(raw, "set") if kind == "card" else None
    reference = _one_of(_get(raw, "reference"), "reference", REFERENCES) if kind == "card" else None
    paint = _get(raw, "paint") if reference == "paint chip" else None
    return Mark(
        id=_text(_get(raw, "id"), "id"),
        kind=kind,
        name=_text(_get(raw, "name"), "name"),
        polygon=polygon,
        material=_one_of(_get(raw, "material"), "material", MATERIALS) if kind == "surface" else None,
        role=_one_of(_get(raw, "role"), "role", ROLES) if kind in ("area", "hole") else None,
        reference=reference,
        reflectance=None if wanted is None else _reflectance(wanted),
        reflectances=None
        if steps is None
        else tuple(_reflectance(one) for one in _list(steps, "reflectances", _MOST_STEPS)),
        paint=None if paint is None else _code(paint),
        on=None if on is None else _text(on, "surface it lies on"),
        set=None if together is None else _text(together, "set of cards"),
    )


def _reflectance(raw: Any) -> float:
    reflectance = _number(raw, "reflectance")
    if not 0 < reflectance <= 1:
        raise _error("reflectance", f"{reflectance:g} is not above 0 and at most 1")
    return reflectance


def _strokes(raw: Any, size: Size) -> tuple[Line, ...]:
    return tuple(_line(one, size) for one in _list(raw, "strokes", _MOST_STROKES) if one)


def _line(raw: Any, size: Size) -> Line:
    return tuple(_point(one, size) for one in _list(raw, "line", MOST_POINTS))


def _point(raw: Any, size: Size) -> Point:
    if not isinstance(raw, (list, tuple)) or len(raw) != 2:
        raise _error("point", "it has no two numbers")
    x, y = (_number(part, "point") for part in raw)
    if not (-_EDGE_SLACK_PX <= x <= size[0] + _EDGE_SLACK_PX and -_EDGE_SLACK_PX <= y <= size[1] + _EDGE_SLACK_PX):
        raise _error("point", f"({x:g}, {y:g}) lies outside the photo")
    return min(max(x, 0.0), float(size[0])), min(max(y, 0.0), float(size[1]))


def _get(raw: Any, key: str) -> Any:
    """Return an entry, None where there is none; Streamlit hands values over as dictionaries of its own kind."""
    if not hasattr(raw, "get"):
        raise _error("message", "it is no table")
    return raw.get(key)


def _list(raw: Any, what: str, most: int) -> list[Any]:
    if not isinstance(raw, (list, tuple)):
        raise _error(what, "it is no list")
    if len(raw) > most:
        raise _error(what, f"{len(raw)} entries, {most} at most")
    return list(raw)


def _number(raw: Any, what: str) -> float:
    # Whole numbers too large for a float are no number of ours either.
    if isinstance(raw, bool) or not isinstance(raw, (int, float)) or abs(raw) > 1e9 or not math.isfinite(raw):
        raise _error(what, "it is no number")
    return float(raw)


def _whole(raw: Any, what: str) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int) or raw < 0:
        raise _error(what, "it is no whole number")
    return raw


def _text(raw: Any, what: str) -> str:
    if not isinstance(raw, str) or not raw.strip() or len(raw) > _LONGEST_TEXT or not raw.isprintable():
        raise _error(what, "it is no short text")
    return raw.strip()


def _code(raw: Any) -> str:
    # A code as some deck has it, whatever it is written with: only the deck knows which there are.
    if not isinstance(raw, str) or not raw.strip() or len(raw) > _LONGEST_CODE or _CONTROL.search(raw):
        raise _error("code of a paint", "it is no short text")
    return raw


def _one_of(raw: Any, what: str, allowed: Any) -> Any:
    if not isinstance(raw, str) or raw not in allowed:
        raise _error(what, f"it is none of {', '.join(allowed)}")
    return raw


def _error(what: str, why: str) -> RequestError:
    return RequestError(Problem("marking", BAD_MESSAGE.format(what=what, why=why), RELOAD))
