"""What is handed over: the client's document, the painter's schedule, swatches; of a room file or of a room of the app.

Heavy modules are imported where they are used, so that a command pays only for what it needs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import CardError
from matcher.service.room_file import Json, Progress, Ranked, rank, silent

if TYPE_CHECKING:
    from matcher.handover.contents import Contents, Letterhead, PaintedRole, PictureFile, RoomPictures
    from matcher.paints.deck import Deck
    from matcher.room.contents import RoomFile
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom
    from matcher.settings import Settings
    from matcher.surfaces.told import RoomTold

CLIENT_FILE, SCHEDULE_FILE = "client.pdf", "schedule.pdf"
# Pixels of the longer side of the room's pictures: 300 to the inch where they are printed, and two of them far below
# the 3 MB that a message takes.
_PICTURE_SIDE = 1400


@dataclass(frozen=True, slots=True)
class HandedOver:
    """``files`` by name, the client's document first; ``result`` as ``--json`` prints it but for where the files are;
    ``missing`` the letters that no font here has, shown as question marks.
    """

    files: Mapping[str, bytes]
    result: Json
    missing: tuple[str, ...]


def handover(
    room_path: Path,
    *,
    deck_path: Path | None = None,
    settings: Settings,
    progress: Progress = silent,
) -> HandedOver:
    """Do the main job on a room file, or on a room's zip, and make what is handed over; nothing is written.

    Raises a leaf of :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    letterhead = letterhead_of(settings)
    ranked = rank(room_path, deck_path=deck_path, progress=progress)
    contents = contents_of(ranked, letterhead=letterhead, paper=settings.paper, progress=progress)
    return handed_over(contents, progress=progress)


def handed_over(contents: Contents, *, progress: Progress = silent) -> HandedOver:
    """Make what is handed over from its ``contents``."""
    progress("Setting the pages")
    return _handed_over(contents)


def contents_of(
    ranked: Ranked,
    *,
    letterhead: Letterhead | None = None,
    paper: str | None = None,
    invented: bool = False,
    pictures: RoomPictures | None = None,
    progress: Progress = silent,
) -> Contents:
    """Return what the sheets of a room that is measured and ranked are made from.

    ``paper`` is "A4" or "Letter", what the room's country uses if left out. ``invented`` says on them that all is made
    up. Unless there are ``pictures``, the room is repainted for them.
    """
    from matcher.handover.contents import Letterhead
    from matcher.handover.words import INVENTED_PRACTICE

    if letterhead is None:
        letterhead = Letterhead(INVENTED_PRACTICE if invented else "")
    if pictures is None:
        progress("Repainting the room")
        pictures = _pictures(ranked)
    return _contents(
        ranked.room,
        ranked.result,
        ranked.measurement,
        ranked.deck,
        pictures=pictures,
        letterhead=letterhead,
        paper=paper,
        invented=invented,
    )


def handover_of_stored(desk: Desk, room: StoredRoom) -> HandedOver:
    """Make what is handed over of a room of the app as it stands now.

    Raises :class:`matcher.errors.RequestError` while nothing is measured.
    """
    return _handed_over(contents_of_stored(desk, room))


def contents_of_stored(
    desk: Desk, room: StoredRoom, *, letterhead: Letterhead | None = None, what: str = "hand-over"
) -> Contents:
    """Return what the sheets of a room of the app are made from, as it stands now; ``what`` is asked for.

    The ``letterhead`` is that of the settings if left out. Raises :class:`matcher.errors.RequestError` while nothing is
    measured, and for a letterhead that cannot be read.
    """
    from matcher.errors import Problem, RequestError
    from matcher.service.live import deck_for, ranked, told_of

    letterhead = letterhead_of(desk.settings) if letterhead is None else letterhead
    answer = ranked(desk, room)
    if answer is None:
        raise RequestError(Problem(what, "nothing is measured yet", "Mark a grey card and a surface first."))
    told = told_of(desk, room)
    return _contents(
        told.file,
        answer.result,
        told.survey.measurement,
        deck_for(desk, room),
        pictures=_stored_pictures(desk, room, answer.result),
        letterhead=letterhead,
        paper=desk.settings.paper,
    )


