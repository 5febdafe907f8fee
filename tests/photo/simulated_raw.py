"""Raw files made of numbers: measured spectra under a lamp, seen by a camera of measured sensitivities, as a DNG.

The tags are those of the DNG specification 1.4, chapters 3 and 4 (ColorMatrix1: XYZ to sensor; AsShotNeutral: the
sensor's answer to white); tifffile writes the TIFF around them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import tifffile
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats, lab_to_xyz
from tests.calibration import spectral_camera

BLACK_LEVEL, WHITE_LEVEL = 256, 16383
_CFA = ((0, 1), (1, 2))  # red, green / green, blue
_D65 = 21  # Exif 2.32, LightSource
_CHART_PATCHES = 24  # of the first chart, measured by Ohta 1997
_DENOMINATOR = 10**6


@dataclass(frozen=True, slots=True, eq=False)
class Sensor:
    """``xyz_to_sensor`` (3, 3) is fitted by least squares to a measured chart under D65."""

    sensitivities: Floats
    xyz_to_sensor: Floats

    def white(self, light: str) -> Floats:
        """Return the answer (3,) to a perfect white, green = 1."""
        level: Floats = spectral_camera.illuminant(light) @ self.sensitivities
        return level / level[1]

    def answer(self, reflectance: Floats, light: str) -> Floats:
        """Return (N, 3) of reflectances (N, 401); green of a perfect white is 1."""
        power = spectral_camera.illuminant(light)
        return np.asarray((reflectance * power) @ self.sensitivities / (power @ self.sensitivities)[1])


@cache
def sensor(name: str) -> Sensor:
    """Return one of the measured cameras."""
    sensitivities = spectral_camera.camera(name).sensitivities
    chart = spectral_camera.spectra("charts")[:_CHART_PATCHES]
    plain = Sensor(sensitivities, np.eye(3))
    true_xyz = lab_to_xyz(spectral_camera.true_lab(chart))
    solved = np.linalg.lstsq(true_xyz, plain.answer(chart, "D65"), rcond=None)[0]
    return Sensor(sensitivities, solved.T)


def mosaic_of(linear: Floats) -> NDArray[np.uint16]:
    """Return the sensor's values (H, W) of its linear RGB (H, W, 3), 0..1 of what saturates it."""
    values = np.empty(linear.shape[:2])
    for row, colours in enumerate(_CFA):
        for column, colour in enumerate(colours):
            values[row::2, column::2] = linear[row::2, column::2, colour]
    return np.clip(np.rint(values * (WHITE_LEVEL - BLACK_LEVEL) + BLACK_LEVEL), 0, WHITE_LEVEL).astype(np.uint16)


def write_dng(
    path: Path, linear: Floats, *, matrix: Floats | None, neutral: Floats | None, orientation: int = 1
) -> Path:
    """Write sensor RGB (H, W, 3) as a DNG with a Bayer mosaic."""
    tags: list[tuple[int, str, int, object, bool]] = [
        (274, "H", 1, orientation, True),
        (33421, "H", 2, (2, 2), True),
        (33422, "B", 4, bytes(np.ravel(_CFA).tolist()), True),
        (50706, "B", 4, bytes([1, 4, 0, 0]), True),
        (50707, "B", 4, bytes([1, 1, 0, 0]), True),
        (50708, "s", 0, "Simulated", True),
        (50714, "H", 1, BLACK_LEVEL, True),
        (50717, "H", 1, WHITE_LEVEL, True),
        (50778, "H", 1, _D65, True),
    ]
    if matrix is not None:
        tags.append((50721, "2i", 9, _rationals(matrix), True))
    if neutral is not None:
        tags.append((50728, "2I", 3, _rationals(neutral), True))
    tifffile.imwrite(path, mosaic_of(linear), photometric=32803, extratags=tags, metadata=None, software=False)
    return path


def _rationals(values: Floats) -> tuple[int, ...]:
    return tuple(part for value in np.ravel(values) for part in (round(float(value) * _DENOMINATOR), _DENOMINATOR))
