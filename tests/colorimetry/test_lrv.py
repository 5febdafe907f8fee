"""LRV is 100 Y: CIE 015:2018's lightness, inverted by hand."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from matcher.colorimetry.lrv import lightness_from_lrv, lrv


@pytest.mark.parametrize(
    ("lightness", "expected"),
    # 100 ((L* + 16) / 116)^3, and L* / 9.0330 up to L* = 8, three decimals (CIE 015:2018 eq. 8.3 to 8.6).
    [(8, 0.886), (20, 2.989), (40, 11.251), (50, 18.419), (70, 40.749), (76, 49.887), (85, 66.007), (95, 87.618)],
)
def test_lrv_from_lightness_cie_015_2018(lightness: float, expected: float) -> None:
    assert lrv([lightness, 12.0, -7.0]) == pytest.approx(expected, abs=0.5e-3)


def test_grey_card_of_18_percent_is_lightness_49_5() -> None:
    assert lightness_from_lrv(18.0) == pytest.approx(49.496, abs=0.5e-3)


def test_lrv_agrees_with_coloraide() -> None:
    for lightness in np.linspace(0, 100, 41):
        theirs = Color("lab-d65", [float(lightness), 0, 0]).convert("xyz-d65")["y"]
        assert lrv([lightness, 0, 0]) == pytest.approx(100 * theirs, abs=1e-9)


@given(st.floats(0, 100))
def test_lrv_round_trips(value: float) -> None:
    assert lrv([float(lightness_from_lrv(value)), 0, 0]) == pytest.approx(value, abs=1e-9)
