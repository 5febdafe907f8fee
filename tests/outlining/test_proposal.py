"""Strokes to outlines. The truth is the sample photos' own outlines, which come from the renderer's object masks."""

from __future__ import annotations

import pickle
import tomllib
from collections.abc import Iterator
from functools import cache
from itertools import islice
from pathlib import Path

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from matcher.outlining.proposal import Outline, propose_outlines
from matcher.outlining.region_graph import RegionGraph, bottleneck_distance, prepare_regions, stroke_mask
from matcher.photo.reading import read_photo
from matcher.room.outline import outline_fault, outside_fault

SAMPLES = Path(__file__).parents[2] / "sample_photos"
Mask = NDArray[np.uint8]
Line = list[tuple[float, float]]


@cache
def surfaces() -> list[tuple[Path, str, Mask, list[Line]]]:
    """Every surface of the two rooms by day: photo, name, its true mask, one stroke for each true outline."""
    found = []
    for room in ("kitchen/kitchen_daylight", "sitting/sitting_daylight"):
        path = SAMPLES / f"{room}.toml"
        for photo in tomllib.loads(path.read_text(encoding="utf-8"))["photos"]:
            file = path.parent / photo["file"]
            height, width = read_photo(file).pixels.shape[:2]
            for surface in photo.get("surfaces", []):
                outlines = surface.get("outlines") or [surface["outline"]]
                parts = [filled([outline], (height, width)) for outline in outlines]
                mask = np.maximum.reduce(parts)
                found.append((file, surface["name"], mask, [longest_stroke(part) for part in parts]))
    return found


@cache
def graph_of(path: Path) -> RegionGraph:
    photo = read_photo(path)
    return prepare_regions(photo.pixels, full_size=photo.full_size)


def filled(outlines: list[Outline], shape: tuple[int, int]) -> Mask:
    mask = np.zeros(shape, np.uint8)
    for outline in outlines:
        cv2.fillPoly(mask, [np.round(outline).astype(np.int32)], 1)
    return mask


def longest_stroke(mask: Mask) -> Line:
    """Return the longest straight stroke found in a mask, clear of its edge: how a hurried person would paint it."""
    inner = cv2.erode(mask, np.ones((15, 15), np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0)
    inner = inner if inner.any() else mask
    rng = np.random.default_rng(7)
    rows, columns = np.nonzero(inner)
    best: Line = []
    for i in rng.integers(0, len(rows), 25):
        for angle in np.arange(12) * np.pi / 12:
            ends = [walk(inner, (columns[i], rows[i]), (way * np.cos(angle), way * np.sin(angle))) for way in (1, -1)]
            if not best or np.hypot(*np.subtract(*ends)) > np.hypot(*np.subtract(*best)):
                best = ends
    return best


def walk(mask: Mask, start: tuple[int, int], direction: tuple[float, float]) -> tuple[float, float]:
    """Return the last pixel inside the mask on the way from ``start``."""
    steps = np.arange(sum(mask.shape))
    x = np.round(start[0] + direction[0] * steps).astype(int)
    y = np.round(start[1] + direction[1] * steps).astype(int)
    inside = (x >= 0) & (y >= 0) & (x < mask.shape[1]) & (y < mask.shape[0])
    inside[inside] = mask[y[inside], x[inside]] > 0
    last = int(np.argmin(inside)) - 1
    return float(x[last]), float(y[last])


def overlap(outlines: list[Outline], mask: Mask) -> float:
    """Return intersection over union."""
    proposed = filled(outlines, (mask.shape[0], mask.shape[1]))
    return float(np.count_nonzero(proposed & mask) / np.count_nonzero(proposed | mask))


def corrected(graph: RegionGraph, mask: Mask, strokes: list[Line]) -> Iterator[list[Outline]]:
    """Yield what is proposed, then what is when the largest mistake got one more stroke, again and again."""
    include, exclude = list(strokes), list[Line]()
    while True:
        outlines = propose_outlines(graph, include, exclude, 0.5)
        yield outlines
        proposed = filled(outlines, (mask.shape[0], mask.shape[1]))
        too_much, missed = largest(proposed & (1 - mask)), largest(mask & (1 - proposed))
        if np.count_nonzero(too_much) >= np.count_nonzero(missed):
            exclude.append(longest_stroke(too_much))
        else:
            include.append(longest_stroke(missed))


def largest(mask: Mask) -> Mask:
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask)
    return (labels == 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))).astype(np.uint8)


