"""A grey scale: steps of known reflectance side by side in one outline, read as so many patches."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from matcher.calibration.patch import Patch, read_patch
from matcher.calibration.strip import OF_STEP, strip_fault, strip_fields
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference

_FEWEST = 2
_CLEARLY = 6.0  # encoded steps of 255: more than noise and a slope of light make of equal steps


def read_grey_scale(photo: Photo, reference: Reference, where: str) -> tuple[Patch, ...]:
    """Return one patch for each step that can be read, in the order of ``reference.reflectances``.

    The steps share the outline's long side evenly. They may run either way: what is brighter in the photo reflects
    more. Raises :class:`CardError` where the outline has no four corners, or fewer than two steps can be read.
    """
    reflectances = reference.reflectances or ()
    cells = _cells(reference, where)
    read: list[Patch | None] = []
    problems: list[Problem] = []
    for cell, reflectance in zip(cells, reflectances, strict=True):
        step = Reference(kind=reference.kind, reflectance=reflectance, outline=cell, on=reference.on)
        try:
            read.append(read_patch(photo, step, where))
        except CardError as error:
            read.append(None)
            problems.extend(error.problems)
    if sum(patch is not None for patch in read) < _FEWEST:
        raise CardError(
            Problem(where, f"its {len(reflectances)} steps are not found in the outline ({problems[0].what})",
                    "Outline the steps alone by four corners, and give one reflectance for each step")
        )  # fmt: skip
    return tuple(patch for patch in _in_order(read, reflectances, where) if patch is not None)


def _cells(reference: Reference, where: str) -> list[tuple[tuple[float, float], ...]]:
    fault = strip_fault(reference.outline)
    if fault:
        raise CardError(Problem(where, fault, "Outline a grey scale by its four corners"))
    return strip_fields(reference.outline, len(reference.reflectances or ()), OF_STEP)


def _in_order(read: list[Patch | None], reflectances: tuple[float, ...], where: str) -> list[Patch | None]:
    """Give the steps their reflectances from the end that fits the photo; a scale that fits neither way is refused."""
    level = np.array([np.nan if p is None else _brightness(p) for p in read])
    seen = np.isfinite(level)
    given = np.array(reflectances)
    forward, backward = (_out_of_order(level[seen], order[seen]) for order in (given, given[::-1]))
    if min(forward, backward) > 0:
        raise CardError(
            Problem(where, "its steps do not get lighter or darker in the order of its reflectances",
                    "Give the reflectances in the order of the steps, from one end to the other")
        )  # fmt: skip
    chosen = given if forward <= backward else given[::-1]
    return [
        None if patch is None else replace(patch, reflectance=float(value))
        for patch, value in zip(read, chosen, strict=True)
    ]


def _brightness(patch: Patch) -> float:
    values = patch.histograms @ np.arange(patch.histograms.shape[1]) / patch.histograms.sum(axis=1)
    return float(values.mean())


def _out_of_order(level: Floats, reflectance: Floats) -> int:
    """Return how many pairs of steps are clearly brighter the other way round than they reflect."""
    brighter = level[:, None] > level[None] + _CLEARLY
    return int((brighter & (reflectance[:, None] < reflectance[None])).sum())
