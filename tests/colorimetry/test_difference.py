"""CIEDE2000 against the authors' table and an independent library."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.difference import delta_e_2000, hyab

TABLE = Path(__file__).parents[1] / "data" / "sharma_wu_dalal_2005_table_1.csv"
HALF_LAST_DIGIT = 0.5e-4


def sharma_wu_dalal() -> list[tuple[list[float], list[float], float]]:
    with TABLE.open(encoding="utf-8", newline="") as stream:
        rows = [[float(cell) for cell in row[1:]] for row in list(csv.reader(stream))[1:]]
    return [(row[:3], row[3:6], row[6]) for row in rows]


def test_table_is_whole() -> None:
    assert len(sharma_wu_dalal()) == 34


@pytest.mark.parametrize(("lab1", "lab2", "expected"), sharma_wu_dalal())
def test_delta_e_2000_sharma_wu_dalal_2005_table_1(lab1: list[float], lab2: list[float], expected: float) -> None:
    assert delta_e_2000(lab1, lab2) == pytest.approx(expected, abs=HALF_LAST_DIGIT)
    assert delta_e_2000(lab2, lab1) == pytest.approx(expected, abs=HALF_LAST_DIGIT)


def test_delta_e_2000_agrees_with_coloraide_over_a_random_grid() -> None:
    rng = np.random.default_rng(20050101)
    labs = rng.uniform([0, -100, -100], [100, 100, 100], (400, 2, 3))
    labs[200:] *= [1, 0.08, 0.08]  # near-neutrals, where hue terms are delicate
    theirs = [Color("lab-d65", pair[0]).delta_e(Color("lab-d65", pair[1]), method="2000") for pair in labs]
    np.testing.assert_allclose(delta_e_2000(labs[:, 0], labs[:, 1]), theirs, rtol=0, atol=1e-9)


def test_float32_stays_float32_and_close_for_colours_a_deck_holds() -> None:
    rng = np.random.default_rng(7)
    deck = rng.uniform([20, -30, -30], [98, 30, 50], (3000, 1, 3))
    surfaces = rng.uniform([20, -20, -10], [95, 25, 40], (1, 12, 3))
    single = delta_e_2000(deck.astype(np.float32), surfaces.astype(np.float32))
    assert single.dtype == np.float32
    assert single.shape == (3000, 12)
    # The hue mean jumps where two hues lie 180 degrees apart (Sharma et al., sec. 4): the last pairs may differ more.
    difference = np.abs(single - delta_e_2000(deck, surfaces))
    assert np.quantile(difference, 0.999) < 2e-4


def test_same_colour_is_zero_and_nan_stays_nan() -> None:
    colours = np.random.default_rng(3).uniform([0, -90, -90], [100, 90, 90], (500, 3))
    np.testing.assert_array_equal(delta_e_2000(colours, colours), 0)
    assert np.isnan(delta_e_2000([np.nan, 0, 0], [50, 1, 1]))


def test_grey_axis_is_symmetric_around_mid_grey() -> None:
    # At L* = 50 the lightness weight is 1, so equal steps up and down from it are equal and greys have no other term.
    assert delta_e_2000([45, 0, 0], [50, 0, 0]) == pytest.approx(delta_e_2000([55, 0, 0], [50, 0, 0]), abs=1e-12)


def test_hyab_abasi_et_al_2020_definition() -> None:
    assert hyab([50, 3, 0], [60, 0, 4]) == pytest.approx(10 + 5)
