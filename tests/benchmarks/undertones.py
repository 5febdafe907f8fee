"""Is an undertone as sure as it is said to be: ``python -m tests.benchmarks.undertones [FOLDER ...]``.

The main colour of every surface in every photo with truth (by default the sample rooms): how often it truly leans as
was read (within 36 degrees of hue and visibly, or neutral), by the certainty that was stated.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from matcher.harmony.undertone import undertone
from matcher.ranking.called import undertone_certainty
from matcher.room.reading import read_room
from matcher.surfaces.measure import measure_room
from tests.benchmarks.next_photo import SAMPLES
from tests.benchmarks.truth import TruePhoto, room_text, truths_in

_BANDS = ((0.0, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 1.01))


def readings(truth: TruePhoto) -> Iterator[tuple[float, bool]]:
    """Yield the certainty of each surface's main undertone, and whether it was right."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "room.toml"
        path.write_text(room_text(truth), encoding="utf-8")
        surfaces = {surface.name: surface for surface in measure_room(read_room(path)).surfaces}
    for expected in truth.surfaces:
        main = surfaces[expected.name].colours[0]
        nearest = min(
            (np.array(c.lab) for c in expected.colours), key=lambda lab: float(np.linalg.norm(lab - main.lab))
        )
        read, true = undertone(main.lab), undertone(nearest)
        apart = abs((read.hue_deg - true.hue_deg + 180) % 360 - 180)
        neutral = read.family == "neutral"
        right = true.visibility < 1 if neutral else true.visibility >= 0.5 and apart <= 36
        yield float(undertone_certainty(main.lab[None], main.covariance[None])[0]), right


def main(arguments: Sequence[str]) -> None:
    """Print the table."""
    folders = [Path(a) for a in arguments] or sorted({p.parent for p in SAMPLES.glob("*/*.truth.json")})
    found = [row for folder in folders for truth in truths_in(folder) if truth.cards for row in readings(truth)]
    print(f"{len(found)} surfaces\n{'stated certainty':<18} {'n':>4} {'mean stated':>12} {'right':>7}")
    for low, high in _BANDS:
        rows = [(stated, right) for stated, right in found if low <= stated < high]
        if rows:
            stated, right = np.mean(rows, axis=0)
            print(f"{low:.1f} to {min(high, 1):.1f}         {len(rows):>4} {stated:>12.0%} {right:>7.0%}")


if __name__ == "__main__":
    main(sys.argv[1:])
