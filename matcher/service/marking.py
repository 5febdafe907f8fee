"""Outlines proposed from strokes on a photo, for a person to correct."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.service.decoder import get_ready

if TYPE_CHECKING:
    from matcher.outlining.region_graph import RegionGraph, Stroke

Outline = list[tuple[float, float]]


def regions_of(path: Path) -> RegionGraph:
    """Read a photo into the graph that proposals are made from: once a photo, it pickles to about 1 MB.

    Raises :class:`matcher.errors.PhotoError`.
    """
    get_ready()
    from matcher.outlining.region_graph import prepare_regions
    from matcher.photo.reading import read_photo

    photo = read_photo(path)
    return prepare_regions(photo.pixels, full_size=photo.full_size)


def propose_outlines(
    graph: RegionGraph,
    include: Sequence[Stroke],
    exclude: Sequence[Stroke],
    *,
    tolerance: float,
    cards: Sequence[Stroke] = (),
) -> list[Outline]:
    """Return the outlines, in full-size pixels, of what the strokes ``include`` run over and ``exclude`` do not.

    What ``cards`` outline is no part of them.
    """
    from matcher.outlining.proposal import propose_outlines as propose

    return propose(graph, include, exclude, tolerance, cards=cards)
