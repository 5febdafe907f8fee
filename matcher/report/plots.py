"""Two drawings that place paints among the surfaces: which way each leans, and how light it is. SVG, no scripts.

Axes carry words, not symbols: nobody has to know CIELAB to read them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from matcher.harmony.tint import tint_boundary
from matcher.report.ground import GREYS

# Drawing sizes in SVG units, chosen by looking at phone and laptop width.
_SIDE, _MARGIN = 640, 64
_INK, _SOFT, _LINE = "#1c1e20", "#3a3d40", "#8f8f8f"
_GROUND = GREYS["ground"]
_FONT = 'font-family="system-ui, sans-serif"'
# Chroma at the edge of the drawing: the smallest of these that holds everything.
_REACHES = (12.0, 20.0, 32.0, 50.0, 80.0, 130.0)
_RINGS = (2.0, 6.0, 12.0, 20.0, 32.0, 50.0, 80.0)
_RADIUS = 15.0
_PUSHES = 60
_NEUTRAL_LIGHTNESS = 75.0


@dataclass(frozen=True, slots=True)
class PlotMark:
    """What is placed: ``label`` is a surface's number or a paint's rank, ``lab`` CIELAB D65/2."""

    label: str
    name: str
    lab: Sequence[float]
    lrv: float
    hex: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """An SVG file, and ``alt``, the text in its place for who cannot see it."""

    svg: str
    alt: str


def lean_plot(surfaces: Sequence[PlotMark], paints: Sequence[PlotMark]) -> Drawing:
    """Return which way surfaces (squares) and paints (discs) lean, seen on the a*b* plane.

    Inside the dashed line a light colour reads as a plain grey (ISCC-NBS tint boundary at L* 75). Distance from the
    middle goes with the square root of chroma: near neutrals, where undertones are decided, get the room they need.
    """
    marks = [*surfaces, *paints]
    most = max((math.hypot(mark.lab[1], mark.lab[2]) for mark in marks), default=0.0)
    reach = next((reach for reach in _REACHES if reach >= 1.12 * most), _REACHES[-1])
    centre, edge_radius = _SIDE / 2, _SIDE / 2 - _MARGIN

    def at(a: float, b: float) -> tuple[float, float]:
        chroma = math.hypot(a, b)
        stretch = edge_radius / math.sqrt(reach * chroma) if chroma else 0.0
        return centre + stretch * a, centre - stretch * b

    parts = [f'<rect width="{_SIDE}" height="{_SIDE}" fill="{_GROUND}"/>']
    parts += [
        f'<circle cx="{centre}" cy="{centre}" r="{edge_radius * math.sqrt(chroma / reach):.1f}" fill="none" '
        f'stroke="{_LINE}"/>'
        for chroma in (*(ring for ring in _RINGS if ring < reach), reach)
    ]
    low, high = _MARGIN, _SIDE - _MARGIN
    parts.append(f'<path d="M{low} {centre}H{high}M{centre} {low}V{high}" stroke="{_LINE}"/>')
    hues = np.arange(0.0, 360.0, 5.0)
    edge = tint_boundary(hues, np.full(len(hues), _NEUTRAL_LIGHTNESS))
    line = " ".join(
        "{:.1f},{:.1f}".format(*at(chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))))
        for hue, chroma in zip(hues.tolist(), edge.tolist(), strict=True)
    )
    parts.append(f'<polygon points="{line}" fill="none" stroke="{_INK}" stroke-dasharray="4 4"/>')
    for words, x, y, anchor in (
        ("yellow", centre, 40, "middle"),
        ("blue", centre, _SIDE - 26, "middle"),
        ("green", 12, centre - 10, "start"),
        ("pink, red", _SIDE - 12, centre - 10, "end"),
    ):
        parts.append(_text(words, x, y, anchor, 19))
    true = [at(mark.lab[1], mark.lab[2]) for mark in marks]
    shown = _spread(true)
    for (x, y), (label_x, label_y) in zip(true, shown, strict=True):
        parts.append(f'<path d="M{x:.1f} {y:.1f}L{label_x:.1f} {label_y:.1f}" stroke="{_INK}"/>')
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="{_INK}"/>')
    draws = [_square] * len(surfaces) + [_disc] * len(paints)
    parts += [draw(mark, *place) for draw, mark, place in zip(draws, marks, shown, strict=True)]
    alt = "; ".join(f"{mark.label} {mark.name}" for mark in marks)
    return _drawing(_SIDE, _SIDE, "".join(parts), f"Which way each colour leans: {alt}")


def lightness_plot(surfaces: Sequence[PlotMark], paints: Sequence[PlotMark]) -> Drawing:
    """Return the LRV of surfaces (left) and paints (right) on one ladder from black to white."""
    height, width, top, bottom = _SIDE, 420, 60, _SIDE - 34

    def at(lrv: float) -> float:
        return bottom - (bottom - top) * min(max(lrv, 0.0), 100.0) / 100

    parts = [f'<rect width="{width}" height="{height}" fill="{_GROUND}"/>']
    for step in range(0, 101, 10):
        y = at(step)
        parts.append(f'<path d="M150 {y:.1f}H270" stroke="{_LINE}"/>')
        parts.append(_text(str(step), 210, y - 4, "middle", 15, _SOFT))
    parts.append(_text("LRV", 210, 26, "middle", 17))
    parts.append(_text("stays", 150, 26, "end", 17) + _text("paints", 270, 26, "start", 17))
    for marks, edge, away, draw in ((surfaces, 150.0, -1, _square), (paints, 270.0, 1, _disc)):
        for mark, y in zip(marks, _apart([at(mark.lrv) for mark in marks]), strict=True):
            x = edge + away * 56
            parts.append(f'<path d="M{edge:.1f} {at(mark.lrv):.1f}L{x - away * _RADIUS:.1f} {y:.1f}" stroke="{_INK}"/>')
            parts.append(draw(mark, x, y))
            parts.append(_text(f"{mark.lrv:.0f}", x + away * (_RADIUS + 8), y + 6, "end" if away < 0 else "start", 17))
    alt = "; ".join(f"{mark.label} {mark.name} {mark.lrv:.0f}" for mark in (*surfaces, *paints))
    return _drawing(width, height, "".join(parts), f"LRV of each colour: {alt}")


def _spread(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return places for labels, pushed apart until none covers another."""
    placed = np.array(points, dtype=float).reshape(-1, 2)
    # Points in one place go apart in fixed directions, so that the same colours give the same drawing.
    angle = np.arange(len(placed)) * 2.4
    placed += 0.01 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    for _ in range(_PUSHES):
        between = placed[:, None] - placed
        distance = np.linalg.norm(between, axis=2)
        lack = np.maximum(2 * _RADIUS + 3 - distance, 0.0)
        np.fill_diagonal(lack, 0.0)
        if not lack.any():
            break
        placed += 0.5 * ((lack / np.maximum(distance, 1e-9))[..., None] * between).sum(axis=1)
    placed = np.clip(placed, _RADIUS + 2, _SIDE - _RADIUS - 2)
    return [(float(x), float(y)) for x, y in placed]


