"""The doubt of conversions against measured spectra under each light and observer."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.exchange.conversion import lab_to_lab_d65
from matcher.instrument.doubt import conversion_sd


@pytest.fixture(scope="module")
def labs() -> dict[tuple[str, int], np.ndarray[Any, Any]]:
    """CIELAB of 99 spectra of TM-30 and 48 chart patches, all from colour-science, by light and observer."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        from colour.quality.cfi2017 import load_TCS_CIE2017

        shape = colour.SpectralShape(380, 780, 5)
        bands = np.arange(380, 781, 5)
        spectra = [*load_TCS_CIE2017(shape).values.T]
        for name in ("ISO 17321-1", "BabelColor Average"):
            spectra += [np.interp(bands, s.wavelengths, s.values) for s in colour.SDS_COLOURCHECKERS[name].values()]
        found = {}
        for degrees, observer in ((2, "CIE 1931 2 Degree"), (10, "CIE 1964 10 Degree")):
            matching = colour.MSDS_CMFS[f"{observer} Standard Observer"].copy().align(shape).values
            for light in ("D65", "D50", "C", "A"):
                weights = colour.SDS_ILLUMINANTS[light].copy().align(shape).values[:, None] * matching
                weights = weights / weights[:, 1].sum()
                white = colour.XYZ_to_xy(weights.sum(axis=0))
                found[light, degrees] = colour.XYZ_to_Lab(np.array(spectra) @ weights, white)
    return found


@pytest.mark.parametrize("light", ["D65", "D50", "C", "A"])
@pytest.mark.parametrize("observer", [2, 10])
def test_the_stated_doubt_is_the_error_that_is_left(labs: Any, light: str, observer: int) -> None:
    apart = delta_e_2000(lab_to_lab_d65(labs[light, observer], light, observer), labs["D65", 2])
    stated = conversion_sd(light, observer)
    rms = float(np.sqrt(np.mean(apart**2)))
    assert rms <= 1.1 * stated + 0.05
    if light != "A":
        assert rms >= 0.7 * stated


def test_ten_degrees_are_converted_better_than_left_as_they_are(labs: Any) -> None:
    left = delta_e_2000(labs["D65", 10], labs["D65", 2])
    converted = delta_e_2000(lab_to_lab_d65(labs["D65", 10], "D65", 10), labs["D65", 2])
    assert np.sqrt(np.mean(converted**2)) < 0.5 * np.sqrt(np.mean(left**2))


@pytest.mark.parametrize("lab", [[0, 0, 0], [0, 0, 1], [100, 0, 0], [50, 140, -140], [2, 80, 80], [99, -60, 90]])
def test_colours_that_no_surface_has_stay_near_and_finite(lab: list[float]) -> None:
    found = lab_to_lab_d65(np.array([lab], dtype=float), "D65", 10)
    assert np.isfinite(found).all()
    assert np.abs(found - lab).max() <= 20
