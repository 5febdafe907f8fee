"""Files are measured before they are read, and whatever goes on for ever is read up to its limit only."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from matcher.errors import DeckError
from matcher.opening import read_bytes


def read(path: Path, most: int) -> bytes:
    return read_bytes(path, DeckError, "a deck file", "Name the file in it.", most=most)


def test_as_much_as_is_allowed_is_read_and_no_more(tmp_path: Path) -> None:
    path = tmp_path / "deck.csv"
    path.write_bytes(b"x" * 3_000_000)
    assert read(path, 3_000_000) == b"x" * 3_000_000
    with pytest.raises(
        DeckError, match=r"is 3 MB, more than the 2 MB that a deck file may have\. Check that it is the r"
    ):
        read(path, 2_000_000)


def test_a_file_of_a_terabyte_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "deck.csv"
    with path.open("wb") as file:
        file.truncate(10**12)  # a hole, which takes no room on the disk
    with pytest.raises(DeckError, match="is 1,000 GB, more than the 1 MB"):
        read(path, 10**6)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no such device")
def test_a_device_without_end_is_read_up_to_the_limit() -> None:
    with pytest.raises(DeckError, match=r"/dev/zero: is more than the 64 kB that a deck"):
        read(Path("/dev/zero"), 64_000)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_read_to_its_end(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=pipe.write_bytes, args=(b"y" * 200_000,))
    writer.start()
    assert read(pipe, 200_000) == b"y" * 200_000
    writer.join()
