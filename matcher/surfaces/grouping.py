"""The dominant colours of a surface: how many there are, where they lie, and what share each takes.

Pixels come freed of shading. Many small groups are found first; groups that cannot be told apart are joined; groups
that are only the mixture of two others along their common edge are given back to them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.surfaces.robust import middle
from matcher.surfaces.shading import group_colours

_SEEDS = 8
_SAMPLES = 2400
_CORE_SHARE = 0.6  # of the sample: the smoothest pixels, which lie inside one material

# Assumptions. Two colours of one surface closer than this are read as one material's texture (CIELAB's just
# noticeable difference is 2.3, Mahy et al. 1994; timber and stone vary by more than that within one board or grain).
SAME_MATERIAL_DE00 = 3.2
_SAME_NOISE_SIGMAS = 3.2
_LEAST_NOISE = 0.04  # Lab units squared, so that a flat direction is not infinitely sure
_SMALLEST_SHARE = 0.025
_FEWEST_CORE = 20
_ON_SEGMENT_DE = 3.0
_MIXTURE_CORE = 0.35  # a mixture has fewer smooth pixels than this times what its neighbours have


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """``members`` (N,) the pixels nearest to it, ``core`` (N,) those of them inside one material; ``share`` 0..1."""

    members: NDArray[np.bool_]
    core: NDArray[np.bool_]
    share: float


def find_groups(lab: Floats, roughness: NDArray[np.uint8], noise: Floats, rng: np.random.Generator) -> list[Group]:
    """Return the colours of ``lab`` (N, 3), largest share first; ``noise`` (3, 3) is the covariance of a pixel."""
    chosen = rng.permutation(len(lab))[:_SAMPLES]
    sample, rough = lab[chosen], roughness[chosen]
    centres: Floats
    sizes: Floats
    smooth: Floats
    rank = int(_CORE_SHARE * (len(rough) - 1))
    limit = np.partition(rough, rank)[rank]
    core = rough <= limit
    labels = group_colours(sample[core], _SEEDS)
    centres = _centres(sample[core], labels)
    nearest = _nearest(sample, centres)
    counts = np.bincount(nearest, minlength=len(centres))
    smooth = np.bincount(nearest, weights=core, minlength=len(centres)) / np.maximum(counts, 1)
    sizes = counts / len(sample)
    # Joined groups have another middle, which may lie near one that neither of them was near.
    before = len(centres) + 1
    while before > len(centres):
        before = len(centres)
        centres, sizes, smooth = _join(centres, sizes, smooth, noise)
    return _groups(lab, roughness <= limit, centres[_real(centres, sizes, smooth)])


def _centres(lab: Floats, labels: NDArray[np.intp]) -> Floats:
    return np.stack([middle(lab[labels == i]) for i in np.unique(labels)])


def _nearest(lab: Floats, centres: Floats) -> NDArray[np.intp]:
    # |x - c|^2 without the |x|^2 that is the same for every centre.
    centres = centres.astype(lab.dtype)
    distance = (centres**2).sum(axis=1)[:, None] - 2 * centres @ lab.T
    nearest: NDArray[np.intp] = distance.argmin(axis=0)
    return nearest


def _join(centres: Floats, sizes: Floats, smooth: Floats, noise: Floats) -> tuple[Floats, Floats, Floats]:
    """Join groups that one material's texture, or the ``noise`` (3, 3), could set apart, weighted by their sizes."""
    if len(centres) < 2:
        return centres, sizes, smooth
    step = centres[:, None] - centres
    by_noise = np.sqrt(np.einsum("abi,ij,abj->ab", step, np.linalg.inv(noise + _LEAST_NOISE * np.eye(3)), step))
    by_texture = delta_e_2000(centres[:, None], centres)
    apart = np.minimum(by_texture / SAME_MATERIAL_DE00, by_noise / _SAME_NOISE_SIGMAS)
    if (apart + np.eye(len(apart))).min() >= 1:
        return centres, sizes, smooth
    label = linked(apart, 1.0)
    weights = sizes + 1e-9
    total: Floats = np.bincount(label, weights=weights).astype(float)
    joined = [np.bincount(label, weights=weights * column) / total for column in (*centres.T, smooth)]
    return np.stack(joined[:3], axis=1), total, joined[3]


def linked(distance: Floats, limit: float) -> NDArray[np.intp]:
    """Return labels from 0 of what average linkage (N, N) joins below ``limit``: the nearest two clusters first, by the
    mean distance of their members.

    Written out for a handful of groups: scipy.cluster brings all of scipy.spatial along, which takes longer to import
    than a room to measure.
    """
    apart = np.where(np.eye(len(distance), dtype=bool), np.inf, distance)
    sizes = np.ones(len(distance))
    label = np.arange(len(distance))
    while len(distance) > 1:
        one, other = sorted(divmod(int(apart.argmin()), len(apart)))
        if not apart[one, other] < limit:
            break
        mean = (sizes[one] * apart[one] + sizes[other] * apart[other]) / (sizes[one] + sizes[other])
        mean[one] = np.inf
        apart[one], apart[:, one] = mean, mean
        apart[other], apart[:, other] = np.inf, np.inf
        sizes[one] += sizes[other]
        label[label == other] = one
    return np.unique(label, return_inverse=True)[1]


def _real(centres: Floats, sizes: Floats, smooth: Floats) -> NDArray[np.bool_]:
    """Tell which groups are materials: large enough, and no mere mixture of two larger or purer ones."""
    keep = sizes >= _SMALLEST_SHARE
    if not keep.any():
        keep[int(sizes.argmax())] = True
    a, b = np.triu_indices(len(centres), 1)
    purer = smooth[:, None] < _MIXTURE_CORE * np.maximum(smooth[a], smooth[b])
    mixture = purer & _between(centres, centres[a], centres[b])
    for j in np.argsort(sizes):
        keep[j] &= not (mixture[j] & keep[a] & keep[b]).any()
    return keep


def _between(points: Floats, a: Floats, b: Floats) -> NDArray[np.bool_]:
    """Tell (N, P) which ``points`` (N, 3) lie on the way from ``a`` to ``b`` (P, 3) but at neither."""
    axis = b - a
    way = points[:, None] - a
    t = (way * axis).sum(axis=-1) / (axis**2).sum(axis=-1)
    off = np.linalg.norm(way - t[..., None] * axis, axis=-1)
    between: NDArray[np.bool_] = (t > 0.1) & (t < 0.9) & (off < _ON_SEGMENT_DE)
    return between


def _groups(lab: Floats, core: NDArray[np.bool_], centres: Floats) -> list[Group]:
    nearest = _nearest(lab, centres)
    found = []
    for i in range(len(centres)):
        members = nearest == i
        if not members.any():
            continue
        inner = members & core
        enough = np.count_nonzero(inner) >= _FEWEST_CORE
        found.append(Group(members, inner if enough else members, float(members.mean())))
    return sorted(found, key=lambda group: -group.share)
