"""The one place of sentences: the screen, the page, result.json and the command line say a fact in the same words.

A fact comes as a kind with numbers (:class:`Reason`, :class:`Clash`, :class:`SchemeCheck`, :class:`Finding`); here it
becomes trade language. Templates are filled as by ``str.format``; Munsell families among the values become trade words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.description.lean_word import family_word, lean_word
from matcher.harmony.undertone import Undertone
from matcher.instrument.understood import Remark
from matcher.photo.decoded import Finding
from matcher.ranking.called import CALLED_FROM, UNCALLED
from matcher.ranking.shortlist import Clash, Reason
from matcher.ranking.weights import CLASH_FROM, KIN_FROM, SAME_COLOUR
from matcher.report.numbers import filled, plus_minus, printed, shown
from matcher.report.sentences import (
    ACTION_REASON,
    ACTIONS,
    AGREE,
    ALTERNATIVES,
    CHECK_LRVS,
    CHECK_NUMBERS,
    CHECKS,
    CHOICES_FIGHT,
    CLASHES,
    CLIENT_ACTIONS,
    COMPANION_FACTS,
    COSTS,
    FAINTLY,
    FINDINGS,
    HINT,
    NEITHER,
    NO_DIFFERENCE,
    NOTES,
    OTHER_DIFFERENCE,
    PAIR_NUMBERS,
    PAIR_PART,
    READINGS,
    REASONS,
    ROLES,
    SHORT_REASONS,
    STABLE,
    TIED,
    TIED_ONE,
    TRADE_SIZES,
    TRADE_STEPS,
    TRADES,
    TRIM_VERDICTS,
    UNCERTAIN_LEAN,
    WISH_ALONE,
    WISH_ELSEWHERE,
    WISHES,
    WISHES_FIGHT,
)
from matcher.report.trade_words import (
    beside_chip_phrase,
    chance_phrase,
    colour_step_phrase,
    lightness_phrase,
    listed,
    lrv_step_phrase,
    printed_step,
    sentence_case,
    strength_phrase,
)
from matcher.scheme.scheme import AskedFor, GivenUp

# Parts that stand for the whole surface in a sentence.
_WHOLE = ("field", "board", "shade")
_PART_WORDS = {"vein": "veining", "second": "second colour"}
_TRADED = {
    "trade-lighter": "lrv_step", "trade-darker": "lrv_step", "trade-warmer": "warmth_step",
    "trade-cooler": "warmth_step", "trade-quieter": "chroma_step", "trade-bolder": "chroma_step",
}  # fmt: skip
# Values of a remark that are differences of colour, dE00.
_COLOUR_STEPS = ("spread", "apart", "sd")
LEVEL_WORDS = {"ok": "Good", "note": "Note", "warn": "Take care", "fail": "Not usable"}
TERM_TITLES = {
    "harmony": "Harmony",
    "undertone": "Undertone",
    "contrast": "Lightness step",
    "light": "Room's light",
    "wishes": "Wishes",
}
TOGETHER = "Together"
# Severity from which a clash is said to fight, and to clash. Assumption: thirds of the scale.
FIGHTS_FROM, CLASHES_FROM = 0.33, 0.67
_ALL_POINTS = 100  # of LRV: as far apart as two colours can be


def reason_sentence(reason: Reason) -> str:
    """Return the sentence of a reason, for or against."""
    fields = _fields(reason.values, reason.surfaces)
    return filled(REASONS[_reason_key(reason.kind, fields)], fields)


def short_reason(fact: Mapping[str, Any]) -> str:
    """Return a reason, as an entry of ``facts`` in the result, in the few words that a tile has room for."""
    key, fields = fact_in_words(fact)
    return sentence_case(filled(SHORT_REASONS.get(key, REASONS[key]), fields))


def fact_in_words(fact: Mapping[str, Any]) -> tuple[str, dict[str, float | str]]:
    """Return which of its kind's sentences says a fact of the result, and the values and trade words that fill it."""
    about = fact.get("surface", fact.get("role"))
    fields = _fields(list(fact["values"].items()), () if about is None else (about,))
    return _reason_key(fact["kind"], fields), fields


