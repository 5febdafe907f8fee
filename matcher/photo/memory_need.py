"""How much memory decoding a photo takes, known from its header, and when that is too much.

Bytes a pixel were measured as the growth of a process's peak over files of 12 to 108 megapixels, rounded up; what is
decoded at display size at once (JPEG) takes next to nothing. The limit of the worker's memory stands behind them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from matcher.photo.container import Container, problem
from matcher.photo.structure.jpeg import jpeg_frame
from matcher.photo.structure.png import png_channels
from matcher.photo.structure.tiff import largest_block

_MEGABYTE = 1_000_000
# The server at rest is some 200 MB and a worker 50: with this a file within the usual upload limit of 40 MB leaves
# both below 600 MB.
_ANY_FILE, _USUAL_FILE_BYTES = 350 * _MEGABYTE, 40 * _MEGABYTE
# A larger file comes from one's own disk, on the command line, and may take more with its size: a 16-bit TIFF of 50
# megapixels, losslessly packed to 90 MB, takes 700. Assumption: none needs more than what 120 megapixels did.
_MORE_A_BYTE, _LARGEST = 8, 2_000 * _MEGABYTE
_USUAL_SECONDS, _SECONDS_A_MEGABYTE = 8.0, 0.1

# Pillow holds 4 bytes a pixel while 3 of them are copied; OpenCV holds a picture of 16 bits twice.
_EIGHT_BITS, _SIXTEEN_BITS_TWICE = 7.0, 4.0
_TURNED = 4.0  # Pillow turns a TIFF upright into a second picture
_WEBP, _WEBP_ANIMATED = 7.0, 16.0
_HEIF, _HEIF_DEEP = 6.0, 15.0
_RAW, _RAW_HALVED = 24.0, 8.0
_SLACK = 16 * _MEGABYTE  # libraries loaded at first use, tables, threads
_FILE_COPIES = 2  # as read, and as a decoder takes it


@dataclass(frozen=True, slots=True)
class Need:
    """Bytes: ``fixed`` whatever the size of the picture, and those of each ``pixel``; ``kind`` completes "a 16-bit"."""

    kind: str
    pixel: float
    fixed: int = 0


def memory_for(file_bytes: int) -> int:
    """Return how many bytes a worker may take for a file."""
    return min(_ANY_FILE + _MORE_A_BYTE * max(0, file_bytes - _USUAL_FILE_BYTES), _LARGEST)


def seconds_for(file_bytes: int) -> float:
    """Return how long a worker may take for a file."""
    return _USUAL_SECONDS + _SECONDS_A_MEGABYTE * max(0, file_bytes - _USUAL_FILE_BYTES) / _MEGABYTE


def need_of(container: Container, divisor: int) -> Need:
    """Return what decoding takes at 1 / ``divisor`` of the size."""
    copies = _FILE_COPIES * len(container.data)
    deep = container.bits > 8
    if container.kind in ("JPEG", "MPO"):
        width, height = container.size
        kept = jpeg_frame(container.data).coefficients / (width * height)
        # Once as it is decoded and once turned upright.
        return Need("progressive JPEG" if kept else "JPEG", kept + 6 / divisor**2, copies)
    if container.kind == "HEIF":
        return Need(f"{container.bits}-bit HEIC", _HEIF_DEEP if deep else _HEIF, copies)
    if container.kind == "WEBP":
        return Need("WebP", _WEBP_ANIMATED if container.frames > 1 else _WEBP, copies)
    if container.kind == "PNG":
        pixel = _SIXTEEN_BITS_TWICE * png_channels(container.data) if deep else _EIGHT_BITS
        return Need(f"{container.bits}-bit PNG", pixel, copies)
    pixel = _SIXTEEN_BITS_TWICE * 3 if deep else _EIGHT_BITS + _TURNED
    return Need(f"{container.bits}-bit TIFF", pixel, copies + largest_block(container.data))


def raw_need(file_bytes: int, *, halved: bool) -> Need:
    """Return what developing camera raw takes, at half size or whole."""
    return Need("camera raw file", _RAW_HALVED if halved else _RAW, _FILE_COPIES * file_bytes)


def refuse_memory(path: Path, size: tuple[int, int], need: Need, memory: int) -> None:
    """Raise PhotoError where a picture of ``size`` needs more than ``memory`` bytes."""
    width, height = size
    left = memory - need.fixed - _SLACK
    if width * height * need.pixel > left:
        most = max(0, int(left / need.pixel / 1e6))
        raise problem(
            path,
            f"is {width} x {height} pixels: of a {need.kind} of its file size {most} megapixels at most can be decoded",
            "Use a JPEG of it, or save a smaller copy.",
        )
