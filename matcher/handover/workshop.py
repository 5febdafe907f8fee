"""The appendix for the consultant: photos, measured colours and their doubts, every list, what was turned down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import Any

from matcher.handover.contents import Contents, Json
from matcher.paints.deck import Deck
from matcher.ranking.light import away_from_sun
from matcher.report.cautions import COLOUR_NOTE, GLOSSARY, caution_words
from matcher.report.ground import grey_for
from matcher.report.low_vision import contrasts_of, low_vision_view
from matcher.report.paint_in_room import paint_in_room
from matcher.report.picture import Picture
from matcher.report.reader import (
    advice_view,
    clash_views,
    photo_view,
    role_view,
    scheme_view,
    surface_view,
    unread_view,
)
from matcher.report.sentences import ADVICE_NEXT, LIGHT_TITLE, LOW_VISION_NOTE, SPREAD_NOTE
from matcher.report.trade_words import listed, sentence_case
from matcher.report.wording import role_title

# More than this and nobody reads on; result.json holds all that were asked for. Assumption.
MOST_ON_PAGE = 12


def workshop(
    contents: Contents,
    advice: Json,
    pictures: Sequence[Picture],
    *,
    deck: Deck,
    light: Json | None = None,
    rejected: Mapping[str, Sequence[Json]] | None = None,
) -> dict[str, Any]:
    """Return what the appendix shows of a result and of the ``advice`` on it.

    The room's own picture, or else the first, stands at the top with every surface it shows. ``light`` is the scheme's
    day (:func:`matcher.report.light_view.light_view`), where something is known of it, ``rejected`` are the paints
    turned down by role (:func:`matcher.handover.rejected.rejected`).
    """
    result, kept = contents.result, {surface["name"] for surface in contents.stays}
    whole = next((picture for picture in pictures if picture.whole_room), pictures[0] if pictures else None)
    surfaces = [surface_view(number, surface, deck) for number, surface in enumerate(result["surfaces"], start=1)]
    by_number = {surface["number"]: surface["name"] for surface in surfaces}
    turned_down = rejected or {}
    return {
        "lede": _lede(contents),
        "main_picture": _captioned(whole, by_number) if whole else None,
        "other_pictures": [_captioned(picture, by_number) for picture in pictures if picture is not whole],
        "surfaces": [surface if surface["name"] in kept else _going(surface) for surface in surfaces],
        "unread": [unread_view(missing) for missing in result.get("unread", ())],
        "staying": [surface for surface in surfaces if surface["name"] in kept],
        "scheme": scheme_view(result["scheme"], deck),
        "examined": _examined(contents, deck),
        "roles": [
            {
                **role_view(role, entries[:MOST_ON_PAGE], result.get("notes", {}).get(role, ())),
                "rejected_ground": grey_for([paint["hex"] for paint in turned_down.get(role, ())] or ["#ffffff"]),
                "rejected": [{**paint, "clashes": clash_views(paint)} for paint in turned_down.get(role, ())],
            }
            for role, entries in result["shortlists"].items()
        ],
        "advice": advice_view(advice),
        "advice_title": ADVICE_NEXT,
        "light": light,
        "light_title": LIGHT_TITLE,
        "warnings": result["warnings"],
        "photos": [photo_view(photo) for photo in result["photos"]],
        "low_vision": low_vision_view(contrasts_of(result)),
        "low_vision_note": LOW_VISION_NOTE,
        "cautions": [caution_words(caution) for caution in contents.cautions],
        "glossary": GLOSSARY,
        "deck": result["deck"],
        "colour_note": COLOUR_NOTE,
        "spread_note": SPREAD_NOTE,
    }


def _examined(contents: Contents, deck: Deck) -> list[dict[str, Any]]:
    """Return each paint of the scheme examined, once however many roles it has, with those roles."""
    sunless = away_from_sun(contents.site.facing, contents.site.latitude)
    roles: dict[str, list[str]] = {}
    for role, paint in contents.roles.items():
        roles.setdefault(paint["code"], []).append(role_title(role).lower())
    return [
        {**paint_in_room(deck, deck.row_of[code], contents.stays, sunless), "roles": sentence_case(listed(titles))}
        for code, titles in roles.items()
    ]


def _lede(contents: Contents) -> str:
    names = listed(surface["name"] for surface in contents.stays)
    roles = listed(role_title(role).lower() for role in contents.result["shortlists"])
    deck = contents.result["deck"]["name"].replace("_", " ")
    return (
        f"What stays in this room: {names}. Their colours were measured; below are the paints of the deck "
        f"“{deck}” that suit them best for {roles}, with what speaks for and against each."
    )


def _going(surface: Mapping[str, Any]) -> dict[str, Any]:
    return {**surface, "sentence": f"To be painted; measured as it is now. {surface['sentence']}"}


def _captioned(picture: Picture, names: Mapping[int, str]) -> dict[str, Any]:
    shown = ", ".join(f"{outline.number} {names[outline.number]}" for outline in picture.outlines)
    cards = " Dashed: the cards it was measured against." if picture.cards else ""
    file = PurePath(picture.file).name
    caption = f"{file}. Outlined: {shown}.{cards}" if shown else f"{file}.{cards}"
    fields = {name: getattr(picture, name) for name in ("data_uri", "width", "height", "badge", "outlines", "cards")}
    return {**fields, "caption": caption, "alt": f"Photo {file} with outlines of {shown or 'the cards'}"}
