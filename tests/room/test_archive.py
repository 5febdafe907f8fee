"""A room's zip: whatever is inside one, only a room comes out, and only to where it was asked for."""

from __future__ import annotations

import contextlib
import io
import stat
import time
import warnings
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.errors import PhotoError, Problem, RoomFileError
from matcher.room.archive import Limits, open_archive, pack, unpacked
from matcher.room.reading import read_room

ROOM = '[room]\nname = "Zipped"\n[[photos]]\nfile = "photos/a.png"\n'
LIMITS = Limits(photos=3, photo_bytes=10_000)


def zipped(members: Mapping[str, str | bytes], *, packing: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return a zip of ``members`` as given, sensible or not."""
    stream = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # on a name that is there twice
        with zipfile.ZipFile(stream, "w", packing) as archive:
            for name, content in members.items():
                archive.writestr(zipfile.ZipInfo(name), content, packing)
    return stream.getvalue()


def everything(data: bytes, limits: Limits = LIMITS) -> dict[str, Any]:
    """Return all that can be had of a zip."""
    with open_archive(data, "room.zip", limits) as archive:
        return {
            "document": archive.document(),
            "photos": {name: archive.photo(name) for name in archive.photos},
            "brief": archive.json("brief.json"),
            "remark": archive.text("remark.txt"),
        }


GOOD: dict[str, str | bytes] = {
    "room.toml": ROOM,
    "photos/": "",
    "photos/a.png": b"png",
    "photos/unnamed.jpg": b"jpg",
    "brief.json": "{}",
    "result.json": "{}",
    "remark.txt": "north light",
}


def test_a_sound_zip_is_read_whole() -> None:
    assert everything(zipped(GOOD)) == {
        "document": {"room": {"name": "Zipped"}, "photos": [{"file": "photos/a.png"}]},
        "photos": {"a.png": b"png", "unnamed.jpg": b"jpg"},
        "brief": {},
        "remark": "north light",
    }


def test_all_but_the_room_file_may_be_left_out() -> None:
    found = everything(zipped({"room.toml": '\ufeff[room]\nname = "x"'}))
    assert found == {"document": {"room": {"name": "x"}}, "photos": {}, "brief": None, "remark": ""}


def test_packed_and_read_again_it_is_the_same(tmp_path: Path) -> None:
    """Points, text and numbers as TOML 1.0 spells them, read back by the standard library's own parser."""
    (tmp_path / "a").write_bytes(b"png")
    outline = [[812, 640], [901.25, 642], [-0.5, 1e-07], [1, 2, 3]]
    document = {
        "room": {"name": 'quotes " and \\ and [\n 1,\n 2,\n]'},
        "photos": [{"file": "a.png", "surfaces": [{"name": "tile", "outline": outline}]}, {"file": "b.png"}],
        "surfaces": [{"name": "floor", "lab": [55.0, 16.0, 30.0], "colours": [{"share": 0.7, "lab": [1, 2, 3]}]}],
    }
    empty = {**document, "pins": {}, "wishes": {"lrv": None}}
    data = pack(empty, {"a.png": tmp_path / "a", "b.png": tmp_path / "a"}, {"brief.json": "{}"})
    assert data == pack(empty, {"a.png": tmp_path / "a", "b.png": tmp_path / "a"}, {"brief.json": "{}"})
    with open_archive(data, "", LIMITS) as archive:
        assert "[901.25, 642]," in archive.text("room.toml")
        with pytest.raises(RoomFileError, match=r"room\.name"):
            archive.document()  # a name is one line
    document["room"] = {"name": 'quotes " and \\ and [ 1, 2 ]'}
    found = everything(pack(document, {"a.png": tmp_path / "a", "b.png": tmp_path / "a"}, {}))
    for photo in found["document"]["photos"]:
        photo["file"] = photo["file"].removeprefix("photos/")
    assert found["document"] == document


def test_the_members_of_a_packed_zip_are_closed_to_other_users(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"png")
    data = pack({"room": {"name": "x"}}, {"a.png": tmp_path / "a"}, {"remark.txt": "x"})
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {stat.S_IMODE(info.external_attr >> 16) for info in archive.infolist()} == {0o600}


NAMES = [
    "../evil.jpg",
    "/etc/passwd",
    "photos/../evil.jpg",
    "photos/sub/evil.jpg",
    "photos/..",
    "photos\\evil.jpg",
    "photos/C:evil.jpg",
    "photos/con.jpg",
    "photos/.hidden.jpg",
    "photos/trailing.jpg ",
    "photos//evil.jpg",
    "room.toml/",
    "notes.txt",
    "__MACOSX/room.toml",
    "PHOTOS/a.png",
]


@pytest.mark.parametrize("name", NAMES)
def test_members_that_are_no_part_of_a_room_are_refused(name: str, tmp_path: Path) -> None:
    data = zipped({**GOOD, name: b"evil"})
    with pytest.raises(RoomFileError, match=r"room\.zip: holds .* not part of a room"):
        everything(data)
    path = tmp_path / "inner" / "room.zip"
    path.parent.mkdir()
    path.write_bytes(data)
    with pytest.raises(RoomFileError), unpacked(path):
        pytest.fail("it was opened")
    assert [found.name for found in tmp_path.rglob("*")] == ["inner", "room.zip"]


def test_a_name_cut_at_a_zero_byte_is_refused() -> None:
    data = zipped({**GOOD, "photos/b.png#evil": b"x"}).replace(b"b.png#evil", b"b.png\0evil")
    with pytest.raises(RoomFileError, match="not part of a room"):
        everything(data)


def test_a_member_there_twice_is_refused() -> None:
    stream = io.BytesIO(zipped(GOOD))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(stream, "a") as archive:
            archive.writestr("photos/A.PNG", b"other")
    with pytest.raises(RoomFileError, match="twice"):
        everything(stream.getvalue())


def test_a_link_is_refused() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("room.toml", ROOM)
        info = zipfile.ZipInfo("photos/a.png")
        info.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(info, "/etc/passwd")
    with pytest.raises(RoomFileError, match="which is no file"):
        everything(stream.getvalue())


def test_bombs_are_refused_before_they_fill_anything() -> None:
    with pytest.raises(RoomFileError, match=r"of more than 10 kB"):
        everything(zipped({**GOOD, "photos/a.png": bytes(10_001)}))
    # One whose header lies about its size: the bytes are counted as they come.
    data = zipped({**GOOD, "photos/a.png": bytes(5_000_000)})
    lying = data.replace((5_000_000).to_bytes(4, "little"), (100).to_bytes(4, "little"))
    assert lying != data
    with pytest.raises(RoomFileError):
        everything(lying)
    with pytest.raises(RoomFileError, match="4 photos, more than the 3"):
        everything(zipped({**GOOD, **{f"photos/{n}.png": b"x" for n in range(2)}}))
    with pytest.raises(RoomFileError, match="more photos than the 3"):
        everything(zipped({"room.toml": ROOM, **{f"photos/{n}.png": b"x" for n in range(1000)}}))


@pytest.mark.parametrize("packing", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_unusual_packing_is_refused(packing: int) -> None:
    with pytest.raises(RoomFileError, match="unusual way"):
        everything(zipped(GOOD, packing=packing))


BROKEN: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "is not a zip"),
    "text": (b"this is not a zip", "is not a zip"),
    "cut short": (zipped(GOOD)[:-30], "is not a zip"),
    "no room": (zipped({"photos/a.png": b"x"}), "holds no room.toml"),
    "not TOML": (zipped({"room.toml": "name = "}), "not valid TOML"),
    "nested TOML": (zipped({"room.toml": "x = " + "[" * 5000 + "]" * 5000}), "nested too deeply"),
    "not UTF-8": (zipped({"room.toml": b"\xff"}), "not UTF-8"),
    "date": (zipped({"room.toml": '[room]\nname = "x"\nkind = 2020-01-01'}), "cannot be kept"),
    "unknown table": (zipped({"room.toml": '[room]\nname = "x"\n[extra]'}), "extra: is not a known key"),
    "missing photo": (zipped({"room.toml": ROOM}), "names what is not in it: 'photos/a.png'"),
    "photo elsewhere": (
        zipped({"room.toml": ROOM.replace("photos/a.png", "/etc/passwd")}),
        "names what is not in it: '/etc/passwd'",
    ),
    "brief no JSON": (zipped({**GOOD, "brief.json": "{"}), "brief.json is not valid JSON"),
    "brief nested": (zipped({**GOOD, "brief.json": "[" * 100_000}), "brief.json is not valid JSON"),
}