def _reason_key(kind: str, fields: Mapping[str, float | str]) -> str:
    """Return which of a kind's sentences says it: two leans of one word, of two, or one too uncertain to name."""
    other_word = f"{kind}, another word"
    alike = fields["paint_lean"] == fields["surface_lean"]
    key = kind if alike or other_word not in REASONS else other_word
    return _unsure(key, kind, fields, REASONS)


def note_sentence(note: Reason) -> str:
    """Return what has to be read before a list."""
    template = NOTES[note.kind if len(note.surfaces) > 1 else f"{note.kind}, one"]
    return template.format(surfaces=listed(f"the {name}" for name in note.surfaces))


def first_and_against(
    reasons: Sequence[str], facts: Sequence[Mapping[str, Any]], most: int
) -> list[tuple[str, Mapping[str, Any]]]:
    """Return the first ``most`` sentences with their facts and, whatever its place, every one against the paint."""
    pairs = zip(reasons, facts, strict=True)
    return [pair for place, pair in enumerate(pairs) if place < most or not pair[1]["favours"]]


def trade_sentence(trade: Reason) -> str:
    """Return what another scheme gives and what it costs."""
    values = dict(trade.values)
    how_much = ""
    if trade.kind in _TRADED:
        step = _TRADED[trade.kind]
        size = abs(float(values[step]))
        little, much = TRADE_STEPS[step]
        how_much = TRADE_SIZES[(size >= little) + (size >= much)]
    fields: dict[str, float | str] = {
        **_fields(trade.values, trade.surfaces),
        "how_much": how_much,
        "cost": next(words for limit, words in COSTS if float(values["score_cost"]) < limit),
    }
    return filled(TRADES[trade.kind], fields)


def clash_sentence(clash: Clash) -> str:
    """Return the sentence of a clash, the surface named and, where it is not the main one, which of its colours."""
    cause = dict(clash.values).get("cause")
    key = f"{clash.kind} {cause}" if cause else clash.kind
    template = CLASHES[_unsure(key, key, dict(clash.values), CLASHES)]
    text = filled(template, _fields(clash.values, (clash.surface,)))
    return f"{text} ({shown(clash.probability, '.0%')} likely, allowing for measurement error)"


def _unsure(key: str, kind: str, values: Mapping[str, Any], sentences: Mapping[str, str]) -> str:
    """Return the key of the sentence that names no lean, where the surface's is too uncertain to be named."""
    unsure = f"{kind}, unsure"
    return unsure if values.get("surface_family") == UNCALLED and unsure in sentences else key


def clash_title(clash: Mapping[str, Any]) -> str:
    """Return the heading over a clash entry of the result: how bad, with what."""
    severity = clash["severity"]
    degree = "Clashes" if severity >= CLASHES_FROM else "Fights" if severity >= FIGHTS_FROM else "Watch"
    return f"{degree} with the {clash['surface']}" if degree != "Watch" else f"Watch it beside the {clash['surface']}"


def finding_sentence(finding: Finding) -> str:
    """Return what was seen in a photo and, where it is not well, what to do."""
    by_level = FINDINGS[finding.check]
    # A finding with one value may call it what it likes: its sentence says {amount}.
    fields = {"amount": next((value for _, value in finding.values), ""), **dict(finding.values)}
    if finding.check == "nearest chip":
        fields["compared"] = beside_chip_phrase(dict(finding.values))
    # One check may see several things: the name of the first value tells which.
    first = finding.values[0][0] if finding.values else ""
    template = by_level.get(f"{finding.level}, {first}") or by_level.get(finding.level) or by_level["any"]
    sentence = filled(template, fields)
    return f"{finding.subject}: {sentence}" if finding.subject else sentence_case(sentence)


def remark_sentence(remark: Remark) -> str:
    """Return what was assumed or noticed in the readings of an instrument."""
    fields = dict(remark.values)
    steps: dict[str, float | str] = {
        f"{name}_step": colour_step_phrase(float(fields[name])) for name in _COLOUR_STEPS if name in fields
    }
    return sentence_case(filled(READINGS[remark.kind], fields | steps))


