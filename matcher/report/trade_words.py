"""Trade words for what the numbers say: slight, clear; sure, rough; a step lighter. Those for the way a colour leans
stand in matcher/description/lean_word.py. They are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from matcher.description.lean_word import lean_word
from matcher.harmony.undertone import Undertone
from matcher.report.numbers import printed, shown
from matcher.report.sentences import COLOUR_STEPS, LIGHTNESS_STEPS, OTHER_DIFFERENCE

_COUNTS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
# What a surface is beside a chip, by the sign of each part of their difference.
_BESIDE_CHIP = {"lighter": ("lighter", "darker"), "warmer": ("warmer", "cooler"), "greener": ("greener", "pinker")}
_STRENGTH = {"slight": "slightly ", "clear": "clearly ", "strong": "strongly "}
# Half width of the 90 % interval of LRV, points, up to which each word is used. Assumption: 3 points is one step on
# most strips of a fan deck, 8 is a step anyone sees.
FAIRLY_SURE_WITHIN = 8.0
_SURE = ((3.0, "sure"), (FAIRLY_SURE_WITHIN, "fairly sure"))
_ROUGH = {False: "rough, lay a card on it", True: "rough, measure again"}


def undertone_phrase(undertone: Undertone) -> str:
    """Return ``slightly beige``, ``clearly violet`` or ``neutral``."""
    return strength_phrase(undertone, lean_word(undertone.family, undertone.hue_deg, undertone.chroma))


def strength_phrase(undertone: Undertone, word: str) -> str:
    """Return an undertone by ``word`` with how strongly it shows."""
    return _STRENGTH.get(undertone.strength, "") + word


def warmth_phrase(warmth: float) -> str:
    """Return warm or cool in words; ``warmth`` -1..1. The bounds are assumptions: a tenth of the scale is neither."""
    if abs(warmth) < 0.1:
        return "neither warm nor cool"
    side = "warm" if warmth > 0 else "cool"
    return side if abs(warmth) >= 0.3 else f"slightly {side}"


def doubt_phrase(half_width: float, *, own_card: bool) -> str:
    """Return how well an LRV is known, from the half width of its 90 % interval in points."""
    return next((word for limit, word in _SURE if half_width <= limit), _ROUGH[own_card])


def instrument_phrase(source: str) -> str:
    """Return how a surface was read that an instrument read."""
    shares = "; its other colours and shares come from the photos" if "photo" in source else ""
    return f"Read with an instrument{shares}."


def lrv_step_phrase(step: float, digits: int = 0) -> str:
    """Return ``15 points lighter``, ``4 points darker`` or ``the same LRV`` of a step, to ``digits`` decimals."""
    points = f"{abs(step):.{digits}f}"
    return f"{points} points {'lighter' if step > 0 else 'darker'}" if float(points) else "the same LRV"


def printed_step(lrv: float, other: float, digits: int = 0) -> float:
    """Return LRV ``lrv`` minus ``other``, both as they are printed to ``digits`` decimals."""
    return printed(printed(lrv, digits) - printed(other, digits), digits)


def colour_step_phrase(de00: float) -> str:
    """Return how far apart two colours are in words, from dE00."""
    return next(words for limit, words in COLOUR_STEPS if de00 < limit)


def chance_phrase(chance: float) -> str:
    """Return ``a 41 %``, ``an 8 %`` or ``a less than 1 %`` of a probability 0..1, to stand before the word chance."""
    number = shown(chance, ".0%")
    return f"{'an' if number.startswith('8') or number.split()[0] in ('11', '18') else 'a'} {number}"


def lightness_phrase(step: float) -> str:
    """Return ``as light as``, ``clearly darker than`` and the like of a step in LRV points."""
    _, lighter, darker = next(words for words in LIGHTNESS_STEPS if abs(step) <= words[0])
    return lighter if step >= 0 else darker


def beside_chip_phrase(values: Mapping[str, Any]) -> str:
    """Return how a surface looks beside the nearest chip on it; ``values`` are :class:`NearestChip`'s."""
    near = f"of the chips lying here {values['code']} comes nearest"
    parts = [more if values[part] > 0 else less for part, (more, less) in _BESIDE_CHIP.items() if abs(values[part]) > 0]
    if parts:
        return f"{near}; beside it this is {listed(parts)}"
    if values["de00"] <= values["de00_doubt"]:
        return f"{near}: no difference that this photo can tell from the camera's own"
    return f"{near}; {OTHER_DIFFERENCE}"


def count_word(count: int) -> str:
    """Return a small number as a word."""
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def lowered(text: str) -> str:
    """Return a sentence as it goes on behind a colon."""
    return text[:1].lower() + text[1:]


def sentence_case(text: str) -> str:
    """Return a phrase as a sentence begins."""
    return text[:1].upper() + text[1:]


def listed(words: Iterable[str], joined_by: str = "and") -> str:
    """Return ``a``, ``a and b`` or ``a, b and c``."""
    *most, last = list(words)
    return f"{', '.join(most)} {joined_by} {last}" if most else last
