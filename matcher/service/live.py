"""A stored room as it stands, drafts and all: measured, ranked and drawn, quick enough to follow a hand."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from matcher.errors import GivensError
from matcher.ranking.wanted import Wanted as Wanted
from matcher.recall import Recall
from matcher.service.chip_editions import as_photographed
from matcher.service.chips import chips_without_paint, has_chips, known_chip_colours, outlines_without_paint
from matcher.service.deck_in_use import chosen_codes, deck_with
from matcher.service.deck_in_use import deck_of as deck_of
from matcher.service.room_file import DEFAULT_TOP, result_of

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.calibration.paint_chip import Paints
    from matcher.outlining.region_graph import RegionGraph
    from matcher.paints.deck import Deck
    from matcher.photo.decoded import Photo
    from matcher.report.plots import Drawing, PlotMark
    from matcher.room.contents import RoomFile
    from matcher.service.deck_search import DeckIndex, PaintEntry
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom
    from matcher.surfaces.kept import KeptSurvey
    from matcher.surfaces.measure import Survey
    from matcher.surfaces.real_pixels import Polygon

Json = dict[str, Any]
Strokes = Sequence[Sequence[tuple[float, float]]]

# Assumptions: photos of two rooms at display size (9 MB each) and surveys, which hold on to theirs; graphs to propose
# outlines from (2 MB each); readings and answers, which are small, of a morning's work.
_photos, _surveys, _graphs = Recall(12), Recall(4), Recall(8)
_told = Recall(64)
_readings, _answers = Recall(4000), Recall(64)


@dataclass(frozen=True, slots=True)
class LiveColours:
    """``surfaces`` as in result.json, each with its words, and with ``unsure``, why it is not known well and what to do
    ("" where it is); ``problems`` say what is not there yet and what to do;
    ``warnings`` what the photos cannot tell, ``old_chips`` which chips are of another edition than the deck in use.
    """

    surfaces: tuple[Json, ...]
    problems: tuple[str, ...]
    warnings: tuple[str, ...]
    old_chips: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LiveRanking:
    """``roles`` the shortlist of each in words, ``scheme`` in words, ``result`` the content of result.json, ``staying``
    those of its surfaces that stay, ``unread`` those that no photo could tell, each with why and what to do in words,
    ``advise`` how to find out what to measure next.
    """

    roles: Mapping[str, Json]
    scheme: Json
    result: Json
    staying: tuple[Json, ...]
    unread: tuple[Json, ...]
    advise: Callable[[], Json]

    @property
    def advice(self) -> Json:
        """What to measure next, in words; found out when first asked for."""
        from matcher.report.reader import advice_view

        return advice_view(self.advise())


def measured(desk: Desk, room: StoredRoom) -> LiveColours:
    """Measure what is marked so far. Raises nothing for what is merely not done yet."""
    from matcher.report.chip_edition import moved_chip_warnings
    from matcher.report.reader import surface_view
    from matcher.report.result import surface_entries
    from matcher.report.unsure import unsure_sentence, why_unsure
    from matcher.report.warnings import measurement_warnings, moved_warnings

    unfinished = chips_without_paint(room.document, {photo.name for photo in room.photos})
    try:
        told = told_of(desk, room)
    except GivensError as error:
        return LiveColours((), tuple(str(problem) for problem in (*unfinished, *error.problems)), ())
    survey = told.survey
    entries = surface_entries(survey.measurement)
    reasons = [why_unsure(surface, survey.measurement) for surface in survey.measurement.surfaces]
    deck = _deck_of_chips(desk, room)
    problems = (*unfinished, *survey.card_problems, *survey.surface_problems)
    return LiveColours(
        surfaces=tuple(
            {**surface_view(number, entry, deck), "unsure": unsure_sentence(why) if why is not None else ""}
            for number, (entry, why) in enumerate(zip(entries, reasons, strict=True), start=1)
        ),
        problems=tuple(str(problem) for problem in problems),
        warnings=(*moved_warnings(told.moved), *measurement_warnings(survey.measurement)),
        old_chips=tuple(moved_chip_warnings(survey.measurement.photos, deck)) if deck is not None else (),
    )


def outlined_names(room: StoredRoom) -> list[str]:
    """Return the names of the surfaces that are outlined in photos, in their order, measured or not."""
    entries = (entry for photo in room.document.get("photos", ()) for entry in photo.get("surfaces", ()))
    return list(dict.fromkeys(entry["name"] for entry in entries if _outlined(entry)))


def ranked(desk: Desk, room: StoredRoom, *, wanted: Wanted | None = None, top: int = DEFAULT_TOP) -> LiveRanking | None:
    """Rank the deck, or the ``wanted`` part of it, for every role; None while no surface is measured.

    The scheme is chosen together with those of the rooms seen from this one. Pinned paints, theirs too, stay in the
    deck whatever is wanted. Raises :class:`matcher.errors.RequestError` where nothing of the deck is left.
    """
    key = (scheme_version_of(desk, room), wanted, top, deck_of(desk).sha256)
    return _answers.of(key, lambda: _rank(desk, room, wanted, top))


def _rank(desk: Desk, room: StoredRoom, wanted: Wanted | None, top: int) -> LiveRanking | None:
    from matcher.errors import Problem, RequestError
    from matcher.ranking.paint_columns import paints_of
    from matcher.ranking.question import staying
    from matcher.ranking.wanted import wanted_paints
    from matcher.report.chip_edition import with_moved_chips
    from matcher.report.reader import role_view, scheme_view, unread_view
    from matcher.report.warnings import moved_warnings
    from matcher.service.asking import avoiding_of
    from matcher.service.doorways import read_rooms

    told = told_of(desk, room)
    measurement = told.survey.measurement
    if not measurement.surfaces:
        return None
    others = read_rooms(desk, room)
    pins = (*told.file.pins.values(), *(code for other in others for code in other.file.pins.values()))
    deck = whole = deck_with(desk, pins)
    file = avoiding_of(told.file, deck)
    if wanted is not None:
        kept = wanted_paints(deck, wanted)
        if not kept.any():
            raise RequestError(Problem("filter", "no paint of the deck passes it", "Widen the LRV or the leanings."))
        codes = [*file.pins.values(), *file.wishes.avoid]
        for code in (*codes, *(code for other in others for code in other.codes)):
            if code in deck.row_of:
                kept[deck.row_of[code]] = True
        deck = deck.only(kept)
    paints = paints_of(deck)
    seen = [other.asked(deck, paints) for other in others]
    result, advise = result_of(file, measurement, deck, top=top, progress=lambda step: None, paints=paints, seen=seen)
    result = with_moved_chips(result, measurement.photos, whole)
    # What is advised rests on colours that somebody may have told the client otherwise.
    result = {**result, "warnings": [*moved_warnings(told.moved), *result["warnings"]]}
    notes = result.get("notes", {})
    return LiveRanking(
        roles={role: role_view(role, entries, notes.get(role, ())) for role, entries in result["shortlists"].items()},
        scheme=scheme_view(result["scheme"], deck, filtered=wanted is not None),
        result=result,
        staying=staying(result["surfaces"], result["shortlists"], itemgetter("name")),
        unread=tuple(unread_view(missing) for missing in result.get("unread", ())),
        advise=advise,
    )


def plots(ranked: LiveRanking, role: str) -> tuple[Drawing, Drawing]:
    """Return the drawings of a role's shortlist among the surfaces: which way they lean, how light they are (SVG)."""
    from matcher.report.plots import lean_plot, lightness_plot

    surfaces, paints = _placed(ranked, role)
    return lean_plot(surfaces, paints), lightness_plot(surfaces, paints)


