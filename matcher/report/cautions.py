"""The cautions of a report in words, and the words it explains. Local codes and licensed practice come first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from matcher.quantities.cautions import Caution, Value
from matcher.report.numbers import filled


class Entry(NamedTuple):
    """A heading and its paragraph."""

    title: str
    text: str


# Kinds and values: matcher/quantities/cautions.py, where their sources stand. A template is filled with the values of
# its caution. What is done about lead, solvents, ladders and wiring is common practice, no published source.
_LEAD_TITLE = "Old paint may hold lead"
_LEAD_WORK = (
    "Treat old paint as if it holds lead: never dry-sand it, burn it off or use a heat gun on it. Have it tested first."
)
_LEAD_RULES = {
    "US": "Paid work in a home built before {before:.0f} needs a certified firm (40 CFR 745), but for small repairs: "
    "up to {minor_inside_ft2:.0f} square feet in a room or {minor_outside_ft2:.0f} outdoors, no windows replaced.",
    "GB": "Lead was common on British woodwork and metal until the mid-1960s and was sold until {before:.0f}.",
    "CA": "Health Canada counts on lead in homes built before 1960, and on some in those built before {before:.0f}.",
    "AU": "The Australian guide puts homes built before 1970 most at risk; hardly any lead is allowed since 1997.",
    "NZ": "WorkSafe New Zealand has it presumed in buildings of the 1980s and earlier.",
}
_LEAD_UNKNOWN = (
    "In a home built before 1978 (United States) or painted before 1992 (United Kingdom), or wherever the age of "
    "the paint is not known, treat old paint as if it holds lead: never dry-sand it, burn it off or use a heat "
    "gun on it. Have it tested first. In the United States paid work in such homes needs a certified firm (40 CFR"
    " 745). Elsewhere ask what your local rules and a licensed practice require."
)
_LEAD_BUILT, _LEAD_NO_YEAR = "This house was built in {built:.0f}.", "The year of this house is not known."
_LEAD_AUTHORITY = "What the paint of a house here may hold, your country's own authority says: ask it before any work."
_LEAD_REPORT = (
    "In France homes built before {report_before:.0f} have their lead reported when sold or let; ask to see it."
)
_LEAD_LAST = "Local rules and a licensed practice go before this page."

_WORDS = {
    "samples": Entry(
        "Try a large sample board",
        "Paint at least two coats on a board of about 60 by 60 cm, stand it against the fixed surfaces, and look at "
        "it morning, noon and evening and under the room's own lamps. A colour on four walls looks lighter and "
        "stronger than on a chip.",
    ),
    "screen": Entry(
        "Screen and paper are not the paint",
        "No screen and no print shows a paint exactly, and one screen shows it otherwise than the next. Order by code, "
        "never match to a picture, and buy all of a colour from one batch.",
    ),
    "air": Entry(
        "Air and solvents",
        "Open windows while painting and drying, keep flames and sparks away from solvent-borne paint, read the "
        "safety data sheet, and keep children, pregnant women and people with asthma out until the smell has gone. "
        "Rags soaked in oil can catch fire by themselves: dry them spread out, outdoors.",
    ),
    "voc-label": Entry(
        "What the label must say",
        "A tin sold here states the solvent in it. The law allows {matt_walls:.0f}\u00a0g/L of volatile organic "
        "compounds in dull paint for walls and ceilings, {glossy_walls:.0f}\u00a0g/L in shinier ones, and "
        "{trim_water:.0f}\u00a0g/L (water-borne) or {trim_solvent:.0f}\u00a0g/L (solvent-borne) in paint for trim "
        "({source}). Less is better indoors.",
    ),
    "label": Entry(
        "Read the label",
        "How much solvent a paint may hold, and what its tin has to say of it, differs from country to country and "
        "within some: go by the label, the safety data sheet and your local rules. Less is better indoors.",
    ),
    "ladders": Entry(
        "Ladders and stairs",
        "Use a ladder that reaches, on firm level ground, and do not lean out. Stairwells, high ceilings and anything"
        " outdoors above one storey are work for people with the right platform and training.",
    ),
    "electrics": Entry(
        "Electrics",
        "Switch the circuit off at the board and check that it is dead before loosening a switch or socket plate, and "
        "keep water and wet rollers away from them. Anything beyond a plate is a licensed electrician's work.",
    ),
    "low-vision": Entry(
        "People with low vision",
        "Doors, frames, switches, steps and worktop edges must stand out from what is behind them. The rules "
        "disagree: BS 8300-2 and Approved Document M ask for 30 LRV points, US advisory text for 70 % contrast, AS "
        "1428.1 for 30 % by Bowman-Sapolinski, DIN 32975 for a Michelson contrast of 0.4. Local codes decide which "
        "applies; gloss, wet surfaces and poor light are outside every formula.",
    ),
}
KINDS = ("lead", "lead-authority", *_WORDS)


def caution_words(caution: Caution) -> Entry:
    """Return a caution in words."""
    if caution.kind in ("lead", "lead-authority"):
        return Entry(_LEAD_TITLE, _lead(dict(caution.values)))
    words = _WORDS[caution.kind]
    return Entry(words.title, filled(words.text, {**dict(caution.values), "source": caution.source}))


def _lead(values: Mapping[str, Value]) -> str:
    country = values.get("country")
    if country is None:
        return _LEAD_UNKNOWN
    age = _LEAD_BUILT if "built" in values else _LEAD_NO_YEAR
    rule = _LEAD_RULES.get(str(country), _LEAD_AUTHORITY)
    report = (_LEAD_REPORT,) if "report_before" in values else ()
    return filled(" ".join((age, _LEAD_WORK, rule, *report, _LEAD_LAST)), values)


def caution_entry(caution: Caution) -> dict[str, Any]:
    """Return a caution as plain data: its kind, words, values, and where these were read."""
    words = caution_words(caution)
    return {
        "kind": caution.kind,
        "title": words.title,
        "text": words.text,
        "values": dict(caution.values),
        **({"source": caution.source} if caution.source else {}),
    }


GLOSSARY = (
    Entry(
        "LRV",
        "Light reflectance value: how much light a surface sends back, 0 (black) to 100 (white). Shown in whole "
        "points; the ± figure is the range that should hold the true value nine times in ten.",
    ),
    Entry(
        "Undertone",
        "The colour a near-neutral leans towards. Two surfaces whose undertones fight look wrong side by side "
        "although each is fine alone. This is a rule of the trade; studies of it disagree, so trust the sample board "
        "over the rule.",
    ),
    Entry(
        "Agreement",
        "How well two undertones go together: the higher above 0 the better; below 0 they pull apart, down to a fight.",
    ),
    Entry("dE00", "How far apart two colours are (CIEDE2000): a difference of about 1 can just be seen."),
    Entry(
        "ISCC-NBS",
        "A published system of colour names, in American spelling; the name is that of the number beside it.",
    ),
    Entry("Share", "How much of the outlined area a colour takes: the field of a stone and its veins, for example."),
    Entry(
        "CIELAB",
        "The colour of the surface itself as three numbers (lightness, green to red, blue to yellow), for daylight "
        "D65 and the standard observer of 1931, with the room's light taken out.",
    ),
    Entry(
        "Score",
        "Under \u201cHow it scored\u201d, 0 to 1: harmony with the fixed surfaces, agreement of undertones, the step "
        "in lightness between them, the room's light and the wishes in the brief, then all of it together. A "
        "difference of a few hundredths means nothing.",
    ),
)

COLOUR_NOTE = "Swatches are shown on neutral grey because a coloured or white ground shifts how they look."
INVENTED_NOTE = (
    "This room, its client and its deck of paints are invented, and the photos are rendered, to show what a report "
    "looks like. None of these paints can be bought."
)
