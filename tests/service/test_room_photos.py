"""Photos sent to a room: what is taken, under which name, untouched, and what is shown of them."""

from __future__ import annotations

import hashlib
import io
import os
import stat
import unicodedata
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from PIL import ExifTags, Image

from matcher.errors import GivensError, NotFoundError, PhotoError, RequestError
from matcher.service import check_photo
from matcher.service.desk import (
    Desk,
    add_photo,
    delete_room,
    display_jpeg,
    list_rooms,
    load_room,
    new_room,
    photo_path,
    remove_photo,
    save_document,
)
from matcher.store.stored import User
from tests.photo.simulated_raw import write_dng
from tests.service.pictures import picture, with_location


@pytest.fixture
def room_id(desk: Desk, user: User) -> str:
    return new_room(desk, user, "Alder Row kitchen")


def files(desk: Desk) -> list[Path]:
    """Return every file of the photo folders."""
    folder = desk.settings.folder
    return [path for part in ("photos", "incoming", "display") for path in (folder / part).rglob("*") if path.is_file()]


def test_a_photo_is_kept_byte_for_byte_under_its_hash(desk: Desk, user: User, room_id: str) -> None:
    data = with_location()
    photo = add_photo(desk, room_id, data, "tile.jpg", by="client")
    path = photo_path(desk, room_id, photo.sha)
    assert path.read_bytes() == data
    assert photo.sha == hashlib.sha256(data).hexdigest()
    assert path == desk.settings.folder / "photos" / photo.sha[:2] / f"{photo.sha}.jpg"
    assert (photo.name, photo.width, photo.height, photo.by) == ("tile.jpg", 90, 120, "client")  # held sideways
    room = load_room(desk, user, room_id)
    assert room.photos == (photo,)
    assert room.document["photos"] == [{"file": "tile.jpg"}]
    assert room.revision == 2


def test_camera_raw_is_kept_under_its_own_name_and_shown(desk: Desk, room_id: str, tmp_path: Path) -> None:
    linear = np.full((120, 180, 3), 0.3)
    linear[:, 90:] = 0.1
    data = write_dng(tmp_path / "raw", linear, matrix=np.eye(3), neutral=np.ones(3)).read_bytes()
    photo = add_photo(desk, room_id, data, "Worktop.NEF", by="client")
    assert (photo.name, photo.width, photo.height) == ("Worktop.NEF", 180, 120)
    assert photo_path(desk, room_id, photo.sha).read_bytes() == data
    with Image.open(io.BytesIO(display_jpeg(desk, room_id, photo.sha))) as shown:
        assert shown.size == (180, 120)
    assert "camera raw" in [check["check"] for check in photo.verdict["checks"]]
    # What is raw inside gets a raw file's ending.
    other = add_photo(desk, room_id, data[:-1] + b"\1", "Tile.jpg", by="client")
    assert other.name == "Tile.raw"


def test_the_verdict_is_what_the_photo_check_says_without_a_path(desk: Desk, room_id: str, tmp_path: Path) -> None:
    (tmp_path / "tile.jpg").write_bytes(picture())
    wanted = check_photo(tmp_path / "tile.jpg")
    del wanted["file"]
    photo = add_photo(desk, room_id, picture(), "tile.jpg", by="client")
    assert photo.verdict == wanted
    assert str(desk.settings.folder) not in repr(photo)


@pytest.mark.parametrize(
    ("kind", "suffix"), [("JPEG", ".jpg"), ("PNG", ".png"), ("TIFF", ".tif"), ("WEBP", ".webp"), ("HEIF", ".heic")]
)
def test_the_suffix_says_what_the_content_is(desk: Desk, room_id: str, kind: str, suffix: str) -> None:
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    photo = add_photo(desk, room_id, picture(kind=kind), "tile.bmp", by="client")
    assert photo.name == f"tile{suffix}"
    assert photo_path(desk, room_id, photo.sha).suffix == suffix


def test_the_same_bytes_twice_are_one_photo(desk: Desk, user: User, room_id: str) -> None:
    first = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    assert add_photo(desk, room_id, picture(), "b.jpg", by="client") == first
    assert add_photo(desk, room_id, picture(), "b.jpg", by="consultant") == first
    assert load_room(desk, user, room_id).revision == 2


def test_the_same_bytes_sent_many_times_at_once_are_one_photo(desk: Desk, user: User, room_id: str) -> None:
    with ThreadPoolExecutor(4) as pool:
        sent = list(
            pool.map(lambda number: add_photo(desk, room_id, picture(), f"{number}.jpg", by="client"), range(4))
        )
    assert len({photo.name for photo in sent}) == 1
    assert len(load_room(desk, user, room_id).photos) == 1