def legend(ranked: LiveRanking, role: str) -> str:
    """Return what the numbers and letters of :func:`plots` stand for."""
    surfaces, paints = _placed(ranked, role)
    return "; ".join(f"{mark.label} {mark.name}" for mark in (*surfaces, *paints))


def _placed(ranked: LiveRanking, role: str) -> tuple[list[PlotMark], list[PlotMark]]:
    """Surfaces by number, each by its main colour and its own LRV, and paints by letter in the order of their list."""
    from matcher.report.plots import PlotMark

    surfaces = [
        PlotMark(str(number), surface["name"], main["lab"], surface["lrv"], main["hex"])
        for number, surface in enumerate(ranked.staying, start=1)
        for main in surface["colours"][:1]
    ]
    paints = [
        PlotMark(chr(ord("A") + place), paint["name"], paint["lab"], paint["lrv"], paint["hex"])
        for place, paint in enumerate(ranked.result["shortlists"][role])
    ]
    return surfaces, paints


def deck_for(desk: Desk, room: StoredRoom) -> Deck:
    """Return the deck in use, with those paints of earlier editions that the room was given."""
    return deck_with(desk, chosen_codes(room.document))


def lost_choices(desk: Desk, room: StoredRoom) -> list[PaintEntry]:
    """Return the paints chosen in a room that the deck in use no longer has, as an edition before had them."""
    deck = deck_of(desk)
    lost = [code for code in room.document.get("pins", {}).values() if code not in deck.row_of]
    return list(known_paints(desk, lost).values())


def found_paints(desk: Desk, text: str, *, after: str = "") -> list[PaintEntry]:
    """Return the paints of the deck that a few letters of a code or name mean, best first.

    Raises :class:`matcher.errors.GivensError` where the deck cannot be read.
    """
    from matcher.service.deck_search import search_deck

    return search_deck(_index_of(desk), text, after=after)


