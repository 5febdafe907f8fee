"""Page 6: cautions, local rules and lead first, and what the photos could not tell."""

from __future__ import annotations

from pathlib import PurePath
from typing import Any

from matcher.description.lean import SURE_FROM
from matcher.handover import words
from matcher.handover.contents import Contents, Json, Said
from matcher.handover.naming import is_plural, role_word, roles_listed, shortened, surface_word
from matcher.report.cautions import caution_words
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.numbers import shown
from matcher.report.sentences import UNCERTAIN_LEAN
from matcher.report.trade_words import FAIRLY_SURE_WITHIN, listed

_MOST_SURFACES, _MOST_UNREAD, _MOST_FILES = 4, 3, 3  # what a page has room for; assumption
_FILE = 40  # letters of a file's name
_LEAD = ("lead", "lead-authority")
_GUESSED = ("light guessed", "light guessed by white")


def last_page(contents: Contents) -> dict[str, Any]:
    """Return the data of the page."""
    framed, cautions = _cautions(contents)
    return {
        "kind": "last",
        "title": words.LAST_TITLE,
        "lede_first": words.LAST_FIRST,
        "lede": words.LAST_LEDE,
        "framed": None if framed is None else _entry(framed),
        "cautions": [_entry(caution) for caution in cautions],
        "untold_title": words.UNTOLD_TITLE if contents.result["photos"] else words.UNTOLD_TITLE_NO_PHOTO,
        "untold": [_entry(said) for said in untold(contents)],
        "next_title": words.NEXT_TITLE,
        "next": list(words.NEXT) if contents.samples else [],
    }


def _cautions(contents: Contents) -> tuple[Said | None, list[Said]]:
    """Return the hazard that is framed, where there is one, and the others in a client's words."""
    framed, others = None, []
    for caution in contents.cautions:
        if caution.kind in _LEAD:
            framed = Said(*caution_words(caution))
            continue
        said = words.CLIENT_CAUTIONS[caution.kind]
        if said is not None:
            others.append(Said(*said))
    return framed, others


def untold(contents: Contents) -> list[Said]:
    """Return what nobody could tell from the photos or readings, each from its number in the result."""
    return [*_guessed(contents), *_rough(contents), *_unread(contents), *_of_the_picture(contents), *_sheen()]


def _guessed(contents: Contents) -> list[Said]:
    files = [
        shortened(PurePath(photo["file"]).name, _FILE)
        for photo in contents.result["photos"]
        if any(check["check"] in _GUESSED for check in photo["checks"])
    ]
    if not files:
        return []
    return [Said(words.GUESSED, words.GUESSED_TEXT.format(photos=listed(files[:_MOST_FILES])))]


def _rough(contents: Contents) -> list[Said]:
    found = []
    for surface in contents.stays:
        sentences = [text for text in (_level(surface), _lean(surface)) if text]
        if sentences:
            title = words.ROUGH.format(surface=surface_word(surface["name"]))
            found.append(Said(title, " ".join(sentences)))
    return found[:_MOST_SURFACES]


def _level(surface: Json) -> str:
    if NINETY_PERCENT * surface["lrv_sd"] <= FAIRLY_SURE_WITHIN:
        return ""
    return words.ROUGH_OWN_CARD if surface["own_card"] else words.ROUGH_NO_CARD


def _lean(surface: Json) -> str:
    main = surface["colours"][0]
    if main["leans"] == UNCERTAIN_LEAN:
        return words.LEAN_UNKNOWN
    if main["undertone_certainty"] >= SURE_FROM or main["undertone"]["strength"] == "none":
        return ""
    return words.LEAN_LIKELY.format(word=main["leans"].split()[-1])


def _unread(contents: Contents) -> list[Said]:
    return [
        Said(words.UNREAD.format(surface=surface_word(missing["name"])), words.UNREAD_TEXT)
        for missing in contents.result.get("unread", ())[:_MOST_UNREAD]
    ]


def _of_the_picture(contents: Contents) -> list[Said]:
    pictures = contents.pictures
    if pictures.repainted is None:
        return []
    main = pictures.painted[0]
    them = "them" if is_plural([main.role]) else "it"
    brightness = words.BRIGHTNESS_TEXT.format(
        darker=shown(main.darker, ".0%"), brighter=shown(main.brighter, ".0%"), them=them
    )
    return [
        Said(words.BRIGHTNESS.format(role=role_word(main.role)), brightness),
        Said(words.ELSEWHERE.format(role=roles_listed(each.role for each in pictures.painted)), words.ELSEWHERE_TEXT),
    ]


def _sheen() -> list[Said]:
    return [Said(words.SHEEN, words.SHEEN_TEXT)]


def _entry(said: Said) -> dict[str, str]:
    return {"title": said.title, "text": said.text}
