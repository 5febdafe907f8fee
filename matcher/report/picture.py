"""A photo as the page shows it: a modest JPEG as a data URI, with the outlines to draw over it."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.photo.contours import joined
from matcher.photo.decoded import Photo
from matcher.photo.display import srgb_jpeg

Polygon = Sequence[tuple[float, float]]
# Sharp at the page's width on a dense screen, about 150 kB. Assumption.
LONGEST_SIDE = 1400
_CLOSE_UP_SIDE = 700
_BADGE_SHARE = 0.018  # radius of a number over the picture's longest side; chosen by looking


@dataclass(frozen=True, slots=True)
class Outline:
    """A surface in a picture: its ``number`` on the page, its contours (of holes too) as SVG points, and where the
    number stands.
    """

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
            Outline(number, tuple(_points(polygon) for polygon in polygons), _middle(polygons))
            for number, polygons in ((number, joined(pieces, photo.full_size)) for number, pieces in surfaces)
        ),
        cards=tuple(_points(card) for card in cards),
    )


def _points(polygon: Polygon) -> str:
    return " ".join(f"{x:.0f},{y:.0f}" for x, y in polygon)


def _area(polygon: Polygon) -> float:
    """Return the area by the shoelace formula."""
    x, y = np.asarray(polygon, dtype=float).T
    return float(abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2)


def _middle(contours: Sequence[Polygon]) -> tuple[float, float]:
    """Return the point farthest from all edges, on a grid over the largest piece: a centroid may lie outside."""
    largest = np.asarray(max(contours, key=_area), dtype=float)
    low, high = largest.min(axis=0), largest.max(axis=0)
    steps = np.linspace(0.02, 0.98, 25)
    grid = np.stack(np.meshgrid(low[0] + steps * (high - low)[0], low[1] + steps * (high - low)[1]), axis=-1)
    points = grid.reshape(-1, 2)
    pieces = [np.asarray(contour, dtype=float) for contour in contours]
    start, end = np.concatenate(pieces), np.concatenate([np.roll(piece, -1, axis=0) for piece in pieces])
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
    return "data:image/jpeg;base64," + base64.b64encode(srgb_jpeg(photo, longest_side)).decode("ascii")
