"""Reflectance pasted as numbers: a wavelength and a value a line, or one line of values at usual wavelengths."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from matcher.errors import Problem, ReadingError
from matcher.exchange.conversion import gap
from matcher.instrument.decimals import numbers_in, with_points
from matcher.instrument.understood import Remark, Written

# Assumption: fewer values than 400 to 700 nm by 20 are no spectrum that a colour can be computed from.
FEWEST_BANDS = 16
# What hand-held instruments measure, every 10 nm; a row of as many values is taken to be that (assumption, and said).
_USUAL_RANGES = {31: (400, 700), 36: (380, 730), 39: (360, 740)}
_SPECTRAL_NM = (300.0, 1100.0)
_NEEDED_NM = (400.0, 700.0)
# Paper and paint with a brightener send back more than they get; beyond that the scale is another.
_MOST_FRACTION, _MOST_PERCENT = 1.5, 150.0
_LEAST = -0.5  # percent: an instrument's noise in the dark (assumption)
_WAVELENGTH = re.compile(r"(?:R|nm|SPECTRAL_(?:NM_?)?)?[\s_]*(?P<nm>\d{3,4})(?:\.0*)?\s*(?:nm)?", re.IGNORECASE)


def wavelength_of(name: str) -> float | None:
    """Return the wavelength in nm that a column is called by, None where it is called something else.

    >>> wavelength_of("400 nm"), wavelength_of("R730"), wavelength_of("L*")
    (400.0, 730.0, None)
    """
    match = _WAVELENGTH.fullmatch(name)
    nm = float(match["nm"]) if match else 0.0
    return nm if _SPECTRAL_NM[0] <= nm <= _SPECTRAL_NM[1] else None


def read_spectrum(lines: Sequence[tuple[int, str]]) -> tuple[list[Written], list[Remark]] | None:
    """Return the spectra of numbered lines, None where they are none; raises :class:`ReadingError` for a broken one."""
    rows = [(f"line {number}", numbers_in(with_points(line, f"line {number}"))) for number, line in lines]
    rows = [row for row in rows if row[1]]
    pairs = [values for _, values in rows if len(values) == 2]
    if len(rows) >= FEWEST_BANDS and len(pairs) == len(rows) and _rising([nm for nm, _ in pairs]):
        where = rows[0][0]
        check_span(where, [nm for nm, _ in pairs])
        spectrum, remark = as_fractions(where, [value for _, value in pairs])
        found = Written(where, "spectrum", spectrum, wavelengths=tuple(nm for nm, _ in pairs))
        return [found], [remark] if remark else []
    if not rows or not all(len(values) in _USUAL_RANGES for _, values in rows):
        return None
    written, remarks = [], []
    for where, values in rows:
        first, last = _USUAL_RANGES[len(values)]
        spectrum, remark = as_fractions(where, values)
        written.append(
            Written(where, "spectrum", spectrum, wavelengths=tuple(float(nm) for nm in range(first, last + 1, 10)))
        )
        assumed = [Remark("wavelengths assumed", (("first", first), ("last", last)))] + ([remark] if remark else [])
        remarks += [one for one in assumed if one not in remarks]
    return written, remarks


def check_span(where: str, wavelengths: Sequence[float]) -> None:
    """Raise :class:`ReadingError` where increasing wavelengths leave out part of 400 to 700 nm."""
    if wavelengths[0] > _NEEDED_NM[0] or wavelengths[-1] < _NEEDED_NM[1]:
        what = f"goes from {wavelengths[0]:g} to {wavelengths[-1]:g} nm"
        raise ReadingError(Problem(where, what, "A spectrum has to span 400 to 700 nm."))
    missing = gap(wavelengths)
    if missing:
        what = f"has nothing between {missing[0]:g} and {missing[1]:g} nm"
        raise ReadingError(Problem(where, what, "A spectrum has to have a value every 20 nm at least."))


def as_fractions(where: str, values: Sequence[float]) -> tuple[tuple[float, ...], Remark | None]:
    """Return reflectance 0..1 from fractions or percent, and a remark where it could be either."""
    most, least = max(values), min(values)
    if least < _LEAST or not most <= _MOST_PERCENT:
        what = f"holds reflectances from {least:g} to {most:g}"
        raise ReadingError(Problem(where, what, "Reflectance goes from 0 to 1, or from 0 to 100 percent."))
    scale = 1.0 if most <= _MOST_FRACTION else 0.01
    # Noise below nothing is nothing.
    spectrum = tuple(max(value * scale, 0.0) for value in values)
    # A black read in percent may lie below 1.5 all over: then fractions would be meant only by a lighter surface.
    return spectrum, Remark("scale assumed", (("most", most),)) if most <= _MOST_FRACTION and most > 1.0 else None


def _rising(values: Sequence[float]) -> bool:
    inside = _SPECTRAL_NM[0] <= values[0] and values[-1] <= _SPECTRAL_NM[1]
    return inside and all(a < b for a, b in pairwise(values))