def meant_paints(desk: Desk, text: str) -> list[str]:
    """Return the codes that a text of codes and whole names means, parted by commas or lines.

    Raises :class:`matcher.errors.RequestError` naming each that no paint of the deck, or more than one, is called by.
    """
    from matcher.service.deck_search import meant_codes

    return meant_codes(_index_of(desk), text) if text.strip() else []


def known_paints(desk: Desk, codes: Iterable[str]) -> dict[str, PaintEntry]:
    """Return those paints of ``codes`` that the deck has, or an edition before it had, by code; none where the deck
    cannot be read.
    """
    from matcher.service.deck_search import paints_called

    wanted = list(codes)
    try:
        return paints_called(deck_with(desk, wanted), wanted) if wanted else {}
    except GivensError:
        # What is wrong with it is said where the room is measured with it.
        return {}


def chip_paints(desk: Desk, room: StoredRoom, photo: str, codes: Iterable[str]) -> dict[str, PaintEntry]:
    """Return the same for chips in a photo of the room, each with the colour that it is measured as."""
    from matcher.colorimetry.spaces import lab_to_hex

    found = known_paints(desk, codes)
    if not found:
        return {}
    entries = (entry for entry in as_photographed(desk, room).get("photos", ()) if entry.get("file") == photo)
    own = {chip["paint"]: chip["lab"] for entry in entries for chip in entry.get("references", ()) if "lab" in chip}
    return {code: {**paint, "hex": lab_to_hex(own[code])} if code in own else paint for code, paint in found.items()}


def compared(desk: Desk, codes: Sequence[str]) -> list[Json]:
    """Return in words what tells every pair of these paints apart (:func:`matcher.service.paint.compared_in_words`)."""
    from matcher.service.paint import compared_in_words

    return compared_in_words(deck_with(desk, codes), codes)


def _index_of(desk: Desk) -> DeckIndex:
    from matcher.service.deck_search import index_of

    deck = deck_of(desk)
    return _readings.of(("deck index", deck.sha256), lambda: index_of(deck))


def pictures(desk: Desk, room: StoredRoom) -> Mapping[str, bytes]:
    """Return for every measured surface a small picture (JPEG) of its real pixels, by name."""
    found: dict[str, bytes] = {}
    for shot in survey_of(desk, room).measurement.photos:
        for surface in shot.photo_entry.surfaces:
            # A close-up shows more of the material than the whole room does.
            if surface.name in found and shot.photo_entry.whole_room:
                continue
            key = ("pixels", shot.photo.path, surface, shot.cards)
            found[surface.name] = _readings.of(key, partial(_real_pixels, shot.photo, surface.polygons, shot.cards))
    return found


def _real_pixels(photo: Photo, outlines: Sequence[Polygon], cards: Sequence[Polygon]) -> bytes:
    from matcher.photo.display import pixels_jpeg
    from matcher.surfaces.real_pixels import inside_square

    return pixels_jpeg(inside_square(photo, outlines, cards), photo.colour_space)


def survey_of(desk: Desk, room: StoredRoom) -> Survey:
    """Return what can be measured of the room now, with its photos. Raises :class:`matcher.errors.GivensError` for a
    broken draft.
    """
    return _surveyed(desk, room, _room_file(desk, room))


@dataclass(frozen=True, slots=True)
class Told:
    """The room as a ``file``, and what was measured of it, without its photos; ``moved`` as
    :func:`matcher.service.kept_measurement.told_survey` says.
    """

    file: RoomFile
    survey: KeptSurvey
    moved: tuple[Json, ...]


def told_of(desk: Desk, room: StoredRoom) -> Told:
    """Return what is measured of the room: as it was kept, where nothing that is measured has changed since.

    Raises :class:`matcher.errors.GivensError` for a broken draft.
    """
    from matcher.service.kept_measurement import told_survey

    def told() -> Told:
        file = _room_file(desk, room)
        return Told(file, *told_survey(desk, room, file, _chips(desk, room, file), lambda: _surveyed(desk, room, file)))

    # One page asks several times: for the colours, for the ranking.
    return _told.of(_measured_version(desk, room), told)


def room_file_of(desk: Desk, room: StoredRoom) -> RoomFile:
    """Return the room as a room file, as far as it is finished. Raises as :func:`survey_of` does."""
    return _room_file(desk, room)


def version_of(room: StoredRoom) -> tuple[str, int]:
    """Return what stands for a room as it is now: every change of its document or photos has a revision of its own."""
    return room.id, room.revision


def scheme_version_of(desk: Desk, room: StoredRoom) -> tuple[tuple[str, int], ...]:
    """Return what stands for a room's scheme as it is now, which the rooms seen from it have a part in."""
    from matcher.service.doorways import seen_versions

    return (version_of(room), *seen_versions(desk, room))