def test_photos_sent_at_once_are_all_in_the_draft(desk: Desk, user: User, room_id: str) -> None:
    with ThreadPoolExecutor(4) as pool:
        sent = list(pool.map(lambda seed: add_photo(desk, room_id, picture(seed), "a.jpg", by="client"), range(4)))
    names = {photo.name for photo in sent}
    assert names == {"a.jpg", "a-2.jpg", "a-3.jpg", "a-4.jpg"}
    room = load_room(desk, user, room_id)
    assert {entry["file"] for entry in room.document["photos"]} == names
    assert room.revision == 5


REFUSED = {
    "text under a photo's name": (b"this is not a picture\n" * 100, "tile.jpg: is not a photo"),
    "nothing": (b"", "tile.jpg: is empty"),
    "cut short": (picture(size=(400, 300))[:5000], "tile.jpg: is damaged"),
    "a thumbnail": (picture(size=(32, 32)), "tile.jpg: is 32 x 32 pixels, too small"),
    "more than is taken": (picture() + bytes(1_000_000), r"tile.jpg: is 1.0 MB, more than the 1 MB"),
}


@pytest.mark.parametrize(("data", "words"), REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_photo_is_refused_under_its_name_and_leaves_nothing(
    desk: Desk, user: User, room_id: str, data: bytes, words: str
) -> None:
    with pytest.raises(PhotoError, match=words) as refused:
        add_photo(desk, room_id, data, r"C:\photos\tile.jpg", by="client")
    assert str(desk.settings.folder) not in str(refused.value)
    assert load_room(desk, user, room_id).revision == 1
    assert files(desk) == []


def test_a_full_room_takes_no_more(desk: Desk, user: User, room_id: str) -> None:
    for seed in range(4):
        add_photo(desk, room_id, picture(seed), "a.jpg", by="client")
    with pytest.raises(RequestError, match="holds 4 photos, the most"):
        add_photo(desk, room_id, picture(4), "a.jpg", by="client")
    assert add_photo(desk, room_id, picture(3), "a.jpg", by="client").name == "a-4.jpg"
    assert len(files(desk)) == 4


def test_a_full_room_takes_no_more_even_at_once(desk: Desk, user: User, room_id: str) -> None:
    def send(seed: int) -> bool:
        try:
            add_photo(desk, room_id, picture(seed), "a.jpg", by="client")
        except RequestError:
            return False
        return True

    with ThreadPoolExecutor(7) as pool:
        assert sum(pool.map(send, range(7))) == 4
    assert len(load_room(desk, user, room_id).photos) == len(files(desk)) == 4


def test_no_photo_for_a_room_that_is_not_there(desk: Desk) -> None:
    with pytest.raises(NotFoundError):
        add_photo(desk, "0" * 32, picture(), "a.jpg", by="client")
    assert files(desk) == []


def test_a_removed_photo_leaves_the_draft_and_the_disk(desk: Desk, user: User, other: User, room_id: str) -> None:
    kept, gone = (add_photo(desk, room_id, picture(seed), f"{seed}.jpg", by="client") for seed in range(2))
    display_jpeg(desk, room_id, gone.sha)
    with pytest.raises(NotFoundError):
        remove_photo(desk, other, room_id, gone.sha)
    remove_photo(desk, user, room_id, gone.sha)
    room = load_room(desk, user, room_id)
    assert room.document["photos"] == [{"file": kept.name}]
    assert (room.photos, room.revision) == ((kept,), 4)
    assert files(desk) == [photo_path(desk, room_id, kept.sha)]
    with pytest.raises(NotFoundError):
        remove_photo(desk, user, room_id, gone.sha)


def test_a_photo_of_two_rooms_stays_until_the_last_one_goes(desk: Desk, user: User, other: User, room_id: str) -> None:
    second = new_room(desk, other, "second")
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    add_photo(desk, second, picture(), "b.jpg", by="client")
    remove_photo(desk, user, room_id, photo.sha)
    assert photo_path(desk, second, photo.sha).read_bytes() == picture()
    delete_room(desk, other, second)
    assert files(desk) == []


def test_another_rooms_photo_is_not_given_out(desk: Desk, user: User, other: User, room_id: str) -> None:
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    second = new_room(desk, other, "second")
    for sha in (photo.sha, "", "../" + photo.sha, photo.sha.upper(), "\0"):
        with pytest.raises(NotFoundError, match="no such photo"):
            photo_path(desk, second, sha)
        with pytest.raises(NotFoundError, match="no such photo"):
            display_jpeg(desk, second, sha)


def test_marks_of_other_photos_outlive_a_removal(desk: Desk, user: User, room_id: str) -> None:
    kept, gone = (add_photo(desk, room_id, picture(seed), f"{seed}.jpg", by="client") for seed in range(2))
    room = load_room(desk, user, room_id)
    marked = {"file": kept.name, "surfaces": [{"name": "floor", "material": "timber", "outline": []}]}
    document = {**room.document, "photos": [marked, {"file": gone.name, "surfaces": [{"name": "tile"}]}]}
    save_document(desk, user, room_id, document, revision=room.revision)
    assert list_rooms(desk, user)[0].surfaces == 2
    remove_photo(desk, user, room_id, gone.sha)
    assert load_room(desk, user, room_id).document["photos"] == [marked]
    assert list_rooms(desk, user)[0].surfaces == 1


def test_what_is_shown_is_upright_and_says_nothing_about_its_owner(desk: Desk, room_id: str) -> None:
    data = with_location()
    for trace in (b"Invented Owner", b"Invented Camera", b"Invented comment"):
        assert trace in data
    photo = add_photo(desk, room_id, data, "tile.jpg", by="client")
    shown = display_jpeg(desk, room_id, photo.sha, longest_side=100)
    image = Image.open(io.BytesIO(shown))
    assert image.size == (75, 100)
    assert (dict(image.getexif()), image.getexif().get_ifd(ExifTags.IFD.GPSInfo)) == ({}, {})
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    for trace in (b"Invented", b"Exif", b"http", b"ICC_PROFILE"):
        assert trace not in shown


def test_what_is_shown_is_made_once(desk: Desk, room_id: str, monkeypatch: pytest.MonkeyPatch) -> None:
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    small, large = (display_jpeg(desk, room_id, photo.sha, longest_side=side) for side in (64, 100))
    assert small != large
    monkeypatch.setattr("matcher.photo.display.display_jpeg", None)
    assert display_jpeg(desk, room_id, photo.sha, longest_side=64) == small
    assert display_jpeg(desk, room_id, photo.sha, longest_side=100) == large


def test_a_photo_removed_while_its_picture_is_made_leaves_nothing(
    desk: Desk, user: User, room_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")

    def make(path: Path, *, longest_side: int) -> bytes:
        remove_photo(desk, user, room_id, photo.sha)
        return b"picture"

    monkeypatch.setattr("matcher.photo.display.display_jpeg", make)
    display_jpeg(desk, room_id, photo.sha)
    assert files(desk) == []


@pytest.mark.parametrize("side", [0, 63, 4097, -1])
def test_sizes_that_nobody_needs_are_refused(desk: Desk, room_id: str, side: int) -> None:
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    with pytest.raises(RequestError, match="between 64 and 4096"):
        display_jpeg(desk, room_id, photo.sha, longest_side=side)


def test_everything_is_closed_to_other_users(desk: Desk, room_id: str) -> None:
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    display_jpeg(desk, room_id, photo.sha)
    folder = desk.settings.folder
    everything = [folder, *folder.rglob("*")]
    assert len(everything) > 6
    for path in everything:
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path


def test_a_disk_that_fails_leaves_nothing_half_written(
    desk: Desk, user: User, room_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RequestError, match="No space left"):
        add_photo(desk, room_id, picture(), "a.jpg", by="client")
    monkeypatch.undo()
    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(GivensError, match="No space left"):
        add_photo(desk, room_id, picture(), "a.jpg", by="client")
    monkeypatch.undo()
    assert load_room(desk, user, room_id).document["photos"] == []
    assert files(desk) == []


names = st.text(max_size=40) | st.text(
    st.sampled_from("/\\.:\0 ~%ab\u202e\u0301\u00e9\ud800\U0001f3a8nulcom1"), max_size=12
)


# A few of each: names alone are tried by the hundred in tests/room/test_photo_name.py, here each costs a photo checked.
@given(sent=st.lists(names, min_size=2, max_size=3))
@hypothesis_settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_name_is_made_a_safe_one_of_its_own(desk: Desk, user: User, tmp_path: Path, sent: list[str]) -> None:
    room_id = new_room(desk, user, "x")
    kept = [add_photo(desk, room_id, picture(seed), name, by="client").name for seed, name in enumerate(sent)]
    assert len({unicodedata.normalize("NFC", name.casefold()) for name in kept}) == len(sent)
    folder = tmp_path / "copies"
    folder.mkdir(exist_ok=True)
    for name in kept:
        (folder / name).write_bytes(b"")
        assert (folder / name).parent.resolve() == folder.resolve()
    assert sorted(os.listdir(folder)) == sorted(kept)
    for name in kept:
        (folder / name).unlink()
    assert [entry["file"] for entry in load_room(desk, user, room_id).document["photos"]] == kept
    delete_room(desk, user, room_id)
