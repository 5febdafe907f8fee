"""The picture on a letterhead: read in a worker, within limits, and made anew as a small PNG."""

from __future__ import annotations

import io
from pathlib import Path

from matcher.errors import Problem, RequestError
from matcher.handover.contents import PictureFile
from matcher.opening import read_bytes
from matcher.structure.false_length import FalseLengthError
from matcher.structure.stated_size import stated_size
from matcher.workers.limits import Allowance
from matcher.workers.pool import WorkerLostError, call

# Assumptions: a mark is drawn 40 mm wide at most, which is 950 pixels at 600 to the inch; a file of that size, even one
# that was never made smaller, stays below these.
MOST_BYTES = 2_000_000
_MOST_PIXELS = 12_000_000
_SIDES = (960, 400)  # pixels of what is kept, wide and high
_FORMATS = ("PNG", "JPEG", "WEBP")
_ALLOWANCE = Allowance(memory=250_000_000, seconds=8)
_REMEDY = "Name a PNG, JPEG or WebP file, some hundred pixels wide, under letterhead_mark."


def read_mark(path: Path) -> PictureFile:
    """Return the mark as a PNG file, its transparency kept, no larger than it is drawn.

    Raises :class:`matcher.errors.RequestError` for a file that is too long, no picture, or too many pixels.
    """
    data = read_bytes(path, RequestError, "a letterhead's mark", _REMEDY, most=MOST_BYTES)
    where = str(path)
    try:
        size = stated_size(data)
    except FalseLengthError:
        raise RequestError(Problem(where, "is damaged: a length in it points beyond its end", _REMEDY)) from None
    if size is not None and size[0] * size[1] > _MOST_PIXELS:
        what = (
            f"has {size[0]} x {size[1]} pixels, more than the {_MOST_PIXELS // 1_000_000} million that a mark may have"
        )
        raise RequestError(Problem(where, what, _REMEDY))
    try:
        return PictureFile(*call(small_png, data, where, allowance=_ALLOWANCE))
    except WorkerLostError:
        raise RequestError(Problem(where, "cannot be read within the memory and time it may take", _REMEDY)) from None


def small_png(data: bytes, where: str) -> tuple[bytes, int, int]:
    """Return the picture in ``data`` as a small PNG, its width and its height; runs in a worker.

    Raises :class:`matcher.errors.RequestError` for what is no picture.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(data), formats=_FORMATS) as picture:
            if picture.width * picture.height > _MOST_PIXELS:
                what = f"has {picture.width} x {picture.height} pixels, too many for a mark"
                raise RequestError(Problem(where, what, _REMEDY))
            upright = ImageOps.exif_transpose(picture).convert("RGBA")
    except UnidentifiedImageError:
        raise RequestError(Problem(where, "is no picture that can be read", _REMEDY)) from None
    except (OSError, ValueError, SyntaxError) as error:
        raise RequestError(Problem(where, f"is damaged ({error})", _REMEDY)) from error
    upright.thumbnail(_SIDES, Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    upright.save(stream, "PNG", optimize=True)
    return stream.getvalue(), upright.width, upright.height
