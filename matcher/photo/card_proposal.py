"""Propose where a neutral card lies in a photo: even, four-sided, near-neutral patches, likeliest first.

Near-neutral is relative to the photo's own cast, which can be strong (a warm lamp under a wrong white balance), so a
patch is never judged by its greyness alone. What speaks for a card: evenness, four straight sides with a step in
colour at each, chromaticity near the scene's median, a white, a grey and a black of one chromaticity side by side;
against it: many patches like it, which is what tiles are. A proposal is to be confirmed by a person.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.card_sets import chromaticity, groups, neighbours, with_thirds
from matcher.photo.chart_grid import LARGEST_MISFIT, ChartGrid
from matcher.photo.chart_proposal import propose_charts
from matcher.photo.decoded import Photo
from matcher.photo.patches import EvenArea, find_patches, smoothed, working_copy

Array = NDArray[Any]
CardKind = Literal["grey card", "white card", "black card", "chart 24"]

# Assumptions, set on sixteen rendered kitchens (other rooms than the tests use): a card comes first in all of them.
_UNEVENNESS_SCALE = 3.0  # encoded steps, beyond the picture's noise: what its calmest patches have
_CALMEST_PERCENT, _MOST_NOISE = 15, 3.0
_BORDER_SCALE = 10.0  # encoded steps
_CAST_SCALE = 0.3  # natural log of channel ratios
# Planck's law: white in the light of 2700 K against 6500 K, in linear sRGB. A room of other colours than its lamp's
# hides some of that in the picture's median.
_TOWARDS_LAMP, _BEYOND_SCENE = np.array([0.48, -0.88]), 1.5
_TILE_COUNT = 5  # up to this many look-alikes could be cards laid on each surface
_IF_REPEATED = (1.0, 0.7, 0.2, 0.1, 0.1)  # by the number of sides beyond which the same colour comes again
_SAME_COLOUR_STEP = 14.0  # encoded steps
_DOUBT_OF_CHART = 0.2  # 24 patches in the chart's own order are hardly anything else
# Assumptions, set on the practice and sample photos: there 17 of 21 cards that lie alone stand above the first, beside
# 8 patches that are none; all sets of three were right. Beside whole sets a card alone is rarer still.
LIKELY = 0.55
_LIKELY_BESIDE_SETS = 0.65
_WHOLE_SET = 3
_MOST_WITHOUT_SETS = 8


@dataclass(frozen=True, slots=True)
class CardProposal:
    """``outline``: four points of the upright full-size photo, just inside the border; ``confidence`` 0..1.

    Proposals of one ``group`` number lie side by side: a white, a grey and a black card of one set.
    """

    outline: tuple[tuple[float, float], ...]
    kind: CardKind
    confidence: float
    group: int | None = None


def propose_cards(photo: Photo, *, most: int = 24) -> tuple[CardProposal, ...]:
    """Return up to ``most`` proposals, those that lie side by side together, likeliest first.

    Where whole sets of cards were found, what else looks like a card has to look it more plainly. Where none was, a few
    are returned that are not :data:`LIKELY`, with their low confidence.
    """
    pixels, full_per_pixel = working_copy(photo)
    patches = find_patches(pixels)
    charts = propose_charts(photo, [patch for patch in patches if not patch.slender], full_per_pixel)
    of_charts = tuple(
        CardProposal(grid.outline(), "chart 24", 1 - _DOUBT_OF_CHART * grid.misfit / LARGEST_MISFIT) for grid in charts
    )
    patches = [patch for patch in patches if not _on_any(patch, charts, full_per_pixel)]
    patches = with_thirds(patches, smoothed(pixels), lambda rgb: _linear(photo, rgb)) if patches else []
    if not patches:
        return of_charts[:most]
    linear = np.array([_linear(photo, patch.rgb) for patch in patches])
    scene = _linear_scene(photo, pixels)
    beside = neighbours(patches, linear)
    scores = _scores(patches, linear, scene)
    support = beside.sum(axis=1)
    confidence = 1 - (1 - scores) * np.where(support > 0, 0.35 ** np.minimum(support, 2), 1.0)
    rarity = _rarity(patches)
    sets = groups(beside, linear[:, 1], confidence * rarity)
    # Beyond a white card on a white wall its colour comes again, but not beside a grey and a black one.
    whole = np.array([number is not None and sets.count(number) == _WHOLE_SET for number in sets])
    confidence *= np.where(whole, 1.0, rarity)
    kinds = _kinds(linear, scene, sets)
    found = [
        CardProposal(
            outline=tuple((float(x), float(y)) for x, y in (patches[i].quad + 0.5) * full_per_pixel),
            kind=kinds[i],
            confidence=float(confidence[i]),
            group=sets[i],
        )
        for i in np.argsort(-confidence, kind="stable").tolist()
    ]
    return (*of_charts, *_chosen(found))[:most]


def _chosen(found: Sequence[CardProposal]) -> list[CardProposal]:
    """Return which of all patches, likeliest first, are worth a person's look, whole sets first."""
    likely = [proposal for proposal in found if proposal.confidence >= LIKELY]
    sets: dict[int, list[CardProposal]] = {}
    for proposal in likely:
        if proposal.group is not None:
            sets.setdefault(proposal.group, []).append(proposal)
    whole = [members for members in sets.values() if len(members) >= _WHOLE_SET]
    if not whole:
        return list(found[:_MOST_WITHOUT_SETS])
    whole.sort(key=lambda members: -sum(each.confidence for each in members) / len(members))
    of_sets = [proposal for members in whole for proposal in members]
    beside = [each for each in likely if each.confidence >= _LIKELY_BESIDE_SETS and each not in of_sets]
    return [*of_sets, *beside]


