"""Page 2: the scheme as large swatches beside what stays, in the order they meet in a room, ceiling to floor."""

from __future__ import annotations

from typing import Any

from matcher.handover import words
from matcher.handover.bands import hexes, paint_band, surface_band
from matcher.handover.contents import Contents, Json
from matcher.handover.fill import beyond_screens
from matcher.handover.naming import CODE, NAME, TITLE, role_heading, shortened, surface_heading
from matcher.handover.room_page import scheme_in_a_sentence
from matcher.handover.sheen import client_sheen
from matcher.report.ground import grey_for
from matcher.report.trade_words import count_word, listed

# Where each stands between ceiling and floor, and about how much of a room it is beside the others. Assumptions, for
# the picture alone.
_ABOVE, _MIDDLE, _LOW, _FLOOR = 0, 1, 2, 3
_ROLE_PLACES = {"ceiling": _ABOVE, "walls": _ABOVE, "accent": _ABOVE, "cabinets": _LOW, "island": _LOW,
                "trim": _ABOVE, "door": _ABOVE}  # fmt: skip
_ROLE_WEIGHTS = {"ceiling": 2.0, "walls": 6.0, "accent": 2.5, "cabinets": 3.0, "island": 2.0, "trim": 1.0, "door": 1.0}
_ROLE_ORDER = ("ceiling", "accent", "walls", "trim", "door", "cabinets", "island")
_STRIPS = ("trim", "door")  # roles that are narrow in a room, and touch its walls
# From the top down, by words in the name of what stays; whatever has none of them stands above a worktop.
_SURFACE_ORDER = (
    ("beam", "cornice"),
    ("tile", "splash", "brick", "panel"),
    ("",),
    ("worktop", "counter", "sill", "mantel"),
    ("cabinet", "unit", "vanity", "bath", "door"),
    ("hearth", "rug"),
    ("floor", "carpet"),
)
_ON_THE_FLOOR = ("hearth", "rug", "floor", "carpet")
_SURFACE_WEIGHT, _FLOOR_WEIGHT = 1.2, 1.8
# Millimetres that a label needs, and the most things that stay which a page has room for.
_PAINT_MM, _NOTED_MM, _STAYS_MM = 13.5, 17.5, 6.8
# Heights of the whole stack, the first that fits the page is taken.
_STACK_MM = (188.0, 176.0, 164.0, 152.0, 140.0, 128.0)
_LABEL = 26  # letters
MOST_STAYING = 8


def scheme_page(contents: Contents, *, titled: bool = True, most_staying: int | None = MOST_STAYING) -> dict[str, Any]:
    """Return the data of the page; where it is the first, and not ``titled``, the room's name is its title.

    ``most_staying`` is how many things that stay are shown, None for all.
    """
    stays = contents.stays[:most_staying]
    groups = [*_painted_groups(contents), *(_staying_group(surface) for surface in stays)]
    groups.sort(key=lambda group: group.pop("place"))
    colours = hexes(*(band for group in groups for band in [group["colours"], *_strip_bands(group)]))
    rows = [row for group in groups for row in group["rows"]]
    paints = {paint["code"] for paint in contents.roles.values()}
    varied = any(len(surface["colours"]) > 1 for surface in stays)
    lede = _lede(len(paints), len(contents.stays))
    by_code = {paint["code"]: shortened(paint["name"], NAME) for paint in contents.roles.values()}
    strong = [name for code, name in by_code.items() if beyond_screens(contents.labs[code])]
    left_out = len(contents.stays) - len(stays)
    notes = [words.SCHEME_NOTE, *([words.BANDS_NOTE] if varied else [])]
    if strong:
        notes.append(words.BEYOND.format(names=listed(strong), is_="are" if len(strong) > 1 else "is"))
    if left_out:
        notes.append(words.MORE_TO_SEE.format(count=left_out))
    return {
        "kind": "scheme",
        "title": words.SCHEME_TITLE if titled else shortened(contents.result["room"]["name"], TITLE),
        "lede": lede if titled else f"{scheme_in_a_sentence(contents)} {lede}",
        "groups": groups,
        "ground": grey_for(colours),
        "stack_mm": list(_STACK_MM),
        "alt": words.SCHEME_ALT.format(parts=listed(f"{row['title']}, {row['name'] or row['note']}" for row in rows)),
        "note": " ".join(notes),
    }


def _lede(paints: int, things: int) -> str:
    of_paints = words.PAINTS_ONE if paints == 1 else words.PAINTS.format(count=count_word(paints).capitalize())
    if not things:
        return words.SCHEME_LEDE_ALONE.format(paints=of_paints)
    of_things = words.THINGS_ONE if things == 1 else words.THINGS.format(count=count_word(things))
    return words.SCHEME_LEDE.format(paints=of_paints, things=of_things)


def _painted_groups(contents: Contents) -> list[dict[str, Any]]:
    """Return a band for each role; trim and door stand as narrow bands beside the walls, where there are any."""
    roles = [role for role in _ROLE_ORDER if role in contents.roles]
    strips = [role for role in roles if role in _STRIPS and "walls" in roles]
    groups = []
    for role in roles:
        if role in strips:
            continue
        own = strips if role == "walls" else []
        notes = [words.STRIP_LEFT, words.STRIP_SECOND]
        groups.append(
            {
                "place": (_ROLE_PLACES[role], _ROLE_ORDER.index(role)),
                "rows": [
                    _paint_row(contents, role, ""),
                    *(_paint_row(contents, strip, note) for strip, note in zip(own, notes, strict=False)),
                ],
                "colours": paint_band(contents.swatch(contents.roles[role]["code"])),
                "strips": [{"colours": paint_band(contents.swatch(contents.roles[strip]["code"]))} for strip in own],
            }
        )
    return groups


def _paint_row(contents: Contents, role: str, note: str) -> dict[str, Any]:
    paint = contents.roles[role]
    return {
        "title": role_heading(role),
        "name": shortened(paint["name"], NAME),
        "code": shortened(paint["code"], CODE),
        "sheen": client_sheen(contents.row_of(role)["sheen"]["gloss_60"]),
        "note": note,
        "stays": False,
        "least_mm": _NOTED_MM if note else _PAINT_MM,
        "weight": _ROLE_WEIGHTS[role],
    }


def _staying_group(surface: Json) -> dict[str, Any]:
    name = surface["name"].casefold()
    low = any(word in name for word in _ON_THE_FLOOR)
    row = {
        "title": surface_heading(surface["name"], _LABEL),
        "name": "",
        "code": "",
        "sheen": "",
        "note": words.STAYS_NOTE,
        "stays": True,
        "least_mm": _STAYS_MM,
        "weight": _FLOOR_WEIGHT if low else _SURFACE_WEIGHT,
    }
    place = (_FLOOR if low else _MIDDLE, _surface_order(name))
    return {"place": place, "rows": [row], "colours": surface_band(surface), "strips": []}


def _surface_order(name: str) -> int:
    """Return where a thing that stays is between ceiling and floor; the last of the words that fits decides."""
    fits = [place for place, some in enumerate(_SURFACE_ORDER) if any(word and word in name for word in some)]
    return fits[-1] if fits else _SURFACE_ORDER.index(("",))


def _strip_bands(group: dict[str, Any]) -> list[list[dict[str, Any]]]:
    return [strip["colours"] for strip in group["strips"]]
