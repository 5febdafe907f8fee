"""The page a client reads: one self-contained HTML file made from the result and the pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.report.cautions import CAUTIONS, COLOUR_NOTE, GLOSSARY, INVENTED_NOTE
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.picture import Picture
from matcher.report.trade_words import doubt_phrase, listed, undertone_phrase, warmth_phrase
from matcher.report.wording import (
    AGAINST,
    LEVEL_WORDS,
    STANDS_FOR,
    TERM_TITLES,
    alternative_title,
    check_sentence,
    clash_title,
    entry_undertone,
    first_and_against,
    role_title,
    stability_sentence,
)

if TYPE_CHECKING:
    from jinja2 import Template

Json = Mapping[str, Any]
# More than this and a client stops reading; result.json holds all that were asked for. Assumption.
MOST_ON_PAGE = 12
# Beside each other the reasons of a scheme repeat what the shortlists say in full. Assumption.
MOST_REASONS = 4
# Rules of visual contrast, shown apart: they serve people who see poorly and disagree with each other.
_CONTRAST = "contrast-"


def render_page(result: Json, pictures: Sequence[Picture], *, deck: Deck, invented: bool = False) -> str:
    """Return the HTML of ``result`` (see :func:`matcher.report.result.result_entry`).

    The room's own picture, or else the first, stands at the top with every surface it shows; ``invented`` states
    that the scenario is made up.
    """
    whole = next((picture for picture in pictures if picture.whole_room), pictures[0] if pictures else None)
    surfaces = [_surface(number, surface) for number, surface in enumerate(result["surfaces"], start=1)]
    by_number = {surface["number"]: surface["name"] for surface in surfaces}
    return _template().render(
        css=_css(),
        room=result["room"]["name"],
        lede=_lede(result),
        invented=INVENTED_NOTE if invented else "",
        main_picture=_captioned(whole, by_number) if whole else None,
        other_pictures=[_captioned(picture, by_number) for picture in pictures if picture is not whole],
        surfaces=surfaces,
        scheme=_scheme(result["scheme"], result["shortlists"], deck),
        roles=[_role(role, entries) for role, entries in result["shortlists"].items()],
        warnings=result["warnings"],
        photos=[_photo(photo) for photo in result["photos"]],
        cautions=CAUTIONS,
        glossary=GLOSSARY,
        deck=result["deck"],
        colour_note=COLOUR_NOTE,
    )


@cache
def _template() -> Template:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("matcher.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("page.html.j2")


@cache
def _css() -> object:
    from importlib.resources import files

    from markupsafe import Markup

    return Markup((files("matcher.report") / "templates" / "page.css").read_text(encoding="utf-8"))


def _lede(result: Json) -> str:
    names = listed(surface["name"] for surface in result["surfaces"])
    roles = listed(role_title(role).lower() for role in result["shortlists"])
    deck = result["deck"]["name"].replace("_", " ")
    return (
        f"What stays in this room: {names}. Their colours were measured; below are the paints of the deck "
        f"“{deck}” that suit them best for {roles}, with what speaks for and against each."
    )


def _captioned(picture: Picture, names: Mapping[int, str]) -> dict[str, Any]:
    shown = ", ".join(f"{outline.number} {names[outline.number]}" for outline in picture.outlines)
    cards = " Dashed: the neutral cards it was measured against." if picture.cards else ""
    file = PurePath(picture.file).name
    caption = f"{file}. Outlined: {shown}.{cards}" if shown else f"{file}.{cards}"
    fields = {name: getattr(picture, name) for name in ("data_uri", "width", "height", "badge", "outlines", "cards")}
    return {**fields, "caption": caption, "alt": f"Photo {file} with outlines of {shown or 'the cards'}"}


def _surface(number: int, surface: Json) -> dict[str, Any]:
    lrv, half_width = surface["lrv"], NINETY_PERCENT * surface["lrv_sd"]
    main = surface["colours"][0]
    lean = entry_undertone(main)
    sentence = (
        f"LRV {lrv:.0f} ± {max(half_width, 1):.0f}, {doubt_phrase(half_width)}. "
        f"Its main colour is {main['designation']}: {undertone_phrase(lean)}, {warmth_phrase(main['warmth'])}."
    )
    colours = [
        {
            **colour,
            "leans": undertone_phrase(entry_undertone(colour)),
            "lab": ", ".join(f"{round(part)}" for part in colour["lab"]),
        }
        for colour in surface["colours"]
    ]
    return {
        **surface,
        "number": number,
        "title": _sentence(surface["name"]),
        "sentence": sentence,
        "colours": colours,
    }


def _reason(text: str) -> dict[str, str]:
    """Return a reason with the side it speaks for: for, against, or aside where it only informs."""
    side = "Against" if text.startswith(AGAINST) else "Aside" if text.startswith(STANDS_FOR) else "For"
    return {"side": side, "text": _sentence(text.removeprefix(AGAINST))}


def _clashes(paint: Json) -> list[dict[str, str]]:
    return [{"title": clash_title(clash), "message": _sentence(clash["message"])} for clash in paint["clashes"]]


def _scheme(scheme: Json, shortlists: Json, deck: Deck) -> dict[str, Any]:
    chosen = [
        {
            **paint,
            "role": role_title(role),
            "reasons": [_reason(text) for text in first_and_against(paint["reasons"], MOST_REASONS)],
            "clashes": [
                clash
                for entry in shortlists.get(role, ())
                if entry["code"] == paint["code"]
                for clash in _clashes(entry)
            ],
        }
        for role, paint in scheme["roles"].items()
    ]
    proof = (
        "No other combination of this deck scores higher."
        if scheme["optimal"]
        else "It is the best combination found; the search did not prove that there is none better."
    )
    return {
        "intro": f"One paint for each role, chosen together, shown above the colours that stay. {proof}",
        "paints": chosen,
        "checks": [_check(check) for check in scheme["checks"] if not check["rule"].startswith(_CONTRAST)],
        "contrasts": [_check(check) for check in scheme["checks"] if check["rule"].startswith(_CONTRAST)],
        "alternatives": [
            {
                "title": alternative_title(other["kind"]),
                "trade": _sentence(other["trade"]),
                "paints": [_chip(paint["code"], role, deck) for role, paint in other["roles"].items()],
            }
            for other in scheme["alternatives"]
        ],
    }


def _check(check: Json) -> dict[str, Any]:
    return {"passes": check["passes"], "text": _sentence(check_sentence(check))}


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _chip(code: str, role: str, deck: Deck) -> dict[str, str]:
    row = deck.codes.index(code)
    return {"code": code, "name": deck.names[row], "hex": lab_to_hex(deck.lab[row]), "role": role_title(role)}


def _role(role: str, entries: Sequence[Json]) -> dict[str, Any]:
    shown = entries[:MOST_ON_PAGE]
    return {
        "id": f"role-{role}",
        "title": role_title(role),
        "intro": "Best first, above the colours that stay. Paints whose fit is within a few hundredths are equals.",
        "shown": len(shown),
        "paints": [
            {
                **paint,
                "reasons": [_reason(text) for text in paint["reasons"]],
                "clashes": _clashes(paint),
                "terms": [{"title": title, "value": paint["terms"][term]} for term, title in TERM_TITLES.items()],
                "stability": f"Fit {paint['score']:.2f}. {stability_sentence(paint['stability'])}",
            }
            for paint in shown
        ],
    }


def _photo(photo: Json) -> dict[str, Any]:
    """Return a photo's checks: what needs attention a line each, what is well together in the last line."""
    checks = [
        {"word": LEVEL_WORDS[check["level"]], "message": check["message"]}
        for check in photo["checks"]
        if check["level"] != "ok"
    ]
    well = [check["message"] for check in photo["checks"] if check["level"] == "ok"]
    if well:
        checks.append({"word": LEVEL_WORDS["ok"], "message": ". ".join(well)})
    return {"file": PurePath(photo["file"]).name, "checks": checks}
