"""Munsell hue, value and chroma of a colour: the 1943 renotation, inverted.

Newhall, Nickerson & Judd 1943 (JOSA 33:385) with value by ASTM D1535. The renotation holds under illuminant C, so a
D65 colour is taken there by CAT16 with full adaptation: Munsell papers seen in daylight are the same papers, and the
ISCC-NBS limits and check values that the project compares with were derived so. (Bradford in its place moves the hue
of light muted chips by 0.06 of a step at the median, 0.4 at most.) Below value 1 and above value 9 the renotation has
no chips and the nearest value's spacing is used. See ``data/make_munsell_table.py``.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats, lab_to_lch, lab_to_xyz, xyz_to_lab

HUE_FAMILIES = (
    "red",
    "yellow-red",
    "yellow",
    "green-yellow",
    "green",
    "blue-green",
    "blue",
    "purple-blue",
    "purple",
    "red-purple",
)
_HUE_LETTERS = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")

# Illuminant C, 2 degrees, x = 0.31006, y = 0.31616: what the renotation's chromaticities refer to.
WHITE_C: Floats = np.array([0.31006 / 0.31616, 1.0, (1 - 0.31006 - 0.31616) / 0.31616])

# The stored grid: value, hue angle under C in CIELAB, C*ab under C (closer together where undertones lie).
VALUES: Floats = np.arange(1.0, 10.0)
HUE_STEP_DEG = 3.0
C_STEPS: Floats = np.array(
    [0, 4, 6, 8, 10, 13, 16, 20, 24, 28, 33, 38, 44, 51, 58, 66, 75, 85, 96, 112, 130], dtype=np.float64
)

# ASTM D1535: 100 Y = 1.1914 V - 0.22533 V^2 + 0.23352 V^3 - 0.020484 V^4 + 0.00081939 V^5, perfect reflector at 10.
_VALUE_POLYNOMIAL = (0.00081939, -0.020484, 0.23352, -0.22533, 1.1914, 0.0)

# Chroma below which notation rounds to neutral ("N 7.5/").
_NOTATION_NEUTRAL_CHROMA = 0.05


def luminance_from_value(value: ArrayLike) -> Floats:
    """Return Y, 0..1, of Munsell value 0..10 (ASTM D1535)."""
    return np.asarray(np.polyval(_VALUE_POLYNOMIAL, as_floats(value)) / 100)


def value_from_luminance(luminance: ArrayLike) -> Floats:
    """Return Munsell value of Y 0..1, the inverse of :func:`luminance_from_value`, held to 0..10."""
    levels, luminances = _value_table()
    return np.interp(as_floats(luminance), luminances, levels)


def munsell(lab: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Return hue 0..100 (5 = 5R, 15 = 5YR, ...), value and chroma, each (...), of CIELAB ``(..., 3)``.

    The hue of an exact neutral is that of the limit at hue angle 0, of no meaning: look at the chroma first.
    Raises ``ValueError`` where a coordinate is not finite.
    """
    lab = as_floats(lab).astype(np.float64)
    if not np.isfinite(lab).all():
        raise ValueError("CIELAB coordinates must be finite numbers")
    xyz = adapt(lab_to_xyz(lab), WHITE_D65, WHITE_C, CAT16)
    lch = lab_to_lch(xyz_to_lab(xyz, WHITE_C))
    value = value_from_luminance(xyz[..., 1])
    chroma_ratio, lead_deg = _interpolate(value, lch[..., 2], lch[..., 1])
    hue = (lch[..., 2] + lead_deg) / 3.6 % 100
    return hue, value, chroma_ratio * lch[..., 1]


def munsell_notation(lab: ArrayLike) -> str:
    """Return the notation of one colour, shape (3,).

    >>> munsell_notation([55.0, 14.0, 28.0])
    '6.1YR 5.4/5.2'
    """
    hue, value, chroma = (float(part) for part in munsell(np.reshape(as_floats(lab), 3)))
    if chroma < _NOTATION_NEUTRAL_CHROMA:
        return f"N {value:.1f}/"
    family, tenths = divmod(_tenths(hue), 100)
    return f"{(tenths + 1) / 10:.1f}{_HUE_LETTERS[family]} {value:.1f}/{chroma:.1f}"


def hue_family(hue: float) -> str:
    """Return the family of Munsell hue 0..100, spelled out: ``yellow-red``, ``purple-blue``, ...

    A family runs from just above 0 to 10 of its letter: 10R, which is 0YR, is red. The hue counts to the tenth in
    which it is written, so that the word never contradicts the notation.
    """
    return HUE_FAMILIES[_tenths(hue) // 100]


def hue_number(hue: str) -> float:
    """Return the number, above 0 and up to 100, of a Munsell hue in letters.

    >>> hue_number("7.5YR")
    17.5
    """
    letters = hue.lstrip("0123456789.")
    return 10 * _HUE_LETTERS.index(letters) + float(hue[: -len(letters)])


def _tenths(hue: float) -> int:
    """Return how many tenths of a step the hue lies beyond 0.1R, 0..999: 0.1R is 0, 10R is 99, 0.1YR is 100."""
    return (round(hue * 10) - 1) % 1000


def _interpolate(value: Floats, angle_deg: Floats, c_ab: Floats) -> tuple[Floats, Floats]:
    """Read both stored tables linearly in value, hue angle (round the circle) and C*ab (held at the ends)."""
    table = _table()
    row, along_value = _cell(value, VALUES)
    column, along_c = _cell(c_ab, C_STEPS)
    turns = angle_deg / HUE_STEP_DEG
    spoke = np.floor(turns).astype(np.intp)
    # The eight corners of each cell at once, then one axis after the other drawn together.
    ends = np.arange(2)
    rows, columns = (row[..., None] + ends)[..., None, None], (column[..., None] + ends)[..., None, None, :]
    spokes = ((spoke[..., None] + ends) % table.shape[2])[..., None, :, None]
    corners = table[:, rows, spokes, columns]
    for along in (along_c, turns - spoke, along_value):
        shape = along.shape + (1,) * (corners.ndim - along.ndim - 2)
        corners = corners[..., 0] + along.reshape(shape) * (corners[..., 1] - corners[..., 0])
    return corners[0], corners[1]


def _cell(position: Floats, steps: Floats) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.intp]], Floats]:
    """Return the index of the cell that holds each position and how far along it lies, 0..1."""
    index = np.clip(np.searchsorted(steps, position, side="right") - 1, 0, steps.size - 2)
    return index, np.clip((position - steps[index]) / (steps[index + 1] - steps[index]), 0, 1)


@cache
def _table() -> Floats:
    """Return (2, value, spoke, C*ab): Munsell chroma over C*ab, and Munsell hue minus hue angle in degrees."""
    with (files("matcher.colorimetry") / "data" / "munsell.npz").open("rb") as stream, np.load(stream) as stored:
        return np.stack([stored["chroma_per_c_ab"], stored["hue_minus_angle_deg"]])


@cache
def _value_table() -> tuple[Floats, Floats]:
    levels = np.linspace(0, 10, 1001)
    return levels, luminance_from_value(levels)
