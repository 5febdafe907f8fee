"""What each colour and each surface counts, by the definitions beside the numbers."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.ranking.givens import gather
from tests.ranking.conftest import MakeSurface


def test_a_vein_of_a_twentieth_counts_as_a_seventh(make_surface: MakeSurface) -> None:
    """Shares to the power 0.6: 5 % as 14 %; they sum to one whatever the colours add up to."""
    for whole in (1.0, 0.5):
        givens = gather([make_surface("stone", (0.95 * whole, 70, 1, 6), (0.05 * whole, 40, 2, 8))])
        np.testing.assert_allclose(givens.mean_weight, [1 - 0.145, 0.145], atol=0.006)
        np.testing.assert_allclose(givens.share, [0.95, 0.05], atol=1e-12)
        assert float(givens.mean_weight.sum()) == pytest.approx(1, abs=1e-6)


def test_a_surface_counts_by_how_much_of_it_is_seen(make_surface: MakeSurface) -> None:
    """In proportion; of less than a fiftieth nothing is seen by itself, of an eighth and more it is in full."""
    parts = {"floor": 3.0, "lamp": 0.05, "tile": 0.35, "worktop": 1.6}
    givens = gather([make_surface(name, (1.0, 60, 2, 8), visibility=part) for name, part in parts.items()])
    np.testing.assert_allclose(givens.visibility, np.array(list(parts.values())) / 5, atol=1e-7)
    seen = dict(zip(parts, givens.surface_seen.tolist(), strict=True))
    assert (seen["lamp"], seen["floor"], seen["worktop"]) == (0, 1, 1)
    assert seen["tile"] == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_the_worst_counts_beside_the_mean(share: float, make_surface: MakeSurface) -> None:
    """By hand: the mean of 0.4 and -0.2 by equal parts is 0.1, and the worst lies 0.3 below; where all are alike there
    is nothing worse, and what hardly shows can hardly be worse.
    """
    even = gather([make_surface("stone", (0.5, 70, 1, 6), (0.5, 40, 2, 8))])
    found = even.within(0, [np.array([0.4]), np.array([-0.2])], share)
    np.testing.assert_allclose(found, 0.1 - share * 0.3, atol=1e-6)
    np.testing.assert_allclose(even.within(0, [np.array([0.4]), np.array([0.4])], share), 0.4, atol=1e-6)
    # A fleck of 3.5 % is seen half (from 1 % to 6 %).
    fleck = gather([make_surface("stone", (0.965, 70, 1, 6), (0.035, 40, 2, 8))])
    main, small = (float(each) for each in fleck.mean_weight)
    found = fleck.within(0, [np.array([0.4]), np.array([-0.2])], share)
    np.testing.assert_allclose(found, 0.4 - 0.6 * small - share * 0.5 * 0.6 * main, atol=1e-6)
    rooms = gather([make_surface("floor", (1.0, 60, 2, 8)), make_surface("tile", (1.0, 80, 2, 8))])
    np.testing.assert_allclose(rooms.among([np.array([0.4]), np.array([-0.2])], share), 0.1 - share * 0.3, atol=1e-6)
