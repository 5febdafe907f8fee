"""Near misses: common practice, no published source."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.harmony.near_miss import cleanness_clash, near_miss_white
from matcher.harmony.tint import tint


def _tint(lab: tuple[float, float, float]) -> object:
    return tint(np.array(lab))


@pytest.mark.parametrize(
    ("first", "second", "fight"),
    [
        ((94.0, 0, 1), (94.0, 0, 1.5), False),  # the same white
        ((93.0, 0, 1), (92.0, 0.5, 8), True),  # cream beside white tile
        ((94.0, -1, -3), (91.0, 0.5, 4), True),  # icy beside soft white
        ((94.0, 0, 1), (76.0, 1, 6), False),  # white beside greige: clearly another colour
        ((94.0, 0, 1), (88.0, 2, 26), False),  # white beside a yellow
    ],
)
def test_two_whites(first: tuple[float, float, float], second: tuple[float, float, float], fight: bool) -> None:
    found = float(near_miss_white(_tint(first), _tint(second)))
    assert found > 0.4 if fight else found < 0.05
    assert found == float(near_miss_white(_tint(second), _tint(first)))


def test_a_clean_yellow_dirties_travertine_and_a_muted_cream_does_not() -> None:
    travertine = _tint((78.0, 4, 14))
    assert float(cleanness_clash(_tint((86.0, 2, 32)), travertine)) > 0.5
    assert float(cleanness_clash(_tint((86.0, 2, 12)), travertine)) < 0.05


def test_a_much_darker_brown_is_no_rival_of_a_beige() -> None:
    assert float(cleanness_clash(_tint((35.0, 10, 20)), _tint((78.0, 4, 14)))) < 0.01
