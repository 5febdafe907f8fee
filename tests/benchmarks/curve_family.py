"""How near the family of tone curves comes to measured ones: ``python -m tests.benchmarks.curve_family FILE``.

FILE is a table of the mean and components of measured camera response functions (Grossberg & Nayar 2004, IEEE TPAMI
26(10):1272-1282), comma-separated with one line of names: irradiance, mean, components; irradiance and response 0..1.
The project does not carry it. For the mean, and the mean with each component added and taken off, prints the strengths
of the nearest curve and what it misses, as the logarithm of light: at the median, the 90th percentile and at most.
"""

from __future__ import annotations

import sys

import numpy as np

from tests.calibration.curve_shapes import nearest_strengths, rises

_WEIGHTS = (-0.7, 0.7)


def main(path: str) -> None:
    """Print the table."""
    table = np.loadtxt(path, delimiter=",", skiprows=1)
    irradiance, mean, components = table[:, 0], table[:, 1], table[:, 2:]
    shapes = {"mean": mean}
    for index, component in enumerate(components.T):
        shapes |= {f"component {index + 1} {weight:+}": mean + weight * component for weight in _WEIGHTS}
    print(f"{'':<20} {'strengths':<38} {'median':>7} {'90 %':>6} {'most':>6}")
    for name, response in shapes.items():
        if not rises(response):
            print(f"{name:<20} does not rise: no camera's")
            continue
        strengths, missed = nearest_strengths(irradiance, response)
        off = np.abs(missed)
        print(
            f"{name:<20} {' '.join(f'{s:+.2f}' for s in strengths):<38} {np.median(off):>7.3f}"
            f" {np.quantile(off, 0.9):>6.3f} {off.max():>6.3f}"
        )


if __name__ == "__main__":
    main(sys.argv[1])
