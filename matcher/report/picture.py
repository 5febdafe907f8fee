"""A photo as the page shows it: a modest JPEG as a data URI, with the outlines to draw over it."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image

from matcher.photo.display import eight_bits, to_srgb
from matcher.photo.model import Photo

Polygon = Sequence[tuple[float, float]]
# Sharp at the page's width on a dense screen, about 150 kB. Assumption.
LONGEST_SIDE = 1400
_CLOSE_UP_SIDE = 700
_QUALITY = 82
_BADGE_SHARE = 0.018  # radius of a number over the picture's longest side; chosen by looking


@dataclass(frozen=True, slots=True)
class Outline:
    """A surface in a picture: its ``number`` on the page, polygons as SVG points, and where the number stands."""

    number: int
    polygons: tuple[str, ...]
    label: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """``width`` and ``height`` are the full-size frame the outlines are given in; ``badge`` a radius in it."""

    file: str
    whole_room: bool
    data_uri: str
    width: int
    height: int
    badge: float
    outlines: tuple[Outline, ...]
    cards: tuple[str, ...]


def make_picture(
    photo: Photo,
    *,
    file: str,
    whole_room: bool,
    surfaces: Sequence[tuple[int, Sequence[Polygon]]],
    cards: Sequence[Polygon],
) -> Picture:
    """Return the picture of ``photo``; ``surfaces`` are (number, polygons), all in upright full-size pixels."""
    width, height = photo.full_size
    return Picture(
        file=file,
        whole_room=whole_room,
        data_uri=_jpeg_uri(photo, LONGEST_SIDE if whole_room else _CLOSE_UP_SIDE),
        width=width,
        height=height,
        badge=round(max(width, height) * (_BADGE_SHARE if whole_room else 2 * _BADGE_SHARE), 1),
        outlines=tuple(
            Outline(number, tuple(_points(polygon) for polygon in polygons), _middle(max(polygons, key=_area)))
            for number, polygons in surfaces
        ),
        cards=tuple(_points(card) for card in cards),
    )


def _points(polygon: Polygon) -> str:
    return " ".join(f"{x:.0f},{y:.0f}" for x, y in polygon)


def _area(polygon: Polygon) -> float:
    """Return the area by the shoelace formula."""
    x, y = np.asarray(polygon, dtype=float).T
    return float(abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2)


def _middle(polygon: Polygon) -> tuple[float, float]:
    """Return the point of the polygon farthest from its edges, on a grid: a centroid may lie outside it."""
    corners = np.asarray(polygon, dtype=float)
    low, high = corners.min(axis=0), corners.max(axis=0)
    steps = np.linspace(0.02, 0.98, 25)
    grid = np.stack(np.meshgrid(low[0] + steps * (high - low)[0], low[1] + steps * (high - low)[1]), axis=-1)
    points = grid.reshape(-1, 2)
    start, end = corners, np.roll(corners, -1, axis=0)
    along = end - start
    length2 = np.maximum((along**2).sum(axis=1), 1e-9)
    share = np.clip(((points[:, None] - start) * along).sum(axis=2) / length2, 0, 1)
    distance = np.linalg.norm(points[:, None] - (start + share[..., None] * along), axis=2).min(axis=1)
    crosses = (start[:, 1] > points[:, None, 1]) != (end[:, 1] > points[:, None, 1])
    rise = np.where(along[:, 1] == 0, 1e-9, along[:, 1])
    reach = start[:, 0] + (points[:, None, 1] - start[:, 1]) / rise * along[:, 0]
    inside = (crosses & (points[:, None, 0] < reach)).sum(axis=1) % 2 == 1
    x, y = points[np.argmax(np.where(inside, distance, -1))]
    return round(float(x), 1), round(float(y), 1)


def _jpeg_uri(photo: Photo, longest_side: int) -> str:
    image = Image.fromarray(np.ascontiguousarray(eight_bits(photo.pixels)))
    image.thumbnail((longest_side, longest_side), Image.Resampling.LANCZOS)
    image = Image.fromarray(to_srgb(np.asarray(image), photo.colour_space))
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=_QUALITY, optimize=True)
    return "data:image/jpeg;base64," + base64.b64encode(stream.getvalue()).decode("ascii")
