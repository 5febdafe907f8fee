"""What the look under lamps is worth that is told from CIELAB alone: ``python -m tests.benchmarks.recovery [WHEEL]``.

For each lamp the CIEDE2000 units between the look of measured reflectances and what is told of it from their CIELAB
D65/2, median and 95th percentile: by the likeliest curve (the project's), by the smoothest (Burns 2020), and by no
curve: "CAT16 only" leaves the corresponding colour as it is by day, "unchanged" the CIELAB relative to the lamp's own
white, where looks are compared as such. All others are compared fully adapted (CAT16, D = 1).

The reflectances had no part in what the likeliest curve has learnt: those that come with colour-science (190 training
patches of rawtoaces 1.0) and, where ``WHEEL`` is what ``pip download --no-deps luxpy`` leaves (GPL-3.0; only read, not
needed otherwise), its 1,269 matte Munsell papers, the muted ones of them apart (C*ab under 16, L* over 40), and the 215
object colours of Opstelten (1983). Then the time that 3,000 paints take, and 24 lights for them.
"""

from __future__ import annotations

import io
import sys
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.curves import curves_of
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import names, tristimulus_weights, wavelengths
from matcher.colorimetry.recovery import lab_by, recover_reflectance
from matcher.colorimetry.smoothest import smoothest
from matcher.colorimetry.spaces import Floats, xyz_to_lab

LAMPS = ("A", "LED-B1", "LED-B2", "LED-B3", "LED-V1", "FL2", "FL11")
WAYS = ("likeliest", "smoothest", "CAT16 only", "unchanged")
IN_WHEEL = (("Munsell", "Munsell1269.dat"), ("Opstelten", "Opstelten1983_215.dat"))
MUTED_CHROMA, MUTED_LIGHTNESS = 16.0, 40.0
PAINTS, LIGHTS = 3000, 24


def main() -> None:
    """Print the tables."""
    wheel = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    print(f"{'dE00, median / 95th percentile':<32}" + "".join(f"{way:>16}" for way in WAYS))
    for title, spectra in sets(wheel):
        print(f"\n{title}, {len(spectra)}")
        by_day = lab_by(spectra, tristimulus_weights("D65"))
        curves = {"likeliest": recover_reflectance(by_day), "smoothest": smoothest(by_day)[0]}
        for lamp in LAMPS:
            cells = []
            truth = lab_by(spectra, tristimulus_weights(lamp))
            for way in WAYS:
                told = lab_by(curves[way], tristimulus_weights(lamp)) if way in curves else by_day
                found = delta_e_2000(told, by_own_white(spectra, lamp) if way == "unchanged" else truth)
                cells.append(f"{np.median(found):.2f} / {np.percentile(found, 95):.2f}")
            print(f"{lamp:<32}" + "".join(f"{cell:>16}" for cell in cells))
    print("\n" + speed())


def by_own_white(spectra: Floats, lamp: str) -> Floats:
    """Return CIELAB (N, 3) under the lamp relative to its own white."""
    weights = tristimulus_weights(lamp)
    return xyz_to_lab(spectra @ weights, weights.sum(axis=0))


def sets(wheel: Path | None) -> Iterator[tuple[str, Floats]]:
    """Yield sets of reflectances (N, 36) with their names."""
    colour = colour_library()

    training = colour.characterisation.read_training_data_rawtoaces_v1()
    yield "rawtoaces", at_bands(training.wavelengths, training.values.T)
    if wheel is None:
        return
    with zipfile.ZipFile(wheel) as package:
        for title, file in IN_WHEEL:
            table = np.loadtxt(io.BytesIO(package.read(f"luxpy/data/rfls/{file}")), delimiter=",")
            spectra = at_bands(table[:, 0], table[:, 1:].T)
            yield title, spectra
            lab = lab_by(spectra, tristimulus_weights("D65"))
            muted = (np.hypot(lab[:, 1], lab[:, 2]) < MUTED_CHROMA) & (lab[:, 0] > MUTED_LIGHTNESS)
            yield f"{title}, muted", spectra[muted]


def at_bands(nm: Floats, values: Floats) -> Floats:
    """Return reflectance (N, 36), 0..1, of (N, M) at ``nm``."""
    return np.clip(np.stack([np.interp(wavelengths(), nm, row) for row in values]), 0, 1)


def speed() -> str:
    """Time a deck of drawn muted colours, processor seconds."""
    rng = np.random.default_rng(PAINTS)
    chroma, hue = np.abs(rng.normal(0, 14, PAINTS)), rng.uniform(0, 2 * np.pi, PAINTS)
    lab = np.stack([rng.uniform(15, 95, PAINTS), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    weights = [tristimulus_weights(name) for name in names()[:LIGHTS]]
    begun = time.process_time()
    curves = curves_of(lab)
    recovered = time.process_time()
    for one in weights:
        curves.look(one)
    looked = time.process_time()
    return (
        f"{PAINTS:,} paints recovered in {recovered - begun:.2f} s, "
        f"{LIGHTS} lights for them in {looked - recovered:.2f} s of processor time"
    )


if __name__ == "__main__":
    main()
