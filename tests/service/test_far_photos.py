"""A room whose photos lie in a bucket: sent, shown, outlined, measured and exported as from the folder."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from matcher.errors import PhotoError
from matcher.recall import Recall
from matcher.service import live
from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, display_jpeg, load_room, new_room, open_desk, photo_path
from matcher.service.records import User
from matcher.settings import Settings
from tests.service.pictures import picture
from tests.service.zipped_room import zipped_room
from tests.store.bucket import bucket, s3_server

__all__ = ["bucket", "s3_server"]


@pytest.fixture
def desk(bucket: str, tmp_path: Path) -> Iterator[Desk]:
    opened = open_desk(Settings(folder=tmp_path / "data", photo_address=bucket, upload_limit_mb=1))
    with closing(opened.store):
        yield opened


@pytest.fixture
def user(desk: Desk) -> User:
    return local_user(desk)


def test_a_room_is_worked_on_as_if_its_photos_lay_here_and_one_that_is_gone_is_named(
    desk: Desk, user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    room_id = new_room(desk, user, "Alder Row kitchen")
    sent = {name: picture(seed) for seed, name in enumerate(("floor.jpg", "tile.jpg"))}
    shas = {name: add_photo(desk, room_id, data, name, by="client").sha for name, data in sent.items()}
    # As on another server: nothing is near, nothing remembered.
    desk.store.photos.close()
    for name in ("_photos", "_surveys", "_graphs"):
        monkeypatch.setattr(live, name, Recall(9))
    assert not photo_path(desk, room_id, shas["tile.jpg"]).exists()
    shown = display_jpeg(desk, room_id, shas["tile.jpg"])
    assert shown.startswith(b"\xff\xd8")
    assert display_jpeg(desk, room_id, shas["tile.jpg"]) == shown
    room = load_room(desk, user, room_id)
    live.proposed(desk, room, shas["tile.jpg"], [[(40.0, 40.0), (60.0, 50.0)]], [], tolerance=0.5)
    assert len(live.survey_of(desk, room).measurement.photos) == 2
    with zipfile.ZipFile(io.BytesIO(zipped_room(desk, user, room_id))) as zipped:
        assert {name: zipped.read(f"photos/{name}") for name in sent} == sent
    desk.store.photos.forget(shas["floor.jpg"], ".jpg")
    monkeypatch.setattr(live, "_photos", Recall(9))
    monkeypatch.setattr(live, "_surveys", Recall(9))
    with pytest.raises(PhotoError) as refused:
        live.survey_of(desk, room)
    (problem,) = refused.value.problems
    assert str(problem).startswith("floor.jpg: is gone from where photos are kept. Bring it back from a backup")
    assert display_jpeg(desk, room_id, shas["tile.jpg"], longest_side=64).startswith(b"\xff\xd8")
