"""A surface of known colours, photographed with three cards on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace
from matcher.room.contents import Material, OutlinedSurface
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import SurfaceColour
from tests.calibration.scenes import WARM_LIGHT, Curve, Scene, corners, plain
from tests.surfaces.scene_reading import read_in

HEIGHT, WIDTH = 420, 560
CARDS_LEFT, CARDS_TOP, CARD_SIDE = 190, 180, 48
# Labels of a map and the CIELAB of each label.
Colours = Sequence[tuple[float, float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A reading beside what was drawn: true shares by label of what the cards leave to see."""

    reading: SurfaceReading
    labs: Floats
    shares: Floats

    @property
    def main(self) -> SurfaceColour:
        return self.reading.colours[0]

    def de00(self, label: int) -> float:
        """Distance of the nearest colour found to a true colour."""
        return float(min(delta_e_2000(c.lab, self.labs[label]) for c in self.reading.colours))

    def share(self, label: int) -> float:
        """Share of all colours found that lie nearer to this true colour than to any other."""
        nearest = [int(delta_e_2000(c.lab, self.labs).argmin()) for c in self.reading.colours]
        return sum(c.share for c, n in zip(self.reading.colours, nearest, strict=True) if n == label)

    def part(self, label: int) -> str:
        """What part the nearest colour found is said to play."""
        return min(self.reading.colours, key=lambda c: float(delta_e_2000(c.lab, self.labs[label]))).part


Measure = Callable[..., Measured]


@pytest.fixture(scope="session")
def measure() -> Measure:
    """Draw, photograph and read one surface; ``light_on`` changes the light before the shot."""

    def run(
        labels: NDArray[np.intp] | int,
        colours: Colours,
        *,
        material: Material = "stone",
        light_on: Callable[[Scene], None] | None = None,
        curve: Curve = plain,
        space: ColourSpace | None = None,
    ) -> Measured:
        scene = Scene(HEIGHT, WIDTH)
        scene.light *= WARM_LIGHT
        labels = np.broadcast_to(np.asarray(labels), (HEIGHT, WIDTH))
        for label, lab in enumerate(colours):
            scene.paint(labels == label, lab)
        if light_on is not None:
            light_on(scene)
        scene.lay_three(CARDS_LEFT, CARDS_TOP, CARD_SIDE, on="surface")
        photo = scene.shoot(curve=curve, space=space)
        surface = OutlinedSurface(name="surface", material=material, outline=corners((4, 4, WIDTH - 4, HEIGHT - 4)))
        calibration = calibrate(photo, scene.cards, "photo")
        reading = read_in(scene, photo, calibration, surface)
        counts = np.bincount(labels.ravel(), minlength=len(colours))
        return Measured(reading, np.asarray(colours, dtype=float), counts / counts.sum())

    return run