def write_handover(handed: HandedOver, folder: Path) -> tuple[tuple[Path, ...], Json]:
    """Write the files into ``folder``, all or none, and return their paths and the whole of what ``--json`` prints."""
    from matcher.report.output import write_folder

    paths = write_folder(folder, handed.files)
    return paths, {"files": [str(path) for path in paths], **handed.result}


def letterhead_of(settings: Settings) -> Letterhead:
    """Return the letterhead that the settings describe, its mark read; raises RequestError for a mark that is none."""
    from matcher.handover.contents import Letterhead
    from matcher.handover.mark import read_mark

    day = date.today() if settings.letterhead_date == "today" else settings.letterhead_date
    mark = None if settings.letterhead_mark is None else read_mark(settings.letterhead_mark)
    return Letterhead(settings.letterhead_name, settings.letterhead_contact, day, mark)


def _handed_over(contents: Contents) -> HandedOver:
    from matcher.handover.boards_page import sample_reason
    from matcher.handover.client import client_pdf
    from matcher.handover.schedule import schedule_pdf
    from matcher.handover.swatch_files import swatches_css, swatches_csv, swatches_gpl, swatches_of
    from matcher.report.cautions import caution_entry
    from matcher.service.quantities import schedule_csv

    client, schedule = client_pdf(contents), schedule_pdf(contents)
    swatches = swatches_of(contents)
    files = {
        CLIENT_FILE: client.pdf,
        SCHEDULE_FILE: schedule.pdf,
        "schedule.csv": schedule_csv(contents.schedule).encode("utf-8"),
        "swatches.csv": swatches_csv(swatches).encode("utf-8"),
        "swatches.css": swatches_css(swatches).encode("utf-8"),
        "swatches.gpl": swatches_gpl(swatches, contents.result["room"]["name"]).encode("utf-8"),
    }
    result: Json = {
        "quantities": contents.schedule["quantities"],
        "samples": [{"code": each.code, "why": sample_reason(contents, each)} for each in contents.samples],
        "cautions": [caution_entry(caution) for caution in contents.cautions],
    }
    return HandedOver(files, result, tuple(dict.fromkeys([*client.missing, *schedule.missing])))


def _contents(
    room: RoomFile,
    result: Json,
    measurement: RoomTold,
    deck: Deck,
    *,
    pictures: RoomPictures,
    letterhead: Letterhead,
    paper: str | None,
    invented: bool = False,
) -> Contents:
    from operator import itemgetter

    from matcher.handover.contents import Contents, Site, main_role_of
    from matcher.handover.samples import samples_of
    from matcher.handover.sheet import PAPERS, paper_of
    from matcher.handover.turned_down import turned_down
    from matcher.quantities.cautions import House, cautions_for
    from matcher.ranking.question import staying
    from matcher.service.asking import question_of
    from matcher.service.quantities import schedule_of

    roles = result["scheme"]["roles"]
    main_role = main_role_of(roles)
    site = Site(room.room.facing, room.room.latitude, room.room.country)
    samples = samples_of(result, main_role)
    whites = (step["code"] for step in result["scheme"].get("trim_ladder", ()))
    shown = dict.fromkeys([*(paint["code"] for paint in roles.values()), *(each.code for each in samples), *whites])
    codes = {role: paint["code"] for role, paint in roles.items()}
    labs = {code: deck.lab[deck.row_of[code]].tolist() for code in shown}
    return Contents(
        result=result,
        stays=staying(result["surfaces"], result["shortlists"], itemgetter("name")),
        schedule=schedule_of(room, codes, deck, measurement.surfaces),
        cautions=cautions_for(House(room.room.country, room.room.built)),
        names={code: deck.names[deck.row_of[code]] for code in shown},
        labs={code: (lab[0], lab[1], lab[2]) for code, lab in labs.items()},
        site=site,
        pictures=pictures,
        letterhead=letterhead,
        paper=paper_of(site.country) if paper is None else PAPERS[paper],
        invented=invented,
        samples=samples,
        turned_down=turned_down(question_of(room, measurement, deck), deck, main_role),
        light=_light(room, measurement, deck, codes, main_role),
    )


