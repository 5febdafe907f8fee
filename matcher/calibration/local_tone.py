"""Did the camera change brightness place by place? Then one card does not tell the light of its neighbour.

A camera's tone curve is one for the whole picture. Local tone mapping is not: it brightens what lies dark among its
surroundings, so that a card lightens or darkens towards its edges, the light seems to slope differently across two
cards that lie side by side, and after the one curve is undone they still do not stand in the ratio of their
reflectances. No lamp does any of that to cards that lie flat together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from matcher.calibration.curve_evidence import adjacent, places
from matcher.calibration.patch import BLACK_REFLECTANCE, LEVELS, Patch
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Finding, Level

# Assumptions, as logarithms of light. On 34 rendered photos as the camera wrote them cards disagree by up to 0.05, the
# slopes of neighbours across a card by up to 0.15 and one card of 800 pixels bends by up to 0.025 (one sigma over
# sixteenths of it).
_DISAGREEMENT, _SLOPES_APART, _BEND = 0.10, 0.25, 0.032
_PLAINLY_UNEVEN = 0.25  # across a card: twice what any true card shows there
_LEAST_PIXELS = 800
_SIGMAS = 2.0
_DISPLAY_GAMMA = 2.2
_CELLS = 16


def local_tone_findings(patches: Sequence[Patch], table: Floats) -> tuple[Finding, ...]:
    """Return at most one finding for each place with cards: the strongest sign there.

    ``table`` (256,) decodes file values under the photo's one curve.
    """
    lit = [p for p in patches if p.usable and p.reflectance > BLACK_REFLECTANCE]
    found = []
    for group in places(lit):
        members = [lit[i] for i in group]
        subject = members[0].on or members[0].kind
        apart = max((_disagreement(a, b, table) for a, b in _neighbours(members)), default=0.0)
        across = max((_slopes_apart(a, b) for a, b in _neighbours(members)), default=0.0)
        bend = max(_bend(p) for p in members)
        if apart > _DISAGREEMENT:
            found.append(Finding("cards disagree", "warn", (("amount", round(float(np.expm1(apart)), 3)),), subject))
        elif across > _SLOPES_APART or bend > _BEND:
            # The slope is a whole range, the bend a sigma: four of them are about the range.
            amount = round(float(np.expm1(max(across, 4 * bend))), 3)
            level: Level = "warn" if amount > _PLAINLY_UNEVEN else "note"
            found.append(Finding("uneven card", level, (("amount", amount),), subject))
    return tuple(found)


def _neighbours(members: Sequence[Patch]) -> Iterator[tuple[Patch, Patch]]:
    for a, b in combinations(members, 2):
        if adjacent(a, b):
            yield a, b


def _disagreement(a: Patch, b: Patch, table: Floats) -> float:
    """Return by how much two cards differ in the light they claim, beyond what the slope between them explains."""
    levels = [np.log(np.maximum(p.linear(table), 1e-6) / p.reflectance).mean() for p in (a, b)]
    offset = b.centre - a.centre
    slope, doubt = (a.slope + b.slope) / 2, np.hypot(a.slope_sd, b.slope_sd) / 2
    explained = float(offset @ slope)
    return abs(float(levels[1] - levels[0]) - explained) - _SIGMAS * float(doubt * np.linalg.norm(offset))


def _slopes_apart(a: Patch, b: Patch) -> float:
    """Return the difference of two cards' slopes over the width of one, beyond its doubt."""
    apart = np.linalg.norm(a.slope - b.slope) - _SIGMAS * np.hypot(a.slope_sd, b.slope_sd)
    return float(apart * np.mean([a.extent, b.extent]))


def _bend(patch: Patch) -> float:
    """Return the unevenness of a card that neither a slope nor noise explains, 0 where it is too small to tell."""
    counts = patch.histograms
    pixels = float(counts.sum(axis=1).mean())
    if pixels < _LEAST_PIXELS:
        return 0.0
    value = max(float((counts @ np.arange(LEVELS)).sum() / counts.sum()) / (LEVELS - 1), 1 / LEVELS)
    noise = _DISPLAY_GAMMA * patch.noise / value / np.sqrt(3 * pixels / _CELLS)
    return float(np.sqrt(max(0.0, patch.spread**2 - noise**2)))