def _apart(heights: Sequence[float]) -> list[float]:
    """Return the heights moved apart just so far that labels do not cover each other."""
    order = sorted(range(len(heights)), key=lambda index: heights[index])
    step = 2 * _RADIUS + 4
    placed = [heights[index] for index in order]
    for _ in range(len(placed)):
        for lower, upper in zip(range(len(placed) - 1), range(1, len(placed)), strict=True):
            lack = step - (placed[upper] - placed[lower])
            if lack > 0:
                placed[lower] -= lack / 2
                placed[upper] += lack / 2
    shift = max(0.0, 52 - placed[0]) if placed else 0.0
    moved = dict(zip(order, (height + shift for height in placed), strict=True))
    return [moved[index] for index in range(len(heights))]


def _square(mark: PlotMark, x: float, y: float) -> str:
    half = _RADIUS - 1
    shape = f'<rect x="{x - half:.1f}" y="{y - half:.1f}" width="{2 * half}" height="{2 * half}"'
    return _drawn(mark, shape, x, y)


def _disc(mark: PlotMark, x: float, y: float) -> str:
    return _drawn(mark, f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_RADIUS}"', x, y)


def _drawn(mark: PlotMark, shape: str, x: float, y: float) -> str:
    ink = "#fff" if mark.lrv < 30 else "#000"
    return (
        f'{shape} fill="{mark.hex}" stroke="{_INK}" stroke-width="1.5"><title>{escape(mark.name)}</title>'
        f"</{shape[1:].split()[0]}>" + _text(mark.label, x, y + 5.5, "middle", 16, ink, 600)
    )


def _text(words: str, x: float, y: float, anchor: str, size: int, fill: str = _INK, weight: int = 400) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}" font-weight="{weight}" '
        f'fill="{fill}" {_FONT}>{escape(words)}</text>'
    )


def _drawing(width: int, height: int, body: str, alt: str) -> Drawing:
    size = f'viewBox="0 0 {width} {height}" width="{width}" height="{height}"'
    return Drawing(f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>', alt)
