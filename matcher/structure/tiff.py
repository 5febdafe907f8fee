"""The directories of a TIFF file (TIFF 6.0, section 2): counts and blocks that decoders allocate before they read."""

from __future__ import annotations

import struct
from dataclasses import dataclass

from matcher.structure.false_length import FalseLengthError

# TIFF 6.0, section 2, field types 1 to 12, and BigTIFF's 16 to 18: bytes of one value.
_TYPE_BYTES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}
_INTEGERS = {1: "B", 3: "H", 4: "I", 16: "Q"}
_WIDTH, _LENGTH, _BITS, _SAMPLES, _ROWS = 256, 257, 258, 277, 278
_STRIPS, _STRIP_BYTES, _TILE_WIDTH, _TILE_LENGTH, _TILES, _TILE_BYTES = 273, 279, 322, 323, 324, 325
_BLOCKS = ((_STRIPS, _STRIP_BYTES), (_TILES, _TILE_BYTES))
_READ = {_WIDTH, _LENGTH, _BITS, _SAMPLES, _ROWS, _TILE_WIDTH, _TILE_LENGTH, *_BLOCKS[0], *_BLOCKS[1]}
_MOST_DIRECTORIES = 1000  # assumption: far above any camera's or scanner's; counting them takes a decoder long


_WIDER = 4096  # assumption: far above any tile's padding, in pixels


@dataclass(frozen=True, slots=True)
class _Form:
    """How the file writes: classic, or with 64-bit offsets."""

    order: str
    big: bool

    @property
    def offset(self) -> str:
        return f"{self.order}{'Q' if self.big else 'I'}"

    @property
    def number(self) -> str:
        return f"{self.order}{'Q' if self.big else 'H'}"

    @property
    def entry(self) -> str:
        return f"{self.order}HH{'Q' if self.big else 'I'}"


def largest_block(data: bytes) -> int:
    """Return the bytes of the largest strip or tile of the first picture when decoded; raises FalseLengthError."""
    form = _Form("<" if data[:2] == b"II" else ">", data[2:4] in (b"+\0", b"\0+"))
    try:
        return _walked(data, form)
    except (struct.error, OverflowError):  # the latter for offsets beyond 63 bits
        raise FalseLengthError("its list of contents leads out of the file") from None


def _walked(data: bytes, form: _Form) -> int:
    (at,) = struct.unpack_from(form.offset, data, 8 if form.big else 4)
    seen: set[int] = set()
    block = 0
    while at:
        if at in seen or len(seen) >= _MOST_DIRECTORIES:
            raise FalseLengthError("its list of contents has no end")
        tags, following = _directory(data, form, at)
        if not seen:
            block = _block(tags)
        seen.add(at)
        at = following
    return block


def _directory(data: bytes, form: _Form, start: int) -> tuple[dict[int, tuple[int, ...]], int]:
    (entries,) = struct.unpack_from(form.number, data, start)
    at = start + struct.calcsize(form.number)
    head, inline = struct.calcsize(form.entry), struct.calcsize(form.offset)
    if at + entries * (head + inline) > len(data):
        raise FalseLengthError("its list of contents leads out of the file")
    tags = {}
    for _ in range(entries):
        tag, kind, count = struct.unpack_from(form.entry, data, at)
        size = count * _TYPE_BYTES.get(kind, 1)
        if size > len(data):
            raise FalseLengthError(f"an entry of its header says that it is {size} bytes long, more than the file")
        if tag in _READ and kind in _INTEGERS:
            place = at + head if size <= inline else struct.unpack_from(form.offset, data, at + head)[0]
            tags[tag] = struct.unpack_from(f"{form.order}{count}{_INTEGERS[kind]}", data, place)
        at += head + inline
    for offsets, lengths in _BLOCKS:
        for offset, length in zip(tags.get(offsets, ()), tags.get(lengths, ()), strict=False):
            if offset > len(data) or length > len(data) - offset:
                raise FalseLengthError("a part of the picture lies beyond the end of the file")
    return tags, struct.unpack_from(form.offset, data, at)[0]


def _block(tags: dict[int, tuple[int, ...]]) -> int:
    def value(tag: int, otherwise: int) -> int:
        return max(tags.get(tag) or (otherwise,))

    width, length = value(_WIDTH, 0), value(_LENGTH, 0)
    across = value(_TILE_WIDTH, width)
    down = value(_TILE_LENGTH, min(value(_ROWS, length), length))
    if across > width + _WIDER or down > length + _WIDER:
        raise FalseLengthError("a tile of it is far larger than the picture")
    return across * down * value(_SAMPLES, 1) * -(-value(_BITS, 8) // 8)
