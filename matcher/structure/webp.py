"""The chunks of a WebP file (RFC 9649): what there is to know of it without a decoder, which takes memory to tell."""

from __future__ import annotations

import struct
from dataclasses import dataclass

from matcher.structure.false_length import FalseLengthError

_RIFF_BYTES, _HEAD = 12, 8
_ALPHA, _ANIMATION = 0x10, 0x02  # 2.7, flags of the extended header
_LOSSLESS_ALPHA = 1 << 28  # 3.4: after two sizes of 14 bits
_LARGEST_SIDE = 0x3FFF  # the same 14 bits; also of lossy key frames (RFC 6386, 9.1)


@dataclass(frozen=True, slots=True)
class WebpFile:
    """``chunks``: the first of each kind; ``frames`` of an animation, else 1."""

    size: tuple[int, int]
    alpha: bool
    frames: int
    chunks: dict[bytes, bytes]

    @property
    def animated(self) -> bool:
        """Whether it is an animation, be it of one frame."""
        return b"ANIM" in self.chunks


def webp_file(data: bytes) -> WebpFile:
    """Return what the chunks tell; raises FalseLengthError for one that leads out of the file."""
    chunks: dict[bytes, bytes] = {}
    frames, at = 0, _RIFF_BYTES
    end = min(len(data), struct.unpack_from("<I", data, 4)[0] + 8) if len(data) >= _RIFF_BYTES else 0
    while at + _HEAD <= end:
        kind, (length,) = data[at : at + 4], struct.unpack_from("<I", data, at + 4)
        if at + _HEAD + length > len(data):
            raise FalseLengthError("a part of it is longer than what is left of the file")
        if kind == b"ANMF":
            frames += 1
        elif kind not in chunks:
            chunks[kind] = data[at + _HEAD : at + _HEAD + length]
        at += _HEAD + length + length % 2
    alpha = b"ALPH" in chunks
    if b"VP8X" in chunks:
        flags, across, down = struct.unpack("<B3x3s3s", _start(chunks[b"VP8X"], 10))
        size = 1 + int.from_bytes(across, "little"), 1 + int.from_bytes(down, "little")
        return WebpFile(size, bool(flags & _ALPHA) or alpha or _lossless(chunks)[1], max(frames, 1), chunks)
    if b"VP8L" in chunks:
        size, alpha = _lossless(chunks)
    elif b"VP8 " in chunks:
        across, down = struct.unpack_from("<HH", _start(chunks[b"VP8 "], 10), 6)
        size = across & _LARGEST_SIDE, down & _LARGEST_SIDE
    else:
        raise FalseLengthError("there is no picture in it")
    return WebpFile(size, alpha, 1, chunks)


def _lossless(chunks: dict[bytes, bytes]) -> tuple[tuple[int, int], bool]:
    if b"VP8L" not in chunks:
        return (0, 0), False
    (bits,) = struct.unpack_from("<I", _start(chunks[b"VP8L"], 5), 1)
    size = 1 + (bits & _LARGEST_SIDE), 1 + (bits >> 14 & _LARGEST_SIDE)
    return size, bool(bits & _LOSSLESS_ALPHA)


def _start(chunk: bytes, size: int) -> bytes:
    if len(chunk) < size:
        raise FalseLengthError("its header is cut short")
    return chunk[:size]