def test_overlap_with_the_true_outlines() -> None:
    """Measured: median 0.83 from one stroke an outline, 0.86 after two corrections (intersection over union)."""
    found = [
        [overlap(outlines, mask) for outlines in islice(corrected(graph_of(path), mask, strokes), 3)]
        for path, _, mask, strokes in surfaces()
    ]
    first, _, after = np.median(found, axis=0)
    assert first >= 0.81
    assert after >= 0.83
    assert after > first


def test_outlines_are_sound_and_few_enough_to_edit() -> None:
    for path, name, _, strokes in surfaces():
        graph = graph_of(path)
        for tolerance in (0.0, 0.5, 1.0):
            for outline in propose_outlines(graph, strokes, [], tolerance):
                assert outline_fault(outline) is None, name
                assert outside_fault(outline, graph.full_size) is None, name
                assert 3 <= len(outline) <= 24, name


def two_halves(edge: int = 200) -> NDArray[np.uint8]:
    picture = np.zeros((300, 400, 3), np.uint8)
    picture[:, :edge] = (180, 150, 120)
    picture[:, edge:] = (90, 110, 140)
    return picture


def test_strokes_and_outlines_are_in_full_size_pixels() -> None:
    graph = prepare_regions(two_halves(), full_size=(1600, 1200))
    (outline,) = propose_outlines(graph, [[(100, 600), (600, 600)]], [], 0.5)
    x, y = np.asarray(outline).T
    assert x.min() < 8
    assert x.max() == pytest.approx(800, abs=12)
    assert (y.min(), y.max()) == pytest.approx((0, 1200), abs=8)


def test_a_slow_gradient_is_one_region_and_leave_out_divides_it() -> None:
    ramp = np.repeat(np.linspace(90, 200, 400)[None], 300, axis=0).astype(np.uint8)
    graph = prepare_regions(np.dstack([ramp, ramp, ramp]))
    (whole,) = propose_outlines(graph, [[(10, 150), (390, 150)]], [], 0.5)
    assert cv2.contourArea(np.float32(whole)) > 0.95 * 400 * 300
    left, right = [(20.0, 150.0), (150.0, 150.0)], [(250.0, 150.0), (380.0, 150.0)]
    (half,) = propose_outlines(graph, [left], [right], 1.0)
    assert np.asarray(half)[:, 0].max() < 250


def test_a_large_hole_is_cut_out() -> None:
    picture = two_halves(edge=400)
    picture[100:200, 150:250] = (30, 60, 30)
    outlines = propose_outlines(prepare_regions(picture), [[(40, 40), (360, 40)], [(40, 260), (360, 260)]], [], 0.5)
    inside = filled(outlines, (300, 400))
    assert np.count_nonzero(inside[105:195, 155:245]) == 0
    assert np.count_nonzero(inside) > 0.9 * (400 * 300 - 100 * 100)


def test_more_tolerance_takes_in_more() -> None:
    for path, _, mask, strokes in surfaces()[:6]:
        reached = [
            np.count_nonzero(filled(propose_outlines(graph_of(path), strokes, [], t), (mask.shape[0], mask.shape[1])))
            for t in (0.0, 0.5, 1.0)
        ]
        assert reached == sorted(reached)


@cache
def with_cards(room: str, file: str) -> tuple[Path, Mask, Mask, list[Line]]:
    """The tile of a close-up of the kitchen: photo, its true mask, that of its cards, the cards' outlines."""
    path = SAMPLES / "kitchen" / file
    tables = tomllib.loads((SAMPLES / f"{room}.toml").read_text(encoding="utf-8"))
    photo = next(photo for photo in tables["photos"] if photo["file"] == file)
    tile = next(surface for surface in photo["surfaces"] if surface["name"] == "tile")
    shape = read_photo(path).pixels.shape[:2]
    cards = [reference["outline"] for reference in photo["references"]]
    return path, filled(tile["outlines"], (shape[0], shape[1])), filled(cards, (shape[0], shape[1])), cards


