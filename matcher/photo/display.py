"""A photo for showing: a modest JPEG, upright, in sRGB, with nothing in it but pixels.

Location, owner, camera and time stay behind: the picture is made anew from the decoded pixels, and no tag, profile or
thumbnail of the file is carried over.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.spaces import WHITE_D65, Floats, srgb_encode, xyz_to_linear_srgb
from matcher.photo.decoded import ColourSpace, Photo
from matcher.photo.pixels import as_eight_bits, by_strips
from matcher.photo.reading import read_photo

_QUALITY = 82  # assumption: no artefact seen beside the original at the size shown


def display_jpeg(path: Path, *, longest_side: int) -> bytes:
    """Return the photo at ``path`` as JPEG with its longer side at most ``longest_side``; raises PhotoError."""
    return srgb_jpeg(read_photo(path, longest_side=longest_side), longest_side)


def srgb_jpeg(photo: Photo, longest_side: int) -> bytes:
    """Return decoded pixels as JPEG in sRGB, scaled down to ``longest_side`` where they are larger."""
    return pixels_jpeg(as_eight_bits(photo.pixels), photo.colour_space, longest_side=longest_side)


def pixels_jpeg(pixels: NDArray[np.uint8], space: ColourSpace, *, longest_side: int | None = None) -> bytes:
    """Return file values (H, W, 3) that are encoded in ``space`` as JPEG in sRGB."""
    image = Image.fromarray(np.ascontiguousarray(pixels))
    if longest_side is not None:
        image.thumbnail((longest_side, longest_side), Image.Resampling.LANCZOS)
    if space.name != "sRGB":
        image = Image.fromarray(to_srgb(np.asarray(image), space))
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=_QUALITY, optimize=True)
    return stream.getvalue()


def to_srgb(pixels: NDArray[np.uint8], space: ColourSpace) -> NDArray[np.uint8]:
    """Return the picture encoded in sRGB, clipped to its gamut."""
    if space.name == "sRGB":
        return pixels
    positions = np.linspace(0, 1, len(space.decode_table))
    decode = np.interp(np.arange(256) / 255, positions, space.decode_table)
    to_xyz = np.asarray(space.to_xyz)

    def converted(strip: NDArray[np.uint8]) -> NDArray[np.uint8]:
        # Only a raw file's white is not D65 already: it is the light that the camera balanced the picture for.
        xyz: Floats = adapt(decode[strip] @ to_xyz.T, to_xyz.sum(axis=1), WHITE_D65)
        encoded = srgb_encode(np.clip(xyz_to_linear_srgb(xyz), 0, 1))
        return np.asarray(np.rint(encoded * 255), dtype=np.uint8)

    return by_strips(converted, pixels, np.uint8)
