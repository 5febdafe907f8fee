"""The chunks of a PNG (PNG 3rd edition, 5.2 to 5.6): decoders allocate what a chunk says it is long."""

from __future__ import annotations

import struct

from matcher.photo.structure.false_length import FalseLengthError

_SIGNATURE_BYTES, _HEADER_BYTES, _FRAME = 8, 13, 12  # the last: length, type and checksum around each chunk
_COLOUR_TYPE_ALPHA = 4  # 11.2.1: the bit that stands for an alpha channel


def png_size(data: bytes) -> tuple[int, int]:
    """Return (width, height); raises FalseLengthError where a chunk is longer than what is left of the file."""
    at = _SIGNATURE_BYTES
    if data[at : at + 8] != struct.pack(">I", _HEADER_BYTES) + b"IHDR":
        raise FalseLengthError("its header is not where it belongs")
    while at + _FRAME <= len(data):
        (length,) = struct.unpack_from(">I", data, at)
        if length > len(data) - at - _FRAME:
            raise FalseLengthError(f"a part of it says that it is {length} bytes long, more than are left of the file")
        if data[at + 4 : at + 8] == b"IEND":
            break
        at += _FRAME + length
    width, height = struct.unpack_from(">II", data, _SIGNATURE_BYTES + 8)
    return width, height


def png_channels(data: bytes) -> int:
    """Return how many channels a true-colour PNG has."""
    return 4 if data[25] & _COLOUR_TYPE_ALPHA else 3
