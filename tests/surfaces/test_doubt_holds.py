"""The promise about doubt: the 90 % intervals that are stated hold 85 to 95 % of the truth, no fewer and no more.

True colours are those of the sample rooms (sample_photos/README.md) and of measured spectra through two real cameras
(tests/calibration/spectral_camera.py), so neither is this project's own opinion. Intervals that are too narrow mislead;
intervals that are too wide say nothing: the upper bound is as much of a promise as the lower.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from tests.benchmarks.measurement import SAMPLES
from tests.benchmarks.reliability import LAMPS, QUANTITIES, Found, de00_held, measured, simulated
from tests.benchmarks.truth import truths_in
from tests.calibration.spectral_camera import NIKON, SIGMA

LEAST, MOST = 0.85, 0.95
HOLDS = dict(QUANTITIES)
ACROSS_HUE = "across the hue, near-neutrals"


@pytest.fixture(scope="module")
def sample_colours() -> Sequence[Found]:
    """Every colour of the sample photos that stands for a true one."""
    folders = sorted({path.parent for path in SAMPLES.glob("*/*.truth.json")})
    return [each for folder in folders for truth in truths_in(folder) if truth.cards for each in measured(truth)]


@pytest.fixture(scope="module")
def spectra_colours() -> Sequence[Found]:
    """Muted measured spectra through both cameras, by daylight and lamps."""
    return [each for name in (NIKON, SIGMA) for light in ("D65", "D50", *LAMPS) for each in simulated(name, light)]


def shares(found: Sequence[Found], names: Sequence[str], width: float) -> list[float]:
    """What ``width`` times the stated doubt would hold: of each quantity named, and of whole colours (dE00)."""
    stated = [replace(each, covariance=width**2 * each.covariance) for each in found]
    return [*(HOLDS[name](stated).held(0.9) for name in names), de00_held(stated, 0.9)]


@pytest.mark.parametrize(("kind", "names"), [("sample_colours", ["LRV"]), ("spectra_colours", [ACROSS_HUE])])
def test_nine_in_ten_lie_inside(kind: str, names: list[str], request: pytest.FixtureRequest) -> None:
    found = request.getfixturevalue(kind)
    for share in shares(found, names, 1.0):
        assert LEAST <= share <= MOST


@pytest.mark.parametrize(("kind", "names"), [("sample_colours", ["LRV"]), ("spectra_colours", [ACROSS_HUE])])
def test_other_widths_would_break_the_promise(kind: str, names: list[str], request: pytest.FixtureRequest) -> None:
    """The bounds can be missed on either side: two thirds of the width hold too little, one and a half too much."""
    found = request.getfixturevalue(kind)
    assert min(shares(found, names, 2 / 3)) < LEAST
    assert max(shares(found, names, 3 / 2)) > MOST
