"""Page 1: the householder's own room, as it is and repainted."""

from __future__ import annotations

from typing import Any

from matcher.description.lean_word import lean_word
from matcher.handover import words
from matcher.handover.contents import Contents, PictureFile, RoomPictures
from matcher.handover.naming import NAME, TITLE, is_plural, role_word, roles_listed, shortened, surface_word
from matcher.harmony.undertone import undertone
from matcher.report.numbers import shown
from matcher.report.trade_words import listed, sentence_case

AS_IT_IS_FILE, REPAINTED_FILE = "as_it_is.jpg", "repainted.jpg"
# Millimetres of height that the pictures may take together: the first that leaves room for all else is taken.
_PHOTO_ROOM_MM = (196.0, 188.0, 180.0, 172.0, 164.0, 156.0, 148.0, 136.0, 124.0, 112.0)
_MOST_NAMED = 6  # things that stay, named in one sentence; assumption


def room_page(contents: Contents) -> dict[str, Any] | None:
    """Return the data of the page; None without a picture of the room."""
    pictures = contents.pictures
    if pictures.as_it_is is None:
        return None
    room = shortened(contents.result["room"]["name"], TITLE)
    views = [_view(AS_IT_IS_FILE, pictures.as_it_is, words.AS_IT_IS, words.AS_IT_IS_ALT.format(room=room), [])]
    if pictures.repainted is not None:
        views.append(_repainted(contents, room, pictures.repainted))
    else:
        views[0]["sentences"] = _left_as_they_are(contents)
    return {
        "kind": "room",
        "photo_room_mm": list(_PHOTO_ROOM_MM),
        "title": room,
        "lede": scheme_in_a_sentence(contents),
        "pictures": views,
    }


def picture_files(pictures: RoomPictures) -> dict[str, PictureFile]:
    """Return the pictures there are by the names that the data of the page call them."""
    found = {AS_IT_IS_FILE: pictures.as_it_is, REPAINTED_FILE: pictures.repainted}
    return {name: picture for name, picture in found.items() if picture is not None}


def scheme_in_a_sentence(contents: Contents) -> str:
    """Return what the scheme is about: the main paint by its colour, and what stays."""
    paint = contents.roles[contents.main_role]
    lean = undertone(contents.labs[paint["code"]])
    lead = words.LEAD[lean.strength].format(word=lean_word(lean.family, lean.hue_deg, lean.chroma))
    stays = [surface_word(surface["name"]) for surface in contents.stays]
    named = stays if len(stays) <= _MOST_NAMED else [*stays[:_MOST_NAMED], words.THE_REST]
    form = words.STAYS if len(stays) > 1 else words.STAYS_ONE
    stay = form.format(names=listed(named)) if stays else words.NOTHING_STAYS
    return words.ROOM_LEDE.format(lead=lead, role=role_word(contents.main_role), stays=stay).strip()


def _repainted(contents: Contents, room: str, picture: PictureFile) -> dict[str, Any]:
    paints = [
        words.PAINTED_IN.format(role=role_word(each.role), name=shortened(contents.roles[each.role]["name"], NAME))
        for each in contents.pictures.painted
    ]
    sentences = [f"{sentence_case(listed(paints))}."]
    sentences += [
        words.PICTURE_DOUBT.format(
            role=role_word(each.role), darker=shown(each.darker, ".0%"), brighter=shown(each.brighter, ".0%")
        )
        for each in contents.pictures.painted[:1]
    ]
    sentences += [words.BOARDS_DECIDE, *_left_as_they_are(contents)]
    alt = words.REPAINTED_ALT.format(room=room, paints=listed(paints))
    return _view(REPAINTED_FILE, picture, words.REPAINTED, alt, sentences)


def _left_as_they_are(contents: Contents) -> list[str]:
    found = []
    for roles, form in (
        (contents.pictures.unmeasured, words.NOT_SHOWN),
        (contents.pictures.not_outlined, words.NOT_OUTLINED),
    ):
        if roles:
            plural = is_plural(roles)
            are, they = ("are", "they are") if plural else ("is", "it is")
            found.append(form.format(roles=roles_listed(roles), are=are, they=they))
    return found


def _view(file: str, picture: PictureFile, heading: str, alt: str, sentences: list[str]) -> dict[str, Any]:
    return {
        "file": file, "width": picture.width, "height": picture.height,
        "heading": heading, "alt": alt, "sentences": sentences,
    }  # fmt: skip
