"""The painter's schedule as a table (RFC 4180), with a byte order mark, by which spreadsheets tell that it is UTF-8."""

from __future__ import annotations

import csv
import io

from matcher.handover.contents import Contents, Quantity
from matcher.handover.csv_text import plain_cell
from matcher.handover.schedule import Row, rows_of, tins_in_words

_HEADER = ("room", "surface", "code", "name", "sheen", "coats", "area_m2", "litres_from", "litres_to", "tins")


def schedule_csv(contents: Contents) -> bytes:
    """Return one row for each surface to paint, in the order of work; what is not known is empty."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(_HEADER)
    for row in rows_of(contents):
        writer.writerow(_cells(contents.result["room"]["name"], row))
    return stream.getvalue().encode("utf-8-sig")


def _cells(room: str, row: Row) -> list[str]:
    quantity = row.quantity or Quantity(row.role)
    low, high = ("", "") if quantity.litres is None else (f"{each:.2f}" for each in quantity.litres)
    return [
        plain_cell(room),
        row.role,
        plain_cell(row.code),
        plain_cell(row.name),
        quantity.sheen,
        "" if quantity.coats is None else str(quantity.coats),
        "" if quantity.area_m2 is None else f"{quantity.area_m2:.2f}",
        low,
        high,
        tins_in_words(quantity),
    ]
