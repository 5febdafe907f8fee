"""Any kind of reference read as what it is: one patch, the steps of a scale, or a whole chart."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from matcher.calibration.chart import Chart, read_chart
from matcher.calibration.grey_scale import read_grey_scale
from matcher.calibration.patch import Patch, read_patch
from matcher.colorimetry.spaces import lab_to_xyz
from matcher.errors import CardError, Problem
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference

# Assumptions, from memory of makers' data on brightness (ISO 2470) and whiteness (ISO 11475) of office paper: bluish by
# brighteners, the more so the more ultraviolet is in the light (b* about -10 by daylight, about 0 under lamps).
_PAPER_LAB = (93.0, 1.0, -4.0)
_PAPER_LEVEL_SD, _PAPER_COLOUR_SD = 0.06, 0.06

_SCALE_ACROSS = 0.5  # change of the logarithm of light over one outline: assumption


@dataclass(frozen=True, slots=True, eq=False)
class ReadReference:
    """``patches`` near neutral, of known reflectance; ``chart`` where the reference is one."""

    patches: tuple[Patch, ...]
    chart: Chart | None = None


def read_reference(photo: Photo, reference: Reference, where: str) -> ReadReference:
    """Read one reference; raises :class:`CardError` where it cannot serve."""
    if reference.kind == "chart 24":
        return _read_chart(photo, reference, where)
    if reference.kind == "grey scale":
        return ReadReference(_read_scale(photo, reference, where))
    patch = read_patch(photo, reference, where)
    if reference.kind == "white paper":
        xyz = lab_to_xyz(np.array(_PAPER_LAB))
        tint = np.linalg.inv(photo.colour_space.to_xyz) @ (xyz / xyz[1]) * patch.reflectance
        patch = replace(patch, tint=tint, level_sd=_PAPER_LEVEL_SD, colour_sd=_PAPER_COLOUR_SD)
    return ReadReference((patch,))


def _read_chart(photo: Photo, reference: Reference, where: str) -> ReadReference:
    try:
        chart = read_chart(photo, reference, where)
    except CardError:
        # One even patch with its reflectance: a single patch of the chart was outlined.
        if reference.reflectance is None:
            raise
        try:
            return ReadReference((read_patch(photo, reference, where),))
        except CardError:
            pass
        raise
    return ReadReference(chart.greys, chart)


def _read_scale(photo: Photo, reference: Reference, where: str) -> tuple[Patch, ...]:
    if reference.reflectances is not None:
        return read_grey_scale(photo, reference, where)
    try:
        step = read_patch(photo, reference, where)
        why = "it grows lighter from one end to the other" if _is_whole(step, reference) else ""
    except CardError as error:
        why = error.problems[0].what
    if why:
        raise CardError(
            Problem(where, f"what its steps reflect is not given, and as one step it cannot be read: {why}",
                    "Give reflectances = [0.9, 0.6, ...], one for each step from one end to the other")
        )  # fmt: skip
    return (step,)


def _is_whole(patch: Patch, reference: Reference) -> bool:
    """Tell several steps from one, which stands in a gentle slope of light at most."""
    sides = np.ptp(np.asarray(reference.outline), axis=0)
    return float(np.abs(patch.slope * sides).max()) > _SCALE_ACROSS
