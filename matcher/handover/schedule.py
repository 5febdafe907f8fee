"""The painter's schedule: one sheet a room, to buy from and to work from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from matcher.handover import words
from matcher.handover.client import made_on
from matcher.handover.contents import Contents, Quantity
from matcher.handover.ground import ground_of
from matcher.handover.naming import CODE, NAME, TITLE, role_heading, shortened, surface_word
from matcher.handover.sheet import MARK_FILE, sheet_of
from matcher.handover.typeset import Typeset, typeset
from matcher.report.trade_words import listed

TEMPLATE = "schedule.typ"
# In the order a room is painted: from the top down, woodwork last. Common practice, no source.
_ORDER = ("ceiling", "walls", "accent", "cabinets", "island", "trim", "door")
_COATS = 2  # boxes to tick where nothing tells how many coats a paint needs; common practice
_TIMES = "\N{MULTIPLICATION SIGN}"
_MOST_KEPT = 12  # things that stay, named in the frame; assumption


@dataclass(frozen=True, slots=True)
class Row:
    """One surface to paint; ``quantity`` where it is known, ``shared`` where an earlier row buys its tins."""

    role: str
    code: str
    name: str
    hex: str
    quantity: Quantity | None


def rows_of(contents: Contents) -> list[Row]:
    """Return what is to be painted, in the order of work."""
    roles = contents.roles
    return [
        Row(role, roles[role]["code"], roles[role]["name"], roles[role]["hex"], contents.quantity_of(role))
        for role in _ORDER
        if role in roles
    ]


def schedule_pdf(contents: Contents) -> Typeset:
    """Return the schedule as a tagged PDF."""
    mark = contents.letterhead.mark
    pictures = {MARK_FILE: mark} if mark is not None else {}
    return typeset(TEMPLATE, schedule_data(contents), pictures, made_on=made_on(contents))


def schedule_data(contents: Contents) -> dict[str, Any]:
    """Return what the template is filled with; a column that nothing is known for is left out."""
    rows = rows_of(contents)
    known = {
        "sheen": any(row.quantity and row.quantity.sheen for row in rows),
        "coats": any(row.quantity and row.quantity.coats for row in rows),
        "litres": any(row.quantity and row.quantity.litres for row in rows),
        "tins": any(row.quantity and row.quantity.tins for row in rows),
    }
    boxes = max([row.quantity.coats or _COATS if row.quantity else _COATS for row in rows])
    kept = [surface_word(surface["name"]) for surface in contents.stays]
    named = kept if len(kept) <= _MOST_KEPT else [*kept[:_MOST_KEPT], words.ELSE_STAYS]
    foot = f"{words.SCHEDULE_FOOT} {words.INVENTED_SCHEDULE}" if contents.invented else words.SCHEDULE_FOOT
    return {
        "sheet": sheet_of(contents, words.SCHEDULE, page_of=words.SHEET_OF, foot=foot, contact=False),
        "title": words.SCHEDULE,
        "room": shortened(contents.result["room"]["name"], TITLE),
        "note": words.ORDER_BY_CODE,
        "columns": words.COLUMNS,
        "known": known,
        "coat_names": list(words.COAT_NAMES[:boxes]),
        "ground": ground_of([row.hex for row in rows]),
        "rows": [_row(row) for row in rows],
        "quantities_note": contents.quantities_note,
        "kept": {"title": words.NOT_PAINTED, "text": words.NOT_PAINTED_TEXT.format(names=listed(named))}
        if named
        else None,
        "order_title": words.ORDER,
        "order": [{"text": step, "alt": words.STEP_ALT.format(step=step)} for step in contents.order],
        "preparation_title": words.PREPARATION,
        "preparation": [
            {"title": said.title, "text": said.text, "alt": words.STEP_ALT.format(step=said.title)}
            for said in contents.preparation
        ],
        "first_title": words.BEFORE_FIRST,
        "first": words.BEFORE_FIRST_TEXT,
        "sign_off": list(words.SIGN_OFF),
    }


def _row(row: Row) -> dict[str, Any]:
    quantity = row.quantity or Quantity(row.role)
    coats = quantity.coats or _COATS
    surface = role_heading(row.role)
    return {
        "surface": surface,
        "area": "" if quantity.area_m2 is None else area_in_words(quantity.area_m2),
        "code": shortened(row.code, CODE),
        "name": shortened(row.name, NAME),
        "hex": row.hex,
        "swatch_alt": words.SWATCH_ALT.format(name=row.name),
        "sheen": quantity.sheen,
        "coats": str(quantity.coats or ""),
        "litres": "" if quantity.litres is None else litres_in_words(*quantity.litres),
        "tins": tins_in_words(quantity),
        "boxes": [words.COAT_ALT.format(surface=surface, coat=coat) for coat in words.COAT_NAMES[:coats]],
    }


def area_in_words(area_m2: float) -> str:
    """Return an area for people."""
    return f"{area_m2:.1f} m²"


def litres_in_words(low: float, high: float) -> str:
    """Return a range of litres, one number where both read alike.

    >>> litres_in_words(2.41, 3.0), litres_in_words(2.41, 2.44)
    ('2.4 to 3.0', '2.4')
    """
    first, last = f"{low:.1f}", f"{high:.1f}"
    return first if first == last else f"{first} to {last}"


def tins_in_words(quantity: Quantity) -> str:
    """Return the tins to buy: how many, times litres."""
    return " + ".join(f"{tins.count} {_TIMES} {tins.litres:g}" for tins in quantity.tins)
