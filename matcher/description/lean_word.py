"""The trade word for the way a colour leans: pink, beige, violet. Every sentence takes a colour's word from here.

result.json keeps the Munsell families beside them. The words are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice

from matcher.harmony.undertone import Undertone

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
# ISCC-NBS tinted greys are "pinkish" up to 7YR and yellowish or brownish from there; 7YR stands at about 66 degrees of
# CIELAB hue. Above this chroma yellow-red is called orange (assumption).
_PINK_BELOW_DEG = 66.0
_BEIGE_BELOW_CHROMA = 16.0
# From here yellow-red is nearer yellow than orange; between these a blue or a blue-green is called teal (assumptions).
_GOLDEN_FROM_DEG, _TEAL_DEG = 76.0, (195.0, 235.0)
# Colours of one surface nearer to its main colour than this, degrees of CIELAB hue, and as strong or weak as it, share
# its word: boards of one floor do not lean two ways because a border runs between them. Assumption: a third of a
# Munsell family.
_ONE_WORD_DEG = 12.0


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


def lean_words(leans: Sequence[Undertone], counts: Iterable[int]) -> tuple[str, ...]:
    """Return the word of each colour of several surfaces, which have ``counts`` of the ``leans``, one after another."""
    left = iter(leans)
    return tuple(word for count in counts for word in _of_surface(list(islice(left, count))))


def _of_surface(leans: Sequence[Undertone]) -> tuple[str, ...]:
    """Return the word of each colour of one surface, its main colour first: one that lies near the main colour in hue
    and is as strong takes the main colour's word.
    """
    main = leans[0]
    return tuple(
        lean_word(*((main.family, main.hue_deg, main.chroma) if _one_word(main, lean) else
                    (lean.family, lean.hue_deg, lean.chroma)))
        for lean in leans
    )  # fmt: skip


def _one_word(main: Undertone, other: Undertone) -> bool:
    apart = abs((main.hue_deg - other.hue_deg + 180) % 360 - 180)
    as_strong = (main.chroma < _BEIGE_BELOW_CHROMA) == (other.chroma < _BEIGE_BELOW_CHROMA)
    return as_strong and apart <= _ONE_WORD_DEG and "neutral" not in (main.family, other.family)
