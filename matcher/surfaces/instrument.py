"""Surfaces read with an instrument: alone, or photographed as well.

The instrument rules the main colour; shares, second colours and the area come from the photos. What the instrument
corrects of the main colour is carried to the others, since a photo's errors (the light's level and colour, the tone
curve) are shared by all colours of a surface: a linear update of jointly normal errors (JCGM 102:2011, 6; Rasmussen &
Williams 2006, eq. A.6), their correlation being an assumption.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.instrument.understood import Remark
from matcher.room.measured import Measured
from matcher.surfaces.combining import make_surface
from matcher.surfaces.surface import Surface, SurfaceColour

# Correlation between the errors of a surface's colours: with it the main colour's reading mends the second colours of
# the sample photos, and the stated doubt holds the truth as often as before (tests/benchmarks/second_colours.py prints
# both); a full correlation helps no more and claims far too much.
_SHARED = 0.7
# 99 % of readings that agree lie nearer: chi squared of 3 degrees of freedom.
_CONTRADICTS = 11.345
_LEAST_SD = 0.01  # dE00: a file may say 0, and nothing is divided by it


@dataclass(frozen=True, slots=True)
class InstrumentReading:
    """What an instrument said of a surface, beside the photos: ``lab`` CIELAB D65/2 of the main colour, ``sd`` dE00.

    ``apart`` is dE00 between it and the photos' main colour, None without a photo; ``contradicts`` tells whether that
    is more than their doubts allow. ``remarks`` are what was assumed in reading it.
    """

    name: str
    lab: tuple[float, float, float]
    sd: float
    apart: float | None
    contradicts: bool
    remarks: tuple[Remark, ...]


def instrument_surface(measured: Measured, visibility: float) -> tuple[Surface, InstrumentReading]:
    """Return the surface that only an instrument saw."""
    labs = [np.asarray(c.lab, dtype=float) for c in measured.colours]
    colours = tuple(
        SurfaceColour(lab, covariance, c.share, "field" if i == 0 else "second", {"instrument": covariance})
        for i, (lab, c) in enumerate(zip(labs, measured.colours, strict=True))
        for covariance in (_covariance(lab, measured.sd),)
    )
    surface = make_surface(
        measured.name, measured.material, colours, visibility=visibility, source="instrument", has_own_card=False
    )
    return surface, _reading(measured, None, contradicts=False)


def with_instrument(photographed: Surface, measured: Measured) -> tuple[Surface, InstrumentReading]:
    """Return the surface with the instrument's word on it.

    An instrument that gives several colours with shares knows the whole surface: then the photos give its area alone.
    """
    main = photographed.colours[0]
    lab = np.asarray(measured.colours[0].lab, dtype=float)
    noise = _covariance(lab, measured.sd)
    step = lab - main.lab
    contradicts = bool(step @ np.linalg.solve(main.covariance + noise, step) > _CONTRADICTS)
    reading = _reading(measured, float(delta_e_2000(lab, main.lab)), contradicts=contradicts)
    if len(measured.colours) > 1:
        alone, _ = instrument_surface(measured, photographed.visibility)
        colours = alone.colours
    else:
        colours = _corrected(photographed.colours, step, noise)
    surface = make_surface(
        photographed.name,
        photographed.material,
        colours,
        visibility=photographed.visibility,
        source="photo and instrument",
        has_own_card=photographed.has_own_card,
    )
    return surface, reading


def _corrected(colours: tuple[SurfaceColour, ...], step: Floats, noise: Floats) -> tuple[SurfaceColour, ...]:
    """Return ``colours`` after the first was found to be ``step`` (3,) away, give or take ``noise`` (3, 3)."""
    root = symmetric_root(colours[0].covariance)
    weight = np.linalg.inv(colours[0].covariance + noise)
    return tuple(
        _moved(colour, symmetric_root(colour.covariance) @ root * (1.0 if place == 0 else _SHARED), weight, step, noise)
        for place, colour in enumerate(colours)
    )


def _moved(colour: SurfaceColour, shared: Floats, weight: Floats, step: Floats, noise: Floats) -> SurfaceColour:
    """Return ``colour``, whose error has the covariance ``shared`` (3, 3) with that of the main colour."""
    gain = shared @ weight
    lab = colour.lab + gain @ step
    lab[0] = np.clip(lab[0], 0.0, 100.0)
    covariance = colour.covariance - gain @ shared.T
    instrument = gain @ noise @ gain.T
    # What is left of the photo's own error, all its causes cut alike.
    left = symmetric_root(covariance - instrument) @ np.linalg.pinv(symmetric_root(colour.covariance))
    causes = {cause: left @ part @ left.T for cause, part in colour.causes.items()}
    return replace(
        colour, lab=lab, covariance=(covariance + covariance.T) / 2, causes={**causes, "instrument": instrument}
    )


def _covariance(lab: Floats, sd: float) -> Floats:
    """Return the covariance (3, 3), the same in all directions of CIELAB, that makes the rms of dE00 ``sd``."""
    # Half a unit both ways, squared, four times: a unit's, since dE00 is linear there.
    unit = 2 * np.sum([delta_e_2000(lab, lab + step * np.eye(3)) ** 2 for step in (-0.5, 0.5)])
    return np.eye(3) * (max(sd, _LEAST_SD) ** 2 / float(unit))


def _reading(measured: Measured, apart: float | None, *, contradicts: bool) -> InstrumentReading:
    return InstrumentReading(measured.name, measured.colours[0].lab, measured.sd, apart, contradicts, measured.remarks)
