"""What a reader sees of a result: the numbers of its entries beside their words, for the page and for the screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePath
from typing import Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.nearest_chip_entry import nearest_chip_views
from matcher.report.numbers import plus_minus, rounded, shown
from matcher.report.sentences import (
    ADVICE_NEXT,
    ADVICE_STANDS,
    ALL_PINNED,
    BEST_FOUND,
    BEST_OF,
    BEST_OF_FILTERED,
    BEST_PROVEN,
    COMPANIONS,
    FIRST_TIED,
    FOR_DIRECTION,
    NO_COMPANION,
    NO_OTHERS,
    NO_TRIM_STEP,
    ONE_FREE,
    PINNED,
    PINNED_FOUND,
    PINNED_PROVEN,
    TRIM_STEPS,
    UNCERTAIN_LEAN,
    WITH_ROOMS,
)
from matcher.report.spread import spread_drawing
from matcher.report.trade_words import (
    count_word,
    doubt_phrase,
    instrument_phrase,
    listed,
    lowered,
    sentence_case,
    warmth_phrase,
)
from matcher.report.wording import (
    LEVEL_WORDS,
    TERM_TITLES,
    TOGETHER,
    alternative_title,
    check_numbers,
    check_sentence,
    check_title,
    clash_title,
    first_and_against,
    given_up_text,
    role_title,
    stability_sentence,
    tied_sentence,
)

Json = Mapping[str, Any]
# Beside each other the reasons of a scheme repeat what the shortlists say in full. Assumption.
MOST_REASONS = 4
_MOST_ACTIONS = 3  # further ones that are worth a line
# Rules of visual contrast, shown apart: they serve people with low vision and disagree with each other.
_CONTRAST = "contrast-"
_ASIDE = "stands-for"  # the kind of a fact that speaks neither for nor against


def surface_view(number: int, surface: Json, deck: Deck | None = None) -> dict[str, Any]:
    """Return a surface of the result with what is said of it and of each of its colours; ``deck`` has the paints of
    the chips that lie on it, where some do.
    """
    lrv, half_width = surface["lrv"], NINETY_PERCENT * surface["lrv_sd"]
    own_card = surface.get("own_card", True)
    main = surface["colours"][0]
    sure = doubt_phrase(half_width, own_card=own_card)
    sentence = f"LRV {lrv:.0f} ± {plus_minus(half_width)}, {sure}. {_main_colour(main)}"
    if "source" in surface:
        sentence += f" {instrument_phrase(surface['source'])}"
    colours = [
        {
            **colour,
            "lab": ", ".join(shown(round(part), "d") for part in colour["lab"]),
        }
        for colour in surface["colours"]
    ]
    return {
        **surface,
        "number": number,
        "title": sentence_case(surface["name"]),
        "sentence": sentence,
        "sure": sure.partition(",")[0],
        "colours": colours,
        "spread": spread_drawing(surface["name"], main) if "spread" in main else None,
        "chips": nearest_chip_views(surface, deck) if deck is not None else [],
    }


def unread_view(missing: Json) -> dict[str, str]:
    """Return a surface that could not be read, with why and what to do."""
    photo, reason = PurePath(missing["photo"]).name, sentence_case(missing["reason"])
    return {"title": sentence_case(missing["name"]), "sentence": f"Not read in {photo}. {reason.removesuffix('.')}."}


def _main_colour(colour: Json) -> str:
    lean = colour["leans"]
    if lean == UNCERTAIN_LEAN:
        return f"Which way its main colour leans is {lean} by these photos."
    return f"Its main colour is {lean} and {warmth_phrase(colour['warmth'])}."


def _reason(text: str, fact: Json) -> dict[str, str]:
    """Return a reason with the side it speaks for: for, against, or aside where it only informs."""
    side = "Against" if not fact["favours"] else "Aside" if fact["kind"] == _ASIDE else "For"
    return {"side": side, "text": sentence_case(text)}


def clash_views(paint: Json) -> list[dict[str, str]]:
    """Return the clashes of a paint of the result in words."""
    clashes = paint.get("clashes", ())
    return [{"title": clash_title(clash), "message": sentence_case(clash["message"])} for clash in clashes]


def scheme_view(scheme: Json, deck: Deck, *, filtered: bool = False) -> dict[str, Any]:
    """Return the scheme with its reasons, checks and alternatives in words; ``filtered`` where only a part of the deck
    was searched.
    """
    lrvs = {role: paint["lrv"] for role, paint in scheme["roles"].items()}
    chosen = [
        {
            **paint,
            "id": role,
            "role": role_title(role),
            "pinned": role in scheme.get("pinned", ()),
            "reasons": [
                _reason(text, fact) for text, fact in first_and_against(paint["reasons"], paint["facts"], MOST_REASONS)
            ],
            "clashes": clash_views(paint),
        }
        for role, paint in scheme["roles"].items()
    ]
    proof = _proof(scheme, filtered)
    return {
        "intro": f"One paint for each role, chosen together, shown above the colours that stay. {proof}",
        "paints": chosen,
        "checks": [_check(check, lrvs) for check in scheme["checks"] if not check["rule"].startswith(_CONTRAST)],
        "contrasts": [_check(check, lrvs) for check in scheme["checks"] if check["rule"].startswith(_CONTRAST)],
        "alternatives": [
            {
                "title": alternative_title(other["kind"]),
                "trade": sentence_case(other["trade"]),
                "paints": [_chip(paint["code"], role, deck) for role, paint in other["roles"].items()],
            }
            for other in scheme["alternatives"]
        ],
        "few": _why_few(scheme),
        "given_up": _given_up(scheme.get("wishes")),
        "companions": list(_companions(scheme, deck)),
        "ladder": list(_ladder(scheme, deck)),
        "rooms": [_room_in_view(room) for room in scheme.get("rooms", ())],
    }


def _given_up(wishes: Json | None) -> str:
    if wishes is None:
        return ""
    return given_up_text(*([wish["message"] for wish in wishes[key]] for key in ("fight", "given_up")))


def _companions(scheme: Json, deck: Deck) -> Iterator[dict[str, Any]]:
    """Yield what goes with the walls by kind, or that the deck has none."""
    codes = scheme.get("companions", {})
    for kind, title in COMPANIONS.items() if "walls" in scheme["roles"] else ():
        text = scheme["companion_reasons"][kind] if kind in codes else NO_COMPANION[kind]
        paint = _chip(codes[kind], "walls", deck) if kind in codes else None
        yield {"kind": kind, "title": title, "paint": paint, "text": sentence_case(text)}


def _ladder(scheme: Json, deck: Deck) -> Iterator[dict[str, Any]]:
    """Yield the steps of the trim ladder with what each white does beside everything, or that the deck has none."""
    steps = {step["step"]: step for step in scheme.get("trim_ladder", ())}
    for step, title in TRIM_STEPS.items() if "trim" in scheme["roles"] else ():
        found = steps.get(step)
        if found is None:
            yield {
                "step": step, "title": title, "paint": None, "lines": [], "text": NO_TRIM_STEP[step], "chosen": False
            }  # fmt: skip
            continue
        told = zip(found["with"].items(), found["reasons"], found["facts"], strict=True)
        yield {
            "step": step,
            "title": title,
            "paint": _chip(found["code"], "trim", deck),
            "lines": [
                {"name": name, "verdict": verdict, "text": sentence_case(text), "well": fact["favours"]}
                for (name, verdict), text, fact in told
            ],
            "text": "",
            "chosen": found["code"] == scheme["roles"]["trim"]["code"],
        }


def _room_in_view(room: Json) -> dict[str, Any]:
    lrvs = {role: paint["lrv"] for role, paint in room["roles"].items()}
    return {
        "file": room["file"],
        "name": room["name"],
        "through": room["through"],
        "paints": [
            {**paint, "id": role, "role": role_title(role), "pinned": role in room.get("pinned", ())}
            for role, paint in room["roles"].items()
        ],
        "checks": [_check({**check, "room": room["name"]}, lrvs) for check in room["checks"]],
    }


def _why_few(scheme: Json) -> str:
    """Return why there are few other schemes, or none; nothing where there are several."""
    free = [role for role in scheme["roles"] if role not in scheme.get("pinned", ())]
    if len(free) == 1 and len(scheme["roles"]) > 1:
        return ONE_FREE.format(role=role_title(free[0]).lower())
    return NO_OTHERS if free and not scheme["alternatives"] else ""


def _proof(scheme: Json, filtered: bool) -> str:
    """Return what the search has shown: it speaks of what was free to choose, and of the paints it was free to take."""
    whole, pinned = BEST_OF_FILTERED if filtered else BEST_OF, scheme.get("pinned", ())
    if scheme.get("rooms"):
        whole += WITH_ROOMS
    if not pinned:
        return (BEST_PROVEN if scheme["optimal"] else BEST_FOUND).format(whole=whole)
    if len(pinned) == len(scheme["roles"]):
        return ALL_PINNED
    already = PINNED.format(roles=listed(role_title(role).lower() for role in pinned))
    return already + (PINNED_PROVEN if scheme["optimal"] else PINNED_FOUND).format(whole=whole)


def _check(check: Json, lrvs: Mapping[str, float]) -> dict[str, Any]:
    return {
        "passes": check["passes"],
        "text": sentence_case(check_sentence(check)),
        "numbers": f"{sentence_case(check_title(check))}: {check_numbers(check, lrvs)}",
    }


def _chip(code: str, role: str, deck: Deck) -> dict[str, Any]:
    row = deck.row_of[code]
    return {
        "id": role,
        "code": code,
        "name": deck.names[row],
        "hex": lab_to_hex(deck.lab[row]),
        "lrv": rounded(float(deck.lrv[row]), 1),
        "role": role_title(role),
    }


def role_view(role: str, shown: Sequence[Json], notes: Sequence[str] = ()) -> dict[str, Any]:
    """Return the shortlist of a role in words, with the ``notes`` that have to be read before it."""
    return {
        "id": f"role-{role}",
        "title": role_title(role),
        "intro": _role_intro(shown),
        "notes": list(notes),
        "shown": len(shown),
        "paints": [paint_view(paint, {other["code"]: other["name"] for other in shown}) for paint in shown],
    }


def _role_intro(shown: Sequence[Json]) -> str:
    intro = "Best first, each shown above the colours that stay."
    ties = len(shown[0].get("tied_with", ())) if shown else 0
    return f"{intro} {FIRST_TIED.format(count=count_word(ties + 1))}" if ties else intro


def advice_view(advice: Json) -> dict[str, Any]:
    """Return what to measure next, in words: what to do first, why, and what else would help."""
    first, photo = advice["next"], advice["photo"]
    what = f"{ADVICE_STANDS}." if first is None else f"{first['message']}."
    others = [action for action in advice["actions"] if first is None or _key(action) != _key(first)]
    return {
        "first": None if first is None else _action(first),
        "what": what,
        "says": what if first is None else f"{ADVICE_NEXT}: {lowered(what)}",
        "why": "" if first is None else f"{sentence_case(first['why'])}.",
        "photo": None if photo is None else _action(photo),
        "others": [_action(action) for action in others[:_MOST_ACTIONS]],
    }


def _key(action: Json) -> tuple[str, str]:
    return action["kind"], action.get("surface", "")


def _action(action: Json) -> dict[str, Any]:
    return {
        **action,
        "text": f"{action['message']}." + (f" {sentence_case(action['why'])}." if "why" in action else ""),
    }


def paint_view(paint: Json, names: Mapping[str, str]) -> dict[str, Any]:
    """Return an entry of a shortlist with its reasons, clashes and terms in words; ``names`` by code of the list."""
    tied = [names[code] for code in paint.get("tied_with", ()) if code in names]
    return {
        **paint,
        "reasons": [_reason(text, fact) for text, fact in zip(paint["reasons"], paint["facts"], strict=True)],
        "added": sentence_case(FOR_DIRECTION) if paint.get("added_for") else "",
        "clashes": clash_views(paint),
        "terms": [
            *({"title": title, "value": paint["terms"][term]} for term, title in TERM_TITLES.items()),
            {"title": TOGETHER, "value": paint["score"]},
        ],
        "stability": " ".join(filter(None, (stability_sentence(paint["stability"]), tied_sentence(tied)))),
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
