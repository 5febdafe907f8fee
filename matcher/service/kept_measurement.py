"""A room measured once: what is kept is read again as long as photos, marks and the way of measuring are the same.

Decks, wishes and chosen paints then rank a room without touching a photo. What is outlined for paint, and what the room
is called, is no part of what is measured.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.calibration.paint_chip import Paints
    from matcher.room.contents import RoomFile
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom
    from matcher.store.measurements import StoredMeasurement
    from matcher.surfaces.kept import KeptSurvey
    from matcher.surfaces.told import SurveyTold

Json = dict[str, Any]
# dE00: less is the last digit that is printed.
_MOVED = 0.05


def told_survey(
    desk: Desk, room: StoredRoom, file: RoomFile, chips: Paints, measure: Callable[[], SurveyTold]
) -> tuple[KeptSurvey, tuple[Json, ...]]:
    """Return what was measured of a room, and which surfaces this version sees otherwise than the one before: as it is
    kept, or by ``measure``, and then it is kept. Either way no photo is held on to.
    """
    from matcher.service.chips import chip_labs, labs_by_photo, stated_chips
    from matcher.store.measurements import StoredMeasurement, keep_measurement, measurement_of
    from matcher.surfaces.kept import without_photos, write_survey
    from matcher.surfaces.version import measurement_version

    shas = {photo.name: photo.sha for photo in room.photos}
    kept, marks = measurement_of(desk.store, room.id), marks_of(room.document, shas, chip_labs(file, chips))
    known = read_kept(kept, marks, file)
    if kept is not None and known is not None:
        return known, kept.moved
    survey = without_photos(measure())
    moved = _moved(kept, marks, file, survey)
    labs = labs_by_photo(file, chips, shas)
    # What somebody states can be taken back: then it is again what the chip was taken for before.
    for place in [(shas[name], code) for name, code in stated_chips(room.document) if name in shas]:
        if kept is not None and place in kept.chips:
            labs[place] = kept.chips[place]
        else:
            labs.pop(place, None)
    keep_measurement(
        desk.store,
        room.id,
        StoredMeasurement(marks, measurement_version(), write_survey(survey), tuple(moved), labs),
    )
    return survey, tuple(moved)


def read_kept(kept: StoredMeasurement | None, marks: str, file: RoomFile) -> KeptSurvey | None:
    """Return what is kept where it is of these marks and by this version; None where the room has to be measured."""
    from matcher.surfaces.version import measurement_version

    if kept is None or kept.marks != marks or kept.version != measurement_version():
        return None
    return _read(kept, file)


def marks_of(document: Json, shas: Mapping[str, str], chips: Mapping[str, Sequence[float]]) -> str:
    """Return a hash of all that is measured: the photos by their bytes (``shas`` by name), what is marked in them,
    readings of instruments and the colours that ``chips`` are measured as (:func:`matcher.service.chips.chip_labs`),
    whichever edition of the deck they are of.
    """
    photos = [
        {**{key: value for key, value in entry.items() if key != "areas"}, "sha": shas.get(entry.get("file"))}
        for entry in document.get("photos", ())
    ]
    content = {
        "photos": photos,
        "surfaces": document.get("surfaces", []),
        "chips": {code: list(lab) for code, lab in chips.items()},
    }
    return sha256(json.dumps(content, sort_keys=True).encode("utf-8")).hexdigest()


def _read(kept: StoredMeasurement, file: RoomFile) -> KeptSurvey | None:
    from matcher.surfaces.kept import NotKeptError, read_survey

    try:
        return read_survey(kept.content, file.photos)
    except NotKeptError:
        # Nothing is lost with it: the photos tell it again.
        return None


def _moved(kept: StoredMeasurement | None, marks: str, file: RoomFile, survey: SurveyTold) -> Sequence[Json]:
    """Return the surfaces that another version measured from the same photos and marks, and how far this one is off."""
    from matcher.colorimetry.difference import delta_e_2000

    before = _read(kept, file) if kept is not None and kept.marks == marks else None
    if before is None:
        return ()
    labs: Mapping[str, Any] = {surface.name: surface.lab for surface in before.measurement.surfaces}
    apart = [
        (surface.name, float(delta_e_2000(labs[surface.name], surface.lab)))
        for surface in survey.measurement.surfaces
        if surface.name in labs
    ]
    return [{"surface": name, "de00": round(de00, 2)} for name, de00 in apart if de00 >= _MOVED]
