"""Page 3: why these paints, each beside what stays, and what was turned down."""

from __future__ import annotations

from typing import Any

from matcher.handover import words
from matcher.handover.bands import hexes, paint_band, surface_band
from matcher.handover.contents import Contents, Json, TurnedDown
from matcher.handover.fill import fill
from matcher.handover.naming import CODE, NAME, roles_listed, shortened, surface_word
from matcher.handover.reasons import against_sentence, beside_surface, for_role
from matcher.handover.scheme_page import MOST_STAYING
from matcher.handover.trim_whites import step_sentence, turned_down_white
from matcher.report.ground import grey_for
from matcher.report.trade_words import sentence_case

_MOST = 2  # paints turned down: what stands side by side


def why_page(contents: Contents, *, most_staying: int | None = MOST_STAYING) -> dict[str, Any] | None:
    """Return the data of the page; None where there is nothing to say: no thing that stays and no other paint.

    ``most_staying`` is how many things that stay are shown, None for all.
    """
    main = contents.roles[contents.main_role]
    pairs = [_pair(contents, main, surface) for surface in contents.stays[:most_staying]]
    others = [_other(contents, roles) for roles in _other_roles(contents)]
    if not pairs and not others:
        return None
    white = turned_down_white(contents)
    weighed = contents.turned_down if white is None else (*contents.turned_down[: _MOST - 1], white)
    turned_down = [_turned_down(contents, found) for found in weighed]
    ground = grey_for([text for pair in [*pairs, *turned_down] for text in [pair["left"], *hexes(pair["right"])]])
    return {
        "kind": "why",
        "ground": ground,
        "title": words.WHY_TITLE,
        "lede": words.WHY_LEDE.format(name=shortened(main["name"], NAME)) if pairs else "",
        "pairs": pairs,
        "others_title": words.OTHERS_TITLE,
        "others": [other for other in others if other["text"]],
        "turned_down_title": words.TURNED_DOWN,
        "turned_down": turned_down,
    }


def _pair(contents: Contents, paint: Json, surface: Json) -> dict[str, Any]:
    word, text = beside_surface(paint, surface)
    name, surface_name = shortened(paint["name"], NAME), surface_word(surface["name"])
    return {
        "heading": words.WITH.format(surface=surface_name, word=word),
        "text": text,
        "left": contents.swatch(paint["code"]),
        "right": surface_band(surface),
        "alt": words.PAIR_ALT.format(name=name, surface=surface_name),
    }


def _other_roles(contents: Contents) -> list[list[str]]:
    """Return the roles but the main one, those of one paint together."""
    found: dict[str, list[str]] = {}
    for role, paint in contents.roles.items():
        if role != contents.main_role:
            found.setdefault(paint["code"], []).append(role)
    return list(found.values())


def _other(contents: Contents, roles: list[str]) -> dict[str, Any]:
    paint = contents.roles[roles[0]]
    name = shortened(paint["name"], NAME)
    pinned = roles[0] in contents.result["scheme"].get("pinned", ())
    title = sentence_case(roles_listed(roles))
    return {
        "title": f"{title}, {name}.",
        "text": " ".join(
            [for_role(paint, contents.roles, pinned=pinned), *filter(None, (step_sentence(contents, r) for r in roles))]
        ).strip(),
        "hex": contents.swatch(paint["code"]),
        "alt": words.BOARD_ALT.format(name=name),
    }


def _turned_down(contents: Contents, found: TurnedDown) -> dict[str, Any]:
    surface = next((each for each in contents.stays if each["name"] == found.surface), None)
    # A white may be amiss beside the paint of another role.
    beside = (
        paint_band(contents.swatch(contents.roles[found.surface]["code"])) if surface is None else surface_band(surface)
    )
    name = shortened(found.name, NAME)
    return {
        "title": words.TURNED_DOWN_TITLE.format(name=name, code=shortened(found.code, CODE)),
        "text": found.text or against_sentence(found.fact, found.clash, found.surface),
        "left": fill(found.lab),
        "right": beside,
        "alt": words.PAIR_ALT.format(name=name, surface=surface_word(found.surface)),
    }
