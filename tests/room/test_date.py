"""The day that a room names: kept by drafts and archives, and what is none refused."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from matcher.errors import RoomFileError
from matcher.room.archive import pack, unpacked
from matcher.room.contents import a_day
from matcher.room.draft import checked_draft, draft_toml
from matcher.room.reading import read_document, read_room

ROOM = """
[room]
name = "Hall"
date = "2028-02-29"

[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]
"""


def test_drafts_and_archives_keep_it(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    draft = checked_draft(read_document(path))
    assert tomllib.loads(draft_toml(draft))["room"]["date"] == "2028-02-29"
    packed = tmp_path / "room.zip"
    packed.write_bytes(pack(draft, {}, {}))
    with unpacked(packed) as unpacked_path:
        assert read_room(unpacked_path).room.date == "2028-02-29"


@pytest.mark.parametrize("text", ["2027-02-29", "20280229", "2028-2-9", "1899-12-31", "2200-01-01", "\u0662028-02-29"])
def test_what_is_no_day_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(ValueError, match="is no day"):
        a_day(text)
    path = tmp_path / "room.toml"
    path.write_text(ROOM.replace("2028-02-29", text), encoding="utf-8")
    with pytest.raises(RoomFileError, match=r"room\.date"):
        read_room(path)
