"""A photo as a graph of small even patches, and how far each patch is from a stroke over some of them.

The patches are SLIC superpixels (Achanta et al. 2012, doi:10.1109/TPAMI.2012.120). The way from a stroke to a patch
costs as much as its worst step (the bottleneck, or minimax, distance): a wall that fades slowly stays one region, and a
tiled wall stays one when the stroke crossed both tile and grout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import breadth_first_order, minimum_spanning_tree
from skimage.segmentation import slic

from matcher.colorimetry.spaces import Floats

Stroke = Sequence[tuple[float, float]]
Patches = NDArray[np.int32]  # numbers of patches

# Assumptions, tried on the sample photos: at 700 pixels a patch is about 11 pixels wide, finer ones cost time and do
# not raise the overlap with the true outlines.
_LONGEST_SIDE = 700
_PATCHES = 3000
_ROUNDS = 3
_COMPACTNESS = 0.3  # against colours that the library scales to 0..1: higher gives squares, lower gives crumbs
# Assumption: shading changes lightness far more than hue, so a patch darker than the stroke may still be of it.
_LIGHTNESS_WEIGHT = 0.25
_STEP_WEIGHT = 0.25  # assumption: of the colour step between two neighbours, against the distance to the stroke
_NO_WAY = np.inf


@dataclass(frozen=True, slots=True, eq=False)
class RegionGraph:
    """``labels`` (h, w) int32 patch of each pixel of the reduced photo, ``lab`` (N, 3) their mean colours, ``edges``
    (M, 2) int32 neighbours, ``scale`` (x, y) reduced pixels per full-size pixel, ``full_size`` (width, height).

    Colours are CIELAB of the file values read as sRGB: they tell materials apart and measure nothing.
    """

    labels: NDArray[np.int32]
    lab: Floats
    edges: NDArray[np.int32]
    scale: tuple[float, float]
    full_size: tuple[int, int]


def prepare_regions(
    pixels: NDArray[np.uint8] | NDArray[np.uint16], *, full_size: tuple[int, int] | None = None
) -> RegionGraph:
    """Return the graph of a photo (H, W, 3), sRGB-like; ``full_size`` (width, height) is the frame of strokes and
    outlines where ``pixels`` were decoded smaller than the file.
    """
    height, width = pixels.shape[:2]
    shrink = min(1.0, _LONGEST_SIDE / max(height, width))
    size = (max(1, round(width * shrink)), max(1, round(height * shrink)))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)
    lab = cv2.cvtColor(small.astype(np.float32) / np.float32(np.iinfo(pixels.dtype).max), cv2.COLOR_RGB2LAB)
    labels = slic(
        lab,
        n_segments=max(1, min(_PATCHES, size[0] * size[1] // 16)),
        compactness=_COMPACTNESS,
        max_num_iter=_ROUNDS,
        convert2lab=False,
        start_label=0,
        channel_axis=-1,
    ).astype(np.int32)
    count = int(labels.max()) + 1
    flat = labels.ravel()
    sizes = np.bincount(flat, minlength=count)
    means = np.stack([np.bincount(flat, lab[..., k].ravel(), count) / sizes for k in range(3)], axis=1)
    frame = full_size or (width, height)
    return RegionGraph(labels, means, _neighbours(labels), (size[0] / frame[0], size[1] / frame[1]), frame)


def stroke_mask(graph: RegionGraph, strokes: Sequence[Stroke]) -> NDArray[np.uint8]:
    """Return the pixels (h, w) of the reduced photo that strokes in full-size pixels run over, as ones."""
    mask = np.zeros(graph.labels.shape, np.uint8)
    for stroke in strokes:
        points = np.clip(np.asarray(stroke, dtype=float).reshape(-1, 2) * graph.scale, -1e4, 1e4)
        line = np.floor(points).astype(np.int32)
        # A tap is a line from a point to itself: one point alone draws nothing.
        cv2.polylines(mask, [np.concatenate([line, line[-1:]])], isClosed=False, color=1, thickness=2)
    return mask


def filled_mask(graph: RegionGraph, polygons: Sequence[Stroke], *, margin: int) -> NDArray[np.uint8]:
    """Return the pixels (h, w) of the reduced photo inside polygons in full-size pixels, or near them, as ones."""
    mask = np.zeros(graph.labels.shape, np.uint8)
    for polygon in polygons:
        points = np.clip(np.asarray(polygon, dtype=float).reshape(-1, 2) * graph.scale, -1e4, 1e4)
        cv2.fillPoly(mask, [np.floor(points).astype(np.int32)], color=1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * margin + 1, 2 * margin + 1))
    return np.asarray(cv2.dilate(mask, disc), dtype=np.uint8)


def bottleneck_distance(graph: RegionGraph, seeds: Patches) -> Floats:
    """Return (N,) the cost of the best way from any of the patches ``seeds`` to each patch, in weighted CIELAB units;
    infinite without seeds.
    """
    count = len(graph.lab)
    if not len(seeds):
        return np.full(count, _NO_WAY)
    weighted = _weighted(graph)
    unlike = np.sqrt(((weighted[:, None] - weighted[seeds]) ** 2).sum(axis=-1).min(axis=1))
    first, second = graph.edges.T
    step = np.linalg.norm(graph.lab[first] - graph.lab[second], axis=1)
    cost = np.maximum(_STEP_WEIGHT * step, np.maximum(unlike[first], unlike[second]))
    # One more node, tied to every seed, stands for the stroke. Sparse graphs drop edges that cost nothing.
    rows = np.concatenate([first, np.full(len(seeds), count)])
    columns = np.concatenate([second, seeds])
    costs = np.concatenate([cost, np.zeros(len(seeds))]) + 1e-9
    # The best worst-step way runs along the tree that joins all patches at least cost.
    tree = minimum_spanning_tree(coo_array((costs, (rows, columns)), shape=(count + 1, count + 1)))
    order, parents = breadth_first_order(tree, count, directed=False)
    branch = tree.tocoo()
    one, other = branch.coords
    # Of the two ends of a branch the child is the one whose parent the other is.
    worst = np.zeros(count + 1)
    worst[np.where(parents[one] == other, one, other)] = branch.data
    cheapest, step_costs, before = [_NO_WAY] * (count + 1), worst.tolist(), parents.tolist()
    cheapest[count] = 0.0
    for node in order[1:].tolist():
        cheapest[node] = max(cheapest[before[node]], step_costs[node])
    return np.array(cheapest[:count])


def texture(graph: RegionGraph, seeds: Patches) -> float:
    """Return how far a patch under the strokes is from the one most like it, the median, in weighted CIELAB units."""
    if len(seeds) < 2:
        return 0.0
    colours = _weighted(graph)[seeds]
    apart = np.linalg.norm(colours[:, None] - colours, axis=-1)
    np.fill_diagonal(apart, np.inf)
    return float(np.median(apart.min(axis=1)))


def _weighted(graph: RegionGraph) -> Floats:
    weighted: Floats = graph.lab * (_LIGHTNESS_WEIGHT, 1.0, 1.0)
    return weighted


def _neighbours(labels: NDArray[np.int32]) -> NDArray[np.int32]:
    across = np.stack([labels[:, :-1].ravel(), labels[:, 1:].ravel()], axis=1)
    down = np.stack([labels[:-1].ravel(), labels[1:].ravel()], axis=1)
    pairs = np.concatenate([across, down])
    pairs = np.sort(pairs[pairs[:, 0] != pairs[:, 1]], axis=1)
    return np.unique(pairs, axis=0).astype(np.int32)
