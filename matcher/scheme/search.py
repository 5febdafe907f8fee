"""The best combination of one paint a place, and whether it is proven to be the best of the whole deck.

First the best choice among the leading paints of each place is found. Then the rows that could be part of a better one
are told by bounds (matcher/scheme/bounds.py); the few that are left are searched completely
(matcher/scheme/tables.py), and the result is proven.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from matcher.scheme.bounds import SLACK, Bounds, by_themselves
from matcher.scheme.tables import lay_out, solve
from matcher.scheme.web import FloatArray, Found, Rows, Web

# Paints a place that the first search looks at, and those that promise most by the bounds. Assumptions.
_LEADING, _PROMISING = 24, 48
# So many pairs of rows left, or fewer, are soon gone through.
_FEW_PAIRS = 300_000
# More pairs of rows than this to look at and the proof is not attempted (a second of time): the result then is the best
# that was found.
_MOST_PAIRS = 8_000_000


def leading_rows(own: FloatArray, count: int) -> Rows:
    """The possible rows that are worth most by themselves, as many as the first search looks at, in row order."""
    allowed = np.flatnonzero(np.isfinite(own))
    if len(allowed) <= count:
        return allowed
    values = own[allowed]
    least = np.partition(values, -count)[-count]
    # Ties fall to the earlier row.
    better, equal = allowed[values > least], allowed[values == least]
    return np.sort(np.concatenate([better, equal[: count - len(better)]]))


def best_choice(web: Web, *, known: float = -np.inf) -> Found:
    """The best choice; the whole of the possible rows is covered where it can be.

    ``known``: a value that can be reached otherwise; where nothing here is above it, none is found, which then is
    proven too.
    """
    if any(not len(web.rows(place)) for place in web.places):
        return Found({}, -np.inf, True)
    first = solve(lay_out(web, {place: leading_rows(web.own[place], _LEADING) for place in web.places}))
    if all(len(web.rows(place)) <= _LEADING for place in web.places):
        return replace(first, proven=True)
    first = _polished(web, first)
    bounds = Bounds(web, max(first.value, known))
    if bounds.most() <= known:
        return Found({}, -np.inf, True)
    for count in (_PROMISING, 4 * _PROMISING, 1):
        # More are looked at where too many are left, and where next to nothing is possible the one way down the tree.
        promising = bounds.best_rows(count)
        if all(map(len, promising.values())):
            first = max(first, solve(lay_out(web, promising)), key=lambda found: found.value)
        left = bounds.possible(max(first.value, known))
        if first.rows and _pairs(web, left) <= _FEW_PAIRS:
            break
    if not all(map(len, left.values())):
        return replace(first, proven=True)
    if _pairs(web, left) > _MOST_PAIRS:
        # As with very many paints of one colour: all are as good, and none is better.
        return replace(first, proven=bounds.most() <= first.value + SLACK)
    last = solve(lay_out(web, left))
    return replace(last if last.value > first.value else first, proven=True)


def good_choice(web: Web) -> Found:
    """A good choice, found soon and not proven: of what promises most along the tree of links."""
    if any(not len(web.rows(place)) for place in web.places):
        return Found({}, -np.inf, False)
    bounds = Bounds(web, -np.inf)
    for count in (_PROMISING, 1):
        promising = bounds.best_rows(count)
        if all(map(len, promising.values())):
            found = solve(lay_out(web, promising))
            if found.rows:
                return found
    return Found({}, -np.inf, False)


def _polished(web: Web, found: Found) -> Found:
    """The same or better: place by place the best row beside the others, until none is better. The nearer to the best,
    the fewer rows the bounds leave.
    """
    if not found.rows:
        return found
    free = by_themselves(web, found.value)
    rows, value = dict(found.rows), found.value
    better = True
    while better:
        better = False
        for place in web.places:
            worth = web.own[place][free[place]]
            for other, link in web.neighbours(place).items():
                worth = worth + link.worth(free[place], np.array([rows[other]]))
            rest = value - _worth_at(web, place, rows)
            best = int(worth.argmax())
            if rest + worth[best] > value + SLACK:
                rows[place], value, better = int(free[place][best]), rest + float(worth[best]), True
    return Found(rows, value, False)


def _worth_at(web: Web, place: str, rows: Mapping[str, int]) -> float:
    """What the row of a place is worth, by itself and with those of its neighbours."""
    here = np.array([rows[place]])
    beside = (link.worth(here, np.array([rows[other]])) for other, link in web.neighbours(place).items())
    return float(web.own[place][rows[place]]) + sum(float(one[0]) for one in beside)


def _pairs(web: Web, left: Mapping[str, Rows]) -> int:
    return sum(len(left[one]) * len(left[other]) for one, other in web.links)