def _light(room: RoomFile, measurement: RoomTold, deck: Deck, codes: Mapping[str, str], main_role: str) -> Json | None:
    """Return the room's day with the paints of its scheme; None where nobody says which way its window looks."""
    from matcher.service.room_light import light_of

    if room.room.facing is None:
        return None
    paints = list(dict.fromkeys([codes[main_role], *codes.values()]))
    return light_of(room, measurement.surfaces, deck, paints, pins=codes)


def _pictures(ranked: Ranked) -> RoomPictures:
    """Return the room as it is and repainted: no guess among the paints, as a householder is never shown one."""
    from matcher.handover.contents import RoomPictures
    from matcher.photo.display import srgb_jpeg
    from matcher.service.repainting import photo_to_repaint, prepare_repaint, repaint_together

    photos, roles = ranked.measurement.photos, ranked.result["scheme"]["roles"]
    number = photo_to_repaint([(photo.photo_entry.whole_room, bool(photo.photo_entry.areas)) for photo in photos])
    if number is None or not (photos[number].photo_entry.whole_room or photos[number].photo_entry.areas):
        return RoomPictures()
    outlined = {area.role for area in photos[number].photo_entry.areas}
    parts, painted, unmeasured = [], [], []
    for role in roles:
        if role not in outlined:
            continue
        try:
            prepared = prepare_repaint(ranked.measurement, role, longest_side=_PICTURE_SIDE)
        except CardError:
            unmeasured.append(role)
            continue
        if prepared.old.measured:
            row = ranked.deck.row_of[roles[role]["code"]]
            parts.append((prepared, ranked.deck.lab[row].tolist()))
            painted.append(role)
        else:
            unmeasured.append(role)
    done = repaint_together(parts) if parts else None
    return RoomPictures(
        as_it_is=picture_file(srgb_jpeg(photos[number].photo, _PICTURE_SIDE)),
        repainted=None if done is None else picture_file(done.picture),
        painted=() if done is None else _painted_roles(done.result),
        unmeasured=tuple(unmeasured),
        not_outlined=tuple(role for role in roles if role not in outlined),
    )


def _stored_pictures(desk: Desk, room: StoredRoom, result: Json) -> RoomPictures:
    from matcher.handover.contents import RoomPictures
    from matcher.service.painted_room import paint_room, room_as_it_is
    from matcher.service.showing import repainted_together

    as_it_is = room_as_it_is(desk, room)
    if as_it_is is None:
        return RoomPictures()
    paints = {role: paint["code"] for role, paint in result["scheme"]["roles"].items()}
    shown = paint_room(desk, room, paints)
    said: tuple[PaintedRole, ...] = ()
    if shown.picture is not None:
        said = _painted_roles(repainted_together(desk, room, {role: paints[role] for role in shown.painted}).result)
    return RoomPictures(
        as_it_is=picture_file(as_it_is),
        repainted=None if shown.picture is None else picture_file(shown.picture),
        painted=said,
        unmeasured=shown.unmeasured,
        not_outlined=shown.not_outlined,
    )


def _painted_roles(result: Json) -> tuple[PaintedRole, ...]:
    from matcher.handover.contents import PaintedRole

    return tuple(
        PaintedRole(said["role"], 1 - said["brightness_range"][0], said["brightness_range"][1] - 1)
        for said in result["painted"]
    )


def picture_file(data: bytes) -> PictureFile:
    """Return a JPEG of our own making with its size, which its header states."""
    from matcher.handover.contents import PictureFile
    from matcher.structure.stated_size import stated_size

    size = stated_size(data)
    assert size is not None, "a JPEG states its size"
    return PictureFile(data, *size)
