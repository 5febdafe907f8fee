"""Do two undertones agree or fight? Free of lightness, zero when either side is neutral.

What is asked depends on what the fixed colour is:

- **beside an undertone** (stone, off-white, pale tile) the eye compares fine differences: pink beside yellow fights
  though both are warm and their hue angles are near, yellow beside green does not though they are as far apart. Hue
  angles are therefore first laid on a wheel whose steps are as wide as the fight they make.
- **beside a real warm colour** (timber, terracotta, brick) there is no undertone to match: it is calmed by yellow-
  greens and greens, which share its yellow, heated by pinks, and set off by blues and violets.
- **beside any other real colour** only opposite undertones disturb.

A clearly deliberate contrast (a real colour far off in hue, or a dark one) is no clash. The wheel, the tables and
every threshold are ours (common practice, no published source); only the visibility gate rests on published data. A
published finding speaks against undertone theory (ratings of recoloured rooms did not follow warm-with-warm, cool-
with-cool: two Japanese studies of 2006), so a low agreement is a reason to look at a sample board, not a proof.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, hue_step, tint

FloatArray = NDArray[np.floating[Any]]

# Bounds of the agreement of two fully visible undertones.
HIGHEST, LOWEST = 0.6, -0.75

# The wheel: hue angle h' (CIEDE2000 a') and how far round it lies; a step is as long as the fight it makes, so the way
# round is not 360. Pink (40) to yellow (76) 69, yellow to green (145) 33, green to blue (255) 40, blue to violet (305)
# 48.
_WHEEL_HUE_DEG = np.array([0.0, 40, 55, 66, 85, 100, 145, 200, 255, 305, 360])
_WHEEL_PLACE = np.array([0.0, 45, 82, 108, 120, 126, 148, 166, 188, 236, 296])
_WHEEL_ROUND = 296.0
# Between two undertones: full agreement to 8 steps of the wheel, none at about 40, a full fight from 75.
_KIN_UNTIL, _FIGHT_FROM = 8.0, 75.0

# Beside a warm real colour: agreement by how far the paint lies from it towards green (positive) or pink (negative),
# degrees of h'.
_WARM_OFFSET_DEG = np.array([-180.0, -150, -120, -90, -60, -30, -15, 0, 15, 30, 45, 60, 90, 120, 150, 180])
_WARM_AGREEMENT = np.array(
    [-0.50, -0.65, -0.75, -0.65, -0.50, -0.30, -0.08, 0.18, 0.45, 0.50, 0.50, 0.48, 0.42, 0.30, -0.12, -0.50]
)
# The same from 0 once round in even steps, which are read many times faster than an uneven table.
_WARM_STEP_DEG = 15.0
_WARM_EVEN = np.interp(np.arange(0, 360, _WARM_STEP_DEG), _WARM_OFFSET_DEG, _WARM_AGREEMENT, period=360)
_WARM_EVEN_RISE = np.roll(_WARM_EVEN, -1) - _WARM_EVEN
# A fixed colour counts as a real one, no longer an undertone, between these chromas at L* 60; at other lightnesses in
# proportion (saturation: a dark walnut of C* 14 is a brown, a pale stone of C* 14 is a cream, and the C* 6 of a nearly
# black timber is still its brown and no pink undertone); below the darkest, all is black.
_COLOUR_FROM, _COLOUR_FULL = 13.0, 24.0
_SATURATION_LIGHTNESS, _DARKEST = 60.0, 20.0
# Warm real colours: cosine of the angle from h' = 55 (orange): none beyond 60 degrees off, all within 37.
_WARM_CENTRE_DEG, _WARM_NONE, _WARM_ALL = 55.0, 0.5, 0.8
# A pale clean green or blue-green does not calm a red timber as a muted one does: the two set each other shouting. By
# how far; its hue, lightness and chroma; and up to which hue h' a warm colour is red.
_MINT_BESIDE_RED = 1.0
_MINT_CENTRE_DEG, _MINT_LIGHTNESS, _MINT_CHROMA = 175.0, (72.0, 82.0), (8.0, 13.0)
_RED_HUE_DEG = (62.0, 50.0)
# Beside other real colours: mild, from 20 to 130 steps of the wheel.
_OTHER_HIGHEST, _OTHER_LOWEST = 0.5, -0.35

# A paint is a deliberate contrast from these chromas on (scaled to L* 60 as above), if its hue is this far off,
_DELIBERATE_CHROMA = (9.0, 18.0)
_DELIBERATE_HUE_DEG = (45.0, 80.0)
# (a dusty blue is a colour already where it holds this share of that chroma. Cosine of the angle from h' = 250: none
# beyond 45 degrees off, all within 25)
_BLUE_CENTRE_DEG, _BLUE_NONE, _BLUE_ALL, _BLUE_ASKED = 250.0, 0.707, 0.906, 0.6
# (a pastel is a tint and no contrast that is meant: by its lightness, up to this many times as much is asked of it)
_PASTEL_LIGHTNESS, _PASTEL_ASKED = (66.0, 80.0), 1.6
# (a purple beside a yellow or orange colour a little less: of all strong colours it is the hardest to place there,
# where navy and green are safe. Cosine of the angle from h' = 325: none beyond 40 degrees off, all within 20)
_PURPLE_CENTRE_DEG, _PURPLE_NONE, _PURPLE_ALL = 325.0, 0.766, 0.94
_PURPLE_BESIDE_WARM = 0.15
# or if it is dark and much darker than the fixed colour (a dark paint's undertone is hardly compared with a light
# one's).
_DARK_LIGHTNESS = (45.0, 30.0)
_DARK_STEP = (10.0, 30.0)
_DARK_EXEMPTION = 0.7
# Two tints that are each hardly seen do not fight: a marble with a hint of taupe takes a quiet violet-grey, though no
# peach, and a strong timber takes neither. By the product of how visible the two are (1: both just show).
_FIGHT_VISIBILITY = (1.8, 6.5)
# The other way round as well, a pale paint beside a dark undertone; the brown of a dark timber is no undertone and
# stays.
_PALE_LIGHTNESS = (45.0, 65.0)


def _place(hue_deg: FloatArray) -> FloatArray:
    place = np.interp(hue_deg, _WHEEL_HUE_DEG, _WHEEL_PLACE)
    return np.asarray(place).astype(np.result_type(hue_deg.dtype, np.float32), copy=False)


def wheel_distance(hue1_deg: ArrayLike, hue2_deg: ArrayLike) -> FloatArray:
    """How far apart two hue angles h' lie on the wheel of fights, 0..148.

    Pink beige beside yellow stone is far, yellow beside green is near, at the same difference of hue angle:

    >>> int(wheel_distance(47.0, 84.0)), int(wheel_distance(84.0, 121.0))
    (57, 16)
    """
    way = np.abs(_place(np.asarray(hue1_deg)) - _place(np.asarray(hue2_deg)))
    return np.asarray(np.minimum(way, _WHEEL_ROUND - way))


def saturation(colour: Tint) -> FloatArray:
    """Chroma for the lightness: C*ab scaled to what it would be at L* 60."""
    return np.asarray(colour.chroma * (_SATURATION_LIGHTNESS / np.maximum(colour.lightness, _DARKEST)))


def kinship(apart: FloatArray) -> FloatArray:
    """Agreement of two undertones so many steps of the wheel ``apart``: ``HIGHEST`` falling to ``LOWEST``."""
    return np.asarray(HIGHEST + (LOWEST - HIGHEST) * smoothstep(apart, _KIN_UNTIL, _FIGHT_FROM))


def coloured(fixed: Tint) -> FloatArray:
    """How far a fixed colour is a real one, no longer an undertone, 0..1."""
    return smoothstep(saturation(fixed), _COLOUR_FROM, _COLOUR_FULL)


def _beside_warm(offset_deg: FloatArray) -> FloatArray:
    """Agreement by the offset from a warm real colour, -360..360 degrees of h'."""
    steps = offset_deg * (1 / _WARM_STEP_DEG)
    whole = np.floor(steps)
    place = whole.astype(np.intp)
    start, rise = _WARM_EVEN.astype(steps.dtype), _WARM_EVEN_RISE.astype(steps.dtype)
    return np.asarray(start.take(place, mode="wrap") + (steps - whole) * rise.take(place, mode="wrap"))


