"""Side by side: against an independent library, and behaviour at and below what people can see."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.description.comparison import VISIBLE_DE00, compare_colours

GREIGE = [76.0, 1.0, 6.0]
VIOLET_GREY = [76.0, 1.5, -3.0]


def test_de00_and_lrv_agree_with_coloraide() -> None:
    """coloraide, an independent library: CIEDE2000 and luminance of CIELAB D65."""
    rng = np.random.default_rng(4)
    for _ in range(40):
        a, b = rng.uniform([20, -30, -30], [95, 30, 30], (2, 3))
        first, second = Color("lab-d65", list(a)), Color("lab-d65", list(b))
        found = compare_colours(a, b)
        assert found.de00 == pytest.approx(first.delta_e(second, method="2000"), abs=1e-3)
        step = 100 * (second.convert("xyz-d65")["y"] - first.convert("xyz-d65")["y"])
        assert found.lrv_difference == pytest.approx(step, abs=1e-3)


def test_greige_is_warmer_than_violet_grey_and_neither_is_lighter() -> None:
    """Common practice, no published source; the three warm-cool models of REFERENCE agree on the hue halves."""
    found = compare_colours(VIOLET_GREY, GREIGE)
    assert found.warmer == "b"
    assert found.lighter is None
    assert found.visible


def test_swapping_the_colours_swaps_the_answer() -> None:
    there, back = compare_colours(VIOLET_GREY, [60.0, -4.0, 4.0]), compare_colours([60.0, -4.0, 4.0], VIOLET_GREY)
    assert (there.lighter, back.lighter) == ("a", "b")
    assert (there.greener, back.greener) == ("b", "a")
    assert there.lrv_difference == pytest.approx(-back.lrv_difference)


def test_a_difference_nobody_sees_names_nobody() -> None:
    found = compare_colours(GREIGE, [76.3, 1.1, 6.2])
    assert found.de00 < VISIBLE_DE00
    assert (found.visible, found.lighter, found.warmer, found.greener) == (False, None, None, None)


def test_published_lrv_takes_precedence() -> None:
    assert compare_colours(GREIGE, GREIGE, lrv_a=50.0, lrv_b=52.0).lrv_difference == pytest.approx(2.0)
