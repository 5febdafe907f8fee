"""One small sound file of every kind that is read: what is changed to see what decoders make of it."""

from __future__ import annotations

import io
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import cv2
import numpy as np
import pillow_heif
import tifffile
from PIL import Image, ImageCms

from tests.photo.simulated_raw import write_dng

_SIZE = (96, 80)


def sound_files() -> dict[str, dict[str, bytes]]:
    """Return files by decoder and name; the name ends as such a file's does."""
    width, height = _SIZE
    rng = np.random.default_rng(5)
    pixels = cv2.resize(rng.integers(0, 256, (5, 6, 3), np.uint8), _SIZE, interpolation=cv2.INTER_CUBIC)
    deep = pixels.astype(np.uint16) * 257
    image, other = Image.fromarray(pixels), Image.fromarray(pixels[::-1].copy())
    several: dict[str, Any] = {"save_all": True, "append_images": [other]}
    exif = Image.Exif()
    exif[271], exif[274] = "Simulated", 6
    header: dict[str, Any] = {
        "exif": exif,
        "icc_profile": ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
    }
    clear = Image.fromarray(np.dstack([pixels, pixels[..., 0]]))
    return {
        "jpeg": {
            "plain.jpg": _saved(image, "JPEG", **header),
            "progressive.jpg": _saved(image, "JPEG", progressive=True, quality=95, subsampling=0),
            "two.jpg": _saved(image, "MPO", **several),
        },
        "png": {
            "plain.png": _saved(image, "PNG", **header),
            "palette.png": _saved(image.quantize(16), "PNG"),
            "animation.png": _saved(image, "PNG", **several),
        },
        "png 16": {"plain.png": cv2.imencode(".png", deep)[1].tobytes()},
        "webp": {
            "lossy.webp": _saved(image, "WEBP", **header),
            "lossless.webp": _saved(clear, "WEBP", lossless=True),
            "animation.webp": _saved(clear, "WEBP", **several),
        },
        "tiff": {
            **{f"{name}.tif": _saved(image, "TIFF", compression=name) for name in ("raw", "tiff_lzw", "jpeg")},
            "two.tif": _tiff(np.stack([pixels, pixels])),
            "deflated.tif": _saved(image, "TIFF", compression="tiff_adobe_deflate", **header),
            "tiles.tif": _tiff(pixels, tile=(32, 32), compression="zlib"),
            "big.tif": _tiff(pixels, bigtiff=True),
        },
        "tiff 16": {
            "lzw.tif": cv2.imencode(".tiff", deep)[1].tobytes(),
            "strips.tif": _tiff(deep, rowsperstrip=8, compression="zlib", predictor=True),
        },
        "heif": {
            "plain.heic": _heic(pillow_heif.from_pillow(image)),
            "tiles.heic": _heic(pillow_heif.from_pillow(image), tile_size=64),
        },
        "heif 10": {"deep.heic": _heic(pillow_heif.from_bytes("RGB;16", (width, height), deep.tobytes()))},
        "raw": {"simulated.dng": _dng(pixels)},
    }


def _saved(image: Image.Image, kind: str, **options: Any) -> bytes:
    stream = io.BytesIO()
    image.copy().save(stream, kind, **options)  # a copy: saving leaves the options of one kind for the next
    return stream.getvalue()


def _tiff(pixels: np.ndarray[Any, Any], **options: Any) -> bytes:
    stream = io.BytesIO()
    tifffile.imwrite(stream, pixels, photometric="rgb", metadata=None, **options)
    return stream.getvalue()


def _heic(file: pillow_heif.HeifFile, **options: Any) -> bytes:
    stream = io.BytesIO()
    file.save(stream, quality=60, **options)
    return stream.getvalue()


def _dng(pixels: np.ndarray[Any, Any]) -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "simulated.dng"
        return write_dng(path, pixels / 400, matrix=np.eye(3), neutral=np.ones(3)).read_bytes()
