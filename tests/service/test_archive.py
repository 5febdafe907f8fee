"""One room out of the store and back in, and on to the command line."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import GivensError, NotFoundError, PhotoError, RequestError, RoomFileError
from matcher.service.archive import import_room
from matcher.service.client import add_client_photo, answer, make_link, save_brief
from matcher.service.desk import (
    Desk,
    add_photo,
    list_rooms,
    load_room,
    new_room,
    photo_path,
    save_document,
    save_remark,
)
from matcher.store.stored import User
from tests.room.test_archive import zipped
from tests.service.pictures import picture, with_location
from tests.service.zipped_room import zipped_room


def full_room(desk: Desk, user: User) -> str:
    """Return a room in which everything that a zip holds has been said."""
    room_id = new_room(desk, user, "Alder Row kitchen")
    token = make_link(desk, user, room_id)
    for name, data in (("worktop.jpg", with_location()), ("floor.png", picture(2, kind="PNG"))):
        add_client_photo(desk, token, data, name)
    save_brief(desk, token, {"facing": "N", "stays": ["oak floor"]})
    save_remark(desk, user, room_id, "north light,\nlow ceiling")
    room = load_room(desk, user, room_id)
    room.document["photos"][0]["surfaces"] = [{"name": "worktop", "material": "stone", "outline": [[1, 2.5], [3, 4]]}]
    save_document(desk, user, room_id, room.document, revision=room.revision)
    return room_id


def test_a_room_comes_back_as_it_was(desk: Desk, user: User, other: User) -> None:
    room_id = full_room(desk, user)
    data = zipped_room(desk, user, room_id, result={"format": "givens-result/1"})
    was, came = load_room(desk, user, room_id), load_room(desk, other, import_room(desk, other, data))
    assert (came.name, came.document, came.brief, came.remark) == (was.name, was.document, was.brief, was.remark)
    assert [(photo.name, photo.sha, photo.verdict) for photo in came.photos] == [
        (photo.name, photo.sha, photo.verdict) for photo in was.photos
    ]
    assert photo_path(desk, came.id, came.photos[0].sha).read_bytes() == with_location()
    assert (came.answers, came.shared) == ((), None)


def test_the_zip_holds_what_belongs_in_it_and_repeats(desk: Desk, user: User) -> None:
    room_id = full_room(desk, user)
    data = zipped_room(desk, user, room_id, result={"format": "givens-result/1"})
    assert data == zipped_room(desk, user, room_id, result={"format": "givens-result/1"})
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == [
            "room.toml",
            "brief.json",
            "remark.txt",
            "result.json",
            "photos/worktop.jpg",
            "photos/floor.png",
        ]
        assert archive.read("photos/worktop.jpg") == with_location()
        assert json.loads(archive.read("brief.json")) == {"facing": "N", "stays": ["oak floor"]}
        assert 'file = "photos/worktop.jpg"' in archive.read("room.toml").decode()


def test_somebody_elses_room_is_not_exported(desk: Desk, user: User, other: User) -> None:
    room_id = full_room(desk, user)
    with pytest.raises(NotFoundError):
        zipped_room(desk, other, room_id)


def test_exporting_leaves_the_news_unread(desk: Desk, user: User) -> None:
    room_id = full_room(desk, user)
    answer(desk, make_link(desk, user, room_id), "like", "")
    zipped_room(desk, user, room_id)
    assert list_rooms(desk, user)[0].unread


def test_photos_of_one_content_become_one(desk: Desk, user: User) -> None:
    room = '[room]\nname = "x"\n[[photos]]\nfile = "photos/a.jpg"\n[[photos]]\nfile = "photos/b.jpg"\n'
    members = {"room.toml": room, **{f"photos/{name}.jpg": picture() for name in "ab"}, "photos/c.jpg": picture(1)}
    found = load_room(desk, user, import_room(desk, user, zipped(members)))
    assert [entry["file"] for entry in found.document["photos"]] == ["a.jpg", "a.jpg", "c.jpg"]
    assert [photo.name for photo in found.photos] == ["a.jpg", "c.jpg"]


ROOM = '[room]\nname = "x"\n[[photos]]\nfile = "photos/a.jpg"\n'
SPOILT: dict[str, tuple[dict[str, Any], type[GivensError], str]] = {
    "a photo that is none": ({"photos/a.jpg": b"text"}, PhotoError, "a.jpg: is not a photo"),
    "the second photo is none": ({"photos/b.jpg": b"text"}, PhotoError, "b.jpg: is not a photo"),
    "a photo that is too large": ({"photos/b.jpg": bytes(1_000_001)}, RoomFileError, "more than 1 MB"),
    "too many photos": ({f"photos/{n}.jpg": picture(n) for n in range(4)}, RoomFileError, "5 photos, more than the 4"),
    "a brief that is none": ({"brief.json": '{"facing": "up"}'}, RequestError, "facing"),
    "a brief that is a list": ({"brief.json": "[1]"}, RequestError, "table"),
    "a remark without end": ({"remark.txt": "x" * 9000}, RequestError, "9000 characters"),
    "a stray file": ({"notes.txt": "x"}, RoomFileError, "not part of a room"),
}


@pytest.mark.parametrize(("spoilt", "error", "words"), SPOILT.values(), ids=SPOILT.keys())
def test_a_zip_with_a_mistake_adds_nothing(
    desk: Desk, user: User, spoilt: dict[str, Any], error: type[GivensError], words: str
) -> None:
    with pytest.raises(error, match=words):
        import_room(desk, user, zipped({"room.toml": ROOM, "photos/a.jpg": picture(), **spoilt}))
    assert list_rooms(desk, user) == ()
    assert [path for path in (desk.settings.folder / "photos").rglob("*") if path.is_file()] == []
    assert [path for path in (desk.settings.folder / "incoming").rglob("*") if path.is_file()] == []


def card_and_stone() -> bytes:
    """Return a photo of an even grey card beside an even surface, with some noise."""
    noise = np.random.default_rng(3).normal(0, 3, (600, 800, 3))
    pixels = np.empty((600, 800, 3))
    pixels[:, :400], pixels[:, 400:] = (118, 118, 118), (180, 170, 150)
    stream = io.BytesIO()
    Image.fromarray(np.clip(np.rint(pixels + noise), 0, 255).astype(np.uint8)).save(stream, "JPEG", quality=95)
    return stream.getvalue()


MARKS: dict[str, Any] = {
    "references": [
        {"kind": "grey card", "reflectance": 0.18, "outline": [[60, 60], [340, 60], [340, 540], [60, 540]]},
    ],
    "surfaces": [
        {"name": "worktop", "material": "stone", "outline": [[460, 60], [740, 60], [740, 540], [460, 540]]},
    ],
    "areas": [],
}


@pytest.fixture
def exported(desk: Desk, user: User, tmp_path: Path) -> Path:
    """A room marked ready to measure, as a zip."""
    room_id = new_room(desk, user, "Zipped kitchen")
    add_photo(desk, room_id, card_and_stone(), "photo.jpg", by="consultant")
    room = load_room(desk, user, room_id)
    document = {**room.document, "photos": [{"file": "photo.jpg", "whole_room": True, **MARKS}]}
    save_document(desk, user, room_id, document, revision=room.revision)
    path = tmp_path / "room.zip"
    path.write_bytes(zipped_room(desk, user, room_id))
    return path


@pytest.mark.parametrize("settings", ["sqlite"], indirect=True)
def test_the_command_line_reads_the_zip_as_it_reads_the_room_file(exported: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(exported) as archive:
        archive.extractall(tmp_path / "by hand")
    results = []
    for room in (exported, tmp_path / "by hand" / "room.toml"):
        done = CliRunner().invoke(app, ["surface", str(room), "--json", "-q"], catch_exceptions=False)
        assert done.exit_code == 0
        results.append(done.stdout)
    assert results[0] == results[1]
    assert [surface["name"] for surface in json.loads(results[0])["surfaces"]] == ["worktop"]
    done = CliRunner().invoke(app, ["shortlist", str(exported), "--out", str(tmp_path / "out"), "--json", "-q"])
    assert done.exit_code == 0
    assert list(json.loads(done.stdout)["shortlists"]) == ["walls", "trim"]
