"""Page 4: the main paint in the lights of a day, where it is known which way the room's window looks."""

from __future__ import annotations

from typing import Any

from matcher.description.lean_word import lean_word
from matcher.handover import words
from matcher.handover.bands import paint_band
from matcher.handover.contents import Contents, Json
from matcher.handover.light_hours import light_hours
from matcher.handover.naming import NAME, role_word, shortened, surface_word
from matcher.harmony.undertone import undertone
from matcher.report.ground import grey_for
from matcher.report.trade_words import count_word, listed

# A white and what lies beside the walls most: how the eye judges a colour. Assumption: one of each is enough.
_BESIDE = 2
_FIRST_MATERIALS = ("tile", "stone", "brick", "timber", "laminate", "textile", "metal", "paint", "other")


def light_page(contents: Contents) -> dict[str, Any] | None:
    """Return the data of the page; None where nothing is known of the room's light."""
    light = contents.light
    if light is None:
        return None
    main = contents.roles[contents.main_role]
    base = contents.labs[main["code"]]
    tint = undertone(base)
    lean = "" if tint.strength == "none" else lean_word(tint.family, tint.hue_deg, tint.chroma)
    beside = _beside(contents, light)
    entries = [_entry_of(light, main["code"]), *(entry for _, entry in beside)]
    hours = light_hours(light, entries, base, lean)
    name, others = shortened(main["name"], NAME), listed(title for title, _ in beside)
    side = side_word(contents.site.facing) if contents.site.facing else ""
    lede = words.LIGHT_LEDE_FACING if side else words.LIGHT_LEDE
    return {
        "kind": "light",
        "title": words.LIGHT_TITLE,
        "lede": lede.format(count=count_word(len(hours)), side=side),
        "ground": grey_for(text for hour in hours for text in hour.hexes),
        "hours": [
            {
                "title": hour.title,
                "kind": hour.kind,
                "colours": paint_band(hour.hexes[0]),
                "beside": [paint_band(text) for text in hour.hexes[1:]],
                "text": hour.text,
                "alt": words.LIGHT_ALT.format(name=name, hour=hour.title, others=others),
            }
            for hour in hours
        ],
        "note": " ".join([words.LIGHT_NOTE.format(name=name, others=others), *_assumed(light)]),
    }


def side_word(facing: str) -> str:
    """Return a compass point in words."""
    return words.SIDES[facing]


def _beside(contents: Contents, light: Json) -> list[tuple[str, Json]]:
    """Return what is shown beside the paint, by name: the lightest other paint, and the thing that stays that lies
    against the walls most.
    """
    main = contents.roles[contents.main_role]["code"]
    others = [role for role, paint in contents.roles.items() if paint["code"] != main]
    found = []
    if others:
        role = max(others, key=lambda role: contents.roles[role]["lrv"])
        title = words.PAINT_OF.format(role=role_word(role))
        found.append((title, _entry_of(light, contents.roles[role]["code"])))
    stays = sorted(contents.stays, key=lambda surface: _FIRST_MATERIALS.index(surface["material"]))
    found += [
        (words.THE_SURFACE.format(surface=surface_word(surface["name"])), _entry_of(light, surface["name"]))
        for surface in stays
    ]
    return found[:_BESIDE]


def _entry_of(light: Json, name: str) -> Json:
    entry: Json = next(each for each in light["colours"] if name in (each.get("code"), each.get("surface")))
    return entry


def _assumed(light: Json) -> list[str]:
    """Return what the room did not say itself and was assumed, as far as it moves the hours shown."""
    return [words.LIGHT_ASSUMED[each] for each in light["assumed"] if each in words.LIGHT_ASSUMED]
