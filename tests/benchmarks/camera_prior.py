"""What cameras under lamps get wrong: ``python -m tests.benchmarks.camera_prior FOLDER``.

FOLDER is a checkout of https://github.com/AcademySoftwareFoundation/rawtoaces-data (Apache-2.0), of which the measured
sensitivities of cameras (data/camera) and the reflectances of data/training are read; the project does not carry them.
The Nikon D5100, which the tests keep to themselves, is left out; CIE illuminants and the samples of CIE 224:2017 are
spectral_camera's. Every camera sees all reflectances under every lamp, with a white balance that is right, and is
developed by its matrix for daylight or by the one between daylight and CIE A that the lamp asks for. To each a
correction is fitted, as to a chart but with next to nothing believed. Prints how the weights lie over all of these
beside what matcher/calibration/camera_prior.py says of them, and the spread that is left beside the two widest
directions. Takes a minute or two.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from matcher.calibration import camera_prior, colour_matrix
from matcher.calibration.correction import terms_of
from matcher.calibration.light import cone_matrix
from matcher.colorimetry.spaces import Floats
from matcher.photo.colour_space import srgb
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration.spectral_camera import illuminant, spectra, to_linear_srgb, true_lab, visible_nm

DAYLIGHTS = ("D50", "D55", "D65", "D75")
FLUORESCENT = tuple(f"FL{number}" for number in (2, 3, 4, 7, 8, 9, 10, 11, 12))
LEDS = ("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-V1", "LED-V2", "LED-RGB1")
LIGHTS = (*DAYLIGHTS, "A", *FLUORESCENT, *LEDS)
KEPT_FOR_TESTS = "Nikon_D5100"
# Next to nothing believed, one sigma of the weight of a response and of a root; both are 0 at the mean (assumptions).
_RESPONSE_SD, _ROOT_SD = 0.5, 1.5
_TERMS = 6
# Darker or lighter reflectances say nothing of a camera: L*.
_DARKEST, _LIGHTEST = 8.0, 98.0
_LEAST = 1e-4  # of a reflectance and of a response: logarithms are taken of them
_OTHERS = np.eye(3, _TERMS) == 0


def main(folder: Path) -> None:
    """Print the tables."""
    reflectance = np.maximum(np.concatenate([training(folder), spectra("evaluation samples")]), _LEAST)
    lab = true_lab(reflectance)
    used = (lab[:, 0] > _DARKEST) & (lab[:, 0] < _LIGHTEST)
    shots = sensitivities(folder)
    weights = np.array(
        [
            fitted(seen[used], lab[used])
            for camera in shots.values()
            for seen in seen_by(camera, reflectance, len(training(folder)))
        ]
    )
    print(f"{len(shots)} cameras, {len(LIGHTS)} lights, {len(weights)} corrections, {used.sum()} reflectances")
    mean, spread, directions = weights.mean(axis=0), *np.linalg.eigh(np.cov(weights.T))
    sds = np.sqrt(spread[::-1])
    print("one sigma along all directions:", " ".join(f"{sd:.2f}" for sd in sds))
    wide = [directions[:, -rank] * sds[rank - 1] for rank in (1, 2)]
    off = [_compared("mean", camera_prior._MEAN, _rows(mean))]
    for title, known, found in zip(
        ("widest", "second"), (camera_prior._WIDEST, camera_prior._SECOND), map(_rows, wide), strict=True
    ):
        # A direction has no sign of its own.
        off.append(_compared(title, known, found * np.sign((known * found).sum())))
    print(f"greatest difference {max(off):.4f} (rounding: 0.005)")
    left = np.sqrt(np.maximum(np.diag(np.cov(weights.T)) - np.square(wide).sum(axis=0), 0))
    print(f"one sigma beside the two: {left.min():.2f} to {left.max():.2f}, {left.mean():.2f} on average;", end=" ")
    print(f"the module says {camera_prior._REST_SD:.2f}, {camera_prior._REST_SD / left.mean():.2f} times the average")
    print("\n".join(_line(row) for row in _rows(left)))


def sensitivities(folder: Path) -> dict[str, Floats]:
    """Return the sensitivities (401, 3) of each camera but the one that tests keep to themselves."""
    files = sorted((folder / "data" / "camera").glob("*.json"))
    return {path.stem: _table(path, outside=0.0) for path in files if not path.stem.startswith(KEPT_FOR_TESTS)}


def training(folder: Path) -> Floats:
    """Return the reflectances (190, 401) that the data's authors fit cameras to."""
    return _table(folder / "data" / "training" / "training_spectral.json", outside=None).T


