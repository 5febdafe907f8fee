"""Changes to a file: blind ones, and ones that know where its parts begin and where their lengths stand."""

from __future__ import annotations

import random
import struct
import zlib
from collections.abc import Iterator

# Where parts begin: a part's length, type and size fields lie in its first bytes.
_HEAD_BYTES = 28
_WITH_BOXES = {b"meta": 12, b"iprp": 8, b"ipco": 8, b"iinf": 14, b"iref": 12}
_PNG = b"\x89PNG\r\n\x1a\n"
_NUMBERS = (0, 1, 2, 3, 7, 64, 127, 128, 255, 256, 4095, 32767, 32768, 65535, 65536, 10**6, 0x7FFFFFFF, 0x80000000)
_MOST = 0xFFFFFFFF


def changed(data: bytes, rng: random.Random) -> bytes:
    """Return the file with one to four changes."""
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        data = rng.choice((_blind, _number, _number, _rearranged))(data, rng)
    return _with_checksums(data) if data.startswith(_PNG) and rng.random() < 0.9 else data


def _blind(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    kind = rng.randrange(4)
    if kind == 0:
        return data[:at]
    new = rng.randbytes(rng.randrange(1, 9))
    return data[:at] + new + data[at + (len(new) if kind > 1 else 0) :]


def _number(data: bytes, rng: random.Random) -> bytes:
    """Put a number that is often wrong where a part has its fields."""
    start, end = rng.choice(parts(data) or [(0, len(data))])
    at = start + rng.randrange(max(1, min(_HEAD_BYTES, end - start)))
    size, order = rng.choice((1, 2, 4, 4, 8)), rng.choice(("big", "little"))
    value = rng.choice((*_NUMBERS, _MOST, _MOST - 7, len(data), len(data) - at, rng.getrandbits(32)))
    return data[:at] + (value % 256**size).to_bytes(size, order) + data[at + size :]


def _rearranged(data: bytes, rng: random.Random) -> bytes:
    """Leave a part out, repeat it, or put it elsewhere."""
    found = parts(data)
    if len(found) < 2:
        return _blind(data, rng)
    (start, end), (there, _) = rng.choice(found), rng.choice(found)
    part = data[start:end]
    kind = rng.randrange(3)
    if kind == 0:
        return data[:start] + data[end:]
    if kind == 1:
        return data[:end] + part * rng.choice((1, 1, 2, 50)) + data[end:]
    return data[:there] + part + data[there:]


def parts(data: bytes) -> list[tuple[int, int]]:
    """Return where the chunks, segments, directory entries or boxes of a file begin and end, as far as they do."""
    if data.startswith(_PNG):
        return list(_chunks(data, 8, ">I", 12, 0, 1))
    if data[:4] == b"RIFF":
        return list(_chunks(data, 12, "<I", 8, 4, 2))
    if data[:2] == b"\xff\xd8":
        return list(_segments(data))
    if data[:2] in (b"II", b"MM"):
        return list(_entries(data))
    return list(_boxes(data, 0, len(data)))


def _chunks(data: bytes, at: int, form: str, frame: int, offset: int, even: int) -> Iterator[tuple[int, int]]:
    while at + frame <= len(data):
        (length,) = struct.unpack_from(form, data, at + offset)
        end = at + frame + length + (-length) % even
        yield at, min(end, len(data))
        at = end


def _segments(data: bytes) -> Iterator[tuple[int, int]]:
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        end = at + 2 + struct.unpack_from(">H", data, at + 2)[0]
        yield at, min(end, len(data))
        if data[at + 1] == 0xDA:
            end = data.find(b"\xff", end)
            while 0 <= end < len(data) - 1 and data[end + 1] in (0, *range(0xD0, 0xD8)):
                end = data.find(b"\xff", end + 2)
            if end < 0:
                return
        at = max(end, at + 2)


def _entries(data: bytes) -> Iterator[tuple[int, int]]:
    order = "<" if data[:2] == b"II" else ">"
    if len(data) < 10:
        return
    big = data[2:4] in (b"+\0", b"\0+")
    (at,) = struct.unpack_from(f"{order}{'Q' if big else 'I'}", data, 8 if big else 4) if len(data) > 16 else (0,)
    head, size = (8, 20) if big else (2, 12)
    if at + head > len(data):
        return
    (count,) = struct.unpack_from(f"{order}{'Q' if big else 'H'}", data, at)
    yield at, at + head
    for index in range(min(count, 64)):
        start = at + head + size * index
        if start + size <= len(data):
            yield start, start + size


def _boxes(data: bytes, at: int, end: int) -> Iterator[tuple[int, int]]:
    while at + 8 <= end:
        (length,), kind = struct.unpack_from(">I", data, at), data[at + 4 : at + 8]
        after = at + max(length, 8)
        yield at, min(after, end)
        if kind in _WITH_BOXES:
            yield from _boxes(data, at + _WITH_BOXES[kind], min(after, end))
        at = after


def _with_checksums(data: bytes) -> bytes:
    """Return the PNG with the checksum of every chunk made right: else hardly any change gets past it."""
    whole = bytearray(data)
    for start, end in parts(data):
        if end - start >= 12:
            whole[end - 4 : end] = struct.pack(">I", zlib.crc32(data[start + 4 : end - 4]))
    return bytes(whole)
