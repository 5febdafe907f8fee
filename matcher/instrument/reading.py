"""The front door: text or a file of an instrument's readings of one surface, as one colour with its doubt.

What is not said is assumed the way instruments are usually set, every assumption is remarked on, and what the other
usual setting would change is added to the doubt: values that were typed are for D65 (paint and its shops), a CGATS or
CxF3 file without a light is for D50 (ISO 13655), the observer is 2 degrees (the room file's).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from matcher.errors import Problem, ReadingError
from matcher.exchange.problems import Problems
from matcher.exchange.recognising import Reader, exchange_reader
from matcher.exchange.samples import SPECTRAL, FloatArray
from matcher.instrument import doubt
from matcher.instrument.converting import Settings, converted, scale_remarks, sound
from matcher.instrument.spectra import read_spectrum
from matcher.instrument.table import read_table
from matcher.instrument.typed import read_typed
from matcher.instrument.understood import Reading, Remark, Understood, Written
from matcher.opening import more_than

_TYPED, _FILE = Settings("D65", 2), Settings("D50", 2)
_OTHER_OBSERVER = 10

# Assumptions: more than a day's work of one instrument is another file; nobody types more.
_MOST_CHARACTERS, _MOST_READINGS = 2_000_000, 500
MOST_BYTES = 4 * _MOST_CHARACTERS  # UTF-8 takes four for a character at most
# The longest text and line that is looked at as typed or pasted: 500 spectra of 100 values fit.
_MOST_TYPED, _MOST_IN_LINE = 400_000, 5_000
_MOST_LINES = 20_000  # the same spectra with a line for every value, at 10 nm
# Assumption: spots of one even coat lie closer; beyond this the surface varies, or a reading slipped.
_DISAGREE_DE00 = 2.0
# A published LRV is Y of the 10 degree observer and often a whole number: see LRV_TOLERANCE in matcher/paints/rows.py.
_LRV_TOLERANCE = 4.5


def understand_bytes(data: bytes, *, light: str | None = None, observer: int | None = None) -> Understood:
    """Return what a file says; raises what :func:`understand` does."""
    if len(data) > MOST_BYTES:
        raise _error(f"{more_than(len(data), MOST_BYTES)} of a file of readings", "Check that it is the right file.")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return understand(data.decode("utf-16", errors="replace"), light=light, observer=observer)
    if b"\0" in data:
        raise _error("is not text", "Export the readings as text, CGATS or CxF3.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Every byte is a letter there; what matters are digits and a degree sign.
        text = data.decode("latin-1")
    return understand(text, light=light, observer=observer)


def understand(text: str, *, light: str | None = None, observer: int | None = None) -> Understood:
    """Return what a text says: typed or pasted values, a table, spectra, CGATS or CxF3.

    ``light`` ("D65", "D50", "C" or "A") and ``observer`` (2 or 10) are what the user says of it, None for as written.
    Raises :class:`ReadingError` for what cannot be read, is incomplete, or contradicts what the user says.
    """
    if len(text) > _MOST_CHARACTERS:
        raise _error(
            f"has {len(text):,} characters, more than {_MOST_CHARACTERS:,}", "Check that it is the right file."
        )
    reader = exchange_reader(text)
    usual = _TYPED if reader is None else _FILE
    settings = Settings(light or usual.light, observer or usual.observer, light is not None, observer is not None)
    if reader is None:
        written, remarks = _written(text)
        readings = converted(written, settings)
        remarks += [*scale_remarks(written), *_lrv_remarks(written, readings)]
    else:
        readings, remarks = _from_file(reader, text, settings), []
    mean = _mean(readings)
    unstated, doubts = _unstated(text, reader, settings, readings)
    conversion, converted_remarks = _conversion(readings)
    settings_sd = float(np.hypot(conversion, unstated))
    spread = doubt.spread_of(_labs(readings), mean)
    sd = float(np.hypot(max(doubt.ONE_SPOT_SD, spread), settings_sd))
    every = (*_agreement(readings, mean, spread), *remarks, *doubts, *converted_remarks)
    return Understood(mean, sd, settings_sd, tuple(readings), every)


def _written(text: str) -> tuple[list[Written], list[Remark]]:
    if len(text) > _MOST_TYPED:
        raise _error(f"has {len(text):,} characters, more than {_MOST_TYPED:,}", "Keep the readings of this surface.")
    lines = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if len(lines) > _MOST_LINES:
        raise _error(f"has {len(lines):,} lines, more than {_MOST_LINES:,}", "Keep the readings of this surface.")
    for number, line in lines:
        if len(line) > _MOST_IN_LINE:
            what = f"has {len(line):,} characters, more than {_MOST_IN_LINE:,}"
            raise ReadingError(Problem(f"line {number}", what, "Write one reading a line."))
    found = read_table(lines) or read_spectrum(lines) or read_typed(lines)
    _check_count(len(found[0]))
    return found


def _from_file(reader: Reader, text: str, settings: Settings) -> list[Reading]:
    problems = Problems()
    samples = reader(text, problems, ten_degrees=True, unstated_light=settings.light)
    problems.raise_if_any("reading", ReadingError)
    if samples is None or not len(samples.lab):
        raise _error("holds no colour", "Export the readings again.")
    _check_count(len(samples.lab))
    for row, conditions in zip(samples.rows, samples.conditions, strict=True):
        if conditions != SPECTRAL:
            settings.check(row, conditions.light if conditions.stated else None, conditions.observer)
    return [
        Reading(row, sound(row, lab), conditions)
        for row, lab, conditions in zip(samples.rows, samples.lab, samples.conditions, strict=True)
    ]


def _check_count(count: int) -> None:
    if count > _MOST_READINGS:
        raise _error(
            f"holds {count} readings, more than {_MOST_READINGS} of one surface", "Keep those of this surface."
        )


def _labs(readings: Sequence[Reading]) -> FloatArray:
    return np.stack([reading.lab for reading in readings])


def _mean(readings: Sequence[Reading]) -> FloatArray:
    """Return the mean colour, mixed as light."""
    return np.asarray(xyz_to_lab(lab_to_xyz(_labs(readings)).mean(axis=0)), dtype=float)


def _unstated(
    text: str, reader: Reader | None, settings: Settings, readings: Sequence[Reading]
) -> tuple[float, list[Remark]]:
    """Return the doubt of settings that nobody stated, and what to say of each."""

    def read_as(other: Settings) -> list[Reading]:
        return converted(_written(text)[0], other) if reader is None else _from_file(reader, text, other)

    remarks, sds = [], [0.0]
    assumed = {r.conditions.light for r in readings if not r.conditions.stated} if not settings.light_stated else set()
    for light in sorted(assumed):
        other_light = doubt.OTHER_LIGHT[light]
        others = read_as(Settings(other_light, settings.observer, observer_stated=settings.observer_stated))
        apart = _apart(readings, others)
        remarks.append(Remark("light assumed", (("light", light), ("other", other_light), ("apart", apart))))
        sds.append(doubt.unstated_sd(apart))
    if not settings.observer_stated and not all(r.observer_stated for r in readings):
        ten = read_as(Settings(settings.light, _OTHER_OBSERVER, light_stated=settings.light_stated))
        apart = _apart(readings, ten)
        values = (("observer", float(settings.observer)), ("other", float(_OTHER_OBSERVER)), ("apart", apart))
        remarks.append(Remark("observer assumed", values))
        sds.append(doubt.unstated_sd(apart))
    return float(np.linalg.norm(sds)), remarks


def _apart(readings: Sequence[Reading], others: Sequence[Reading]) -> float:
    return float(np.mean(delta_e_2000(_labs(readings), _labs(others))))


def _conversion(readings: Sequence[Reading]) -> tuple[float, list[Remark]]:
    """Return the largest doubt of a conversion to D65/2, and what to say of it."""
    conditions = {r.conditions for r in readings if r.conditions != SPECTRAL}
    doubts = [(doubt.conversion_sd(one.light, one.observer), one.light, one.observer) for one in conditions]
    sd, light, observer = max(doubts, default=(0.0, "", 0))
    values = (("light", light), ("observer", float(observer)), ("sd", sd))
    return sd, [Remark("converted", values)] if sd else []


def _agreement(readings: Sequence[Reading], mean: FloatArray, spread: float) -> list[Remark]:
    if len(readings) < 2:
        return []
    away = delta_e_2000(_labs(readings), mean)
    if spread <= _DISAGREE_DE00:
        return [Remark("averaged", (("count", float(len(readings))), ("spread", spread)))]
    if len(readings) == 2:
        # Neither is farther out than the other.
        return [Remark("two disagree", (("apart", float(delta_e_2000(*_labs(readings)))),))]
    farthest = int(np.argmax(away))
    values = (
        ("count", float(len(readings))),
        ("spread", spread),
        ("where", readings[farthest].where),
        ("apart", float(away[farthest])),
    )
    return [Remark("disagree", values)]


def _lrv_remarks(written: Sequence[Written], readings: Sequence[Reading]) -> list[Remark]:
    found = []
    for one, reading in zip(written, readings, strict=True):
        own = float(lrv(reading.lab))
        if one.lrv is not None and abs(one.lrv - own) > _LRV_TOLERANCE:
            found.append(Remark("lrv disagrees", (("where", one.where), ("said", one.lrv), ("found", own))))
    return found


def _error(what: str, remedy: str) -> ReadingError:
    return ReadingError(Problem("reading", what, remedy))
