"""Photos of one surface that cannot both be right are told from those that may, and their doubt grows."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chi2

from matcher.surfaces.combining import combine
from matcher.surfaces.contradiction import contradictions, excess_of
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import SurfaceColour


def reading(*labs: tuple[float, float, float], sd: float = 1.0, name: str = "floor") -> SurfaceReading:
    """Colours of equal shares, each with the same sigma along L*, a* and b*."""
    colours = tuple(SurfaceColour(np.array(lab), sd**2 * np.eye(3), 1 / len(labs), "field") for lab in labs)
    return SurfaceReading(name, "tile", colours, 1e3, 1e4, whole_room=False, own_card=True, colour_drift=0.0)


@pytest.mark.parametrize(("share", "contradicts"), [(0.998, False), (0.9992, True)])
def test_the_limit_is_that_of_chi_squared(share: float, contradicts: bool) -> None:
    """scipy: 99.9 % of the differences of two readings with sigma 1 are shorter than the root of 2 x chi2(3)."""
    step = float(np.sqrt(2 * chi2.ppf(share, 3)))
    found = contradictions([("a.jpg", reading((60, 4, 8))), ("b.jpg", reading((60 + step, 4, 8)))])
    assert bool(found) is contradicts


def test_the_worst_pair_of_each_surface_is_named() -> None:
    read = [
        ("a.jpg", reading((60, 4, 8))),
        ("b.jpg", reading((70, 4, 8))),
        ("c.jpg", reading((80, 4, 8))),
        ("c.jpg", reading((20, 0, 0), name="hearth")),
    ]
    (found,) = contradictions(read)
    assert (found.name, found.photos) == ("floor", ("a.jpg", "c.jpg"))
    assert found.apart > 10


def test_a_mottled_surface_whose_colours_change_places_agrees_with_itself() -> None:
    light, dark = (80.0, 0.0, 6.0), (40.0, 0.0, 2.0)
    assert contradictions([("a.jpg", reading(light, dark)), ("b.jpg", reading(dark, light))]) == ()


def test_the_combined_doubt_reaches_both() -> None:
    """Each lies half the step from the mean: 1.7 sigmas once the variance is widened as Birge does (by hand)."""
    a, b = reading((60, 4, 8)), reading((80, 4, 8))
    combined = combine([a, b], 1.0).colours[0]
    assert combined.lab[0] == pytest.approx(70)
    assert 10 / np.sqrt(combined.covariance[0, 0]) == pytest.approx(np.sqrt(3), rel=0.01)
    assert excess_of(a, reading((61, 4, 8))) == 1
