"""What no white balance can undo: ``python -m tests.benchmarks.camera_limit``.

For each lamp the 3 x 3 matrix (white kept white) is sought that leaves the smallest 90th percentile of dE00 on the very
spectra it is judged on: muted chart patches and colour evaluation samples through a real camera (see
tests/calibration/spectral_camera.py). A calibration that knows only a grey card cannot do better, and one that does as
well would have to know the lamp, the camera and these spectra.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import minimize

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, xyz_to_lab
from tests.calibration.spectral_camera import CARD_REFLECTANCE, NIKON, camera, grey_card, spectra, true_lab
from tests.calibration.test_camera_simulation import LIGHTS, errors, muted

_POWERS = (1, 2, 4, 8)  # from the mean towards the worst: each start for the next
_LAST_ROUNDS = 4


def main() -> None:
    """Print each lamp's floor beside what the project reaches, then all lamps together."""
    floors, ours = [], errors(NIKON, "all")
    for light, reached in zip(LIGHTS, ours, strict=True):
        floors.append(_best(light))
        print(f"{light:<7} best matrix {np.quantile(floors[-1], 0.9):5.2f}   ours {np.quantile(reached, 0.9):5.2f}")
    print(f"all     best matrix {np.quantile(np.concatenate(floors), 0.9):5.2f}   ours {np.quantile(ours, 0.9):5.2f}")


def _best(light: str) -> Floats:
    """Return dE00 (N,) of the muted spectra under the matrix with the smallest 90th percentile that was found."""
    shot, chosen = camera(NIKON), muted("all")
    white = shot.linear_rgb(grey_card(), light)[0] / CARD_REFLECTANCE
    rgb, truth = (shot.linear_rgb(spectra("all"), light) / white)[chosen], true_lab(spectra("all"))[chosen]

    def left(free: Floats) -> Floats:
        two = free.reshape(3, 2)
        matrix = np.column_stack([two, 1 - two.sum(axis=1)])
        return delta_e_2000(xyz_to_lab(np.maximum(linear_srgb_to_xyz(rgb @ matrix.T), 1e-5)), truth)

    free = np.array([1.0, 0, 0, 1, 0, 0])
    options = {"maxiter": 6000, "maxfev": 6000, "xatol": 1e-5, "fatol": 1e-5}
    for power in _POWERS:
        free = minimize(
            lambda f, p=power: float(np.mean(left(f) ** p) ** (1 / p)), free, method="Nelder-Mead", options=options
        ).x
    for _ in range(_LAST_ROUNDS):
        free = minimize(lambda f: float(np.quantile(left(f), 0.9)), free, method="Nelder-Mead", options=options).x
    return left(free)


if __name__ == "__main__":
    main()
