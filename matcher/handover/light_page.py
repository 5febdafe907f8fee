"""Page 4: the main paint in the lights of a day, where the room's light is known."""

from __future__ import annotations

from typing import Any

from matcher.handover import words
from matcher.handover.bands import paint_band
from matcher.handover.contents import Contents, LightHour
from matcher.handover.ground import ground_of
from matcher.handover.naming import NAME, shortened
from matcher.report.trade_words import count_word, listed


def light_page(contents: Contents) -> dict[str, Any] | None:
    """Return the data of the page; None where nothing is known of the room's light."""
    if not contents.hours:
        return None
    name = shortened(contents.roles[contents.main_role]["name"], NAME)
    others = listed(title for title, _ in contents.hours[0].beside)
    count, side = count_word(len(contents.hours)), _SIDES.get(contents.site.facing or "")
    lede = words.LIGHT_LEDE_FACING if side else words.LIGHT_LEDE
    return {
        "kind": "light",
        "title": words.LIGHT_TITLE,
        "lede": lede.format(count=count, side=side),
        "ground": ground_of(
            [hour.hex for hour in contents.hours] + [text for h in contents.hours for _, text in h.beside]
        ),
        "hours": [_hour(hour, name) for hour in contents.hours],
        "note": contents.hours_note or words.LIGHT_NOTE.format(name=name, others=others),
    }


def _hour(hour: LightHour, name: str) -> dict[str, Any]:
    return {
        "title": hour.title,
        "kind": hour.kind,
        "colours": paint_band(hour.hex),
        "beside": [paint_band(text) for _, text in hour.beside],
        "text": hour.text,
        "alt": words.LIGHT_ALT.format(
            name=name, hour=hour.title, others=listed(title for title, _ in hour.beside) or "nothing"
        ),
    }


_SIDES = {"N": "north", "NE": "north-east", "E": "east", "SE": "south-east", "S": "south", "SW": "south-west",
          "W": "west", "NW": "north-west"}  # fmt: skip


def side_word(facing: str) -> str:
    """Return a compass point in words."""
    return _SIDES[facing]
