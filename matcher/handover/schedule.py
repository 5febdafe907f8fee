"""The painter's schedule as a sheet: one a room, to buy from and to work from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from matcher.handover import words
from matcher.handover.client import made_on
from matcher.handover.contents import Contents, Json
from matcher.handover.naming import NAME, TITLE, shortened, surface_word
from matcher.handover.sheet import mark_file, sheet_of
from matcher.handover.typeset import Typeset, typeset
from matcher.quantities.order import PAINT_ORDER
from matcher.quantities.sheen import words_for
from matcher.report.ground import grey_for
from matcher.report.numbers import filled
from matcher.report.trade_words import listed, lowered

TEMPLATE = "schedule.typ"
_UNIT = re.compile(r" (?=L|gal|qt)")  # a size and its unit stay on one line
_WHOLE_WORD = "\N{NON-BREAKING HYPHEN}"
_CODE_LINE = 16  # letters
_CODE_SIZES = ((9, 14.0), (12, 12.5), (_CODE_LINE, 11.5))  # by letters in a line; all larger than what is beside them
_MOST_KEPT = 12  # things that stay, named in the frame; assumption


def schedule_pdf(contents: Contents) -> Typeset:
    """Return the schedule as a tagged PDF."""
    return typeset(TEMPLATE, schedule_data(contents), mark_file(contents), made_on=made_on(contents))


def schedule_data(contents: Contents) -> dict[str, Any]:
    """Return what the template is filled with; columns that no size is known for are left out."""
    schedule = contents.schedule
    # As the order of work below the table has them.
    rows = sorted(schedule["rows"], key=lambda row: PAINT_ORDER.index(row["role"]))
    kept = [surface_word(name) for name in schedule["stays"]]
    named = kept if len(kept) <= _MOST_KEPT else [*kept[:_MOST_KEPT], words.ELSE_STAYS]
    foot = f"{words.SCHEDULE_FOOT} {words.INVENTED_SCHEDULE}" if contents.invented else words.SCHEDULE_FOOT
    # The last of the footnotes is the frame's.
    footnotes = schedule["footnotes"][: -1 if schedule["stays"] else None]
    return {
        "sheet": sheet_of(contents, words.SCHEDULE, page_of=words.SHEET_OF, foot=foot, contact=False),
        "title": words.SCHEDULE,
        "room": shortened(contents.result["room"]["name"], TITLE),
        "note": words.ORDER_BY_CODE,
        "columns": words.COLUMNS,
        "code_pt": _code_size(rows),
        "sized": any(row["litres_text"] for row in rows),
        "coat_names": list(words.COAT_NAMES[: max(_boxes(row) for row in rows)]),
        "ground": grey_for(contents.swatch(row["code"]) for row in rows),
        "rows": [_row(contents, row) for row in rows],
        "notes": [*_notes(rows), *footnotes],
        "kept": {"title": words.NOT_PAINTED, "text": words.NOT_PAINTED_TEXT.format(names=listed(named))}
        if named
        else None,
        "order_title": words.ORDER,
        "order": [_step(step["text"]) for step in schedule["order"]],
        "preparation_title": words.PREPARATION,
        "preparation": [_step(said["text"], said["where"]) for said in schedule["preparation"]],
        "first_title": words.BEFORE_FIRST,
        "first": words.BEFORE_FIRST_TEXT,
        "sign_off": list(words.SIGN_OFF),
    }


def _row(contents: Contents, row: Json) -> dict[str, Any]:
    low, high = row["sheen"]["gloss_60"]
    called = (word.replace("-", _WHOLE_WORD) for word in words_for((low, high)))
    return {
        "surface": row["surface"],
        "area": row["area"],
        "code": code_lines(row["code"]),
        "name": shortened(row["name"], NAME),
        "hex": contents.swatch(row["code"]),
        "swatch_alt": words.SWATCH_ALT.format(name=row["name"]),
        "sheen": listed(called, "or"),
        "gloss": filled(words.GLOSS if low else words.GLOSS_UP_TO, {"low": low, "high": high}),
        "coats": row["coats_text"],
        "litres": row["litres_text"],
        "tins": _UNIT.sub("\N{NO-BREAK SPACE}", row["tins_text"]),
        "boxes": [words.COAT_ALT.format(surface=row["surface"], coat=coat) for coat in words.COAT_NAMES[: _boxes(row)]],
    }


def code_lines(code: str) -> list[str]:
    """Return a code as lines to print: it is ordered by, so none of it is left out.

    >>> code_lines("demo-12"), code_lines("LONG-MANUFACTURER-0001234")
    (['demo-12'], ['LONG-MANUFACTURE', 'R-0001234'])
    """
    line = " ".join(code.split())
    return [line[start : start + _CODE_LINE] for start in range(0, len(line), _CODE_LINE)]


def _code_size(rows: list[Json]) -> float:
    """Return the size of type, points, in which the longest line of a code leaves room for the other columns."""
    longest = max(len(line) for row in rows for line in code_lines(row["code"]))
    return next(size for most, size in _CODE_SIZES if longest <= most)


def _boxes(row: Json) -> int:
    return min(int(row["coats"]), len(words.COAT_NAMES))


def _notes(rows: Iterable[Json]) -> list[str]:
    """Return what is said of some rows, each thing once with the surfaces it holds for."""
    said: dict[str, list[str]] = {}
    for row in rows:
        for note in row["notes"]:
            said.setdefault(note, []).append(row["surface"])
    return [f"{surfaces[0]}{_and(surfaces[1:])}: {lowered(note)}." for note, surfaces in said.items()]


def _and(surfaces: list[str]) -> str:
    rest = [lowered(surface) for surface in surfaces]
    if not rest:
        return ""
    return f", {listed(rest)}" if len(rest) > 1 else f" and {rest[0]}"


def _step(text: str, where: str = "") -> dict[str, str]:
    return {"title": f"{where}:" if where else "", "text": text, "alt": words.STEP_ALT.format(step=where or text)}