@pytest.mark.parametrize(("data", "words"), BROKEN.values(), ids=BROKEN.keys())
def test_what_is_no_room_is_refused_in_words(data: bytes, words: str) -> None:
    with pytest.raises(RoomFileError, match=words):
        everything(data)


SOUND = zipped(GOOD)
STORED = zipped(GOOD, packing=zipfile.ZIP_STORED)


@given(
    base=st.sampled_from([SOUND, STORED]),
    changes=st.lists(st.tuples(st.integers(0, len(STORED) - 1), st.integers(0, 255)), min_size=1, max_size=8),
    cut=st.integers(0, len(STORED)) | st.none(),
)
@settings(max_examples=300, deadline=None)
def test_a_damaged_zip_is_read_or_refused_in_words(
    base: bytes, changes: list[tuple[int, int]], cut: int | None
) -> None:
    data = bytearray(base)
    for place, value in changes:
        data[place % len(data)] = value
    with contextlib.suppress(RoomFileError):
        everything(bytes(data[:cut]))


@given(names=st.lists(st.text(max_size=15) | st.sampled_from(NAMES), max_size=4))
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_is_ever_written_outside(names: list[str], tmp_path: Path) -> None:
    try:
        data = zipped({"room.toml": '[room]\nname = "x"', **{f"photos/{name}": b"x" for name in names}})
    except (UnicodeEncodeError, ValueError):
        return  # what the library cannot even write
    (tmp_path / "target").mkdir(exist_ok=True)
    target = tmp_path / "target"
    with contextlib.suppress(RoomFileError), open_archive(data, "", Limits()) as archive:
        archive.extract(target)
    assert [path.name for path in tmp_path.iterdir()] == ["target"]
    for path in sorted(target.rglob("*"), reverse=True):
        assert path.is_relative_to(target)
        path.rmdir() if path.is_dir() else path.unlink()


