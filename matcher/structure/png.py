"""The chunks of a PNG (PNG 3rd edition, 5.2 to 5.6): decoders allocate what a chunk says it is long."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from matcher.structure.false_length import FalseLengthError

_SIGNATURE_BYTES, _HEADER_BYTES, _FRAME = 8, 13, 12  # the last: length, type and checksum around each chunk
_PICTURE, _TEXTS = b"IDAT", (b"eXIf", b"tEXt", b"zTXt", b"iTXt")
_EMPTY_PICTURE = struct.pack(">I4sI", 0, _PICTURE, zlib.crc32(_PICTURE))
_COLOUR_TYPE_ALPHA = 4  # 11.2.1: the bit that stands for an alpha channel


def png_size(data: bytes) -> tuple[int, int]:
    """Return (width, height); raises FalseLengthError where a chunk is longer than what is left of the file."""
    if data[_SIGNATURE_BYTES : _SIGNATURE_BYTES + 8] != struct.pack(">I", _HEADER_BYTES) + b"IHDR":
        raise FalseLengthError("its header is not where it belongs")
    for _ in _chunks(data):
        pass
    width, height = struct.unpack_from(">II", data, _SIGNATURE_BYTES + 8)
    return width, height


def without_picture(data: bytes) -> bytes:
    """Return the PNG with no picture data, and what was written behind them before: Pillow decodes all to get there."""
    parts, seen = [data[:_SIGNATURE_BYTES]], False
    for kind, chunk in _chunks(data):
        if kind == _PICTURE:
            seen = True
        elif not seen:
            parts.append(chunk)
        elif not _is_sound(chunk):
            break
        elif kind in _TEXTS:
            parts.append(chunk)
    return b"".join([*parts, _EMPTY_PICTURE])


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = _SIGNATURE_BYTES
    while at + _FRAME <= len(data):
        (length,) = struct.unpack_from(">I", data, at)
        if length > len(data) - at - _FRAME:
            raise FalseLengthError(f"a part of it says that it is {length} bytes long, more than are left of the file")
        kind = data[at + 4 : at + 8]
        if kind == b"IEND":
            return
        yield kind, data[at : at + _FRAME + length]
        at += _FRAME + length


def _is_sound(chunk: bytes) -> bool:
    return chunk[-4:] == struct.pack(">I", zlib.crc32(chunk[4:-4]))


def png_channels(data: bytes) -> int:
    """Return how many channels a true-colour PNG has."""
    return 4 if data[25] & _COLOUR_TYPE_ALPHA else 3
