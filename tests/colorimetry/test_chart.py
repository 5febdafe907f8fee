"""The chart's table against colour-science, which carries the published values and spectra measured by others."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from matcher.colorimetry.chart import GREYS, chart_lab, chart_xyz
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message='"Matplotlib" related API features', category=Warning)
    import colour


def of_chromaticities(name: str, transform: str) -> Floats:
    """CIELAB D65 of a chart's D50 values, adapted by colour-science."""
    chart = colour.CCS_COLOURCHECKERS[name]
    xyz = colour.xyY_to_XYZ(np.array(list(chart.data.values())))
    white = colour.xy_to_XYZ(chart.illuminant)
    return xyz_to_lab(colour.chromatic_adaptation(xyz, white, WHITE_D65, transform=transform))


@pytest.mark.parametrize("transform", ["Bradford", "CAT02"])
def test_the_values_published_since_november_2014_adapted_to_d65(transform: str) -> None:
    """Limits: what adaptations differ by among themselves; 0.5 at the median, 1.5 at most (measured on spectra)."""
    de00 = delta_e_2000(chart_lab(), of_chromaticities("ColorChecker24 - After November 2014", transform))
    assert np.median(de00) < 0.7
    assert de00.max() < 1.8


def test_no_other_edition_is_nearer_than_charts_differ() -> None:
    """The edition before November 2014, and the mean of 30 charts measured in 2012."""
    for name in ("ColorChecker24 - Before November 2014", "BabelColor Average"):
        de00 = delta_e_2000(chart_lab(), of_chromaticities(name, "Bradford"))
        assert 0.3 < np.median(de00) < 1.5


def test_the_greys_come_last_white_first_and_are_nearly_neutral() -> None:
    greys = chart_lab()[GREYS]
    assert (np.diff(greys[:, 0]) < 0).all()
    assert np.hypot(greys[:, 1], greys[:, 2]).max() < 3.6
    # Densities printed in the chart's own names: .05, .23, .44, .70, 1.05, 1.50.
    densities = [float(name.split("(")[1].split(" D")[0]) for name in _names()[18:]]
    np.testing.assert_allclose(-np.log10(chart_xyz()[GREYS][:, 1]), densities, atol=0.03)


def _names() -> list[str]:
    return list(colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"].data)
