"""Colours come in single precision from a deck and in whole numbers from a table: what is told of them is what the same
colours tell in double precision. Held against numpy's own conversion, to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from matcher.harmony import agreement, induced, ou_luo, tint, undertone, warmth

Told = Callable[[NDArray[np.generic]], ArrayLike]
OAK, SAGE, SHIFT = np.array([[55.0, 14.0, 28.0], [65.0, -6.0, 10.0], [0.0, 3.0, -2.0]])


def _undertones(labs: NDArray[np.generic]) -> ArrayLike:
    return [(one.hue_deg, one.chroma, one.visibility) for one in undertone.undertones(labs[:200])]


@pytest.mark.parametrize("kind", [np.float32, np.int8])
@pytest.mark.parametrize(
    "told",
    [
        warmth.warm_cool_2004,
        warmth.warm_cool_2018,
        warmth.warm_cool_chang_ou,
        warmth.hue_warmth,
        warmth.warmth,
        tint.own_boundary,
        tint.visibility,
        lambda labs: tint.tint_boundary(labs[:, 1], labs[:, 0]),
        _undertones,
        lambda labs: induced.adjusted_white(labs[2:, 0], labs[1:-1, 0], labs[:-2, 0], 0.1),
        lambda labs: induced.induced_shift(labs, OAK, induced.WEAK),
        lambda labs: induced.induced_shift(SAGE, labs, induced.WEAK),
        lambda labs: induced.push_visibility(labs, np.broadcast_to(SHIFT, labs.shape)),
        lambda labs: induced.push_visibility(SAGE, labs),
        lambda labs: induced.accounts_agree(labs[1:], labs[:-1], labs[1:]),
        lambda labs: induced.brings_out(labs[1:], labs[:-1]),
        lambda labs: induced.brings_out(labs[1:], labs[:-1].astype(float)),
        lambda labs: induced.brings_out(labs[1:].astype(float), labs[:-1]),
    ],
)
def test_single_precision_and_whole_numbers_are_reckoned_in_double(told: Told, kind: type[np.generic]) -> None:
    labs = np.random.default_rng(21).uniform((2, -90, -90), (98, 90, 90), (6000, 3)).astype(kind)
    np.testing.assert_array_equal(told(labs), told(labs.astype(np.float64)))


def test_what_keeps_single_precision_takes_whole_numbers_for_doubles() -> None:
    labs = np.random.default_rng(22).uniform((2, -90, -90), (98, 90, 90), (200, 3)).astype(np.int8)
    exact = labs.astype(np.float64)
    np.testing.assert_array_equal(ou_luo.pair_harmony(labs[1:], labs[:-1]), ou_luo.pair_harmony(exact[1:], exact[:-1]))
    np.testing.assert_array_equal(ou_luo.liking_above_grey(labs), ou_luo.liking_above_grey(exact))
    np.testing.assert_array_equal(
        ou_luo.relative_harmony(labs, OAK.tolist(), 0.0), ou_luo.relative_harmony(exact, OAK, np.zeros(200))
    )
    whole, double = tint.tint(labs), tint.tint(exact)
    for name in double.__slots__:
        assert getattr(whole, name).dtype == np.float64
        np.testing.assert_array_equal(getattr(whole, name), getattr(double, name))


def test_single_precision_is_kept_where_a_deck_is_judged() -> None:
    labs = np.array([SAGE, OAK], dtype=np.float32)
    assert ou_luo.liking_above_grey(labs).dtype == np.float32
    assert ou_luo.relative_harmony(labs, labs, 0.1).dtype == np.float32
    assert agreement.wheel_distance(labs[:, 1], labs[:, 2]).dtype == np.float32
    assert agreement.undertone_agreement(labs, labs).dtype == np.float32
    # Whole degrees of hue have none to keep: 57 steps of the wheel from 47 to 84 degrees, and a part of one.
    assert float(agreement.wheel_distance(47, 84)) == float(agreement.wheel_distance(47.0, 84.0))
