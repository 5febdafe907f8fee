"""The lighter companion of a paint: only in a dim room, only of the same undertone."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.light.companion import lighter_companion

GREIGE = [70.0, 1.0, 6.0]
DECK = np.array([GREIGE, [82.0, 0.7, 4.4], [82.0, -3.0, 0.5], [82.0, 1.5, -3.0], [74.0, 1.0, 5.5], [97.0, 0.2, 1.0]])


def test_the_one_of_the_same_undertone_is_taken() -> None:
    found = lighter_companion(np.array(GREIGE), float(lrv(GREIGE)), 0.2, DECK, lrv(DECK))
    assert found is not None
    assert found.row == 1
    # CIE 015: Y of L* 82 is 60.3, of L* 70 40.7.
    assert found.lrv_difference == pytest.approx(60.27 - 40.75, abs=0.05)


@pytest.mark.parametrize(
    ("lab", "level", "deck"),
    [
        (GREIGE, 0.8, DECK),  # light enough
        (GREIGE, 0.2, DECK[:1]),  # a deck of one
        (GREIGE, 0.2, DECK[[0, 2, 3]]),  # lighter ones lean elsewhere
        ([25.0, 0.5, 2.0], 0.1, DECK),  # deep on purpose
        ([95.0, 0.3, 2.0], 0.1, DECK),  # a white
        ([0.0, 0.0, 0.0], 0.0, DECK),  # black
    ],
)
def test_otherwise_there_is_none(lab: list[float], level: float, deck: np.ndarray) -> None:
    assert lighter_companion(np.array(lab), float(lrv(lab)), level, deck, lrv(deck)) is None


def test_a_true_grey_has_a_grey_companion() -> None:
    deck = np.array([[70.0, 0.0, 0.0], [82.0, 0.1, -0.1], [82.0, 1.0, 6.0]])
    found = lighter_companion(deck[0], float(lrv(deck[0])), 0.2, deck, lrv(deck))
    assert found is not None
    assert found.row == 1
