"""First-order doubts against a Monte Carlo simulation (numpy), with coloraide as the colour difference."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.report.doubt import de00_sd, lrv_sd

LAB = np.array([70.0, 3.0, 8.0])
COVARIANCE = np.array([[1.5, 0.2, 0.1], [0.2, 0.8, 0.3], [0.1, 0.3, 1.1]])
DRAWS = np.random.default_rng(7).multivariate_normal(LAB, COVARIANCE, 3000)


def test_lrv_sd_is_the_spread_of_drawn_luminances() -> None:
    luminance = 100 * ((DRAWS[:, 0] + 16) / 116) ** 3  # CIE 015:2018
    assert lrv_sd(LAB, COVARIANCE) == pytest.approx(luminance.std(), rel=0.05)


def test_de00_sd_is_the_root_mean_square_of_drawn_differences() -> None:
    truth = Color("lab-d65", list(LAB))
    de00 = [truth.delta_e(Color("lab-d65", list(draw)), method="2000") for draw in DRAWS[:600]]
    assert de00_sd(LAB, COVARIANCE) == pytest.approx(np.sqrt(np.mean(np.square(de00))), rel=0.1)


def test_no_doubt_is_none() -> None:
    assert lrv_sd(LAB, np.zeros((3, 3))) == 0
    assert de00_sd(LAB, np.zeros((3, 3))) == 0