def _on_any(patch: EvenArea, charts: list[ChartGrid], full_per_pixel: float) -> bool:
    x, y = (patch.quad.mean(axis=0) + 0.5) * full_per_pixel
    return any(
        cv2.pointPolygonTest(np.array(chart.outline(), np.float32), (float(x), float(y)), False) >= 0
        for chart in charts
    )


def _linear(photo: Photo, rgb: Array) -> Array:
    table = photo.colour_space.decode_table
    return np.asarray(np.maximum(np.interp(rgb / 255, np.linspace(0, 1, len(table)), table), 1e-4))


def _linear_scene(photo: Photo, pixels: Array) -> Array:
    """Return linear RGB (M, 3) of a coarse grid of the picture."""
    return _linear(photo, pixels[4::8, 4::8].reshape(-1, 3).astype(float))


def _scores(patches: list[EvenArea], linear: Array, scene: Array) -> Array:
    off_cast = _off_cast(chromaticity(linear), np.median(chromaticity(scene), axis=0))
    unevenness = np.array([patch.unevenness for patch in patches])
    noise = min(float(np.percentile(unevenness, _CALMEST_PERCENT)), _MOST_NOISE)
    even = np.exp(-((np.maximum(unevenness - noise, 0) / _UNEVENNESS_SCALE) ** 2))
    border = 1 - np.exp(-np.array([patch.border for patch in patches]) / _BORDER_SCALE)
    fit = np.array([patch.fit for patch in patches]) ** 2
    return np.asarray(0.8 * even * border * fit * np.exp(-((off_cast / _CAST_SCALE) ** 2)))


def _off_cast(chromaticities: Array, scene: Array) -> Array:
    """Return (N,) how far chromaticities (N, 2) lie from any that a grey may have under this light.

    The camera took some of the light's colour out, and the rest is in the picture's median (2,) with the colours of the
    room: a grey lies between none and that, or, where the picture is warm, towards a lamp.
    """
    to_lamp = _TOWARDS_LAMP * _BEYOND_SCENE * max(float(scene @ _TOWARDS_LAMP), 0.0)
    return np.minimum(_from_segment(chromaticities, scene), _from_segment(chromaticities, to_lamp))


def _from_segment(points: Array, end: Array) -> Array:
    """Return (N,) the distances of points (N, 2) from the line that runs from 0 to ``end`` (2,)."""
    along = np.clip(points @ end / max(float(end @ end), 1e-9), 0, 1)
    return np.asarray(np.linalg.norm(points - along[:, None] * end, axis=1))


def _rarity(patches: list[EvenArea]) -> Array:
    """Return 1 for a patch with few look-alikes, falling with their number: a tiled wall is made of them."""
    rgb = np.array([patch.rgb for patch in patches])
    area = np.array([patch.area for patch in patches])
    alike = np.abs(rgb[:, None] - rgb[None]).max(axis=2) < _SAME_COLOUR_STEP
    alike &= np.abs(np.log(area[:, None] / area[None])) < np.log(2)
    count = alike.sum(axis=1)
    repeats = np.array([_IF_REPEATED[patch.repeats] for patch in patches])
    return np.asarray(np.minimum(1.0, _TILE_COUNT / count) ** 1.5 * repeats)


def _kinds(linear: Array, scene: Array, groups: list[int | None]) -> list[CardKind]:
    """Guess each patch's kind from its place in its group, else from its level against the scene's bright parts."""
    bright = float(np.percentile(scene[:, 1], 95))
    kinds: list[CardKind] = [_kind_alone(float(level) / bright) for level in linear[:, 1]]
    for number in {group for group in groups if group is not None}:
        members = sorted((i for i, group in enumerate(groups) if group == number), key=lambda i: -linear[i, 1])
        if len(members) == 3:
            kinds[members[0]], kinds[members[1]], kinds[members[2]] = "white card", "grey card", "black card"
    return kinds


def _kind_alone(level: float) -> CardKind:
    if level > 0.55:
        return "white card"
    return "grey card" if level > 0.07 else "black card"
