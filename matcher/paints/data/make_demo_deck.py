"""Make demo_deck.csv: an invented fan deck, laid out as a real one is, every colour a formula and every name coined.

Run from anywhere: ``python matcher/paints/data/make_demo_deck.py``. The same seed writes the same bytes.

Layout (common practice, no source): strips of one undertone run from off-white to deep; more than half of the deck
is whites, off-whites, greys, greiges, beiges and taupes; then muted colours round the hue circle; few strong ones. The
hue angles, chromas and lightness steps below are our own invention; none was taken from a maker's colour.

A code is the paint's running number in the file and tells nothing else; the names are those of ``demo_names.txt``,
which ``coin_names.py`` coined, one a paint.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import lab_to_xyz, xyz_to_linear_srgb
from matcher.paints.deck import FloatArray

SEED = 20261125
OUT = Path(__file__).with_name("demo_deck.csv")
NAMES = Path(__file__).with_name("demo_names.txt")

# Every strip: CIELAB hue angle in degrees; chroma at the lightest and at the deepest step.
_WHITE_HUES = (None, 20, 45, 70, 85, 100, 120, 165, 215, 260, 300, 340)
_WHITE_STEPS = (97.0, 95.5, 94.0, 92.3, 90.5)
_WHITE_CHROMA = (1.0, 3.6)
_NEUTRAL_STEPS = (89.0, 83.0, 76.0, 68.0, 58.5, 47.0, 34.0)
_GREYS = (
    (None, 0.3, 0.5),
    (30, 2.0, 3.2),
    (140, 2.6, 4.0),
    (185, 2.6, 4.2),
    (235, 2.6, 4.6),
    (265, 2.6, 5.0),
    (305, 2.2, 3.8),
)
_GREIGES = ((50, 3.6, 5.0), (72, 4.6, 6.6), (88, 5.4, 7.6), (105, 5.6, 8.0), (122, 5.2, 7.4), (345, 3.0, 4.6))
_BEIGES = ((48, 7.0, 11.0), (62, 8.5, 14.0), (75, 10.0, 16.5), (86, 11.5, 18.5), (97, 11.5, 18.0))
_TAUPES = ((25, 4.2, 7.2), (55, 6.5, 10.5), (80, 7.6, 12.0), (325, 3.8, 6.4))
_MUTED_STEPS = (86.0, 78.0, 69.0, 58.0, 46.0, 33.0)
_MUTED_HUES = (15, 38, 58, 78, 95, 112, 132, 155, 180, 210, 235, 258, 280, 305, 332, 355)
_MUTED_CHROMA = (9.0, 21.0)
# Strong colours: lightness, chroma, hue, within what sRGB can show so that every swatch on screen is true.
_STRONG = (
    (46.0, 52.0, 30.0), (58.0, 58.0, 55.0), (74.0, 66.0, 78.0), (84.0, 68.0, 92.0), (60.0, 48.0, 118.0),
    (42.0, 34.0, 150.0), (40.0, 26.0, 195.0), (44.0, 32.0, 245.0), (34.0, 42.0, 275.0), (30.0, 36.0, 308.0),
    (36.0, 42.0, 350.0), (20.0, 2.0, 265.0), (24.0, 14.0, 30.0), (24.0, 12.0, 160.0), (22.0, 16.0, 280.0),
    (50.0, 50.0, 42.0),
)  # fmt: skip

# A chip is not on the curve to the second decimal: one sigma in L*, a*, b*, as the spread of a tinting recipe.
_JITTER = (0.35, 0.15, 0.2)

# What each collection is sold in, litres; whites by the drum, strong colours in small tins. Invented, as all of it is.
_TINS = {"whites": "1|2.5|5|10", "strong": "0.75|2.5"}
_OTHER_TINS = "0.75|1|2.5|5"
# Square metres a litre and coat at LRV 0 and at LRV 100, and gloss units at 60 degrees. Assumptions: deep tints are
# spread a little thicker; a white is sold in every sheen, so that none is given; the rest are wall paints.
_COVERAGE = (10.0, 12.0)
_SHEEN = {"whites": "", "strong": "30"}
_OTHER_SHEEN = "5"

# Numbers of the seeded stream that go by before the first colour: the deck's first names were drawn from them, and
# skipping them leaves every colour as it was.
_SKIPPED = 135


def main(out: Path = OUT) -> None:
    """Write the deck."""
    stream = np.random.PCG64(SEED)
    stream.advance(_SKIPPED)
    rng = np.random.Generator(stream)
    names = NAMES.read_text(encoding="utf-8").split()
    paints = [(collection, colour) for collection, colours in _strips() for colour in colours]
    with out.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("code", "name", "L", "a", "b", "lrv", "collection", "exterior", "sizes", "coverage", "sheen"))
        for number, ((collection, colour), name) in enumerate(zip(paints, names, strict=True), start=1):
            lab = np.round(_settled(colour + rng.normal(0.0, _JITTER)), 2)
            # Assumption: pale and muted tints are sold for outside too, strong ones are not (they fade).
            exterior = str(bool(np.hypot(lab[1], lab[2]) < 25)).lower()
            light = float(lrv(lab))
            coverage = f"{np.interp(light, (0, 100), _COVERAGE):.1f}"
            row = (f"demo-{number}", name, *(f"{value:.2f}" for value in lab), f"{light:.1f}")
            sold = (_TINS.get(collection, _OTHER_TINS), coverage, _SHEEN.get(collection, _OTHER_SHEEN))
            writer.writerow((*row, f"Invented {collection}", exterior, *sold))


def _strips() -> list[tuple[str, FloatArray]]:
    strips = [("whites", _strip(hue, _WHITE_CHROMA, _WHITE_STEPS)) for hue in _WHITE_HUES]
    for collection, families in (("greys", _GREYS), ("greiges", _GREIGES), ("beiges", _BEIGES), ("taupes", _TAUPES)):
        strips += [(collection, _strip(hue, (light, deep), _NEUTRAL_STEPS)) for hue, light, deep in families]
    strips += [("muted", _strip(hue, _MUTED_CHROMA, _MUTED_STEPS)) for hue in _MUTED_HUES]
    lch = np.array(_STRONG)
    strong = _from_lch(lch[:, 0], lch[:, 1], lch[:, 2])
    return [*strips, *(("strong", part) for part in np.split(strong, 4))]


def _strip(hue: float | None, chroma: tuple[float, float], steps: tuple[float, ...]) -> FloatArray:
    """Return one undertone (steps, 3) from light to deep; ``None`` is a plain neutral."""
    lightness = np.array(steps)
    chromas = np.linspace(*chroma, len(steps)) if hue is not None else np.full(len(steps), 0.2)
    return _from_lch(lightness, chromas, np.full(len(steps), hue or 0.0))


def _from_lch(lightness: FloatArray, chroma: FloatArray, hue_deg: FloatArray) -> FloatArray:
    radians = np.radians(hue_deg)
    return np.column_stack([lightness, chroma * np.cos(radians), chroma * np.sin(radians)])


def _settled(lab: FloatArray) -> FloatArray:
    """Pull chroma in until sRGB holds the colour: its swatch on a screen should be the colour itself."""
    while True:
        linear = xyz_to_linear_srgb(lab_to_xyz(lab))
        if linear.min() >= 0 and linear.max() <= 1:
            return lab
        lab = lab * np.array([0.998, 0.98, 0.98])


if __name__ == "__main__":
    main()