def _warm_hue(colour: Tint) -> FloatArray:
    off_orange = np.cos(np.radians(colour.hue_deg - _WARM_CENTRE_DEG))
    return np.asarray(smoothstep(off_orange, _WARM_NONE, _WARM_ALL))


def _mint(colour: Tint) -> FloatArray:
    off_mint = np.cos(np.radians(colour.hue_deg - _MINT_CENTRE_DEG))
    pale = smoothstep(colour.lightness, *_MINT_LIGHTNESS) * smoothstep(colour.chroma, *_MINT_CHROMA)
    return np.asarray(pale * smoothstep(off_mint, 0.5, 0.8))


def _red(colour: Tint) -> FloatArray:
    return np.asarray(smoothstep(colour.hue_deg, *_RED_HUE_DEG))


def _beside_colour(paint: Tint, fixed: Tint, apart: FloatArray) -> FloatArray:
    warm, red = _warm_hue(fixed), _red(fixed)
    beside_warm = _beside_warm(paint.hue_deg - fixed.hue_deg)
    if np.any(red > 0):
        beside_warm = beside_warm - _MINT_BESIDE_RED * _mint(paint) * red
    beside_other = _OTHER_HIGHEST + (_OTHER_LOWEST - _OTHER_HIGHEST) * smoothstep(apart, 20, 130)
    return np.asarray(warm * beside_warm + (1 - warm) * beside_other)