def check_sentence(check: Mapping[str, Any]) -> str:
    """Return what a scheme check entry of the result means; its numbers are :func:`check_numbers`'."""
    value = check["value"]
    # A result's number is rounded, so whether it passes is taken from the check itself.
    holds, misses = CHECKS[check["rule"]]
    fields = {"agree": AGREE if value >= KIN_FROM else NEITHER, "lightness": lightness_phrase(value)}
    room = check.get("room", "")
    return filled(holds if check["passes"] else misses, {**_two_roles(check), **fields, "room": room})


def check_numbers(check: Mapping[str, Any], lrvs: Mapping[str, float]) -> str:
    """Return the numbers behind a scheme check entry of the result; ``lrvs`` by role."""
    first, second = check["roles"][0], check["roles"][-1]
    value, lines = check["value"], ""
    if first in lrvs and second in lrvs:
        lines = filled(CHECK_LRVS, {"first_lrv": lrvs[first], "second_lrv": lrvs[second]})
    step = printed_step(lrvs[first], lrvs[second], 1) if lines else printed(value, 1)
    fields = {"value": value, "lrvs": lines, "step": lrv_step_phrase(step, 1), "apart": abs(step)}
    return filled(CHECK_NUMBERS[check["rule"]], {**fields, "fight_from": CLASH_FROM})


def companion_sentence(fact: Reason) -> str:
    """Return what makes a paint a companion of the walls'."""
    return filled(COMPANION_FACTS[fact.kind], _fields(fact.values, fact.surfaces))


def trim_sentence(fact: Reason) -> str:
    """Return what a white of the trim ladder does beside a surface or a role."""
    values, key = dict(fact.values), fact.kind
    if fact.kind == "trim-sits" and float(values["apart"]) <= SAME_COLOUR:
        key += ", same"
    if fact.kind == "trim-contrasts" and fact.surfaces == ("walls",) and float(values["lrv_step"]) > 0:
        key += ", walls"
    if f"{key}, other" in TRIM_VERDICTS and values["sufferer"] == "other":
        key += ", other"
    return filled(TRIM_VERDICTS[key], _fields(fact.values, fact.surfaces))


def wish_phrase(wish: AskedFor) -> str:
    """Return a wish in words."""
    values, key = dict(wish.values), wish.kind
    if wish.kind == "contrast":
        least, most = float(values["least"]), float(values["most"])
        key = "contrast, least" if most >= _ALL_POINTS else "contrast, most" if least <= 0 else key
    if wish.kind == "most-paints" and float(values["most"]) == 1:
        key = "most-paints, one"
    if wish.kind == "avoid-family":
        values["family"] = family_word(str(values["family"]))
    roles = listed(role_title(role).lower() for role in wish.roles)
    phrase = filled(WISHES[key], {**values, "roles": roles})
    return WISH_ELSEWHERE.format(wish=phrase, room=wish.room) if wish.room else phrase


def given_up_sentence(given: GivenUp) -> str:
    """Return which wishes cannot be kept together, and what has to give."""
    return given_up_text(*([wish_phrase(wish) for wish in wishes] for wishes in (given.fight, given.dropped)))


def given_up_text(fight: Sequence[str], dropped: Sequence[str]) -> str:
    """The same of wishes in words already."""
    form = WISH_ALONE if len(fight) == 1 else WISHES_FIGHT
    return form.format(fight="; ".join(fight), dropped="; ".join(dropped)) + "."


def choices_fight_sentence(check: Mapping[str, Any]) -> str:
    """Return that two paints chosen beforehand miss a rule, by its entry in the result."""
    return CHOICES_FIGHT.format(what=check_sentence(check)) + "."


def check_title(check: Mapping[str, Any]) -> str:
    """Return which two roles a scheme check is about."""
    return "{first} and {second}".format(**_two_roles(check))


def _two_roles(check: Mapping[str, Any]) -> dict[str, str]:
    return {"first": role_title(check["roles"][0]).lower(), "second": role_title(check["roles"][-1]).lower()}


def stability_sentence(stability: float) -> str:
    """Return how sure the place in the list is."""
    return STABLE.format(times=f"{100 * stability:.0f}")


def tied_sentence(names: Sequence[str]) -> str:
    """Return which paints of the list score as well as a candidate; empty where there are none."""
    form = TIED if len(names) > 1 else TIED_ONE
    return form.format(others=listed(names)) if names else ""


