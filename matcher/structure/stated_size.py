"""The size that a file states, once every length on the way to it was found to lie within the file."""

from __future__ import annotations

from matcher.structure.heif import largest_picture
from matcher.structure.jpeg import jpeg_frame
from matcher.structure.png import png_size
from matcher.structure.tiff import largest_block
from matcher.structure.webp import webp_file

_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
_TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
# Brands of ISO/IEC 23008-12 files, bytes 8..12 after "ftyp".
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")


def is_png(data: bytes) -> bool:
    """Tell whether it is a PNG file, from its first bytes."""
    return data.startswith(_PNG)


def is_webp(data: bytes) -> bool:
    """Tell whether it is a WebP file, from its first bytes."""
    return data[:4] == b"RIFF" and data[8:12] == b"WEBP"


def is_heif(data: bytes) -> bool:
    """Tell whether it is a HEIF file, from its first bytes."""
    return data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS


def stated_size(data: bytes) -> tuple[int, int] | None:
    """Return (width, height), of the largest picture in a HEIF file, or None where a decoder has to tell.

    Raises FalseLengthError. What is none of these formats is left to be refused by who opens it.
    """
    if is_png(data):
        return png_size(data)
    if data.startswith(_JPEG):
        return jpeg_frame(data).size
    if is_webp(data):
        return webp_file(data).size
    if is_heif(data):
        return largest_picture(data)
    if data.startswith(_TIFF):
        largest_block(data)
    return None
