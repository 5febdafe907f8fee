"""From a file to a photo: upright pixels in their own encoding, the space they are in, and what was noticed.

Decoders, of headers as of pixels, meet what strangers send: only a worker process (``reading``) comes here.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import ExifTags, Image, ImageCms

from matcher.photo.code_points import BT709, BT2020, DISPLAY_P3, CodePoints, code_points
from matcher.photo.colour_space import adobe_rgb, bt2020, display_p3, srgb
from matcher.photo.container import Container, open_container, photo_bytes
from matcher.photo.decoded import ColourSpace, Finding, Level, Photo
from matcher.photo.decoding import Pixels, decode, scale_divisor
from matcher.photo.gain_map import has_gain_map
from matcher.photo.hdr_transfer import NAMES as TRANSFER_NAMES
from matcher.photo.hdr_transfer import decode_hdr
from matcher.photo.icc_profile import NoMatrixProfileError, colour_space_from_icc
from matcher.photo.memory_need import need_of, refuse_memory
from matcher.photo.origin import origin_findings
from matcher.photo.pixels import as_eight_bits, in_sixteen_bits
from matcher.photo.raw_photo import read_raw
from matcher.raw_header import is_raw

_EXIF_UNCALIBRATED = 65535  # Exif 2.32, tag 40961 ColorSpace
_DCF_OPTION_FILE = "R03"  # DCF 2.0: Adobe RGB, said in the interoperability index
_BY_PRIMARIES = {BT709: srgb, BT2020: bt2020, DISPLAY_P3: display_p3}


def photo_from_file(path: Path, memory: int, longest_side: int) -> Photo:
    """Decode the photo at ``path`` within ``memory`` bytes; raises PhotoError."""
    data = photo_bytes(path)
    if is_raw(path.name, data):
        return read_raw(path, data, memory, longest_side=longest_side)
    container = open_container(path, data)
    width, height = container.size
    if container.orientation >= 5:
        width, height = height, width
    divisor = scale_divisor((width, height), longest_side)
    refuse_memory(path, container.size, need_of(container, divisor), memory)
    pixels = decode(container, divisor=divisor)
    colour_space, pixels, profile = _colour_space(container, pixels)
    pixels.flags.writeable = False
    return Photo(
        path=path,
        pixels=pixels,
        full_size=(width, height),
        scale=pixels.shape[1] / width,
        colour_space=colour_space,
        findings=(profile, *_notices(container)),
    )


def kind_from_file(path: Path) -> str:
    """Return what kind of photo a file is; raises PhotoError."""
    data = photo_bytes(path)
    return "RAW" if is_raw(path.name, data) else open_container(path, data).kind


def _colour_space(container: Container, pixels: Pixels) -> tuple[ColourSpace, Pixels, Finding]:
    points = code_points(container)
    if points and points.transfer in TRANSFER_NAMES:
        space = _BY_PRIMARIES.get(points.primaries, bt2020)()
        return space, decode_hdr(in_sixteen_bits(pixels), points.transfer), _profile_finding("ok", space, "file header")
    icc = container.info.get("icc_profile")
    if icc:
        try:
            space = colour_space_from_icc(icc)
        except NoMatrixProfileError:
            return _converted(icc, pixels)
        return space, pixels, _profile_finding("ok", space, "embedded profile")
    space, source = _stated_space(container, points)
    levels: dict[str, Level] = {"assumed": "note", "unknown": "warn"}
    return space, pixels, _profile_finding(levels.get(source, "ok"), space, source)


def _stated_space(container: Container, points: CodePoints | None) -> tuple[ColourSpace, str]:
    """Return the space of a file without a profile, from what else it says."""
    primaries = points.primaries if points else None
    if primaries in (DISPLAY_P3, BT2020):
        return _BY_PRIMARIES[primaries](), "file header"
    exif_space = container.exif.get(ExifTags.Base.ColorSpace)
    if exif_space == _EXIF_UNCALIBRATED:
        option_file = container.exif.get(ExifTags.Interop.InteropIndex) == _DCF_OPTION_FILE
        return (adobe_rgb(), "camera tag") if option_file else (srgb(), "unknown")
    if exif_space == 1 or primaries == BT709:
        return srgb(), "camera tag" if exif_space == 1 else "file header"
    # Cameras and phones write untagged JPEGs in sRGB (DCF); a PNG without profile was made by a program.
    return srgb(), "assumed" if container.kind in ("JPEG", "MPO", "HEIF") else "unknown"


def _converted(icc: bytes, pixels: Pixels) -> tuple[ColourSpace, Pixels, Finding]:
    """Convert pixels under a lookup-table profile to sRGB, 8 bits; a damaged profile leaves them as they are."""
    eight_bits = as_eight_bits(pixels)
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        image = ImageCms.profileToProfile(
            Image.fromarray(eight_bits), profile, ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
    except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
        return srgb(), pixels, _profile_finding("warn", srgb(), "unreadable profile")
    converted = pixels if image is None else np.array(image)
    return srgb(), converted, _profile_finding("note", srgb(), "converted from an unusual profile")


def _profile_finding(level: Level, space: ColourSpace, source: str) -> Finding:
    return Finding("colour profile", level, (("name", space.name), ("source", source)))


def _notices(container: Container) -> tuple[Finding, ...]:
    found = []
    if container.mode in ("RGBA", "PA") or "transparency" in container.info:
        found.append(Finding("transparency dropped", "note"))
    # An MPO's further pictures are previews or a second lens, not an animation.
    if container.frames > 1 and container.kind not in ("MPO", "HEIF"):
        found.append(Finding("first frame used", "note", (("frames", container.frames),)))
    if container.bits > 8:
        found.append(Finding("16 bits kept", "note", (("bits", container.bits),)))
    points = code_points(container)
    if points and points.transfer in TRANSFER_NAMES:
        found.append(Finding("HDR picture", "note", (("transfer", TRANSFER_NAMES[points.transfer]),)))
    if has_gain_map(container):
        found.append(Finding("gain map ignored", "note"))
    return (*found, *origin_findings(container))