def action_sentence(kind: str, surface: str, chips: Sequence[str] = ()) -> str:
    """Return what to do next at a surface; ``chips`` are the codes of paints near it."""
    return ACTIONS[kind].format(surface=surface, chips=listed(chips) if chips else "")


def client_action_sentence(kind: str, surface: str) -> str:
    """Return what a householder is asked to do; KeyError for what none can do with a phone and cards."""
    return CLIENT_ACTIONS[kind].format(surface=surface)


def action_reason(*, now: float, after: float, change: float) -> str:
    """Return what an action is good for: half widths of the surface's LRV, and the chance of a change."""
    return ACTION_REASON.format(now=plus_minus(now), after=plus_minus(after), chance=chance_phrase(change))


def role_title(role: str) -> str:
    """Return the heading of a role."""
    return ROLES[role]


def alternative_title(kind: str) -> str:
    """Return the heading of another scheme."""
    return ALTERNATIVES[kind]


def difference_phrase(pair: Mapping[str, Any], names: Mapping[str, str]) -> str:
    """Return what tells b from a in one entry of ``pairs``, or that nothing does; ``names`` by code."""
    if not pair["visible"]:
        return NO_DIFFERENCE
    parts = [
        PAIR_PART.format(name=names[pair[word]], word=word)
        for word in ("lighter", "warmer", "greener")
        if pair[word] is not None
    ]
    return listed(parts) if parts else OTHER_DIFFERENCE


def difference_numbers(pair: Mapping[str, Any], lrvs: Mapping[str, float]) -> str:
    """Return the numbers of one entry of ``pairs``; ``lrvs`` by code."""
    return PAIR_NUMBERS.format(de00=pair["de00"], lrv_a=lrvs[pair["a"]], lrv_b=lrvs[pair["b"]])


def entry_undertone(entry: Mapping[str, Any]) -> Undertone:
    """Return the undertone of a colour entry of the result."""
    return Undertone(**entry["undertone"])


def leans_as(undertone: Undertone, word: str, certainty: float) -> str:
    """Return which way a measured colour leans, by the ``word`` that its surface decides; 0..1 how sure that is."""
    return strength_phrase(undertone, word) if certainty >= CALLED_FROM else UNCERTAIN_LEAN


def _fields(values: Sequence[tuple[str, float | str]], surfaces: Sequence[str]) -> dict[str, float | str]:
    """Return the values with what sentences need beside them: the surface, its part, trade words, unsigned steps."""
    fields: dict[str, float | str] = dict(values)
    surface = "the " + listed(surfaces) if surfaces else ""
    part = str(fields.get("part", "field"))
    # At 1 a tint is just visible in a colour seen alone.
    faint = float(fields.get("visibility", 1.0)) < 1
    fields |= {
        "surface": surface,
        "given": _part_phrase(surface, part, fields.get("share")),
        "paint_lean": _lean(fields, ""),
        "paint_tint": (HINT if faint else "") + _lean(fields, ""),
        "faintly": FAINTLY if faint else "",
        # A surface of several colours decides what each of them is called.
        "surface_lean": fields.get("surface_lean", "") or _lean(fields, "surface_"),
        "lightness": lightness_phrase(float(fields.get("lrv_step", 0.0))),
        "lighter_or_darker": "lighter" if float(fields.get("lightness_step", 0.0)) > 0 else "darker",
        "paint_side": _side(fields.get("paint_warmth", 0.0)),
        "surface_side": _side(fields.get("surface_warmth", 0.0)),
    }
    return fields


def _side(warmth: float | str) -> str:
    return "warm" if float(warmth) > 0 else "cool"


def _part_phrase(surface: str, part: str, share: float | str | None) -> str:
    """Return a part of a surface; one of several fields or boards has no name, so it is told by its ``share``."""
    if part not in _WHOLE:
        return f"{surface}\u2019s {_PART_WORDS.get(part, part)}"
    return surface if share is None else f"{shown(float(share), '.0%')} of {surface}"


def _lean(fields: Mapping[str, float | str], side: str) -> str:
    """Return the trade word of the paint (``side`` "") or the given ("surface_"); empty where no family is named."""
    family = str(fields.get(f"{side}family", ""))
    hue_deg, chroma = (float(fields.get(f"{side}{name}", 0.0)) for name in ("hue_deg", "chroma"))
    return lean_word(family, hue_deg, chroma)
