"""How much memory decoding a photo takes, known from its header, and when that is too much.

Bytes a pixel were measured as the growth of a process's peak over files of 12 to 108 megapixels, rounded up; what is
decoded at display size at once (JPEG) takes next to nothing. The limit of the worker's memory stands behind them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from PIL import ExifTags

from matcher.photo.container import Container, problem
from matcher.structure.jpeg import jpeg_frame
from matcher.structure.png import png_channels
from matcher.structure.tiff import largest_block

_MEGABYTE = 1_000_000
# The server at rest is some 200 MB and a worker 50: with this a file within the usual upload limit of 40 MB leaves
# both below 600 MB.
_ANY_FILE, _USUAL_FILE_BYTES = 350 * _MEGABYTE, 40 * _MEGABYTE
# A larger file comes from one's own disk, on the command line, and may take more with its size: a 16-bit TIFF of 50
# megapixels, losslessly packed to 90 MB, takes 700. Assumption: none needs more than what 120 megapixels did.
_MORE_A_BYTE, _LARGEST = 8, 2_000 * _MEGABYTE
# What ends a worker is a little above what is promised: decoders out of memory often call it damage of the file.
_ROOM = 1.1
_USUAL_SECONDS, _SECONDS_A_MEGABYTE = 8.0, 0.1

# Pillow holds 4 bytes a pixel, and turns a TIFF upright into a second picture.
_PILLOW, _PILLOW_TURNED = 4.0, 8.0
_SIXTEEN_BITS_TWICE = 4.0  # a channel; OpenCV holds such a picture twice
_WEBP, _WEBP_ANIMATED = 6.0, 16.0
_HEIF, _HEIF_DEEP = 5.2, 11.0
_RAW, _RAW_HALVED = 17.0, 5.5
_SLACK = 16 * _MEGABYTE  # libraries loaded at first use, tables, threads


@dataclass(frozen=True, slots=True)
class Need:
    """Bytes: ``fixed`` whatever the size of the picture, and those of each ``pixel``."""

    kind: str
    pixel: float
    fixed: int = 0


def memory_for(file_bytes: int) -> int:
    """Return how many bytes a worker may take for a file."""
    return min(_ANY_FILE + _MORE_A_BYTE * max(0, file_bytes - _USUAL_FILE_BYTES), _LARGEST)


def hard_limit(memory: int) -> int:
    """Return at how many bytes a worker is to fail that was given ``memory``."""
    return round(_ROOM * memory)


def seconds_for(file_bytes: int) -> float:
    """Return how long a worker may take for a file."""
    return _USUAL_SECONDS + _SECONDS_A_MEGABYTE * max(0, file_bytes - _USUAL_FILE_BYTES) / _MEGABYTE


def need_of(container: Container, divisor: int) -> Need:
    """Return what decoding takes at 1 / ``divisor`` of the size."""
    # What decoding reduces strip by strip is held in part only beside what the library holds.
    held = 3 / divisor**2 if container.size[1] % divisor == 0 else 3
    area, file, deep = math.prod(container.size), len(container.data), container.bits > 8
    if container.kind in ("JPEG", "MPO"):
        kept = jpeg_frame(container.data).coefficients / area
        # Once as it is decoded and once turned upright.
        return Need("progressive JPEG" if kept else "JPEG", kept + 6 / divisor**2, file)
    if container.kind == "HEIF":
        return Need(f"HEIC of {container.bits} bits", _HEIF_DEEP + held if deep else _HEIF, file)
    if container.kind == "WEBP":
        return Need(*("WebP animation", _WEBP_ANIMATED) if container.animated else ("WebP", _WEBP), file)
    if container.kind == "PNG":
        pixel = _SIXTEEN_BITS_TWICE * png_channels(container.data) if deep else _PILLOW + held
        return Need(f"PNG of {container.bits} bits", pixel, file)
    turned = container.exif.get(ExifTags.Base.Orientation, 1) != 1
    block = largest_block(container.data) / area
    at_once = max(_PILLOW + block, _PILLOW + held, _PILLOW_TURNED if turned else 0)
    return Need(f"TIFF of {container.bits} bits", max(at_once, 3 * _SIXTEEN_BITS_TWICE) if deep else at_once, file)


def raw_need(file_bytes: int, *, halved: bool) -> Need:
    """Return what developing camera raw takes, at half size or whole."""
    return Need("camera raw file", _RAW_HALVED if halved else _RAW, file_bytes)


def refuse_memory(path: Path, size: tuple[int, int], need: Need, memory: int) -> None:
    """Raise PhotoError where a picture of ``size`` needs more than ``memory`` bytes."""
    width, height = size
    left = memory - need.fixed - _SLACK
    if width * height * need.pixel > left:
        most = max(0, int(left / need.pixel / 1e6))
        raise problem(
            path,
            f"is {width} x {height} pixels: a {need.kind} of its file size is decoded up to {most} megapixels",
            "Use a JPEG of it, or save a smaller copy.",
        )
