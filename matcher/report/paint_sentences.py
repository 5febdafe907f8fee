"""What is said of one paint examined, by kind. Filled in by matcher/report/paint_view.py; nothing else words it.

No laboratory word stands outside what is folded as details.
"""

from __future__ import annotations

# What it is called by its depth (matcher/description/depth.py);
# bodies that say it by themselves stand alone.
DEPTHS = {
    "near black": "a near-black {body}",
    "deep": "a deep {body}",
    "mid to deep": "a mid to deep {body}",
    "mid": "a mid {body}",
    "light to mid": "a light to mid {body}",
    "light": "a light {body}",
    "nearly white": "a very light {body}",
    "white": "a very light {body}",
}
# The headline by what is known of the lean (matcher/description/lean.py): of a near-neutral, and of a colour.
NEUTRAL_HEADLINES = {
    "sure": "{called} that turns {word}",
    "between": "{called} that turns {word} or {other}",
    "likely": "{called}, likely to turn {word}",
    "likely, two": "{called}, likely to turn {word} or {other}",
    "neutral": "{called} that stays {stays}",
    "unsure": "{called}",
}
COLOUR_HEADLINE = "{called} on the {word} side"
# Below it: what to expect, alone and beside what stays.
LEDES = {
    "barely": "Alone it passes for plain {body}.",
    "slightly": "Alone it passes for plain {body}; a neighbour brings the {word} out.",
    "clearly": "The {word} in it shows without looking for it.",
    "strongly": "Everyone sees the {word} in it.",
    "neutral": "It leans nowhere by itself, so it takes its look from what is beside it.",
    "unsure": "Whether it leans at all is too close to call: only a large board will tell.",
    "colour": "A colour and no neutral: what counts is how it sits with what stays.",
}
LEDE_BESIDE = " Beside the {surface} it will not."
LEDE_AGAINST = " Beside the {surface} it shows most."
# How much of the light a paint sends back, by LRV up to which each is said.
RETURNS = (
    (4.0, "hardly any of the light"),
    (8.0, "about a twentieth of the light"),
    (15.0, "about a tenth of the light"),
    (22.5, "about a fifth of the light"),
    (29.0, "about a quarter of the light"),
    (38.0, "about a third of the light"),
    (46.0, "rather less than half the light"),
    (54.0, "about half the light"),
    (62.0, "rather more than half the light"),
    (71.0, "about two thirds of the light"),
    (79.0, "about three quarters of the light"),
    (89.0, "more than four fifths of the light"),
    (101.0, "nearly all the light"),
)
RETURNED = "Sends back {share}."
GOES = {"whole": "A whole room.", "with light": "A whole room that has light.", "accent": "An accent."}
# Why, by what decides (matcher/description/reach.py); in a room whose window is known, and in any.
GOES_WHY = {
    "light": "Light enough for four walls.",
    "mid": "In a dim one it closes in: there, one wall.",
    "deep": "Four walls of it take the light: one wall, a door, the inside of a shelf.",
    "near black": "Four walls of it take all the light: a door, a frame, one wall at most.",
    "strong": "So strong a colour tires on four walls: one wall, a door, the inside of a shelf.",
    "lively": "It will look livelier on four walls than on a card.",
    "little sun": "This one gets little sun.",
    "much sun": "The sun in this one lightens it.",
}
GREYNESS = {
    "plain grey": ("All of it.", "As grey as paint comes."),
    "plain grey, leaning": ("Nearly all of it.", "A tint so faint that alone it has no name."),
    "nearly grey": ("Nearly all of it.", "A tint in a grey, no more."),
    "well greyed": ("Much of it.", "A colour with so much grey in it that it stays calm."),
    "softened": ("Some of it.", "A colour with its edge taken off."),
    "clean": ("Hardly any.", "A clean colour: it speaks up wherever it is."),
}
# The same of whites and blacks, which nobody calls grey.
CLEANNESS_OF_WHITE = {
    "plain grey": ("Clean.", "Nothing in it but white."),
    "plain grey, leaning": ("Nearly clean.", "A tint so faint that alone it has no name."),
    "nearly grey": ("Tinted.", "A drop of colour in a white, no more."),
}
LEANS = {
    "sure": "{Word}, {strength}.",
    "between": "{Word} or {other}, {strength}.",
    "likely": "Likely {word}, {strength}.",
    "likely, two": "Likely {word} or {other}, {strength}.",
    "neutral": "Nowhere.",
    "unsure": "Not certain.",
}
# By visibility (1: a colour alone just shows its tint) up to which each is said; the upper two are those of
# matcher/harmony/undertone.py.
LEAN_STRENGTHS = ((1.0, "barely"), (1.5, "slightly"), (3.0, "clearly"), (1000.0, "strongly"))
LEANS_WHY = {
    "barely": "Only beside a true grey or a stark white.",
    "slightly": "Most people see it once it has a neighbour.",
    "clearly": "Most people see it on a wall.",
    "strongly": "Everyone sees it.",
    "neutral": "No different from a true grey to the eye.",
    "unsure": "Too faint to put a name to.",
}
# What the paint and a surface do to each other: matcher/ranking/meeting.py. In a list, and below the two side by side.
WITH_STAYS = {
    "fights": "Against it: {surfaces}.",
    "kin": "Goes with {surfaces}.",
    "match": "All but the same: {surfaces}.",
    "quiet": "Quiet with {surfaces}.",
    "unsure": "Not certain: {surfaces}.",
}
MEETS = {
    "push apart": (
        "They push apart.",
        "The {word} in the paint shows more here, and so does the {lean} of the {surface}.",
    ),
    "push apart, plain": ("They push apart.", "Each makes the other look more of a colour than it is alone."),
    "near miss": ("Nearly one white.", "Two whites that nearly match: one of them will look dirty."),
    "outshines": ("Too much alike.", "Two colours of one hue, and the cleaner makes the other look dull."),
    "kin": ("They go together.", "Both lean the same way, so neither shouts."),
    "kin, calms": ("They go together.", "The {word} in the paint calms the {lean} of the {surface}."),
    "kin, plain": ("They go together.", "Neither makes the other shout."),
    "quiet": ("They leave each other alone.", "Nothing in the one stirs up the other."),
    "match": ("All but the same.", "Side by side nobody tells them apart for long."),
    "unsure": ("Not certain.", "Which way the {surface} leans is not known well enough."),
}
SOFT_EDGE = "Equally light, so the edge between them goes soft."
BESIDE_WHITE = {
    "deep": ("Clearly {called}.", "White shows how light or deep it is, not what it leans to."),
    "white": ("Not quite white.", "Beside stark white its {word} shows."),
    "stark": ("As white as white comes.", "No one tells the two apart across a room."),
    "plain white": ("A softer white.", "Less bright than stark white, and no colour in it."),
    "faint white": ("A softer white.", "Less bright than stark white; what colour it has is hard to see here."),
}
BESIDE_GREY = {
    "shows": ("Here it shows.", "Same lightness, no colour: the paint is the {word} one."),
    "just": ("Look twice.", "Same lightness, no colour: the {word} is just there."),
    "likely": ("Here it shows, just.", "Same lightness, no colour: the paint is likely the {word} one."),
    "none": ("No difference to see.", "A true grey of the same lightness, and the paint is one."),
    "unsure": ("Look twice.", "Same lightness, no colour. If there is a lean, this is where it shows."),
    "plain": ("Far from grey.", "A true grey of the same lightness, for comparison."),
}
STRIP_FROM, STRIP_SAID, STRIP_TO = "as it is", "its colour turned up, nothing else changed", "plainly {word}"
STRIP_SAID_DARKER = "its colour turned up, and darker, as no screen shows it so light"
STRIP_SAID_LIGHTER = "its colour turned up, and lighter, as no screen shows it so dark"
NO_STRIP = {
    "neutral": "There is no lean to turn up.",
    "unsure": "Its lean is too faint to turn up: what came out might be chance.",
    "already plain": "Nothing needs turning up: its colour is plain as it is.",
    "no room": "A screen shows no more of this colour, so it cannot be turned up here.",
}
STARK_WHITE_CALLED, TRUE_GREY_CALLED, THIS_COLOUR = "stark white", "true grey", "this colour"
# The last word in a room, by what it does to what stays.
EXAMINED_ADVICE = {
    "fights": "See a large board of it against the {surface} before anything else.",
    "unsure": "Measure the {surface} better, or see a large board of it there.",
    "quiet": "Nothing that stays fights it. A large board still decides.",
}
EXAMINED_TERMS = {
    "depth": "Light or deep",
    "reach": "How far it goes",
    "grey": "How much grey",
    "lean": "Leans to",
    "stays": "With what stays",
}
EXAMINED_DETAILS = {
    "lrv": "LRV",
    "munsell": "Munsell notation",
    "designation": "ISCC-NBS",
    "lab": "CIELAB, D65/2\u00b0",
    "srgb": "sRGB",
    "hex": "Hex",
    "screen": "On a screen",
    "basis": "Where the words come from",
}
OFF_SCREEN = "The screen cannot show all of it (dE00 {de00:.1f})."
ON_SCREEN = "Shown as it is, to the last of 8 bits."
EXAMINED_BASIS = (
    "Light, mid, deep and how far a paint goes are common practice, no published source: four walls from LRV "
    "{asks:.0f} up here. A tint shows alone from where ISCC-NBS no longer calls a colour plain grey (this one: "
    "{visibility:.1f} times that). The lean so called holds {certainty:.0%} of the time if tins and eyes disagree by "
    "half a unit of a* and b*. The strip keeps Munsell hue and lightness and ends at {seen:.1f} times what just shows."
)
EXAMINED_BASIS_PLAIN = (
    "Light, mid, deep and how far a paint goes are common practice, no published source: four walls from LRV "
    "{asks:.0f} up here. A tint shows alone from where ISCC-NBS no longer calls a colour plain grey (this one: "
    "{visibility:.1f} times that)."
)
