"""CGATS.17 / ISO 28178 text: keyword lines, a data format, one line of data a colour.

CIELAB in these files is relative to D50 (ISO 13655) unless a keyword says otherwise, for the 2 degree observer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from matcher.exchange.conversion import (
    cie_name,
    gap,
    lab_to_lab_d65,
    on_bands,
    reflectance_to_lab,
    white_of,
    xyz_to_lab_d65,
)
from matcher.exchange.problems import Problems, numbers
from matcher.exchange.samples import (
    MOST_CHROMATIC,
    MOST_COLOURS,
    MOST_COLUMNS,
    SPECTRAL,
    Conditions,
    FloatArray,
    Samples,
)

_TOKEN = re.compile(r'"([^"]*)"|(\S+)')
_SPECTRAL = re.compile(r"(?:SPECTRAL_(?:NM_?|PCT_?|DEC_?)?|NM_?)(\d{3})$")
# One run of what is no letter, whatever it is: several that could share it out would try every way of doing so.
_ILLUMINANT = re.compile(r"ILLUMINANT\W*(\w[\w-]*)", re.IGNORECASE)
_OBSERVER_10 = re.compile(r"OBSERVER\W*10", re.IGNORECASE)
_FORMAT_WORD = "BEGIN_DATA_FORMAT"
_FORMAT_LINE = re.compile(r"^[^\S\n]*BEGIN_DATA_FORMAT[^\S\n]*$", re.MULTILINE)
_CODE_FIELDS = ("SAMPLE_ID", "SAMPLEID", "SAMPLE_NAME")
_NAME_FIELDS = ("SAMPLE_NAME", "SAMPLE_ID", "SAMPLEID")
_MOST_XYZ = 200.0


@dataclass(slots=True)
class _Table:
    keywords: list[str] = field(default_factory=list)
    fields: list[str] = field(default_factory=list)
    rows: list[str] = field(default_factory=list)
    records: list[list[str]] = field(default_factory=list)


def looks_like_cgats(text: str) -> bool:
    """Tell whether a text is in this format: the two lines that every file of it has."""
    return _FORMAT_WORD in text and bool(_FORMAT_LINE.search(text))


def read_cgats(
    text: str, problems: Problems, *, ten_degrees: bool = False, unstated_light: str = "D50"
) -> Samples | None:
    """Return the colours of the first data table, or None where it has none; adds to ``problems``.

    Values for the 10 degree observer are taken where ``ten_degrees``.
    """
    table = _parse(text, problems)
    if table is None:
        return None
    if not table.records:
        problems.add("", "holds no data lines", "They stand between BEGIN_DATA and END_DATA.")
        return None
    columns = dict(zip(table.fields, zip(*table.records, strict=True), strict=True))
    reflectance = _reflectance(columns, table, problems)
    conditions: Conditions | None = SPECTRAL
    if reflectance is not None:
        lab: FloatArray | None = reflectance_to_lab(reflectance)
    else:
        conditions = _conditions(table, unstated_light, problems, ten_degrees=ten_degrees)
        lab = _lab(columns, table, conditions, problems) if conditions else None
    if lab is None or conditions is None:
        return None
    return Samples(
        rows=table.rows,
        codes=next((columns[name] for name in _CODE_FIELDS if name in columns), None),
        names=next((columns[name] for name in _NAME_FIELDS if name in columns), None),
        lab=lab,
        reflectance=reflectance,
        conditions=(conditions,) * len(table.rows),
    )


def _parse(text: str, problems: Problems) -> _Table | None:
    """Return the first table, or None after noting why nothing can be told of any colour in it."""
    table, part = _Table(), "keywords"
    for number, line in enumerate(text.splitlines(), start=1):
        word = line.strip()
        if word == "BEGIN_DATA_FORMAT" and table.fields:
            what = "a second data format begins before the data of the first are over"
            problems.add(f"line {number}", what, "Keep one data format, and the data that belong to it, in the file.")
            return None
        if word in ("BEGIN_DATA_FORMAT", "BEGIN_DATA"):
            part = word
        elif word == "END_DATA_FORMAT":
            part = "keywords"
        elif word == "END_DATA":
            break  # a second table, where there is one, repeats the colours under other conditions
        elif not word or word.startswith("#"):
            continue
        elif part == "keywords":
            table.keywords.append(word)
        elif part == "BEGIN_DATA_FORMAT":
            table.fields += [name.upper() for name in word.split()]
            if len(table.fields) > MOST_COLUMNS:
                what = f"names more than {MOST_COLUMNS:,} fields of a colour"
                problems.add("the data format", what, "Export colours or spectra alone.")
                return None
        elif len(table.records) == MOST_COLOURS:
            problems.add(
                f"line {number}", f"is colour {MOST_COLOURS + 1:,}; {MOST_COLOURS:,} are read", "Split the file."
            )
            return None
        else:
            _add_record(table, number, word, problems)
    return table


def _add_record(table: _Table, number: int, word: str, problems: Problems) -> None:
    record = [quoted or plain for quoted, plain in _TOKEN.findall(word)]
    if len(record) == len(table.fields):
        table.rows.append(f"line {number}")
        table.records.append(record)
    else:
        problems.add(
            f"line {number}",
            f"has {len(record)} fields where the data format has {len(table.fields)}",
            "Put a name with spaces in double quotes.",
        )


def _reflectance(columns: Mapping[str, Sequence[str]], table: _Table, problems: Problems) -> FloatArray | None:
    """Return (N, 36) where the file has a spectrum that spans 400 to 700 nm at least and leaves out nothing there."""
    bands = {int(match[1]): name for name in columns if (match := _SPECTRAL.match(name))}
    if len(bands) < 2 or min(bands) > 400 or max(bands) < 700:
        return None
    order = sorted(bands)
    if gap(order):
        return None
    percent = any("PCT" in bands[nm] for nm in order)
    limits = (0.0, 100.0) if percent else (0.0, 1.0)
    values = np.column_stack(
        [numbers(bands[nm], columns[bands[nm]], rows=table.rows, limits=limits, problems=problems) for nm in order]
    )
    return on_bands(np.array(order), values / limits[1])


def _conditions(table: _Table, unstated_light: str, problems: Problems, *, ten_degrees: bool) -> Conditions | None:
    stated = "\n".join(table.keywords)
    observer = 10 if _OBSERVER_10.search(stated) else 2
    if observer == 10 and not ten_degrees:
        problems.add("the header", "the colours are for the 10 degree observer", "Export spectra, or 2 degree values.")
        return None
    match = _ILLUMINANT.search(stated)
    light = match[1] if match else unstated_light
    if white_of(light) is None:
        problems.add("the header", f"illuminant {light!r} is not known", "Use D50 or D65.")
        return None
    return Conditions(cie_name(light), observer, stated=match is not None)


def _lab(
    columns: Mapping[str, Sequence[str]], table: _Table, conditions: Conditions, problems: Problems
) -> FloatArray | None:
    light, observer = conditions.light, conditions.observer
    chromatic = (-MOST_CHROMATIC, MOST_CHROMATIC)
    if {"LAB_L", "LAB_A", "LAB_B"} <= columns.keys():
        limits = {"LAB_L": (0.0, 100.0), "LAB_A": chromatic, "LAB_B": chromatic}
        return lab_to_lab_d65(_stack(columns, limits, table, problems), light, observer)
    if {"XYZ_X", "XYZ_Y", "XYZ_Z"} <= columns.keys():
        limits = dict.fromkeys(("XYZ_X", "XYZ_Y", "XYZ_Z"), (0.0, _MOST_XYZ))
        return xyz_to_lab_d65(_stack(columns, limits, table, problems) / 100, light, observer)
    problems.add(
        "the data format",
        "has no colour that can be read",
        "It needs LAB_L LAB_A LAB_B, XYZ_X XYZ_Y XYZ_Z, or a spectrum from 400 to 700 nm, every 20 nm at least.",
    )
    return None


def _stack(
    columns: Mapping[str, Sequence[str]], limits: dict[str, tuple[float, float]], table: _Table, problems: Problems
) -> FloatArray:
    return np.column_stack(
        [numbers(name, columns[name], rows=table.rows, limits=limits[name], problems=problems) for name in limits]
    )
