"""Readings pasted from a spreadsheet: a header that names the columns, a reading a row."""

from __future__ import annotations

import re
from collections.abc import Sequence

from matcher.errors import Problem, ReadingError
from matcher.instrument.conditions import take_conditions
from matcher.instrument.letters import LETTER, ORDERS, plain, written
from matcher.instrument.spectra import FEWEST_BANDS, as_fractions, check_span, wavelength_of
from matcher.instrument.understood import Remark, Written

_SEPARATORS = ("\t", ";", ",")
_HEADER = re.compile(rf"(?:(?:CIE|SCI|SCE|LAB_|XYZ_)\W*)?(?P<letter>{LETTER})(?:\W*(?:SCI|SCE))?")
_PARENTHESES = re.compile(r"[(\[][^()\[\]]{0,60}[)\]]")


def read_table(lines: Sequence[tuple[int, str]]) -> tuple[list[Written], list[Remark]] | None:
    """Return the readings below the first line that is a header, None where there is none.

    Raises :class:`ReadingError` for a cell that cannot be read or a column that stands there twice.
    """
    for place, (number, line) in enumerate(lines[:-1]):
        for separator in _SEPARATORS:
            columns = _columns(line.split(separator))
            if _is_header(columns):
                _check_columns(columns, f"line {number}")
                above = " ".join(text for _, text in lines[: place + 1])
                _, light, observer = take_conditions(above)
                return _rows(columns, lines[place + 1 :], separator, (light, observer))
    return None


def _columns(cells: Sequence[str]) -> list[str | float | None]:
    """Return what each column holds: a letter, a wavelength in nm, or nothing that is known."""
    found: list[str | float | None] = []
    for cell in cells:
        name = _PARENTHESES.sub("", take_conditions(cell)[0]).strip().strip('"').strip()
        match = _HEADER.fullmatch(name)
        found.append(plain(match["letter"]) if match else wavelength_of(name))
    return found


def _is_header(columns: Sequence[str | float | None]) -> bool:
    letters = {one for one in columns if isinstance(one, str)}
    bands = sum(isinstance(one, float) for one in columns)
    return bands >= FEWEST_BANDS or any(set(order) <= letters for order in ORDERS.values())


def _check_columns(columns: Sequence[str | float | None], where: str) -> None:
    known = [one for one in columns if one is not None]
    for one in known:
        if known.count(one) > 1:
            what = f"column {one if isinstance(one, str) else f'{one:g} nm'} stands there twice"
            raise ReadingError(Problem(where, what, "Keep one set of columns: gloss included or excluded, one light."))


def _rows(
    columns: Sequence[str | float | None],
    lines: Sequence[tuple[int, str]],
    separator: str,
    conditions: tuple[str | None, int | None],
) -> tuple[list[Written], list[Remark]]:
    found = []
    remarks: list[Remark] = []
    bands = sorted(one for one in columns if isinstance(one, float))
    for number, line in lines:
        where = f"line {number}"
        cells = [cell.strip().strip('"') for cell in line.split(separator)]
        values = {
            column: _number(cell, f"{where}, column {column}", separator)
            for column, cell in zip(columns, cells, strict=False)
            if column is not None and cell
        }
        if len(bands) >= FEWEST_BANDS:
            missing = [nm for nm in bands if nm not in values]
            if missing:
                raise ReadingError(Problem(where, f"has no value at {missing[0]:g} nm", "Give every wavelength."))
            check_span(where, bands)
            spectrum, remark = as_fractions(where, [values[nm] for nm in bands])
            found.append(Written(where, "spectrum", spectrum, wavelengths=tuple(bands)))
            remarks += [remark] if remark and remark not in remarks else []
        else:
            lettered = {key: value for key, value in values.items() if isinstance(key, str)}
            found.append(written(where, lettered, *conditions))
    return found, remarks


def _number(cell: str, where: str, separator: str) -> float:
    text = cell if separator == "," else cell.replace(",", ".")
    try:
        value = float(text.replace("\u2212", "-"))
    except ValueError:
        raise ReadingError(
            Problem(where, f"{cell[:40]!r} is not a number", "Correct it or leave the row out.")
        ) from None
    if not abs(value) < 1e6:
        raise ReadingError(Problem(where, f"{cell[:40]!r} is not a value of a colour", "Correct it."))
    return value
