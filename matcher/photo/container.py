"""What kind of file a photo is, read from its header before a single pixel is decoded."""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PIL import ExifTags, Image, UnidentifiedImageError

from matcher.errors import PhotoError, Problem
from matcher.opening import read_bytes
from matcher.structure.false_length import FalseLengthError
from matcher.structure.png import without_picture
from matcher.structure.stated_size import is_heif, is_png, is_webp, stated_size
from matcher.structure.webp import webp_file

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMATS_TEXT = "JPEG, PNG, TIFF, WebP, HEIC or camera raw"

# Assumption: above every phone's usual output (108 MP), below what would fill a laptop's memory when decompressed.
MOST_MEGAPIXELS = 120
# Assumption: a card has to be some 20 pixels wide to be measured, and it fills a tenth of a close-up at least.
SMALLEST_SIDE_PX = 64

_BITS_READ = (8, 10, 12, 16)
# What decoders raise on damaged data: Pillow OSError and SyntaxError, its TIFF part the last three too; found by
# fuzzing.
DAMAGED = (
    OSError, SyntaxError, ValueError, EOFError, RuntimeError, struct.error, TypeError, LookupError, ArithmeticError,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Container:
    """``bits`` per channel; ``exif``: main, Exif, interoperability tags; ``segments``: the application's, of a JPEG.

    ``size``, ``mode`` and ``info`` as Pillow names them, of the first picture; ``frames``: how many there are;
    ``luminance``: the quantization table of a JPEG.
    """

    path: Path
    data: bytes
    kind: str
    size: tuple[int, int]
    mode: str
    bits: int
    orientation: int
    exif: Mapping[int, object]
    info: Mapping[Any, Any]
    segments: tuple[bytes, ...] = ()
    luminance: tuple[int, ...] = ()
    frames: int = 1
    animated: bool = False


def problem(path: Path, what: str, remedy: str) -> PhotoError:
    """Return the error for a photo at ``path``."""
    return PhotoError(Problem(str(path), what, remedy))


def photo_bytes(path: Path) -> bytes:
    """Return what the file holds; raises PhotoError where that is nothing."""
    data = read_bytes(path, PhotoError, "a photo", f"Name one {FORMATS_TEXT} file in it.")
    if not data:
        raise problem(path, "is empty (0 bytes)", "Copy the photo from the phone or camera again.")
    return data


def open_container(path: Path, data: bytes) -> Container:
    """Read the header of ``data``, the bytes of ``path``; raises PhotoError for what we cannot measure from."""
    try:
        size = stated_size(data)
    except (FalseLengthError, struct.error) as error:
        raise damaged(path, error) from error
    if size:
        refuse_size(path, size)
    container = _webp(path, data) if is_webp(data) else _by_pillow(path, data)
    refuse_size(path, container.size)
    _refuse_mode(path, container.mode, container.bits)
    return container


def _by_pillow(path: Path, data: bytes) -> Container:
    with open_image(path, without_picture(data) if is_png(data) else data) as image:
        kind = image.format or ""
        refuse_size(path, image.size)
        exif = _exif(image)
        # Both decoders of these two containers turn the picture themselves; turning again would undo it.
        turned_by_decoder = kind in ("TIFF", "HEIF")
        tables = getattr(image, "quantization", None) or {}
        return Container(
            path=path,
            data=data,
            kind=kind,
            size=image.size,
            mode=image.mode,
            bits=_bits(image, data),
            orientation=1 if turned_by_decoder else _orientation(exif),
            exif=exif,
            info=_sound(image.info),
            segments=tuple(content for _, content in getattr(image, "applist", ())),
            luminance=tuple(tables.get(0, ())),
            frames=_frames(path, image),
        )


def _webp(path: Path, data: bytes) -> Container:
    """Read the chunks ourselves: Pillow makes room for three pictures before it tells anything of one."""
    file = webp_file(data)
    names = {"icc_profile": b"ICCP", "exif": b"EXIF", "xmp": b"XMP "}
    bearer = Image.new("RGB", (1, 1))
    bearer.info = {name: file.chunks[chunk] for name, chunk in names.items() if chunk in file.chunks}
    exif = _exif(bearer)
    mode = "RGBA" if file.alpha else "RGB"
    return Container(
        path,
        data,
        "WEBP",
        file.size,
        mode,
        8,
        _orientation(exif),
        exif,
        bearer.info,
        frames=file.frames,
        animated=file.animated,
    )


def open_image(path: Path, data: bytes) -> Image.Image:
    """Return the picture as Pillow opens it, not decoded; raises PhotoError."""
    formats = ["JPEG", "PNG", "TIFF"]  # "JPEG" also opens the phone's multi-picture variant, MPO
    if is_heif(data):
        # Registered here, not at import: the HEIC library is large and most photos are JPEG.
        import pillow_heif

        pillow_heif.register_heif_opener()
        formats = ["HEIF"]
    try:
        return Image.open(io.BytesIO(data), formats=formats)
    except Image.DecompressionBombError:
        raise _too_large(path, "its header promises a picture far beyond") from None
    except UnidentifiedImageError:
        raise problem(
            path,
            "is not a photo: its content is none of the formats that are read, whatever its name ends in",
            f"Use the {FORMATS_TEXT} file as the phone or camera wrote it.",
        ) from None
    except DAMAGED as error:
        raise damaged(path, error) from error


def _frames(path: Path, image: Image.Image) -> int:
    """Return how many pictures the file holds; counting them reads on, and may meet damage behind the first."""
    try:
        return int(getattr(image, "n_frames", 1))
    except DAMAGED as error:
        raise damaged(path, error) from error


def damaged(path: Path, error: Exception) -> PhotoError:
    """Return the error for a file that starts well and cannot be decoded."""
    reason = " ".join(str(error).split())  # the HEIC library breaks its lines
    return problem(
        path,
        f"is damaged or cut short and cannot be decoded ({reason})",
        "Copy it from the phone or camera again; do not send it through a messenger.",
    )


def _too_large(path: Path, what: str) -> PhotoError:
    return problem(path, f"{what} {MOST_MEGAPIXELS} megapixels", "Save a smaller copy of it and use that.")


def refuse_size(path: Path, size: tuple[int, int]) -> None:
    """Raise PhotoError for a picture too large to hold or too small to measure from."""
    width, height = size
    if width * height > MOST_MEGAPIXELS * 1_000_000:
        raise _too_large(path, f"is {width} x {height} pixels, more than")
    if min(size) < SMALLEST_SIDE_PX:
        raise problem(
            path,
            f"is {width} x {height} pixels, too small to measure from (shorter side at least {SMALLEST_SIDE_PX})",
            "Send the full-size photo, not a thumbnail.",
        )


def _refuse_mode(path: Path, mode: str, bits: int) -> None:
    if mode in ("CMYK", "YCCK"):
        raise problem(path, "is in CMYK, made for a printing press", "Use the RGB photo as the camera wrote it.")
    if mode in ("1", "L", "LA", "I", "F", "I;16", "I;16B", "I;16L"):
        raise problem(path, "is black and white: it holds no colour to measure", "Use the colour photo.")
    if mode not in ("RGB", "RGBA", "RGBX", "P", "PA"):
        raise problem(path, f"holds its pixels as {mode}, not RGB", "Save it as an RGB photo.")
    if bits not in _BITS_READ:
        raise problem(path, f"has {bits} bits a channel", "Save it with 8 or 16 bits a channel.")


def _bits(image: Image.Image, data: bytes) -> int:
    """Return the bits per channel of the file: Pillow's mode says RGB for 8 and 16 alike."""
    if image.format == "PNG" and image.mode != "P":
        return data[24]  # IHDR bit depth, PNG 3rd edition 11.2.1
    if image.format == "TIFF":
        bits = image.tag_v2.get(258, 8)  # type: ignore[attr-defined]  # only the TIFF class has tag_v2
        return int(max(bits) if isinstance(bits, tuple) else bits)
    if image.format == "HEIF":
        return int(image.info.get("bit_depth", 8))
    return 8


def _exif(image: Image.Image) -> dict[int, object]:
    """Return main, Exif and interoperability tags in one mapping; an unreadable block is as good as none."""
    try:
        exif = Image.Image.getexif(image)  # not the PNG class's own, which decodes the picture first
        tags: dict[int, object] = dict(exif)
        for directory in (ExifTags.IFD.Exif, ExifTags.IFD.Interop):
            tags.update(exif.get_ifd(directory))
    except DAMAGED:
        return {}
    return tags


def _sound(info: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """Return what Pillow tells, but for a profile that is none: a TIFF may call anything so."""
    return {name: value for name, value in info.items() if name != "icc_profile" or isinstance(value, bytes)}


def _orientation(exif: Mapping[int, object]) -> int:
    stored = exif.get(ExifTags.Base.Orientation, 1)
    return stored if isinstance(stored, int) and 1 <= stored <= 8 else 1
