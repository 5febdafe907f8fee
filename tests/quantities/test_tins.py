"""Tins: the least left over, then the fewest, against trying every combination."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.quantities.tins import COMMON_TINS, tins_for
from matcher.quantities.units import LITRES_PER_GALLON, LITRES_PER_QUART

SIZES = st.lists(st.sampled_from([0.25, 0.5, 0.75, 1.0, 2.0, 2.5, 4.0, 5.0, 10.0]), min_size=1, max_size=4, unique=True)


def _tried(need: float, sizes: list[float]) -> tuple[float, int]:
    """Return the least total that is enough and the fewest tins that make it, of every combination."""
    most = [math.ceil(need / size) for size in sizes]
    combinations = itertools.product(*(range(number + 1) for number in most))
    sums = ((sum(n * s for n, s in zip(counts, sizes, strict=True)), sum(counts)) for counts in combinations)
    return min((round(total, 6), tins) for total, tins in sums if total >= need - 1e-9)


@settings(max_examples=60, deadline=None)
@given(need=st.integers(1, 60).map(lambda quarters: quarters / 8), sizes=SIZES)
def test_against_every_combination(need: float, sizes: list[float]) -> None:
    found = tins_for(need, sizes)
    assert (sum(tin.litres * tin.count for tin in found), sum(tin.count for tin in found)) == pytest.approx(
        _tried(need, sizes)
    )


def test_largest_first_and_each_once() -> None:
    found = tins_for(9.2, (5.0, 1.0, 2.5))
    assert [(tin.litres, tin.count) for tin in found] == [(5.0, 1), (2.5, 1), (1.0, 2)]


def test_no_paint_and_a_tin_that_is_just_enough() -> None:
    assert tins_for(0.0, (1.0,)) == ()
    assert tins_for(5.0000000001, (1.0, 2.5, 5.0)) == tins_for(5.0, (5.0,))
    assert tins_for(0.001, (2.5,)) == tins_for(2.5, (2.5,))


@pytest.mark.parametrize("quart", [LITRES_PER_QUART, 0.946])
def test_four_quarts_are_a_gallon(quart: float) -> None:
    """In whole millilitres they differ by one, which is nobody's left-over paint."""
    gallon = 4 * LITRES_PER_QUART if quart == LITRES_PER_QUART else 3.785
    found = tins_for(14.1, (quart, gallon))
    assert [tin.count for tin in found] == [3, 3]
    assert [tin.litres for tin in found] == [gallon, quart]


def test_a_palace_is_counted_too() -> None:
    found = tins_for(8500.3, COMMON_TINS["metric"])
    total = sum(tin.litres * tin.count for tin in found)
    assert total == pytest.approx(8500.5)
    assert sum(tin.litres * tin.count for tin in tins_for(9000, (LITRES_PER_GALLON,))) >= 9000
