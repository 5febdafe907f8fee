"""Small photos that are fit to be looked at."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from PIL import ExifTags, Image


def picture(seed: int = 0, *, kind: str = "JPEG", size: tuple[int, int] = (120, 90), **options: Any) -> bytes:
    """Return the bytes of a photo of noise, a different one for every ``seed``."""
    pixels = np.random.default_rng(seed).integers(0, 255, (size[1], size[0], 3), dtype=np.uint8)
    stream = io.BytesIO()
    Image.fromarray(pixels).save(stream, kind, **options)
    return stream.getvalue()


def with_location(seed: int = 0, *, orientation: int = 6) -> bytes:
    """Return a photo held sideways that says where, by whom and with what it was taken."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Artist] = "Invented Owner"
    exif[ExifTags.Base.Make] = "Invented Camera"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (55.0, 57.0, 11.0)
    return picture(seed, exif=exif, comment=b"Invented comment")
