"""Rows that look the same, and rows that look alike, in groups."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.web import Groups, Rows

FloatArray = NDArray[np.floating[Any]]


def same(looks: FloatArray) -> Groups:
    """The places of (N, columns) in groups that look the same."""
    # Equal rows have equal sums; where others have the same, a group may be told in several.
    order = np.argsort(sum(column.astype(np.float64) * (place + np.pi) for place, column in enumerate(looks.T)))
    changes = (np.diff(looks[order], axis=0) != 0).any(axis=1)
    return Groups(order, np.flatnonzero(np.concatenate([[True], changes])))


def alike(looks: FloatArray) -> Groups:
    """The places of (N, columns) in groups of one size, about the cube root of N, that look alike: parts of equal size
    by one column, each parted by the next. The last place fills up the group that would be short.
    """
    count, columns = looks.shape
    parts = round(count ** (2 / 3 / columns))
    groups = parts**columns
    places = np.minimum(np.arange(-(-count // groups) * groups), count - 1).reshape(1, -1)
    for column in looks.T:
        size = places.shape[1] // parts
        order = np.argpartition(column[places], np.arange(1, parts) * size, axis=1)
        places = np.take_along_axis(places, order, axis=1).reshape(-1, size)
    return Groups(places.ravel(), np.arange(0, places.size, places.shape[1]))


def each_of(groups: Groups, told: Rows) -> tuple[Rows, Rows]:
    """Of the groups that are ``told``, in their order, the size of each and the rows of all."""
    sizes = groups.sizes()[told]
    ends = np.cumsum(sizes)
    within = np.arange(sizes.sum()) - np.repeat(ends - sizes, sizes)
    return sizes, groups.rows[np.repeat(groups.starts[told], sizes) + within]


def runs(values: Rows) -> Rows:
    """Where among values each run of equal ones starts."""
    return np.flatnonzero(np.diff(values, prepend=-1))
