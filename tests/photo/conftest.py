"""Pictures with a known content, written by Pillow in every format that is read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import ExifTags, Image

RED, GREEN, BLUE, GREY = (200, 40, 40), (40, 180, 60), (40, 60, 200), (190, 190, 190)

Pixels = NDArray[np.uint8]
Save = Callable[..., Path]


def quadrants(width: int = 120, height: int = 80) -> Pixels:
    """Red top left, green top right, blue bottom left, grey bottom right."""
    pixels = np.zeros((height, width, 3), np.uint8)
    pixels[: height // 2, : width // 2] = RED
    pixels[: height // 2, width // 2 :] = GREEN
    pixels[height // 2 :, : width // 2] = BLUE
    pixels[height // 2 :, width // 2 :] = GREY
    return pixels


@pytest.fixture
def save(tmp_path: Path) -> Save:
    """Write an image and return its path."""

    def write(image: Image.Image | Pixels, name: str, *, orientation: int | None = None, **options: Any) -> Path:
        if not isinstance(image, Image.Image):
            image = Image.fromarray(image)
        if orientation is not None:
            exif = Image.Exif()
            exif[ExifTags.Base.Orientation] = orientation
            # The HEIC writer takes bytes only.
            options["exif"] = exif.tobytes() if name.endswith(".heic") else exif
        if name.endswith(".heic"):
            import pillow_heif

            pillow_heif.register_heif_opener()
        if name.endswith((".jpg", ".heic", ".webp")):
            options.setdefault("quality", 95)
        if name.endswith(".png"):
            options.setdefault("compress_level", 1)  # the same pixels, in a fraction of the time
        path = tmp_path / name
        image.save(path, **options)
        return path

    return write
