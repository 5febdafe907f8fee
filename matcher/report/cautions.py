"""The cautions every report carries, and the words it explains. Local codes and licensed practice come first."""

from __future__ import annotations

from typing import NamedTuple


class Entry(NamedTuple):
    """A heading and its paragraph."""

    title: str
    text: str


# Lead: 40 CFR 745 (US, homes built before 1978) and the UK retail ban of 1992; visual contrast: the rules named in
# matcher/harmony/visual_contrast.py. The rest is common practice, no published source.
CAUTIONS = (
    Entry(
        "Old paint may hold lead",
        "In a home built before 1978 (United States) or painted before 1992 (United Kingdom), or wherever the age of "
        "the paint is not known, treat old paint as if it holds lead: never dry-sand it, burn it off or use a heat "
        "gun on it. Have it tested first. In the United States paid work in such homes needs a certified firm (40 CFR"
        " 745). Elsewhere ask what your local rules and a licensed practice require.",
    ),
    Entry(
        "Try a large sample board",
        "Paint at least two coats on a board of about 60 by 60 cm, stand it against the fixed surfaces, and look at "
        "it morning, noon and evening and under the room's own lamps. A colour on four walls looks lighter and "
        "stronger than on a chip, and no screen or print shows a paint exactly.",
    ),
    Entry(
        "Air and solvents",
        "Open windows while painting and drying, keep flames and sparks away from solvent-borne paint, read the "
        "safety data sheet, and keep children, pregnant women and people with asthma out until the smell has gone. "
        "Rags soaked in oil can catch fire by themselves: dry them spread out, outdoors.",
    ),
    Entry(
        "Ladders and stairs",
        "Use a ladder that reaches, on firm level ground, and do not lean out. Stairwells, high ceilings and anything"
        " outdoors above one storey are work for people with the right platform and training.",
    ),
    Entry(
        "Electrics",
        "Switch the circuit off at the board and check that it is dead before loosening a switch or socket plate, and "
        "keep water and wet rollers away from them. Anything beyond a plate is a licensed electrician's work.",
    ),
    Entry(
        "People with low vision",
        "Doors, frames, switches, steps and worktop edges must stand out from what is behind them. The rules "
        "disagree: BS 8300-2 and Approved Document M ask for 30 LRV points, US advisory text for 70 % contrast, AS "
        "1428.1 for 30 % by Bowman-Sapolinski, DIN 32975 for a Michelson contrast of 0.4. Local codes decide which "
        "applies; gloss, wet surfaces and poor light are outside every formula.",
    ),
)

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
