"""What can be chosen, with the word shown for it: one source for forms on every screen."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from matcher.description.lean_word import family_word
from matcher.report.sentences import ROLES as ROLE_WORDS
from matcher.room import outline
from matcher.room.contents import PAPER_REFLECTANCE
from matcher.room.country import countries

ROLES = ROLE_WORDS
MOST_POINTS = outline.MOST_POINTS  # of one outline
KINDS = ("kitchen", "living room", "bedroom", "bathroom", "hall", "dining room", "study", "other")
FACINGS = {
    "N": "north", "NE": "north-east", "E": "east", "SE": "south-east",
    "S": "south", "SW": "south-west", "W": "west", "NW": "north-west",
}  # fmt: skip
COUNTRIES = countries()
# Points of LRV that two roles may be asked to be apart, (at least, at most): from "reads as trim" to "stands out", and
# from "one colour, another sheen" to "a quiet edge". Assumptions; a file may ask for any other.
CONTRASTS: tuple[tuple[float | None, float | None], ...] = (
    (10.0, None), (20.0, None), (30.0, None), (50.0, None), (None, 3.0), (None, 10.0),
)  # fmt: skip
DAYS = (date(1900, 1, 1), date(2199, 12, 31))  # the first and last that a light is shown for: matcher/room/contents.py
WARMTHS = ("either", "warm", "cool")
FAMILIES = {
    family: family_word(family)
    for family in (
        "neutral", "red", "yellow-red", "yellow", "green-yellow", "green",
        "blue-green", "blue", "purple-blue", "purple", "red-purple",
    )
}  # fmt: skip
# Kelvin, as lamps are sold (ANSI C78.377 nominal values), with the words on their boxes (common practice, no source).
LAMPS = {
    2700: "warm white, 2700 K",
    3000: "warm white, 3000 K",
    4000: "neutral white, 4000 K",
    5000: "daylight, 5000 K",
}

MATERIALS = ("stone", "timber", "tile", "brick", "metal", "textile", "laminate", "paint", "other")
# What instruments are set to, with where that is usual (common practice, no source).
LIGHTS = {"D65": "D65 (paint, textiles)", "D50": "D50 (print)", "C": "C (older instruments)", "A": "A (lamp light)"}
OBSERVERS = {2: "2°", 10: "10°"}


class Card(NamedTuple):
    """A kind of reference and the reflectance to start from, None where it has many that are known, or a colour of the
    deck; what the card's maker states goes before it.
    """

    kind: str
    reflectance: float | None


# 18 % is the nominal grey card; white and black of usual three-step cards: common practice, no source.
CARDS = (
    Card("grey card", 0.18),
    Card("white card", 0.86),
    Card("black card", 0.04),
    Card("grey scale", 0.18),
    Card("chart 24", None),
    Card("white paper", PAPER_REFLECTANCE),
    Card("paint chip", None),
)
CHIPS_OF_STRIP = (2, 24)  # fewest and most: assumption, three times what a deck's strips have
