"""Colours through a day as the screen shows them: strips of hours and lamps, and one moment large. All text escaped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from ui import words

Json = Mapping[str, Any]


def strips(view: Json, paint: Json, place: int) -> str:
    """Return a strip for each paint, the one looked at first and tall, then what stays and the white card; the column
    at ``place`` is marked below the colours.
    """
    others = [row for row in view["paints"] if row["code"] != paint["code"]]
    paints = "".join(_strip(view, row, place, "tall" if row is paint else "") for row in (paint, *others))
    stays = "".join(_strip(view, row, place, "low") for row in view["surfaces"])
    white = _strip(view, {"name": words.LIGHT_WHITE, "title": "", "hexes": view["white"]}, place, "low")
    # The slider below ends in the middle of the first and the last column.
    count = f"<style>.st-key-light-slider {{ --columns: {len(view['columns'])} }}</style>"
    return f'{count}<div class="g-ground l-strips">{paints}{stays}{white}{_hours(view, place)}</div>'


def day_of(view: Json, paint: Json) -> str:
    """Return the strip of one paint above those of what stays and of the white card, no moment marked."""
    return strips({**view, "paints": [paint]}, paint, -1)


def _strip(view: Json, row: Json, place: int, size: str) -> str:
    cells = "".join(
        f'<i class="{_kind(view, number, place)}" style="background:{hex_}"></i>'
        for number, hex_ in enumerate(row["hexes"])
    )
    title = f"{row['title']}: {row['name']}" if row["title"] else row["name"]
    said = words.LIGHT_STRIP.format(name=row["name"])
    return (
        f'<div class="l-row {size}"><span>{escape(title)}</span>'
        f'<div role="img" aria-label="{escape(said)}">{cells}</div></div>'
    )


def _hours(view: Json, place: int) -> str:
    cells = "".join(
        f'<i class="{_kind(view, number, place)}">{escape(_short(number, column, first=_first_lamp(view, number)))}</i>'
        for number, column in enumerate(view["columns"])
    )
    return f'<div class="l-row l-hours" aria-hidden="true"><div>{cells}</div></div>'


def _short(number: int, column: Json, *, first: bool) -> str:
    if column["lamp"]:
        return words.LIGHT_LAMPS if first else ""
    return str(column["label"]).removesuffix(":00") if number % 3 == 0 else ""


def _kind(view: Json, number: int, place: int) -> str:
    marks = (("at", number == place), ("first-lamp", _first_lamp(view, number)))
    return " ".join(name for name, holds in marks if holds)


def _first_lamp(view: Json, number: int) -> bool:
    columns = view["columns"]
    return bool(columns[number]["lamp"] and not columns[number - 1]["lamp"])


def beside(view: Json, paint: Json, place: int) -> str:
    """Return one moment: the paint large, and touching it a white card and what stays, each with its name."""
    near: Sequence[tuple[str, str]] = [
        (words.LIGHT_WHITE, view["white"][place]),
        *((row["name"], row["hexes"][place]) for row in view["surfaces"]),
    ]
    chips = "".join(f'<figure><i style="background:{hex_}"></i></figure>' for _, hex_ in near)
    names = "".join(f"<span>{escape(name)}</span>" for name, _ in near)
    said = words.LIGHT_MOMENT.format(name=paint["name"], moment=view["columns"][place]["words"])
    return (
        f'<div class="g-ground l-moment"><div role="img" aria-label="{escape(said)}" '
        f'style="background:{paint["hexes"][place]}"></div><div class="l-near">{chips}</div>'
        f'<div class="l-names">{names}</div></div>'
    )


def moments_in_numbers(view: Json, paint: Json) -> str:
    """Return a table of all moments: the light, and the paint's CIELAB as seen."""
    rows = "".join(
        f'<tr><td class="g-num">{escape(column["numbers"])}</td><td class="g-num">{escape(lab)}</td></tr>'
        for column, lab in zip(view["columns"], paint["moments"], strict=True)
    )
    return (
        f'<table class="g-table"><thead><tr><th scope="col">{words.LIGHT_NUMBERS}</th>'
        f'<th scope="col">{escape(words.LIGHT_SEEN.format(name=paint["name"]))}</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
        f'<p class="g-soft g-small">{escape(words.LIGHT_KEEPS.format(name=paint["name"], keeps=paint["keeps"]))}</p>'
    )
