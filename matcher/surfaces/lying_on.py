"""On which surface a card lies: believed only where its outline lies inside or against that surface's in the photo.

A card said to lie on something that is nowhere near it would carry that surface's shading across the picture and tell
of a light that does not fall there. Such a card still tells the light of its own place, so it is kept as one lying
elsewhere.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Any

import cv2
import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Finding
from matcher.room.contents import PhotoEntry, Reference

# Assumptions, in sizes of the card (the root of its area). Beside a surface lies what leaves no room for
# another card between: rim and shadow, which outlines keep clear of, are smaller, other things are farther off.
_AGAINST = 1.0
# Who leaves a card, or three side by side, out between outlines of one surface leaves up to two sizes on either side
# (on the rendered rooms 2.0 at most).
_AMONG = 2.5
_MOST_NAMED = 4

Polygon = Sequence[Sequence[float]]


def with_believed_cards(entry: PhotoEntry) -> tuple[PhotoEntry, tuple[Finding, ...]]:
    """Return the photo's entry with ``on`` taken off cards that do not lie there, and what is said of those."""
    believed = _believed(entry)
    disbelieved = [not kept and each.on is not None for each, kept in zip(entry.references, believed, strict=True)]
    if not any(disbelieved):
        return entry, ()
    outlined = {surface.name for surface in entry.surfaces}
    cards: dict[str, dict[str, None]] = {}
    references = []
    for reference, doubt in zip(entry.references, disbelieved, strict=True):
        if doubt:
            cards.setdefault(str(reference.on), {})[reference.kind] = None
        references.append(reference.model_copy(update={"on": None}) if doubt else reference)
    return entry.model_copy(update={"references": tuple(references)}), tuple(_findings(cards, outlined))


def _findings(cards: Mapping[str, Iterable[str]], outlined: Collection[str]) -> Iterator[Finding]:
    """Yield one finding for all surfaces that the same ``cards``, by surface, are said to lie on."""
    surfaces: dict[tuple[bool, str], list[str]] = {}
    for surface, kinds in cards.items():
        surfaces.setdefault((surface in outlined, ", ".join(kinds)), []).append(surface)
    for (seen, kinds), names in surfaces.items():
        named = ", ".join(names[:_MOST_NAMED]) + (f" and {len(names) - _MOST_NAMED} more" * (len(names) > _MOST_NAMED))
        values = (("cards", kinds), ("surfaces", named))
        # A surface that is not outlined here is not read here either: there is nothing to put right.
        yield Finding("card elsewhere", "warn", values) if seen else Finding("card on nothing", "note", values)


def surface_under(cards: Sequence[Polygon], surfaces: Mapping[str, Sequence[Polygon]]) -> str | None:
    """Return the name of the surface that ``cards`` lying together lie on by its outlines, None where on none.

    The nearest counts, over all of the cards; ``surfaces`` are outlines by name.
    """
    found = []
    for name, outlines in surfaces.items():
        points = [_points(each) for each in outlines]
        if points and any(_against(_points(card), points) for card in cards):
            apart = [min(_apart(_points(card), each) for each in points) for card in cards]
            inside = sum(_holds(each, _points(card).mean(axis=0)) for card in cards for each in points)
            found.append((-inside, sum(apart), name))
    return min(found)[2] if found else None


def _believed(entry: PhotoEntry) -> list[bool]:
    """Tell of each reference whether it lies on the surface it is said to: itself, or beside another that does."""
    outlines = {surface.name: [_points(each) for each in surface.polygons] for surface in entry.surfaces}
    believed = [_lies_against(each, outlines.get(each.on or "", ())) for each in entry.references]
    # White, grey and black side by side count as one, whichever of them the outline reaches.
    waiting = True
    while waiting:
        waiting = False
        for index, card in enumerate(entry.references):
            beside = [
                _points(other.outline)
                for other, kept in zip(entry.references, believed, strict=True)
                if kept and other.on == card.on
            ]
            if not believed[index] and _lies_against(card, beside):
                believed[index] = waiting = True
    return believed


def _lies_against(card: Reference, outlines: Sequence[Floats]) -> bool:
    return _against(_points(card.outline), outlines)


def _against(own: Floats, outlines: Sequence[Floats]) -> bool:
    size = float(np.sqrt(max(cv2.contourArea(own.astype(np.float32)), 1.0)))
    apart = min((_apart(own, outline) for outline in outlines), default=np.inf)
    return apart < _AGAINST * size or (apart <= _AMONG * size and _among(own.mean(axis=0), outlines))


def _among(place: Floats, outlines: Sequence[Floats]) -> bool:
    """Tell whether a place (2,) lies between the outlines: inside the smallest convex shape that holds them all."""
    around = cv2.convexHull(np.concatenate(list(outlines)).astype(np.float32))
    return _holds(around, place)


def _holds(outline: Any, place: Floats) -> bool:
    return bool(cv2.pointPolygonTest(outline.astype(np.float32), tuple(map(float, place)), False) >= 0)


def _points(outline: Polygon) -> Floats:
    return np.asarray(outline, dtype=float)


def _apart(one: Floats, other: Floats) -> float:
    """Return how far two polygons (N, 2) and (M, 2) lie apart in pixels, 0 where they overlap."""
    # Two edges that cross end on different sides of each other, or a corner of one lies inside the other.
    inside = [_holds(polygon, corner) for corners, polygon in ((one, other), (other, one)) for corner in corners]
    if any(inside) or _cross(one, other):
        return 0.0
    return min(_to_edges(one, other), _to_edges(other, one))


def _to_edges(corners: Floats, polygon: Floats) -> float:
    start, way = polygon, np.roll(polygon, -1, axis=0) - polygon
    from_start = corners[:, None] - start
    along = np.clip((from_start * way).sum(axis=-1) / np.maximum((way**2).sum(axis=-1), 1e-12), 0, 1)
    return float(np.linalg.norm(from_start - along[..., None] * way, axis=-1).min())


def _cross(one: Floats, other: Floats) -> bool:
    a, b = one[:, None], np.roll(one, -1, axis=0)[:, None]
    c, d = other[None], np.roll(other, -1, axis=0)[None]
    return bool(((_side(a, b, c) * _side(a, b, d) < 0) & (_side(c, d, a) * _side(c, d, b) < 0)).any())


def _side(start: Floats, end: Floats, point: Floats) -> Any:
    way, off = end - start, point - start
    return way[..., 0] * off[..., 1] - way[..., 1] * off[..., 0]
