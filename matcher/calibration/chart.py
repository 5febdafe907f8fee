"""A chart of 24 patches in a photo: its greys tell tone curve and light, its colours what the camera sees amiss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np

from matcher.calibration.chart_light import FEWEST, light_across
from matcher.calibration.colour_matrix import ColourFit, fit_matrix
from matcher.calibration.light import Light, cone_matrix
from matcher.calibration.on_luminance import BY_CHANNEL, OnLuminance, on_luminance
from matcher.calibration.patch import Patch, read_patch
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.chart import GREYS, chart_xyz
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.chart_grid import ChartGrid, find_grid
from matcher.photo.decoded import ColourSpace, Finding, Photo
from matcher.room.contents import Reference

_HALF = 0.36  # of a cell: patches take at least 0.8 of it, and their edges are left out
_FEWEST_PATCHES, _FEWEST_GREYS = 16, 4
# Part of the light that an edge may take before the chart is refused, and warned of (assumptions).
_SHADOW, _FAINT_SHADOW = 0.35, 0.15
_UNREADABLE = 0.6  # what is left of the patches' levels (logarithm) where they are no chart in one light; seen: to 0.36
_SHARE_STEP = 0.25  # near what cameras do: beyond it the change is a straight line to a hundredth
_EDGE = 2.0  # pixels from the picture's edge that count as touching it
_WAYS = {1: "turned a quarter clockwise", 2: "upside down", 3: "turned a quarter anticlockwise"}


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """``patches`` row by row from dark brown, None where one could not be read; ``slope`` (2,) of the logarithm of
    light over the chart per full-size pixel.
    """

    patches: tuple[Patch | None, ...]
    slope: Floats
    findings: tuple[Finding, ...]

    @property
    def greys(self) -> tuple[Patch, ...]:
        """The greys that could be read, white first, clipped ones too."""
        return tuple(patch for patch in (self.patches[i] for i in GREYS) if patch is not None)

    def fit(self, table: Floats, light: Light, space: ColourSpace, told_by: Sequence[Patch]) -> ColourFit | None:
        """Fit the camera's errors under the tone curve of ``table`` (256,) and the ``light`` of the chart's place, as
        the patches ``told_by`` told it.
        """
        usable = [i for i, patch in enumerate(self.patches) if patch is not None and patch.usable and not patch.sunk]
        to_cones = cone_matrix(space)
        members = [patch for patch in (self.patches[i] for i in usable) if patch is not None]
        if not members:
            return None
        lit = np.stack([light.cones + (p.centre - light.position) @ self.slope for p in members])
        seen = np.exp(_log_cones(members, table, space, BY_CHANNEL) - lit)
        reflected = np.stack([p.reflected(to_cones) for p in told_by])
        bent = _bent(members, table, space) - _bent(told_by, table, space).mean(axis=0)
        return fit_matrix(seen, relative_cones(chart_xyz()[usable]), reflected, bent)


def read_chart(photo: Photo, reference: Reference, where: str) -> Chart:
    """Read the chart inside an outline.

    Raises :class:`CardError` where the 24 patches are not all inside it, are mirrored, too small, or unevenly lit.
    """
    grid = find_grid(photo, _four_corners(reference, where))
    if not grid.fits:
        raise CardError(_not_found(photo, reference, where))
    if grid.mirrored:
        raise CardError(
            Problem(where, "the chart's patches stand in mirrored order",
                    "Use the photo as the camera wrote it, not one that was flipped")
        )  # fmt: skip
    patches, problems = _patches(photo, reference, grid, where)
    usable = [p for p in patches if p is not None and p.usable]
    greys = [p for p in (patches[i] for i in GREYS) if p is not None and p.usable]
    if len(usable) < _FEWEST_PATCHES or len(greys) < _FEWEST_GREYS:
        what = f"only {len(usable)} of the chart's 24 patches can be used, {len(greys)} of its 6 greys"
        cause = f" ({problems[0].what})" if problems else " (the others are clipped to white)"
        remedy = problems[0].remedy if problems else "Take the photo again, a little darker"
        raise CardError(Problem(where, what + cause, remedy))
    shown = [p for p in usable if not p.sunk]
    # Where a lamp leaves next to nothing of a channel nearly all have sunk: they tell the light all the same.
    light = light_across(shown if len(shown) >= FEWEST else usable, photo.colour_space)
    shadow = 1 - float(np.exp(-abs(light.edge)))
    if shadow > _SHADOW or light.rest > _UNREADABLE:
        uneven = max(shadow, float(np.expm1(light.rest)) if light.rest > _UNREADABLE else 0.0)
        raise CardError(
            Problem(where, f"the light on the chart is uneven (its patches are off by {100 * uneven:.0f} %)",
                    "A shadow's edge or a reflection falls across it: lay it in even light and take the photo again")
        )  # fmt: skip
    # The whole chart knows the light's slope better than the inside of each grey.
    shared = np.sqrt(len(greys)) * light.slope_sd
    patches = tuple(
        replace(p, slope=light.slope, slope_sd=shared) if p is not None and i in GREYS else p
        for i, p in enumerate(patches)
    )
    return Chart(patches, light.slope, _findings(grid, len(usable), shadow, reference))


def _log_cones(patches: Sequence[Patch], table: Floats, space: ColourSpace, shared: OnLuminance) -> Floats:
    linear = np.stack([shared.of_patch(p, table) for p in patches])
    return np.asarray(np.log(np.maximum(linear @ cone_matrix(space).T, 1e-6)))


def _bent(patches: Sequence[Patch], table: Floats, space: ColourSpace) -> Floats:
    """Return (N, 3) how logarithms of cones change with the share of the curve that lies on luminance."""
    moved = _log_cones(patches, table, space, on_luminance(_SHARE_STEP, space))
    return (moved - _log_cones(patches, table, space, BY_CHANNEL)) / _SHARE_STEP


def _four_corners(reference: Reference, where: str) -> Floats:
    """Return the corners (4, 2) clockwise as seen: which way round an outline was drawn says nothing of the chart."""
    points = np.asarray(reference.outline, dtype=np.float32)
    if cv2.contourArea(points, oriented=True) < 0:
        points = points[::-1]
    if len(points) == 4:
        return points.astype(float)
    hull = cv2.convexHull(points)
    for share in (0.02, 0.04, 0.06, 0.08):
        corners = cv2.approxPolyDP(hull, share * cv2.arcLength(hull, True), True)[:, 0]
        if len(corners) == 4:
            return np.asarray(corners, dtype=float)
    raise CardError(
        Problem(where, f"the outline has {len(points)} points and no four corners", "Set one point at each corner")
    )


def _not_found(photo: Photo, reference: Reference, where: str) -> Problem:
    points, size = np.asarray(reference.outline), np.asarray(photo.full_size)
    if (points <= _EDGE).any() or (points >= size - _EDGE).any():
        return Problem(where, "the chart runs out of the picture: its 24 patches are not all there",
                       "Take the photo again with the whole chart in it, or outline single greys as cards")  # fmt: skip
    return Problem(where, "the 24 patches of the chart are not found inside the outline, in any order",
                   "Set the outline's four points at the corners of the chart, whole and uncovered")  # fmt: skip


def _patches(
    photo: Photo, reference: Reference, grid: ChartGrid, where: str
) -> tuple[tuple[Patch | None, ...], list[Problem]]:
    from_xyz = np.linalg.inv(photo.colour_space.to_xyz)
    patches: list[Patch | None] = []
    problems: list[Problem] = []
    for index, xyz in enumerate(chart_xyz()):
        cell = Reference(
            kind=reference.kind, reflectance=float(xyz[1]), outline=grid.cell(index, _HALF), on=reference.on
        )
        try:
            patches.append(replace(read_patch(photo, cell, where), tint=from_xyz @ xyz))
        except CardError as error:
            patches.append(None)
            problems.extend(error.problems)
    return tuple(patches), problems


def _findings(grid: ChartGrid, usable: int, shadow: float, reference: Reference) -> tuple[Finding, ...]:
    subject = reference.on or reference.kind
    found = [Finding("chart", "ok" if usable == 24 else "note", (("patches", float(usable)),), subject)]
    if shadow > _FAINT_SHADOW:
        found.append(Finding("chart unevenly lit", "warn", (("share", round(shadow, 3)),), subject))
    if grid.quarter_turns:
        found.append(Finding("chart turned", "note", (("way", _WAYS[grid.quarter_turns]),), subject))
    return tuple(found)
