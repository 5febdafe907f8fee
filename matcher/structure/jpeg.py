"""The frame of a JPEG (ITU-T T.81, B.2): its size, and what a decoder has to hold of it."""

from __future__ import annotations

import struct
from dataclasses import dataclass

from matcher.structure.false_length import FalseLengthError

# Table B.1: frames whose coefficients come in several scans; and all frames but the tables that share their range.
_PROGRESSIVE = (0xC2, 0xC6, 0xCA, 0xCE)
_FRAMES = set(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_START_OF_SCAN = 0xDA
_COEFFICIENT_BYTES = 2
# Assumption: five times what programs that search for the smallest file write. Each is a pass over all coefficients.
_MOST_SCANS = 100


@dataclass(frozen=True, slots=True)
class Frame:
    """``coefficients``: bytes that all of them take where a decoder has to keep them till the last scan, else 0."""

    size: tuple[int, int]
    coefficients: int


def jpeg_frame(data: bytes) -> Frame:
    """Return the frame of the first picture; raises FalseLengthError for segments that lead out of the file."""
    frame, at = None, 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        (length,) = struct.unpack_from(">H", data, at + 2)
        if at + 2 + length > len(data):
            raise FalseLengthError("a part of it is longer than what is left of the file")
        if marker in _FRAMES:
            frame = _frame(marker, data[at + 4 : at + 2 + length])
        if marker == _START_OF_SCAN:
            break
        at += 2 + length
    if frame is None:
        raise FalseLengthError("it has no frame")
    if frame.coefficients and data.count(b"\xff\xda", at) > _MOST_SCANS:
        raise FalseLengthError(f"it has more than {_MOST_SCANS} scans")
    return frame


def _frame(marker: int, body: bytes) -> Frame:
    if len(body) < 6 or not body[5] or len(body) < 6 + 3 * body[5]:
        raise FalseLengthError("its frame is cut short")
    height, width, components = struct.unpack_from(">HHB", body, 1)
    if marker not in _PROGRESSIVE:
        return Frame((width, height), 0)
    factors = [(body[7 + 3 * i] >> 4, body[7 + 3 * i] & 15) for i in range(components)]
    widest, tallest = max(across for across, _ in factors), max(down for _, down in factors)
    if not widest or not tallest:
        raise FalseLengthError("its channels have no size")
    shares = sum(across * down for across, down in factors) / (widest * tallest)
    return Frame((width, height), round(width * height * shares * _COEFFICIENT_BYTES))
