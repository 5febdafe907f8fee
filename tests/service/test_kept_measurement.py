"""A room is measured once: afterwards decks, wishes and chosen paints rank it without its photos."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from matcher.recall import Recall
from matcher.report.output import to_json
from matcher.service import backup, live, restore
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, open_desk
from matcher.service.records import StoredRoom, User
from matcher.service.scheme_facts import to_paint
from matcher.settings import Settings
from matcher.store import rooms
from matcher.store.measurements import StoredMeasurement, keep_measurement, measurement_of
from matcher.store.tables import MeasurementRow
from matcher.surfaces.measure import Survey, survey_room
from tests.first_start import copy_of


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Iterator[Desk]:
    """A desk with the sample room, measured once."""
    opened = open_desk(Settings(folder=copy_of(furnished_once, tmp_path_factory.mktemp("kept") / "data")))
    live.told_of(opened, the_room(opened))
    yield opened
    opened.store.close()


@pytest.fixture(autouse=True)
def forgetful(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Nothing is remembered of a room from before; photos and readings are, which saves time and no more."""

    def forget(*more: str) -> None:
        for name in ("_surveys", "_told", "_answers", *more):
            monkeypatch.setattr(live, name, Recall(4000))

    forget()
    return forget


@pytest.fixture
def measured(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The rooms that were measured from their photos, by name."""
    found: list[str] = []

    def counted(file: Any, **rest: Any) -> Survey:
        found.append(file.room.name)
        return survey_room(file, **rest)

    monkeypatch.setattr("matcher.surfaces.measure.survey_room", counted)
    return found


def the_room(opened: Desk) -> StoredRoom:
    (summary,) = list_rooms(opened, local_user(opened))
    return load_room(opened, local_user(opened), summary.id)


def told(opened: Desk, room: StoredRoom) -> str:
    """All that is said of a room, in bytes."""
    found = live.ranked(opened, room)
    assert found is not None
    return to_json(found.result) + repr([found.advice, live.measured(opened, room)])


def test_kept_and_measured_anew_are_the_same_bytes_and_no_photo_is_touched(
    furnished: Desk, forgetful: Callable[..., None], measured: list[str], tmp_path: Path
) -> None:
    room = the_room(furnished)
    photos, aside = furnished.settings.folder / "photos", tmp_path / "aside"
    shutil.move(photos, aside)
    try:
        kept = told(furnished, room)
        document = {**room.document, "pins": {"walls": "demo-40"}, "wishes": {"roles": ["walls", "door"]}}
        areas = [{**entry, "areas": []} for entry in room.document["photos"]]
        for changed in (document, {**room.document, "photos": areas}):
            ranked = live.ranked(furnished, replace(room, document=changed, revision=room.revision + 1))
            assert ranked is not None
            assert to_paint(furnished, room, ranked)["rows"]
            forgetful()
    finally:
        shutil.move(aside, photos)
    assert measured == []
    with furnished.store.database.writing() as session:
        session.delete(session.get(MeasurementRow, room.id))
    forgetful("_photos", "_readings")
    assert told(furnished, room) == kept
    assert measured == [room.name]
    # What is remembered of many rooms holds on to no pixels, just measured or not.
    photos_told = live.told_of(furnished, room).survey.measurement.photos
    assert photos_told
    assert not any(hasattr(photo, "photo") for photo in photos_told)


def test_a_mark_that_changes_is_measured_again(furnished: Desk, measured: list[str]) -> None:
    room = the_room(furnished)
    before = measurement_of(furnished.store, room.id)
    photos = [{**entry, "references": []} for entry in room.document["photos"]]
    changed = replace(room, document={**room.document, "photos": photos}, revision=room.revision + 2)
    live.told_of(furnished, changed)
    after = measurement_of(furnished.store, room.id)
    assert measured == [room.name]
    assert before is not None
    assert after is not None
    assert after.marks != before.marks
    keep_measurement(furnished.store, room.id, before)


def test_another_version_measures_again_and_says_what_moved(furnished: Desk, measured: list[str]) -> None:
    room = the_room(furnished)
    kept = measurement_of(furnished.store, room.id)
    assert kept is not None
    content = json.loads(kept.content)
    content["surfaces"][0]["lab"][0] -= 5.0
    older = StoredMeasurement(kept.marks, "0" * 64, json.dumps(content))
    keep_measurement(furnished.store, room.id, older)
    found = live.measured(furnished, room)
    name = content["surfaces"][0]["name"]
    (said,) = [warning for warning in found.warnings if "another version" in warning]
    assert said.startswith(f"{name[:1].upper()}{name[1:]}: measured again")
    # And where a choice is made of it: in the result, and so in the consultant's report.
    ranking = live.ranked(furnished, room)
    assert ranking is not None
    assert ranking.result["warnings"][0] == said
    now = measurement_of(furnished.store, room.id)
    assert now is not None
    assert (now.content, now.version) == (kept.content, kept.version)
    assert [moved["surface"] for moved in now.moved] == [name]
    assert measured == [room.name]
    keep_measurement(furnished.store, room.id, kept)


def test_what_somebody_else_wrote_into_the_store_is_measured_again(furnished: Desk, measured: list[str]) -> None:
    room = the_room(furnished)
    kept = measurement_of(furnished.store, room.id)
    assert kept is not None
    keep_measurement(furnished.store, room.id, replace(kept, content='{"format": "givens-measurement/1"}'))
    assert live.measured(furnished, room).surfaces
    assert measured == [room.name]
    assert measurement_of(furnished.store, room.id) == kept


def test_a_backup_takes_what_was_measured_along(
    furnished: Desk, forgetful: Callable[..., None], measured: list[str], tmp_path: Path
) -> None:
    room, settings = the_room(furnished), Settings(folder=tmp_path / "again")
    backup(furnished.settings, tmp_path / "all.zip")
    restore(settings, tmp_path / "all.zip")
    again = open_desk(settings)
    restored = told(again, load_room(again, local_user(again), room.id))
    forgetful()
    assert restored == told(furnished, room)
    assert measured == []
    again.store.close()


def test_what_was_measured_goes_with_the_room_and_with_a_photo(desk: Desk, user: User) -> None:
    """On both databases."""
    first, second = (rooms.create_room(desk.store, user.id, name=n, document={}, stage="new") for n in "ab")
    for room in (first, second):
        keep_measurement(desk.store, room, StoredMeasurement("1" * 64, "2" * 64, "text", ({"surface": "x"},)))
        keep_measurement(desk.store, room, StoredMeasurement("1" * 64, "3" * 64, "other"))
    assert measurement_of(desk.store, first) == StoredMeasurement("1" * 64, "3" * 64, "other")
    rooms.delete_room(desk.store, user.id, first)
    keep_measurement(desk.store, first, StoredMeasurement("1" * 64, "2" * 64, "of a room that is gone"))
    assert measurement_of(desk.store, first) is None
    assert measurement_of(desk.store, second) is not None
