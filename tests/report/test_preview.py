"""The preview: the photo's own pixels, with the outlines over them."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from matcher.photo.reading import read_photo
from matcher.report.picture import make_picture
from matcher.report.preview import preview_jpeg

PHOTO = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "tile_day.jpg"


def test_outline_is_drawn_where_it_is_and_the_rest_is_the_photo() -> None:
    square = ((200.0, 300.0), (800.0, 300.0), (800.0, 700.0), (200.0, 700.0))
    picture = make_picture(read_photo(PHOTO), file="tile_day.jpg", whole_room=True, surfaces=[(1, [square])], cards=[])
    drawn = Image.open(io.BytesIO(preview_jpeg(picture)))
    plain = Image.open(PHOTO)
    assert drawn.size == plain.size
    difference = np.abs(np.asarray(drawn, int) - np.asarray(plain, int)).mean(axis=2)
    assert difference[300, 250:750:50].min() > 40
    assert np.median(difference[20:280]) < 4
