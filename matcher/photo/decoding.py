"""From a photo file to upright pixels, at display size where the file is larger."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from matcher.photo.container import DAMAGED, Container, damaged, open_image

Pixels = NDArray[Any]

# Red first at once: turning the channels round afterwards would take a second picture's memory.
_REDUCED = {
    1: cv2.IMREAD_COLOR_RGB,
    2: cv2.IMREAD_REDUCED_GRAYSCALE_2 | cv2.IMREAD_COLOR_RGB,
    4: cv2.IMREAD_REDUCED_GRAYSCALE_4 | cv2.IMREAD_COLOR_RGB,
    8: cv2.IMREAD_REDUCED_GRAYSCALE_8 | cv2.IMREAD_COLOR_RGB,
}
_STRIP_ROWS = 64  # a multiple of every divisor
# TIFF 6.0 and Exif 2.32, tag 274: what undoes each stored orientation.
_UPRIGHT: dict[int, Callable[[Pixels], Pixels]] = {
    2: lambda pixels: cv2.flip(pixels, 1),
    3: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_180),
    4: lambda pixels: cv2.flip(pixels, 0),
    5: cv2.transpose,
    6: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_90_CLOCKWISE),
    7: lambda pixels: cv2.rotate(cv2.transpose(pixels), cv2.ROTATE_180),
    8: lambda pixels: cv2.rotate(pixels, cv2.ROTATE_90_COUNTERCLOCKWISE),
}


def scale_divisor(size: tuple[int, int], longest_side: int) -> int:
    """Return the largest of 1, 2, 4, 8 that leaves the longer side at ``longest_side`` or more.

    >>> scale_divisor((4000, 3000), 2000)
    2
    """
    return max((n for n in (2, 4, 8) if max(size) // n >= longest_side), default=1)


def decode(container: Container, *, divisor: int) -> Pixels:
    """Return pixels (H, W, 3), RGB, uint8 or uint16, upright, each side divided by ``divisor`` (rounded up).

    Raises PhotoError for damaged data.
    """
    if container.kind in ("JPEG", "MPO"):
        pixels = _decode_jpeg(container, divisor)
    elif container.kind == "HEIF":
        pixels = _decode_heif(container, divisor)
    elif container.kind == "WEBP":
        pixels = _reduce(_imdecode(container, _REDUCED[1] | cv2.IMREAD_IGNORE_ORIENTATION), divisor)
    elif container.bits > 8:
        pixels = _decode_16_bits(container, divisor)
    else:
        pixels = _decode_8_bits(container, divisor)
    width, height = container.size
    if pixels.shape[:2] != (-(-height // divisor), -(-width // divisor)):
        raise damaged(container.path, ValueError("the picture is not as large as its header says"))
    upright = _UPRIGHT.get(container.orientation)
    return np.ascontiguousarray(upright(pixels) if upright else pixels)


@contextmanager
def _loaded(container: Container) -> Iterator[Image.Image]:
    """Give the picture decoded by Pillow, for as long as its memory is wanted."""
    with open_image(container.path, container.data) as image:
        try:
            image.load()
        except DAMAGED as error:
            raise damaged(container.path, error) from error
        yield image


def _decode_8_bits(container: Container, divisor: int) -> Pixels:
    with _loaded(container) as image:

        def rows(top: int, bottom: int) -> Pixels:
            strip = image.crop((0, top, image.width, bottom))
            # By way of RGBA: straight to RGB Pillow warns of a palette whose colours are partly transparent.
            return np.asarray((strip.convert("RGBA") if strip.mode == "P" else strip).convert("RGB"))

        return _reduced_rows(rows, image.size, divisor, np.uint8)


def _decode_jpeg(container: Container, divisor: int) -> Pixels:
    # OpenCV fills the rest of a truncated JPEG with grey and returns it, which would be measured as if it were there.
    if not _jpeg_is_whole(container.data):
        raise damaged(container.path, EOFError("the end of the picture is missing"))
    flags = _REDUCED[divisor] | cv2.IMREAD_IGNORE_ORIENTATION
    # The same pixels as Pillow's draft mode to the last bit (both are libjpeg's scaled DCT) in two thirds of the time.
    return _imdecode(container, flags)


def _jpeg_is_whole(data: bytes) -> bool:
    """Tell whether an end-of-image marker follows the first scan; ITU-T T.81, B.1.1.

    Entropy-coded data cannot contain the marker by accident (B.1.1.5: FF is always followed by 00 there).
    """
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xDA:
            # Sought from the end, where a whole file has it.
            return data.rfind(b"\xff\xd9", at) >= 0
        at += 1 if marker == 0xFF else 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return False


def _decode_16_bits(container: Container, divisor: int) -> Pixels:
    # Pillow reads 16-bit RGB as 8 bits. It looks first all the same: it refuses damaged data, where OpenCV may not.
    with _loaded(container):
        pass
    pixels = _reduce(_imdecode(container, cv2.IMREAD_UNCHANGED), divisor)
    if pixels.ndim == 3 and pixels.shape[2] == 4:
        return cv2.cvtColor(pixels, cv2.COLOR_BGRA2RGB)
    return cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB)


def _decode_heif(container: Container, divisor: int) -> Pixels:
    """Return 8 bits as they are; 10 or 12 bits stretched to 16 so that full scale stays full scale."""
    import pillow_heif

    try:
        file = pillow_heif.open_heif(container.data, convert_hdr_to_8bit=False, hdr_to_16bit=False)
        pixels: Pixels = np.asarray(file[file.primary_index])[..., :3]
    except DAMAGED as error:
        raise damaged(container.path, error) from error
    if container.bits == 8:
        return _reduce(pixels, divisor)
    full = (1 << container.bits) - 1
    stretched = np.rint(np.arange(full + 1) * (65535 / full)).astype(np.uint16)
    height, width = pixels.shape[:2]

    def rows(top: int, bottom: int) -> Pixels:
        strip: Pixels = stretched[np.minimum(pixels[top:bottom], full)]
        return strip

    return _reduced_rows(rows, (width, height), divisor, np.uint16)


def _imdecode(container: Container, flags: int) -> Pixels:
    try:
        pixels = cv2.imdecode(np.frombuffer(container.data, np.uint8), flags)
    except cv2.error as error:
        raise damaged(container.path, ValueError(error.err)) from error
    if pixels is None:
        raise damaged(container.path, ValueError("the picture data do not decode"))
    return pixels


def _reduce(pixels: Pixels, divisor: int) -> Pixels:
    if divisor == 1:
        return pixels
    height, width = pixels.shape[:2]
    size = (-(-width // divisor), -(-height // divisor))
    return cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)


def _reduced_rows(
    rows: Callable[[int, int], Pixels], size: tuple[int, int], divisor: int, dtype: type[np.generic]
) -> Pixels:
    """Return (H, W, 3) of what ``rows`` gives from one row to another, reduced; in strips, which saves memory.

    Where the height does not divide evenly the picture has to be there whole to be reduced.
    """
    width, height = size
    step = divisor if height % divisor == 0 else 1
    pixels = np.empty((height // step, -(-width // step), 3), dtype)
    for top in range(0, height, _STRIP_ROWS):
        bottom = min(top + _STRIP_ROWS, height)
        pixels[top // step : bottom // step] = _reduce(rows(top, bottom), step)
    return pixels if step == divisor else _reduce(pixels, divisor)
