"""What a lean is called by eyes that were never trained, once it is turned up until they see it.

Fewer words than those for the lean itself (lean_word.py), as a strip from grey to plain is looked at by everybody. The
borders are those of the ISCC-NBS hue names (Kelly & Judd 1976: pink, orange, yellow, yellow green, green, bluish green,
blue, violet and purple, reddish purple and purplish pink); the words are common practice.
"""

from __future__ import annotations

from bisect import bisect_right

# Munsell hue, 0 to 100, 5 = 5R, up to which each word is used; the last goes on through 0.
_UP_TO: tuple[tuple[float, str], ...] = (
    (9.0, "pink"),
    (19.0, "orange"),
    (29.0, "yellow"),
    (38.0, "yellow-green"),
    (49.0, "green"),
    (60.0, "blue-green"),
    (77.0, "blue"),
    (89.0, "violet"),
    (99.0, "mauve"),
)
_BORDERS = [border for border, _ in _UP_TO]
_WORDS = [word for _, word in _UP_TO]
# ISCC-NBS has neither pinks nor yellows below Munsell value 5.5, L* 56, but reds, browns to 4Y and olives from there;
# oranges and browns overlap, from value 3.5 to 7.5: between, an assumption.
_RED_BELOW_LIGHTNESS, _BROWN_BELOW_LIGHTNESS = 56.0, 50.0
_BROWN, _OLIVE = (9.0, 24.0), (24.0, 38.0)


def plain_word(hue: float, lightness: float) -> str:
    """Return the word for Munsell hue 0..100 where it is plain to see, at L* ``lightness``.

    >>> plain_word(81.0, 76.0), plain_word(15.0, 76.0), plain_word(15.0, 30.0)
    ('violet', 'orange', 'brown')
    """
    if lightness < _BROWN_BELOW_LIGHTNESS:
        if _BROWN[0] <= hue < _BROWN[1]:
            return "brown"
        if _OLIVE[0] <= hue < _OLIVE[1]:
            return "olive"
    place = bisect_right(_BORDERS, hue) % len(_WORDS)
    word = _WORDS[place]
    return "red" if word == "pink" and lightness < _RED_BELOW_LIGHTNESS else word