def _surveyed(desk: Desk, room: StoredRoom, file: RoomFile) -> Survey:
    from matcher.service.room_photos import brought
    from matcher.surfaces.measure import Memories, survey_room

    names = {file.path_of(entry): entry.file for entry in file.photos}

    def survey() -> Survey:
        return survey_room(
            file,
            memories=Memories(_photos, _readings, lambda path: brought(desk, path, names[path])),
            paints=lambda: _chips(desk, room, file),
            covered=outlines_without_paint(room.document),
        )

    return _surveys.of(_measured_version(desk, room), survey)


def _measured_version(desk: Desk, room: StoredRoom) -> tuple[str, int, str | None]:
    deck = _deck_of_chips(desk, room)
    return (*version_of(room), deck.sha256 if deck else None)


def _chips(desk: Desk, room: StoredRoom, file: RoomFile) -> Paints:
    deck = _deck_of_chips(desk, room)
    return known_chip_colours(file, deck) if deck else {}


def _deck_of_chips(desk: Desk, room: StoredRoom) -> Deck | None:
    """Return the deck where the room has a chip, whose colour it says; a room without one is measured without it."""
    return deck_for(desk, room) if has_chips(room.document) else None


def _room_file(desk: Desk, room: StoredRoom) -> RoomFile:
    """Return the document as a room file, without what is still too unfinished to be one.

    Raises :class:`matcher.errors.RoomFileError` naming what cannot be right.
    """
    from matcher.room.reading import room_of
    from matcher.service.desk import photo_path

    paths: dict[str, Path] = {photo.name: photo_path(desk, room.id, photo.sha) for photo in room.photos}
    document = as_photographed(desk, room)
    return room_of(finished_part(document, frozenset(photo.name for photo in room.photos)), paths)


def finished_part(document: Json, files: frozenset[str]) -> Json:
    """Return the document without photos that are gone, outlines still open, chips whose paint is not chosen yet, cards
    on surfaces that are not there, and sizes that tell no area yet.

    >>> finished_part({"room": {"name": "x"}, "photos": [{"file": "gone.jpg"}]}, frozenset())["photos"]
    []
    """
    photos = [photo for photo in document.get("photos", ()) if photo.get("file") in files]
    names = {surface["name"] for photo in photos for surface in photo.get("surfaces", ()) if _outlined(surface)}
    names |= {surface["name"] for surface in document.get("surfaces", ())}
    kept = []
    for photo in photos:
        references = [
            {key: value for key, value in reference.items() if key != "on" or value in names}
            for reference in photo.get("references", ())
            if reference.get("outline") and (reference.get("kind") != "paint chip" or reference.get("paint"))
        ]
        kept.append(
            {
                **photo,
                "references": references,
                "surfaces": [surface for surface in photo.get("surfaces", ()) if _outlined(surface)],
                "areas": [area for area in photo.get("areas", ()) if area.get("outlines")],
            }
        )
    return {
        **{key: value for key, value in document.items() if key != "sizes" or not size_faults(document)},
        "photos": kept,
    }


def size_faults(document: Json) -> tuple[str, ...]:
    """Return why the sizes of a draft tell no area yet, or contradict each other; nothing where they do, or are none.

    >>> size_faults({"sizes": {"units": "metres", "length": 4.2, "width": 3.0}})
    ('Height is missing beside length and width. Add height, or give walls.',)
    """
    from matcher.report.trade_words import sentence_case
    from matcher.room.size_checks import size_problems

    sizes = document.get("sizes")
    return tuple(
        sentence_case(str(problem).removeprefix("sizes: ").removeprefix("sizes.").replace(": ", " ", 1))
        for problem in (size_problems(sizes) if sizes else ())
    )


def _outlined(surface: Mapping[str, Sequence[Any]]) -> bool:
    return bool(surface.get("outline") or surface.get("outlines"))


def proposed(
    desk: Desk,
    room: StoredRoom,
    sha: str,
    include: Strokes,
    exclude: Strokes,
    *,
    tolerance: float,
    cards: Strokes = (),
) -> list[list[tuple[float, float]]]:
    """Return outlines of what the strokes ``include`` run over in a photo, largest first, for a person to correct;
    nothing of what ``cards`` outline is part of them.
    """
    from matcher.service.desk import photo_path
    from matcher.service.marking import propose_outlines, regions_of
    from matcher.service.room_photos import brought

    path = photo_path(desk, room.id, sha)
    name = next((photo.name for photo in room.photos if photo.sha == sha), "photo")

    def read() -> RegionGraph:
        with brought(desk, path, name):
            return regions_of(path)

    graph = _graphs.of(path, read)
    return propose_outlines(graph, include, exclude, tolerance=tolerance, cards=cards)
