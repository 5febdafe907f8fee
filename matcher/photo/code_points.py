"""What a file says of its colours in the numbers of ITU-T H.273: HEIC, PNG and ICC profiles all can."""

from __future__ import annotations

import struct
from dataclasses import dataclass

from matcher.photo.container import Container

# ITU-T H.273 (07/2024), tables 2 and 3.
BT709, BT2020, DISPLAY_P3 = 1, 9, 12
PQ, HLG = 16, 18

_PNG_SIGNATURE_BYTES = 8
_ICC_HEADER_BYTES, _ICC_TAG_BYTES, _MOST_TAGS = 128, 12, 200


@dataclass(frozen=True, slots=True)
class CodePoints:
    """Code points of ``primaries`` (table 2) and ``transfer`` characteristics (table 3)."""

    primaries: int
    transfer: int


def code_points(container: Container) -> CodePoints | None:
    """Return what the file states, or None; a profile that only describes its curve by samples states nothing."""
    info = container.info
    stated = info.get("nclx_profile")
    if stated:
        return CodePoints(int(stated["color_primaries"]), int(stated["transfer_characteristics"]))
    if container.kind == "PNG":
        return _from_png(container.data) or _from_profile(info.get("icc_profile") or b"")
    return _from_profile(info.get("icc_profile") or b"")


def _from_png(data: bytes) -> CodePoints | None:
    """The cICP chunk, before the picture's data; PNG 3rd edition, 11.3.2.6."""
    at = _PNG_SIGNATURE_BYTES
    while at + 12 <= len(data):
        (length,), kind = struct.unpack_from(">I", data, at), data[at + 4 : at + 8]
        if kind == b"IDAT":
            return None
        if kind == b"cICP" and length == 4:
            return CodePoints(data[at + 8], data[at + 9])
        at += 12 + length
    return None


def _from_profile(profile: bytes) -> CodePoints | None:
    """The cicp tag; ICC.1:2022, 9.2.17 and 10.3."""
    if len(profile) < _ICC_HEADER_BYTES + 4:
        return None
    (count,) = struct.unpack_from(">I", profile, _ICC_HEADER_BYTES)
    for index in range(min(count, _MOST_TAGS)):
        entry = profile[_ICC_HEADER_BYTES + 4 + _ICC_TAG_BYTES * index :][:_ICC_TAG_BYTES]
        if len(entry) == _ICC_TAG_BYTES and entry[:4] == b"cicp":
            (offset,) = struct.unpack_from(">I", entry, 4)
            body = profile[offset : offset + 12]
            return CodePoints(body[8], body[9]) if len(body) == 12 and body[:4] == b"cicp" else None
    return None
