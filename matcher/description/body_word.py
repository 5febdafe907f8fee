"""What a paint is called before anybody speaks of undertones: a grey, a white, a beige, a blue."""

from __future__ import annotations

# Last words of ISCC-NBS names (Kelly & Judd 1976) as this trade says them; others stay.
_TRADE = {"gray": "grey", "purple": "violet", "black": "near-black"}
_GREY, _WHITE, _BLACK = "grey", "white", "near-black"
# Greyed yellows, oranges and browns are beiges while they are light, and a cream where they are lighter still and
# yellow: CIELAB lightness from which, chroma and hues between which. Common practice, no source.
_BEIGE_LIGHTNESS, _BEIGE_CHROMA, _BEIGE_HUE_DEG = 58.0, (8.0, 24.0), (40.0, 108.0)
_CREAM_LIGHTNESS, _CREAM_HUE_DEG = 86.0, 76.0
_COOL = ("green", "blue", "violet")  # what is called so by its name is no beige
# A white that is a little duller than white paint is an off-white; between, LRV. Common practice, no source.
_WHITE_FROM_LRV, _OFF_WHITE_FROM_LRV = 80.0, 68.0


def body_word(designation: str, lightness: float, chroma: float, hue_deg: float, lrv: float) -> str:
    """Return the word for a colour of an ISCC-NBS ``designation``, CIELAB L*, C*ab, h_ab in degrees, and LRV.

    >>> body_word("light purplish gray", 76.0, 3.4, 297.0, 49.9), body_word("grayish yellow", 79.0, 14.0, 85.0, 55.0)
    ('grey', 'beige')
    """
    last = designation.split()[-1]
    word = _TRADE.get(last, last)
    if word == _BLACK:
        return word
    (pale, strong), (red, green) = _BEIGE_CHROMA, _BEIGE_HUE_DEG
    warm = word not in _COOL and pale <= chroma <= strong and red <= hue_deg <= green
    if warm and lightness >= _BEIGE_LIGHTNESS:
        return "cream" if lightness >= _CREAM_LIGHTNESS and hue_deg >= _CREAM_HUE_DEG else "beige"
    if word in (_GREY, _WHITE):
        if lrv >= _WHITE_FROM_LRV:
            return _WHITE
        return "off-white" if lrv >= _OFF_WHITE_FROM_LRV else _GREY
    return word


def is_neutral(word: str) -> bool:
    """Tell whether a paint called so is looked at for its undertone, being hardly a colour by itself."""
    return word in (_GREY, _WHITE, _BLACK, "off-white", "beige", "cream")


def stands_alone(word: str) -> bool:
    """Tell whether the word says by itself how light the paint is."""
    return word in (_WHITE, _BLACK, "off-white", "cream")