def test_errors_inside_name_the_zip(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.zip"
    path.write_bytes(zipped(GOOD))
    with pytest.raises(RoomFileError) as refused, unpacked(path) as inside:
        read_room(inside)
    assert "photos/a.png is not a picture" in str(refused.value)
    with pytest.raises(PhotoError, match=f"^{path}/photos/a.png: is bad$"), unpacked(path) as inside:
        raise PhotoError(Problem(str(inside.parent / "photos" / "a.png"), "is bad"))
    assert not inside.parent.exists()


def test_a_room_file_is_given_as_it_is(tmp_path: Path) -> None:
    for name in ("room.toml", "none.zip"):
        with unpacked(tmp_path / name) as path:
            assert path == tmp_path / name


def test_a_zip_of_twenty_thousand_members_is_refused_before_they_are_listed(tmp_path: Path) -> None:
    members = {"room.toml": ROOM, **{f"photos/{number:05}.png": b"" for number in range(20_000)}}
    path = tmp_path / "room.zip"
    path.write_bytes(zipped(members))
    begun = time.perf_counter()
    for source in (path, path.read_bytes()):
        with pytest.raises(RoomFileError, match=r"holds a list of files of 1\.\d+ MB: more photos than the 500"):
            everything_of(source)
    assert time.perf_counter() - begun < 2


def everything_of(source: Path | bytes) -> None:
    with open_archive(source, "room.zip", Limits()) as archive:
        archive.document()


def test_a_thousand_members_are_counted_before_they_are_looked_at() -> None:
    with pytest.raises(RoomFileError, match="holds 1,001 files: more photos than the 500"):
        everything_of(zipped({"room.toml": ROOM, **{f"photos/{number}.png": b"" for number in range(1000)}}))


def test_all_photos_together_have_a_limit() -> None:
    data = zipped({**GOOD, "photos/a.png": bytes(600), "photos/unnamed.jpg": bytes(600)})
    with pytest.raises(RoomFileError, match="holds photos of more than 1 kB together"):
        everything(data, Limits(photos=3, photo_bytes=1000, all_bytes=1000))
    assert len(everything(data, Limits(photos=3, photo_bytes=1000, all_bytes=1200))["photos"]) == 2


def test_texts_in_a_zip_have_their_own_limits() -> None:
    for name, words in (("brief.json", "more than 200 kB"), ("remark.txt", "more than 200 kB"), ("room.toml", "10 MB")):
        with pytest.raises(RoomFileError, match=f"holds '{name}' of .*{words}"):
            everything(zipped({**GOOD, name: b" " * 10_000_001}))


def test_a_number_of_thousands_of_digits_in_a_zip() -> None:
    with pytest.raises(RoomFileError, match=r"room\.toml: holds a number of thousands of digits"):
        everything(zipped({"room.toml": f'[room]\nname = "x"\nlatitude = {"9" * 5000}\n'}))