def _table(path: Path, outside: float | None) -> Floats:
    """Return columns (401, K) of a file of spectra; beyond its ends ``outside``, or its end."""
    rows = json.loads(path.read_text(encoding="utf-8"))["spectral_data"]["data"]["main"]
    nm, values = np.array([float(each) for each in rows]), np.array(list(rows.values()), dtype=np.float64)
    return np.stack([np.interp(visible_nm(), nm, column, outside, outside) for column in values.T], axis=1)


def seen_by(camera: Floats, reflectance: Floats, trained: int) -> Iterator[Floats]:
    """Yield cone responses (N, 3) relative to white: of every light by the matrix that it asks for, and of all that
    are no daylight by the matrix for daylight too. Matrices are fitted to the first ``trained`` of the reflectances.
    """
    balanced = {light: _balanced(camera, reflectance, light) for light in LIGHTS}
    by_day, by_lamp = (to_linear_srgb(balanced[light][:trained], reflectance[:trained]) for light in ("D65", "A"))
    cool, warm = _blueness(camera, "D65"), _blueness(camera, "A")
    for light, raw in balanced.items():
        share = float(np.clip((_blueness(camera, light) - warm) / (cool - warm), 0, 1))
        yield _cones(raw @ (by_lamp + share * (by_day - by_lamp)).T)
        if light not in DAYLIGHTS:
            yield _cones(raw @ by_day.T)


def _balanced(camera: Floats, reflectance: Floats, light: str) -> Floats:
    return np.asarray((reflectance * illuminant(light)) @ camera / (illuminant(light) @ camera))


def _blueness(camera: Floats, light: str) -> float:
    """Return the logarithm of blue over red that the camera reads of a light."""
    red, _, blue = illuminant(light) @ camera
    return float(np.log(blue / red))


def _cones(linear_rgb: Floats) -> Floats:
    to_cones = cone_matrix(srgb())
    return np.asarray(linear_rgb @ to_cones.T / to_cones.sum(axis=1))


def fitted(seen: Floats, lab: Floats) -> Floats:
    """Return the weights (15,) that each response gives to the others and to the roots, row by row, with which ``seen``
    (N, 3) comes nearest to ``lab`` (N, 3): by what a chart is judged by, found by a general solver.
    """
    terms = terms_of(np.log(np.maximum(seen, _LEAST)), _TERMS)
    scale, counted = colour_matrix._difference_scale(lab), np.sqrt(colour_matrix._mutedness(lab))[:, None]
    sd = np.where(np.arange(_TERMS) < len(_OTHERS), _RESPONSE_SD, _ROOT_SD)
    believed_sd = np.broadcast_to(sd, _OTHERS.shape)[_OTHERS]

    def missed(weights: Floats) -> Floats:
        free = _rows(weights)
        cones = terms @ free.T + terms[:, :3] * (1 - free.sum(axis=1))
        off = (scale @ (reflectance_lab(np.log(np.maximum(cones, _LEAST))) - lab)[..., None])[..., 0]
        # Huber's loss on the length of a difference: beyond an outlier's it grows as the length, not as its square.
        size = np.maximum(np.linalg.norm(off, axis=1, keepdims=True) / colour_matrix._PATCH_SD, 1e-9)
        beyond = np.maximum(size, colour_matrix._OUTLIER)
        less = np.sqrt(2 * colour_matrix._OUTLIER * beyond - colour_matrix._OUTLIER**2) / beyond
        less = np.where(size > colour_matrix._OUTLIER, less, 1.0)
        return np.concatenate([(counted * less * off / colour_matrix._PATCH_SD).ravel(), weights / believed_sd])

    return np.asarray(least_squares(missed, np.zeros(_OTHERS.sum()), method="lm").x)


def _rows(weights: Floats) -> Floats:
    """Return weights (15,) as they stand in the module, (3, 6): a response's own is 0."""
    rows = np.zeros(_OTHERS.shape)
    rows[_OTHERS] = weights
    return rows


def _compared(title: str, known: Floats, found: Floats) -> float:
    """Print weights as the module has them beside what was found, and return the greatest difference."""
    off = float(np.abs(known - found).max())
    print(f"{title}: the module's | found; greatest difference {off:.4f}")
    for one, other in zip(known, found, strict=True):
        print(f"{_line(one)}   |{_line(other)}")
    return off


def _line(row: Floats) -> str:
    return "".join(f"{each:7.2f}" for each in row.round(2) + 0.0)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
