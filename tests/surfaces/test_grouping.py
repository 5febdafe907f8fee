"""Colours join into one material up to a limit, and no further."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import pdist, squareform

from matcher.surfaces.grouping import SAME_MATERIAL_DE00, find_groups, linked


@pytest.mark.parametrize(("part_of_limit", "groups"), [(0.5, 1), (0.9, 1), (1.15, 2), (2.0, 2)])
def test_two_greys_are_one_material_up_to_the_limit(part_of_limit: float, groups: int) -> None:
    """About L* 50 a step in L* alone is as many dE00 (Sharma, Wu & Dalal 2005: S_L is 1 there)."""
    step = part_of_limit * SAME_MATERIAL_DE00
    rng = np.random.default_rng(2)
    lab = np.array([50.0, 0.0, 0.0]) + 0.02 * rng.normal(size=(6000, 3))
    lab[:, 0] += np.where(np.arange(6000) < 3600, -step / 2, step / 2)
    found = find_groups(lab, np.zeros(6000, np.uint8), 1e-4 * np.eye(3), rng)
    assert len(found) == groups
    assert found[0].share == pytest.approx(1.0 if groups == 1 else 0.6, abs=0.01)


def test_a_row_of_near_greys_is_joined() -> None:
    """Eight greys half a limit apart: neighbours are one material, and no two that are left lie within the limit."""
    step, each = SAME_MATERIAL_DE00 / 2, 700
    levels = np.repeat(50 + step * (np.arange(8) - 3.5), each)
    lab = np.column_stack([levels, np.zeros((len(levels), 2))])
    found = find_groups(lab, np.zeros(len(lab), np.uint8), 1e-4 * np.eye(3), np.random.default_rng(3))
    middles = sorted(float(np.median(lab[group.members, 0])) for group in found)
    assert 1 < len(found) <= 4
    assert np.diff(middles).min() > SAME_MATERIAL_DE00


@given(st.integers(1, 9), st.integers(0, 10_000))
def test_linking_is_average_linkage_as_scipy_has_it(count: int, seed: int) -> None:
    points = np.random.default_rng(seed).normal(size=(count, 3))
    distance = squareform(pdist(points)) if count > 1 else np.zeros((1, 1))
    ours = linked(distance, 1.5)
    expected = fcluster(linkage(pdist(points), "average"), 1.5, "distance") if count > 1 else np.ones(1)
    np.testing.assert_array_equal(ours[:, None] == ours, expected[:, None] == expected)
