"""What an instrument does for second colours: ``python -m tests.benchmarks.second_colours [FOLDER ...]``.

Every surface of every photo with truth in the folders (by default every room of sample_photos) is given its true main
colour, as an instrument would read it. Prints how far the other colours are from the truth without it, moved by the
same step in CIELAB, and as the program corrects them, with how often their stated 90 % interval of L* holds the truth.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.errors import GivensError
from matcher.report.doubt import NINETY_PERCENT
from matcher.room.contents import MeasuredColour
from matcher.room.measured import Measured
from matcher.room.reading import read_room
from matcher.surfaces.instrument import with_instrument
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Surface
from tests.benchmarks.measurement import SAMPLES
from tests.benchmarks.truth import TrueSurface, room_text, truths_in

_LEAST_SHARE = 0.05
# Farther from every true colour than this, once the main colours agree, a found colour is none of them.
_SAME_COLOUR_DE00 = 15.0
_INSTRUMENT_SD = 0.5


def main(folders: Sequence[Path]) -> None:
    """Print the table."""
    rows = np.array([row for surface, truth in _surfaces(folders) for row in _rows(surface, truth)])
    print(f"{len(rows)} colours beside the main one; dE00 from the truth, median (90 %)")
    for name, errors in zip(("photo alone", "same step in CIELAB", "corrected"), rows.T[:3], strict=True):
        print(f"  {name:<22}{np.median(errors):5.2f} ({np.percentile(errors, 90):5.2f})")
    before, after = rows[:, 3].mean(), rows[:, 4].mean()
    print(f"  truth inside the 90 % interval of L*: {before:.0%} before, {after:.0%} after")


def _surfaces(folders: Sequence[Path]) -> Iterator[tuple[Surface, TrueSurface]]:
    with tempfile.TemporaryDirectory() as folder:
        for truth in (photo for each in folders for photo in truths_in(each)):
            path = Path(folder) / f"{truth.path.stem}.toml"
            path.write_text(room_text(truth), encoding="utf-8")
            try:
                measured = measure_room(read_room(path)).surfaces
            except GivensError as error:
                print(f"{truth.path.stem}: {error}")
                continue
            true = {surface.name: surface for surface in truth.surfaces}
            yield from ((surface, true[surface.name]) for surface in measured)


def _rows(surface: Surface, truth: TrueSurface) -> Iterator[tuple[float, ...]]:
    true = np.array([colour.lab for colour in truth.colours])
    if len(true) < 2:
        return
    reading = MeasuredColour(share=1.0, lab=truth.colours[0].lab)
    told, _ = with_instrument(surface, Measured(surface.name, surface.material, (reading,), _INSTRUMENT_SD, ()))
    step = true[0] - surface.colours[0].lab
    for before, after in zip(surface.colours[1:], told.colours[1:], strict=True):
        apart = delta_e_2000(before.lab + step, true[1:])
        if before.share < _LEAST_SHARE or apart.min() > _SAME_COLOUR_DE00:
            continue
        own = true[1 + int(apart.argmin())]
        errors = delta_e_2000(np.stack([before.lab, before.lab + step, after.lab]), own)
        inside = [_holds(one.lab, one.covariance, own) for one in (before, after)]
        yield (*errors.tolist(), *map(float, inside))


def _holds(lab: Floats, covariance: Floats, true: Floats) -> bool:
    return bool(abs(lab[0] - true[0]) <= NINETY_PERCENT * np.sqrt(covariance[0, 0]))


if __name__ == "__main__":
    main([Path(argument) for argument in sys.argv[1:]] or sorted(path for path in SAMPLES.iterdir() if path.is_dir()))
