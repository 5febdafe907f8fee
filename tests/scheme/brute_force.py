"""Every combination of a small deck at once, with wishes checked as a person would read them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from matcher.scheme.web import Web
from matcher.scheme.wishes import Wish

Every = Mapping[str, np.ndarray]  # the row of each place in every combination


def best_value(web: Web, wishes: Sequence[Wish], lrv: np.ndarray) -> float:
    """Return the best value of all choices that keep every wish, minus infinity where none does."""
    rows = _every(web)
    kept = np.logical_and.reduce([_keeps(wish, rows, lrv) for wish in wishes]) if wishes else np.True_
    alone = sum(own[rows[place]] for place, own in web.own.items())
    pairs = sum(link.worth(rows[one], rows[other]) for (one, other), link in web.links.items())
    return float(np.where(kept, alone + pairs, -np.inf).max())


def fewest_to_give(web: Web, wishes: Sequence[Wish], lrv: np.ndarray) -> int:
    """Return how many wishes have to be given up at least."""
    rows = _every(web)
    kept = [_keeps(wish, rows, lrv) for wish in wishes]
    for count in range(len(kept), 0, -1):
        if any(np.logical_and.reduce(some).any() for some in combinations(kept, count)):
            return len(kept) - count
    return len(kept)


def _every(web: Web) -> Every:
    count = len(next(iter(web.own.values())))
    grid = np.indices((count,) * len(web.places)).reshape(len(web.places), -1)
    return dict(zip(web.places, grid, strict=True))


def _keeps(wish: Wish, rows: Every, lrv: np.ndarray) -> np.ndarray:
    chosen = [rows[place] for place in wish.places]
    if wish.kind == "contrast":
        step = np.abs(lrv[chosen[0]].round(1) - lrv[chosen[1]].round(1))
        return np.asarray((step >= wish.number("least") - 1e-6) & (step <= wish.number("most") + 1e-6))
    if wish.kind in ("most-paints", "one-trim"):
        most = wish.number("most") if wish.kind == "most-paints" else 1
        different = 1 + (np.diff(np.sort(chosen, axis=0), axis=0) > 0).sum(axis=0)
        return np.asarray(different <= most)
    assert wish.keeps is not None
    return np.logical_and.reduce([wish.keeps[one] for one in chosen])
