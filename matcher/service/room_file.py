"""The main job on a room file: measure, rank, choose the scheme; plain inputs in, results out.

Heavy modules are imported where they are used, so that a command pays only for what it needs.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.service.asking import question_of
from matcher.service.chips import chip_colours, read_chip_colours
from matcher.service.decoder import get_ready
from matcher.service.paint import load_deck
from matcher.service.seen_rooms import read_seen_rooms

if TYPE_CHECKING:
    from matcher.handover.contents import Contents, Letterhead
    from matcher.paints.deck import Deck
    from matcher.ranking.paint_columns import Paints
    from matcher.ranking.shortlist import Shortlist
    from matcher.report.picture import Picture
    from matcher.room.contents import RoomFile
    from matcher.scheme.sightlines import SeenRoom
    from matcher.settings import Settings
    from matcher.surfaces.measure import PhotoMeasurement, RoomMeasurement
    from matcher.surfaces.told import RoomTold

Progress = Callable[[str], None]
Json = dict[str, Any]

DEFAULT_TOP = 8
RESULT_FILE = "result.json"
PAGE_FILE = "report.html"
# Of a result that stands in the way of another: ten times one with every paint of a large deck (assumption).
_MOST_RESULT_BYTES = 50_000_000
_WORKERS = 4  # pictures made at a time: the library that makes them lets others work meanwhile


def silent(step: str) -> None:
    """Progress for callers that do not want any."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole result: ``result`` as a dictionary, ``json`` its bytes-for-bytes repeatable text, ``advice`` what to
    measure next, ``page`` the HTML, ``previews`` JPEG files by name.
    """

    result: Json
    json: str
    advice: Json
    page: str
    previews: Mapping[str, bytes]


def shortlist(
    room_path: Path,
    *,
    deck_path: Path | None = None,
    top: int = DEFAULT_TOP,
    settings: Settings | None = None,
    progress: Progress = silent,
) -> Answer:
    """Do the main job on a room file, or on a room's zip; nothing is written.

    ``top`` paints a role, 0 for the whole deck. Where there are ``settings``, the page is the client's: it carries the
    letterhead and no appendix. Raises a leaf of :class:`matcher.errors.GivensError` for anything the user can put
    right.
    """
    from matcher.service.handover import letterhead_of

    letterhead = None if settings is None else letterhead_of(settings)
    ranked = rank(room_path, deck_path=deck_path, top=top, progress=progress)
    return answer_of(ranked, letterhead=letterhead, appendix=settings is None, progress=progress)


def answer_of(
    ranked: Ranked,
    *,
    contents: Contents | None = None,
    letterhead: Letterhead | None = None,
    appendix: bool = True,
    progress: Progress = silent,
) -> Answer:
    """Return the whole answer on a room that is measured and ranked, its page with or without the ``appendix``.

    ``contents`` are those of the sheets handed over with it, where there are any; without them the room is shown as it
    is, not repainted, which would take longer than all the rest of the page.
    """
    from matcher.report.output import to_json
    from matcher.service.handover import contents_of
    from matcher.service.report_page import as_it_is, client_page, whole_page

    progress("Looking for what to measure next")
    advice = ranked.advise()
    progress("Writing the report")
    pictures = pictures_of(ranked.measurement)
    if contents is None:
        contents = contents_of(ranked, letterhead=letterhead, pictures=as_it_is(ranked.measurement, pictures))
    if appendix:
        page = whole_page(
            contents,
            room=ranked.room,
            measurement=ranked.measurement,
            deck=ranked.deck,
            advice=advice,
            pictures=pictures,
        )
    else:
        page = client_page(contents)
    return Answer(ranked.result, to_json(ranked.result), advice, page, _previews(pictures))


@dataclass(frozen=True, slots=True)
class Ranked:
    """The result as a dictionary, how to find out what to measure next, and what it was made from."""

    result: Json
    advise: Callable[[], Json]
    measurement: RoomMeasurement
    deck: Deck
    room: RoomFile


def rank(
    room_path: Path, *, deck_path: Path | None = None, top: int = DEFAULT_TOP, progress: Progress = silent
) -> Ranked:
    """Do the main job up to the content of result.json, without page and pictures.

    Raises a leaf of :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    get_ready()
    from matcher.report.chip_edition import with_moved_chips
    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.surfaces.measure import measure_room

    progress("Reading the room file and the deck")
    with unpacked(room_path) as path:
        room = read_room(path, lies_at=room_path)
        reading = cache(partial(_read_deck, deck_path))
        measurement = measure_room(room, progress=progress, paints=lambda: chip_colours(room, reading()[0]))
    deck, paints = reading()
    seen = read_seen_rooms(room, room_path.parent, deck, paints, progress)
    result, advise = result_of(room, measurement, deck, top=top, progress=progress, paints=paints, seen=seen)
    result = with_moved_chips(result, measurement.photos, deck)
    return Ranked(result, advise, measurement, deck, room)


def _read_deck(path: Path | None) -> tuple[Deck, Paints]:
    from matcher.ranking.paint_columns import paints_of

    deck = load_deck(path)
    return deck, paints_of(deck)


