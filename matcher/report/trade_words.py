"""Trade words for what the numbers say: pink, beige, violet; slight, clear; sure, rough.

result.json keeps the Munsell families; these words are for sentences and for the page. They are common practice, no
published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from matcher.harmony.undertone import Undertone
from matcher.report.sentences import LIGHTNESS_STEPS

_FAMILY = {
    "neutral": "neutral",
    "red": "pink",
    "yellow-red": "orange",
    "yellow": "yellow",
    "green-yellow": "yellow-green",
    "green": "green",
    "blue-green": "blue-green",
    "blue": "blue",
    "purple-blue": "violet-blue",
    "purple": "violet",
    "red-purple": "mauve",
}
_COUNTS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
# What a surface is beside a chip, by the sign of each part of their difference.
_BESIDE_CHIP = {"lighter": ("lighter", "darker"), "warmer": ("warmer", "cooler"), "greener": ("greener", "pinker")}
_STRENGTH = {"slight": "slightly ", "clear": "clearly ", "strong": "strongly "}
# ISCC-NBS tinted greys are "pinkish" up to 7YR and yellowish or brownish from there; 7YR stands at about 66 degrees of
# CIELAB hue. Above this chroma yellow-red is called orange (assumption).
_PINK_BELOW_DEG = 66.0
_BEIGE_BELOW_CHROMA = 16.0
# From here yellow-red is nearer yellow than orange; between these a blue or a blue-green is called teal (assumptions).
_GOLDEN_FROM_DEG, _TEAL_DEG = 76.0, (195.0, 235.0)

# Half width of the 90 % interval of LRV, points, up to which each word is used. Assumption: 3 points is one step on
# most strips of a fan deck, 8 is a step anyone sees.
_SURE = ((3.0, "sure"), (8.0, "fairly sure"))
_GUESS = {False: "a guess until a card lies on it", True: "a guess until it is measured again"}


def family_word(family: str) -> str:
    """Return the trade word of a Munsell family; other words pass through unchanged."""
    return _FAMILY.get(family, family)


def lean_word(family: str, hue_deg: float, chroma: float) -> str:
    """Return the trade word of a lean by Munsell family, CIELAB hue and chroma: yellow-red is pink-beige, beige,
    pinkish orange, orange or golden; a blue near green is teal.
    """
    if family in ("blue", "blue-green") and _TEAL_DEG[0] < hue_deg < _TEAL_DEG[1]:
        return "teal"
    if family != "yellow-red":
        return family_word(family)
    pink = hue_deg < _PINK_BELOW_DEG
    if chroma < _BEIGE_BELOW_CHROMA:
        return "pink-beige" if pink else "beige"
    if hue_deg > _GOLDEN_FROM_DEG:
        return "golden"
    return "pinkish orange" if pink else "orange"


def undertone_phrase(undertone: Undertone) -> str:
    """Return ``slightly beige``, ``clearly violet`` or ``neutral``."""
    return _STRENGTH.get(undertone.strength, "") + lean_word(undertone.family, undertone.hue_deg, undertone.chroma)


def warmth_phrase(warmth: float) -> str:
    """Return warm or cool in words; ``warmth`` -1..1. The bounds are assumptions: a tenth of the scale is neither."""
    if abs(warmth) < 0.1:
        return "neither warm nor cool"
    side = "warm" if warmth > 0 else "cool"
    return side if abs(warmth) >= 0.3 else f"slightly {side}"


def doubt_phrase(half_width: float, *, own_card: bool) -> str:
    """Return how well an LRV is known, from the half width of its 90 % interval in points."""
    return next((word for limit, word in _SURE if half_width <= limit), _GUESS[own_card])


def instrument_phrase(source: str, sd: float) -> str:
    """Return how a surface was read that an instrument read; ``sd`` is dE00, one sigma."""
    shares = "; its other colours and shares come from the photos" if "photo" in source else ""
    return f"Read with an instrument, good to dE00 {sd:.1f}{shares}."


def lrv_step_phrase(step: float, digits: int = 0) -> str:
    """Return ``15 LRV lighter``, ``4 LRV darker`` or ``the same LRV`` of a step in points, to ``digits`` decimals."""
    points = f"{abs(step):.{digits}f}"
    return f"{points} LRV {'lighter' if step > 0 else 'darker'}" if float(points) else "the same LRV"


def lightness_phrase(step: float) -> str:
    """Return ``as light as``, ``clearly darker than`` and the like of a step in LRV points."""
    _, lighter, darker = next(words for words in LIGHTNESS_STEPS if abs(step) <= words[0])
    return lighter if step >= 0 else darker


def beside_chip_phrase(values: Mapping[str, Any]) -> str:
    """Return how a surface looks beside the nearest chip on it; ``values`` are :class:`NearestChip`'s."""
    near = f"of the chips lying here {values['code']} comes nearest"
    said = [more if values[part] > 0 else less for part, (more, less) in _BESIDE_CHIP.items() if abs(values[part]) > 0]
    if said:
        return f"{near}; beside it this is {listed(said)}"
    if values["de00"] <= values["de00_doubt"]:
        return f"{near}: no difference that this photo can tell from the camera's own"
    return f"{near}; they differ in a way that has no plain word"


def count_word(count: int) -> str:
    """Return a small number as a word."""
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def lowered(text: str) -> str:
    """Return a sentence as it goes on behind a colon."""
    return text[:1].lower() + text[1:]


def sentence_case(text: str) -> str:
    """Return a phrase as a sentence begins."""
    return text[:1].upper() + text[1:]


def listed(words: Iterable[str]) -> str:
    """Return ``a``, ``a and b`` or ``a, b and c``."""
    *most, last = list(words)
    return f"{', '.join(most)} and {last}" if most else last
