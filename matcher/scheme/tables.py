"""Exact over a few rows a place: places are settled one after the other, those with the fewest neighbours first.

A place with one neighbour or two can be settled for every choice there at once (bucket elimination: Bertele & Brioschi
1972; Dechter 1999, Artificial Intelligence 113, 41-85). Where every place left has more, the rows of one of them are
tried one by one, best bound first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.web import Found, Rows, Web

FloatArray = NDArray[np.floating[Any]]

# Sums settled at once; beyond it a place is tried row by row instead. Assumption: some tenths of a second.
_MOST_SUMS = 1 << 27


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """Some ``rows`` of each place, what they are worth by themselves, ``own``, and with those of another place:
    ``fits[one, other]`` is (rows of one, rows of other).
    """

    rows: Mapping[str, Rows]
    own: Mapping[str, FloatArray]
    fits: Mapping[tuple[str, str], FloatArray]

    def narrowed(self, place: str, kept: Rows) -> Tables:
        """The same with only some of the rows of one place, given by their positions."""
        fits = {
            pair: fit.take(kept, axis=pair.index(place)) if place in pair else fit for pair, fit in self.fits.items()
        }
        rows, own = self.rows[place][kept], self.own[place][kept]
        return Tables({**self.rows, place: rows}, {**self.own, place: own}, fits)


def lay_out(web: Web, rows: Mapping[str, Rows]) -> Tables:
    """Work out what the given rows of each place are worth, by themselves and together."""
    own = {place: web.own[place][rows[place]] for place in web.places}
    fits = {
        (one, other): np.broadcast_to(
            link.worth(rows[one][:, None], rows[other][None, :]), (len(rows[one]), len(rows[other]))
        )
        for (one, other), link in web.links.items()
    }
    return Tables({place: rows[place] for place in web.places}, own, fits)


def solve(tables: Tables) -> Found:
    """Exact over the rows of the tables, ties to the earlier rows; proven of these rows only."""
    value, chosen = _solved(dict(tables.own), _both_ways(tables.fits), -np.inf)
    if not np.isfinite(value):
        return Found({}, -np.inf, False)
    return Found({place: int(tables.rows[place][chosen[place]]) for place in tables.rows}, float(value), False)


Own = dict[str, FloatArray]
Fits = dict[str, dict[str, FloatArray]]


def _both_ways(fits: Mapping[tuple[str, str], FloatArray]) -> Fits:
    found: Fits = {}
    for (one, other), fit in fits.items():
        found.setdefault(one, {})[other] = fit
        found.setdefault(other, {})[one] = fit.T
    return found


def _solved(own: Own, fits: Fits, floor: float) -> tuple[float, dict[str, int]]:
    """The best value and the position chosen in each place; -inf where nothing is above ``floor``."""
    if not own:
        return 0.0, {}
    if any(not len(values) for values in own.values()):
        return -np.inf, {}
    place = min(own, key=lambda one: (len(fits.get(one, {})), _sums(one, own, fits)))
    around = sorted(fits.get(place, {}))
    if len(around) > 2 or _sums(place, own, fits) > _MOST_SUMS:
        return _tried(own, fits, floor)
    rest, left = _without(place, own, fits)
    if not around:
        best = float(own[place].max())
        value, chosen = _solved(rest, left, floor - best) if np.isfinite(best) else (-np.inf, {})
        return _also(value + best, chosen, place, lambda: own[place].argmax())
    if len(around) == 1:
        (other,) = around
        sums = fits[other][place] + own[place]
        rest[other] = rest[other] + sums.max(axis=1)
        value, chosen = _solved(rest, left, floor)
        return _also(value, chosen, place, lambda: sums[chosen[other]].argmax())
    one, other = around
    first, second = fits[one][place] + own[place], fits[other][place]
    _add(left, one, other, np.stack([(row + second).max(axis=1) for row in first]))
    value, chosen = _solved(rest, left, floor)
    return _also(value, chosen, place, lambda: (first[chosen[one]] + second[chosen[other]]).argmax())


def _also(value: float, chosen: dict[str, int], place: str, row: Callable[[], Any]) -> tuple[float, dict[str, int]]:
    """A choice that was found, and the row of one place more."""
    return (value, chosen | {place: int(row())}) if np.isfinite(value) else (-np.inf, {})


def _sums(place: str, own: Own, fits: Fits) -> int:
    count = len(own[place])
    for other in fits.get(place, {}):
        count *= len(own[other])
    return count


def _without(place: str, own: Own, fits: Fits) -> tuple[Own, Fits]:
    rest = {one: values for one, values in own.items() if one != place}
    left = {
        one: {other: fit for other, fit in beside.items() if other != place}
        for one, beside in fits.items()
        if one != place
    }
    return rest, left


def _add(fits: Fits, one: str, other: str, table: FloatArray) -> None:
    whole = table + fits[one][other] if other in fits.get(one, {}) else table
    fits.setdefault(one, {})[other] = whole
    fits.setdefault(other, {})[one] = whole.T


def _tried(own: Own, fits: Fits, floor: float) -> tuple[float, dict[str, int]]:
    """Each row of the place with the most neighbours in turn, best bound first."""
    place = max(own, key=lambda one: (len(fits.get(one, {})), -len(own[one])))
    beside = fits[place]
    rest, left = _without(place, own, fits)
    others = {
        other: (beside[other] + rest[other]).max(axis=1) if other in beside else np.full(1, rest[other].max())
        for other in rest
    }
    between = sum(float(fit.max()) for one, around in left.items() for other, fit in around.items() if one < other)
    bound = own[place] + sum(others.values(), np.zeros(1)) + between
    best, chosen = floor, dict[str, int]()
    for row in np.argsort(-bound, kind="stable").tolist():
        if not bound[row] > best:
            break
        given = {other: values + beside[other][row] if other in beside else values for other, values in rest.items()}
        value, inner = _solved(given, left, best - float(own[place][row]))
        value += float(own[place][row])
        if value > best:
            best, chosen = value, inner | {place: row}
    return (best, chosen) if chosen else (-np.inf, {})
