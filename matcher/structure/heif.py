"""The boxes of a HEIF file (ISO/IEC 14496-12, 4.2; 23008-12): lengths, and the sizes of the pictures in it."""

from __future__ import annotations

import struct
from collections.abc import Iterator

from matcher.structure.false_length import FalseLengthError

# Those whose content is boxes again, on the way to the pictures' sizes, each with the bytes before the first of them.
_CONTAINERS = {b"meta": 4, b"iprp": 0, b"ipco": 0}
_SIZE = b"ispe"  # 23008-12, 6.5.3


def largest_picture(data: bytes) -> tuple[int, int]:
    """Return (width, height) of the largest picture it describes; raises FalseLengthError."""
    sizes = list(_sizes(data, 0, len(data), 0))
    if not sizes:
        raise FalseLengthError("it does not say how large its picture is")
    return max(sizes, key=lambda size: size[0] * size[1])


def _sizes(data: bytes, at: int, end: int, depth: int) -> Iterator[tuple[int, int]]:
    if depth > len(_CONTAINERS):
        raise FalseLengthError("its parts lie in one another without end")
    while at + 8 <= end:
        (length,), kind = struct.unpack_from(">I", data, at), data[at + 4 : at + 8]
        head = 8
        if length == 1 and at + 16 <= end:
            (length,), head = struct.unpack_from(">Q", data, at + 8), 16
        elif length == 0:  # to the end of the file
            length = end - at
        if length < head or length > end - at:
            raise FalseLengthError("a part of it is longer than what it is a part of")
        if kind == _SIZE and length >= head + 12:
            yield struct.unpack_from(">II", data, at + head + 4)
        elif kind in _CONTAINERS:
            yield from _sizes(data, at + head + _CONTAINERS[kind], at + length, depth + 1)
        at += length
