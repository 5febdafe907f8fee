"""The room's own light: through a day by its window, by its lamps, and what its surfaces and paints look like in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.recall import Recall
from matcher.service.chips import chip_colours
from matcher.service.decoder import get_ready
from matcher.service.paint import load_deck

if TYPE_CHECKING:
    from datetime import date

    from matcher.light.day import RoomDay, Situation
    from matcher.paints.deck import Deck
    from matcher.room.contents import Room, RoomFile
    from matcher.service.desk import Desk
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from matcher.surfaces.surface import Surface

Json = dict[str, Any]

# Assumption: days of the rooms that are open, a few kilobytes each.
_views = Recall(32)


def room_light(
    room_path: Path,
    *,
    deck_path: Path | None = None,
    paints: Sequence[str] = (),
    date: str | None = None,
    overcast: bool = False,
    progress: Callable[[str], None] = lambda step: None,
) -> Json:
    """Return what ``givens light`` prints of a room file, or of a room's zip: see :func:`light_of`.

    Raises a leaf of :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    get_ready()
    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.surfaces.measure import measure_room

    progress("Reading the room file and the deck")
    with unpacked(room_path) as path:
        room = read_room(path)
        deck = cache(partial(load_deck, deck_path))
        chosen = list(paints) or list(dict.fromkeys(room.pins.values()))
        situation_of(room.room, date=date, overcast=overcast)
        if chosen:
            # A mistyped code is told before the photos are measured.
            _rows_of(deck(), chosen)
        measurement = measure_room(room, progress=progress, paints=lambda: chip_colours(room, deck()))
    progress("Following the light through the day")
    return light_of(room, measurement.surfaces, deck(), chosen, date=date, overcast=overcast)


def light_of(
    room: RoomFile,
    surfaces: Sequence[Surface],
    deck: Deck,
    codes: Sequence[str],
    *,
    pins: Mapping[str, str] | None = None,
    date: str | None = None,
    overcast: bool = False,
) -> Json:
    """Return the day of a room and what its surfaces and the paints of these codes look like in it.

    ``pins`` are the paints by role, the room's own unless said otherwise. A paint is looked at as the walls' own,
    unless it has another role: then the walls around it are those of their role, or those measured. Raises
    :class:`matcher.errors.RequestError` for unknown codes and a day that is none.
    """
    import numpy as np

    from matcher.colorimetry.curves import curves_of
    from matcher.light.bounce import with_bounce
    from matcher.light.day import room_day
    from matcher.light.look import look
    from matcher.paints.curves import deck_curves
    from matcher.report.light_entry import light_entry

    day = room_day(situation_of(room.room, date=date, overcast=overcast))
    rows = _rows_of(deck, codes)
    main = np.array([surface.colours[0].lab for surface in surfaces], dtype=np.float64).reshape(-1, 3)
    measured, of_deck = curves_of(main).reflectance, deck_curves(deck).reflectance
    known = {surface.name.casefold(): curve for surface, curve in zip(surfaces, measured, strict=True)}
    floor = next((curve for name, curve in known.items() if "floor" in name), None)
    chosen: Mapping[str, str] = {str(role): code for role, code in room.pins.items()} if pins is None else pins
    pinned = chosen.get("walls")
    walls = known.get("walls") if pinned is None else of_deck[_rows_of(deck, [pinned])[0]]
    elsewhere = {code for role, code in chosen.items() if role != "walls" and code != pinned}
    paints = of_deck[rows]
    around = [walls] * len(main) + [
        walls if code in elsewhere else own for code, own in zip(codes, paints, strict=True)
    ]
    bounce = np.stack([with_bounce(each, floor) for each in around]) if around else None
    labs, curves = np.concatenate([main, deck.lab[rows]]), np.concatenate([measured, paints])
    keys: list[Mapping[str, str]] = [
        *({"surface": surface.name} for surface in surfaces),
        *({"code": deck.codes[row], "name": deck.names[row]} for row in rows),
    ]
    return light_entry(day, keys, look(day, labs, curves, bounce), companions_of(day, deck, rows))


