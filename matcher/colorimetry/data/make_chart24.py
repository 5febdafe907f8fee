"""Build ``chart24.csv``, CIELAB D65 of the usual chart of 24 patches, from the tables that colour-science carries.

Run from the repository's root: ``python matcher/colorimetry/data/make_chart24.py``.

The values published for it hold for D50. Adapting them to D65 errs by what a patch's reflectance does that its colour
does not tell; spectra measured on 30 charts of the same kind show that error patch by patch, and it is taken off.
"""

from __future__ import annotations

import csv
import warnings
from pathlib import Path

import numpy as np

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.spaces import WHITE_D65, xyz_to_lab

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

PUBLISHED_VALUES = "ColorChecker24 - After November 2014"
MEASURED_SPECTRA = "BabelColor Average"
NM = np.arange(380.0, 731.0, 10.0)


def tristimulus(light: str) -> np.ndarray:
    """Return XYZ (24, 3) of the measured spectra under ``light``, white Y = 1, and of white (last row)."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    power = colour.SDS_ILLUMINANTS[light]
    weights = np.interp(NM, power.wavelengths, power.values)[:, None] * np.stack(
        [np.interp(NM, observer.wavelengths, column) for column in observer.values.T], axis=1
    )
    patches = colour.SDS_COLOURCHECKERS[MEASURED_SPECTRA].values()
    reflectances = np.stack([np.interp(NM, patch.wavelengths, patch.values) for patch in patches])
    xyz: np.ndarray = np.concatenate([reflectances, np.ones((1, len(NM)))]) @ weights / weights[:, 1].sum()
    return xyz


def main() -> None:
    """Write the table."""
    chart = colour.CCS_COLOURCHECKERS[PUBLISHED_VALUES]
    white = colour.xy_to_XYZ(chart.illuminant)
    adapted = xyz_to_lab(adapt(colour.xyY_to_XYZ(np.array(list(chart.data.values()))), white, WHITE_D65))
    d50, d65 = tristimulus("D50"), tristimulus("D65")
    direct = xyz_to_lab(d65[:-1], d65[-1])
    by_adaptation = xyz_to_lab(adapt(d50[:-1], d50[-1], WHITE_D65))
    lab = adapted + direct - by_adaptation
    with (Path(__file__).parent / "chart24.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["row", "column", "L", "a", "b"])
        for index, values in enumerate(lab):
            writer.writerow([index // 6, index % 6, *(f"{value:.3f}" for value in values)])


if __name__ == "__main__":
    main()
