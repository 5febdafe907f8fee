"""What a reader sees of a result: the numbers of its entries beside their words, for the page and for the screen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.trade_words import doubt_phrase, instrument_phrase, undertone_phrase, warmth_phrase
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

Json = Mapping[str, Any]
# Beside each other the reasons of a scheme repeat what the shortlists say in full. Assumption.
MOST_REASONS = 4
# Rules of visual contrast, shown apart: they serve people who see poorly and disagree with each other.
_CONTRAST = "contrast-"


def surface_view(number: int, surface: Json) -> dict[str, Any]:
    """Return a surface of the result with what is said of it and of each of its colours."""
    lrv, half_width = surface["lrv"], NINETY_PERCENT * surface["lrv_sd"]
    main = surface["colours"][0]
    lean = entry_undertone(main)
    sentence = (
        f"LRV {lrv:.0f} ± {max(half_width, 1):.0f}, {doubt_phrase(half_width)}. "
        f"Its main colour is {main['designation']}: {undertone_phrase(lean)}, {warmth_phrase(main['warmth'])}."
    )
    if "source" in surface:
        sentence += f" {instrument_phrase(surface['source'], main['de00_sd'])}"
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


def scheme_view(scheme: Json, shortlists: Json, deck: Deck) -> dict[str, Any]:
    """Return the scheme with its reasons, checks and alternatives in words."""
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


def role_view(role: str, shown: Sequence[Json]) -> dict[str, Any]:
    """Return the shortlist of a role in words."""
    return {
        "id": f"role-{role}",
        "title": role_title(role),
        "intro": "Best first, above the colours that stay. Paints whose fit is within a few hundredths are equals.",
        "shown": len(shown),
        "paints": [paint_view(paint) for paint in shown],
    }


def paint_view(paint: Json) -> dict[str, Any]:
    """Return an entry of a shortlist with its reasons, clashes and terms in words."""
    return {
        **paint,
        "reasons": [_reason(text) for text in paint["reasons"]],
        "clashes": _clashes(paint),
        "terms": [{"title": title, "value": paint["terms"][term]} for term, title in TERM_TITLES.items()],
        "stability": f"Fit {paint['score']:.2f}. {stability_sentence(paint['stability'])}",
    }


def photo_view(photo: Json) -> dict[str, Any]:
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