def deliberate_contrast(paint: Tint, fixed: Tint) -> FloatArray:
    """0..1: how clearly the paint is meant as a contrast to the fixed colour rather than a neutral beside it."""
    far = smoothstep(hue_step(paint, fixed), *_DELIBERATE_HUE_DEG)
    off_blue = np.cos(np.radians(paint.hue_deg - _BLUE_CENTRE_DEG))
    asked = 1 - (1 - _BLUE_ASKED) * smoothstep(off_blue, _BLUE_NONE, _BLUE_ALL)
    asked = asked * (1 + (_PASTEL_ASKED - 1) * smoothstep(paint.lightness, *_PASTEL_LIGHTNESS))
    meant = smoothstep(saturation(paint) / asked, *_DELIBERATE_CHROMA)
    off_purple = np.cos(np.radians(paint.hue_deg - _PURPLE_CENTRE_DEG))
    purple = meant * _PURPLE_BESIDE_WARM * smoothstep(off_purple, _PURPLE_NONE, _PURPLE_ALL)
    by_hue = (meant - purple * _warm_hue(fixed)) * far
    step = fixed.lightness - paint.lightness
    dark = _DARK_EXEMPTION * smoothstep(paint.lightness, *_DARK_LIGHTNESS) * smoothstep(step, *_DARK_STEP)
    return np.asarray(1 - (1 - by_hue) * (1 - dark))


def agreement(paint: Tint, fixed: Tint) -> FloatArray:
    """Agreement of paint and fixed tints, broadcast: -0.75 (fight) .. +0.6 (kin), 0 where either is neutral."""
    apart = wheel_distance(paint.hue_deg, fixed.hue_deg)
    kernel = kinship(apart)
    dark = _DARK_EXEMPTION * smoothstep(fixed.lightness, *_DARK_LIGHTNESS)
    if np.any(dark > 0):
        kernel = kernel * (1 - dark * smoothstep(paint.lightness, *_PALE_LIGHTNESS))
    colour = coloured(fixed)
    if np.any(colour > 0):
        kernel = kernel + colour * (_beside_colour(paint, fixed, apart) - kernel)
    # A kin undertone need only be seen: a stronger one agrees no better, so quiet paints are not passed over for loud
    # ones.
    kin = fixed.gate * np.sqrt(paint.gate) * np.maximum(kernel, 0)
    # The gate is s^2 / (1 + s^2) of a visibility s.
    both = np.sqrt(paint.gate / (1 - paint.gate)) * np.sqrt(fixed.gate / (1 - fixed.gate))
    seen = smoothstep(both, *_FIGHT_VISIBILITY)
    fight = seen * fixed.gate * paint.gate * np.minimum(kernel, 0) * (1 - deliberate_contrast(paint, fixed))
    # A mint beside a red timber would go farther, and a full fight is full.
    return np.asarray(np.maximum(kin + fight, LOWEST))


def undertone_agreement(paint: ArrayLike, fixed: ArrayLike) -> FloatArray:
    """:func:`agreement` of CIELAB colours (..., 3), broadcast. Not symmetric: ``fixed`` is the one that stays."""
    return agreement(tint(paint), tint(fixed))