def day_view(desk: Desk, room: StoredRoom, ranked: LiveRanking, *, overcast: bool = False, also: str = "") -> Json:
    """Return a stored room's day as its page shows it: what stays and the paints of its scheme, hour by hour, and the
    paint of the code ``also``, for the walls, where the deck has it.

    See :func:`matcher.report.light_view.light_view`. Raises a leaf of :class:`matcher.errors.GivensError` where
    something of the room cannot be read.
    """
    from matcher.service import live

    deck = live.deck_for(desk, room)
    paints = ranked.scheme["paints"]
    chosen = tuple((paint["id"], paint["code"]) for paint in paints)
    titles = {paint["code"]: paint["role"] for paint in paints}

    def make() -> Json:
        from matcher.report.light_view import light_view

        names = {surface["name"] for surface in ranked.staying}
        told = live.told_of(desk, room)
        surfaces = [each for each in told.survey.measurement.surfaces if each.name in names]
        codes = list(dict.fromkeys([*(code for _, code in chosen), *([also] if also in deck.row_of else [])]))
        return light_view(light_of(told.file, surfaces, deck, codes, pins=dict(chosen), overcast=overcast), titles)

    return _views.of((*live.version_of(room), chosen, overcast, also, deck.sha256), make)


def usual_day() -> date:
    """Return the day that is shown of a room that names none."""
    from matcher.light.day import EQUINOX

    return EQUINOX


def scheme_light(
    room: RoomFile, surfaces: Sequence[Surface], deck: Deck, scheme: Json, *, day: Json | None = None
) -> Json | None:
    """Return the day that the report shows of a scheme, as in the result; None where nothing is known of the light.

    ``day`` is what :func:`light_of` says of it, where that is known already.
    """
    if room.room.facing is None and room.room.lamps_k is None:
        return None
    from matcher.report.light_view import light_view
    from matcher.report.wording import role_title

    pins = {role: paint["code"] for role, paint in scheme["roles"].items()}
    titles: dict[str, str] = {}
    for role, code in pins.items():
        titles[code] = f"{titles[code]}, {role_title(role).lower()}" if code in titles else role_title(role)
    if day is None:
        day = light_of(room, surfaces, deck, list(titles), pins=pins)
    return light_view(day, titles)


def companions_of(day: RoomDay, deck: Deck, rows: Sequence[int]) -> list[Json]:
    """Return for each paint of a dim room its lighter companion in the deck, where there is one, with the numbers."""
    import numpy as np

    from matcher.light.companion import lighter_companion
    from matcher.report.numbers import rounded

    found = []
    level = day.brightest.inside.level
    lab, lrv = np.asarray(deck.lab, dtype=np.float64), np.asarray(deck.lrv, dtype=np.float64)
    for row in rows:
        companion = lighter_companion(lab[row], float(lrv[row]), level, lab, lrv)
        if companion is not None:
            found.append(
                {
                    "kind": "lighter-companion",
                    "code": deck.codes[row],
                    "take": deck.codes[companion.row],
                    "name": deck.names[companion.row],
                    "lrv_difference": rounded(companion.lrv_difference, 1),
                    "level": rounded(level, 3),
                }
            )
    return found


def situation_of(room: Room, *, date: str | None = None, overcast: bool = False) -> Situation:
    """Return what a room says of its light; ``date``, YYYY-MM-DD, stands before its own.

    Raises :class:`matcher.errors.RequestError` for a day that is none.
    """
    from datetime import date as calendar

    from matcher.errors import Problem, RequestError
    from matcher.light.day import Situation
    from matcher.room.contents import a_day

    if date is not None:
        try:
            a_day(date)
        except ValueError as error:
            raise RequestError(Problem("date", str(error))) from None
    said = date or room.date
    day = calendar.fromisoformat(said) if said else None
    return Situation(room.latitude, room.facing, day, room.lamps_k, overcast)


def _rows_of(deck: Deck, codes: Sequence[str]) -> list[int]:
    from matcher.description.asked import find_paints

    return find_paints(deck, codes)
