"""What one photo of a room lends another is remembered no longer than what both were read from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from matcher.calibration.paint_chip import Paints
from matcher.recall import Recall
from matcher.room.contents import RoomFile
from matcher.room.reading import room_of
from matcher.service.strip import chips_of_strip
from matcher.surfaces.measure import Memories, Survey, survey_room
from tests.service.chips_photo import STRIP, STRIP_CODES, STRIP_LABS, chips_jpeg, marked_entry


def room_with_a_lent_curve(folder: Path) -> RoomFile:
    """Two photos: white, grey and black cards show the curve of the first; the second has a grey card and chips."""
    scale, lent = marked_entry("scale.jpg"), marked_entry("lent.jpg")
    chips: list[dict[str, Any]] = [
        {"kind": "paint chip", "paint": code, "outline": outline, "on": "shelf"}
        for code, outline in zip(STRIP_CODES, chips_of_strip(STRIP, 5), strict=True)
    ]
    lent["references"] = [{**each, "on": "shelf"} for each in lent["references"] if each["kind"] == "grey card"] + chips
    lent["surfaces"] = [{**lent["surfaces"][0], "name": "shelf"}]
    paths = {name: folder / name for name in ("scale.jpg", "lent.jpg")}
    for path in paths.values():
        path.write_bytes(chips_jpeg())
    return room_of({"room": {"name": "Shelf"}, "photos": [scale, lent]}, paths)


def shelf_of(survey: Survey) -> list[float]:
    (shelf,) = (surface for surface in survey.measurement.surfaces if surface.name == "shelf")
    return [*shelf.lab.tolist(), *np.ravel(shelf.covariance).tolist()]


def test_a_lent_curve_is_made_anew_where_the_deck_changed(tmp_path: Path) -> None:
    room = room_with_a_lent_curve(tmp_path)
    one: Paints = {code: np.array(lab) for code, lab in zip(STRIP_CODES, STRIP_LABS, strict=True)}
    other: Paints = {code: lab + np.array([0.0, 4.0, -3.0]) for code, lab in one.items()}
    memories = Memories(Recall(2), Recall(100))
    first = survey_room(room, memories=memories, paints=lambda: one)
    lent = first.measurement.photos[1].calibration
    assert lent is not None
    assert not lent.curve.evidence, "the second photo would have a curve of its own"
    again = survey_room(room, memories=memories, paints=lambda: other)
    assert shelf_of(again) == shelf_of(survey_room(room, paints=lambda: other))
    assert shelf_of(again) != shelf_of(first)
    assert shelf_of(survey_room(room, memories=memories, paints=lambda: one)) == shelf_of(first)