@pytest.mark.parametrize(
    ("room", "file", "stroke"),
    [
        ("kitchen/kitchen_daylight", "tile_day.jpg", [(60.0, 250.0), (730.0, 300.0)]),
        ("kitchen/kitchen_daylight", "tile_day.jpg", [(60.0, 250.0), (480.0, 260.0)]),
        ("kitchen/kitchen_lamp", "tile_led.jpg", [(100.0, 250.0), (740.0, 430.0)]),
        ("kitchen/kitchen_lamp", "tile_led.jpg", [(100.0, 250.0), (450.0, 330.0)]),
    ],
)
def test_one_hurried_stroke_follows_the_tile_to_its_ends_and_takes_in_no_card(
    room: str, file: str, stroke: Line
) -> None:
    """One of them runs right across the cards. Measured: 0.81 to 0.89 of intersection over union."""
    path, mask, card, cards = with_cards(room, file)
    outlines = propose_outlines(graph_of(path), [stroke], [], 0.5, cards=cards)
    proposed = filled(outlines, (mask.shape[0], mask.shape[1]))
    assert overlap(outlines, mask) >= 0.78
    assert np.count_nonzero(proposed & card) < 0.03 * np.count_nonzero(card)
    columns = np.flatnonzero((proposed & mask).any(axis=0))
    true = np.flatnonzero(mask.any(axis=0))
    assert columns[0] - true[0] < 0.05 * len(true)
    assert true[-1] - columns[-1] < 0.05 * len(true)


def test_nothing_painted_proposes_nothing() -> None:
    graph = prepare_regions(two_halves())
    assert propose_outlines(graph, [], [[(10, 10), (50, 50)]], 0.5) == []
    assert propose_outlines(graph, [[(-500, -500), (-400, -400)]], [], 0.5) == []


def test_bottleneck_distance_is_the_best_worst_step() -> None:
    """Against all paths, by the relaxation of Floyd and Warshall, on a small graph."""
    rng = np.random.default_rng(1)
    picture = rng.integers(0, 255, (24, 32, 3)).astype(np.uint8)
    graph = prepare_regions(picture)
    seeds = np.array([0, len(graph.lab) - 1])
    weighted = graph.lab * (0.25, 1, 1)
    unlike = np.linalg.norm(weighted[:, None] - weighted[seeds], axis=-1).min(axis=1)
    best = np.full((len(graph.lab), len(graph.lab)), np.inf)
    for a, b in graph.edges:
        cost = max(0.25 * np.linalg.norm(graph.lab[a] - graph.lab[b]), unlike[a], unlike[b])
        best[a, b] = best[b, a] = cost
    np.fill_diagonal(best, 0)
    for k in range(len(best)):
        best = np.minimum(best, np.maximum(best[:, [k]], best[[k]]))
    assert bottleneck_distance(graph, seeds) == pytest.approx(best[:, seeds].min(axis=1), abs=1e-6)


def test_the_same_strokes_give_the_same_outlines_after_pickling() -> None:
    path, _, _, strokes = surfaces()[0]
    graph = graph_of(path)
    again = pickle.loads(pickle.dumps(graph))
    assert len(pickle.dumps(graph)) < 2e6
    assert propose_outlines(again, strokes, [], 0.5) == propose_outlines(graph, strokes, [], 0.5)


points = st.tuples(st.floats(-1e7, 1e7), st.floats(-1e7, 1e7))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.lists(points, min_size=1, max_size=6), max_size=4), st.floats(-1, 2))
def test_wild_strokes(strokes: list[Line], tolerance: float) -> None:
    graph = graph_of(SAMPLES / "kitchen" / "worktop_day.jpg")
    for outline in propose_outlines(graph, [*strokes, [(300.0, 480.0), (900.0, 460.0)]], strokes, tolerance):
        assert outline_fault(outline) is None
        assert outside_fault(outline, graph.full_size) is None


@pytest.mark.parametrize("shape", [(1, 1), (1, 40), (3, 2), (5000, 3)])
def test_tiny_and_odd_pictures(shape: tuple[int, int]) -> None:
    graph = prepare_regions(np.full((*shape, 3), 128, np.uint8))
    middle = (shape[1] / 2, shape[0] / 2)
    assert stroke_mask(graph, [[middle]]).any()
    for outline in propose_outlines(graph, [[middle]], [], 0.5):
        assert outline_fault(outline) is None