def surfaces(room_path: Path, *, deck_path: Path | None = None, progress: Progress = silent) -> Json:
    """Measure the room without ranking paints: the result's photos, surfaces and warnings.

    The deck is asked for the colours of paint chips only.
    """
    get_ready()
    from matcher.report.result import measurement_entry
    from matcher.report.warnings import lost_warnings, measurement_warnings
    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.surfaces.measure import measure_room

    with unpacked(room_path) as path:
        room = read_room(path, lies_at=room_path)
        measurement = measure_room(room, progress=progress, paints=partial(read_chip_colours, room, deck_path))
    warnings = [*lost_warnings(measurement), *measurement_warnings(measurement)]
    return measurement_entry(room.room.name, measurement, warnings)


def write(answer: Answer, folder: Path, *, also: Mapping[str, bytes] | None = None) -> tuple[Path, ...]:
    """Write result, page and previews into ``folder`` as one set, all or none, and return their paths.

    ``also`` are further files of the set, by name. Previews that only the result before had go with it; other files
    stay (:func:`matcher.report.output.write_folder`).
    """
    from matcher.report.output import write_folder

    files: dict[str, str | bytes] = {
        RESULT_FILE: answer.json,
        PAGE_FILE: answer.page,
        **answer.previews,
        **(also or {}),
    }
    return write_folder(folder, files, stale=[name for name in _former_previews(folder) if name not in files])


def result_of(
    room: RoomFile,
    measurement: RoomTold,
    deck: Deck,
    *,
    top: int,
    progress: Progress,
    paints: Paints | None = None,
    seen: Sequence[SeenRoom] = (),
) -> tuple[Json, Callable[[], Json]]:
    """Rank every role, choose the scheme, together with those of the rooms ``seen`` from it, and put it all into the
    result; ``paints`` of the deck, where at hand.

    What to measure next takes as long again, so it is found out only when the second of the two is called.
    """
    from matcher.ranking.rank import rank
    from matcher.report.result import result_entry
    from matcher.report.warnings import (
        going_warnings,
        lost_warnings,
        measurement_warnings,
        scheme_warnings,
        unseen_warnings,
    )
    from matcher.scheme.build import build_scheme

    progress("Ranking the deck")
    question = question_of(room, measurement, deck, paints)
    shortlists: dict[str, Shortlist] = {role: rank(question, role, top=top) for role in question.roles}
    progress("Choosing the scheme")
    scheme = build_scheme(question, seen)
    stays, read = {surface.name for surface in question.givens.surfaces}, {other.file for other in seen}
    going = [surface.name for surface in measurement.surfaces if surface.name not in stays]
    warnings = [
        *scheme_warnings(scheme),
        *unseen_warnings([entry.called for entry in room.rooms if entry.key not in read]),
        *lost_warnings(measurement),
        *going_warnings(going),
        *measurement_warnings(measurement),
    ]
    result = result_entry(
        room.room.name, measurement, deck=deck, shortlists=shortlists, scheme=scheme, warnings=warnings
    )

    @cache
    def advise() -> Json:
        from matcher.advice.settle import what_would_settle
        from matcher.report.advice_entry import advice_entry

        return advice_entry(what_would_settle(question, measurement.photos), deck, measurement.surfaces)

    return result, advise


def _previews(pictures: Sequence[Picture]) -> dict[str, bytes]:
    """Return a picture file for each photo."""
    from matcher.report.preview import preview_jpeg

    names = _preview_names([picture.file for picture in pictures])
    return {name: preview_jpeg(picture) for name, picture in zip(names, pictures, strict=True)}


def _preview_names(photos: Sequence[str]) -> list[str]:
    """Return what the preview of each photo is called; photos of one name in two folders are numbered apart."""
    names: dict[str, None] = {}
    used: dict[str, int] = {}
    for photo in photos:
        stem = f"preview-{Path(photo).stem}"
        name, number = f"{stem}.jpg", used.get(stem, 2)
        while name in names:
            name, number = f"{stem}-{number}.jpg", number + 1
        used[stem] = number
        names[name] = None
    return list(names)


def _former_previews(folder: Path) -> list[str]:
    """Return what the previews beside an earlier result are called, as far as it tells."""
    from matcher.errors import RequestError
    from matcher.opening import read_bytes
    from matcher.report.result import FORMAT

    try:
        data = read_bytes(folder / RESULT_FILE, RequestError, "a result", "", most=_MOST_RESULT_BYTES)
        result = json.loads(data)
    except (RequestError, ValueError, RecursionError):
        return []
    photos = result.get("photos") if isinstance(result, dict) and result.get("format") == FORMAT else None
    files = [photo.get("file") for photo in photos if isinstance(photo, dict)] if isinstance(photos, list) else []
    names = _preview_names([file for file in files if isinstance(file, str)])
    return [name for name in names if name == Path(name).name and "\0" not in name]


def pictures_of(measurement: RoomMeasurement) -> list[Picture]:
    """Return every photo as the report shows it."""
    from concurrent.futures import ThreadPoolExecutor

    from matcher.report.picture import make_picture

    numbers = {surface.name: number for number, surface in enumerate(measurement.surfaces, start=1)}

    def picture(photo: PhotoMeasurement) -> Picture:
        surfaces = photo.photo_entry.surfaces
        return make_picture(
            photo.photo,
            file=photo.photo_entry.file,
            whole_room=photo.photo_entry.whole_room,
            surfaces=[(numbers[each.name], each.polygons) for each in surfaces if each.name in numbers],
            cards=[reference.outline for reference in photo.photo_entry.references],
        )

    with ThreadPoolExecutor(_WORKERS) as pool:
        return list(pool.map(picture, measurement.photos))
