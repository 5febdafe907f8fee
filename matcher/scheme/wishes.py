"""What has to be kept in a scheme, wish by wish, so that one can be given up where not all of them can be kept.

=============  ======  =========================  =============================================================
kind           places  values                     keeps
=============  ======  =========================  =============================================================
pin            role    paint                      the paint (row of the deck) chosen for a role already
avoid          roles   count                      none of the paints that are not to be used
avoid-family   roles   family                     no paint of that family of hue
lrv            role    low, high                  an LRV within
contrast       two     least, most                LRV so many points apart, whichever of the two is lighter
most-paints    roles   most                       so many different paints at most
one-trim       trims   none                       one paint for the trim of all rooms seen from each other
=============  ======  =========================  =============================================================
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking.limits import in_range, not_avoided, of_other_families
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Setting
from matcher.scheme.few_paints import best_of_few
from matcher.scheme.search import best_choice
from matcher.scheme.web import Found, Link, Rows, Web, Worth, add_link, by_block

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Wish:
    """One wish; ``keeps`` (N,) the paints that may stand in its places, None for all. What is not ``droppable`` is
    settled elsewhere.
    """

    kind: str
    places: tuple[str, ...]
    values: tuple[tuple[str, float | str], ...] = ()
    keeps: Mask | None = None
    droppable: bool = True

    def number(self, name: str) -> float:
        """The value of that name."""
        return float(dict(self.values)[name])


def wishes_of(setting: Setting, paints: Paints, roles: Sequence[str]) -> Iterator[Wish]:
    """What one room's setting asks of those of its ``roles`` that are chosen."""
    count, limits = len(paints.lrv), setting.limits
    for role in roles:
        if role in setting.pins:
            row = setting.pins[role]
            yield Wish("pin", (role,), (("paint", float(row)),), np.arange(count) == row)
    if limits.avoid:
        yield Wish("avoid", tuple(roles), (("count", float(len(limits.avoid))),), not_avoided(limits.avoid, paints))
    for family in sorted(limits.avoid_families):
        kept = of_other_families(frozenset({family}), paints)
        yield Wish("avoid-family", tuple(roles), (("family", family),), kept)
    for role in roles:
        if role in limits.lrv:
            low, high = limits.lrv[role]
            yield Wish("lrv", (role,), (("low", low), ("high", high)), in_range((low, high), paints.lrv))
    for asked in limits.contrasts:
        if set(asked.roles) <= set(roles):
            yield Wish("contrast", asked.roles, (("least", asked.least), ("most", asked.most)))
    if limits.most_paints is not None and limits.most_paints < len(roles):
        yield Wish("most-paints", tuple(roles), (("most", float(limits.most_paints)),))


def under(web: Web, wishes: Iterable[Wish], lrv: FloatArray) -> Web:
    """Return the web with what the wishes ask of single places and of two."""
    asked = list(wishes)
    own = dict(web.own)
    for wish in asked:
        if wish.keeps is not None:
            own |= {place: np.where(wish.keeps, own[place], -np.inf) for place in wish.places}
    links = dict(web.links)
    for wish in asked:
        if wish.kind == "contrast":
            one, other = wish.places
            looks = tenths(lrv)[:, None].astype(np.float32)  # exact: at most a thousand
            add_link(links, one, other, Link(0.0, (_apart(lrv, *steps_of(wish)),), looks=looks))
    return Web(own, links)


def steps_of(wish: Wish) -> tuple[int, int]:
    """The least and the most that a wish for contrast allows, tenths of an LRV point."""
    return math.ceil(round(10 * wish.number("least"), 6)), math.floor(round(10 * wish.number("most"), 6))


def tenths(lrv: FloatArray) -> NDArray[np.int64]:
    """LRV as they are printed, in tenths: differences are taken of these."""
    return np.rint(10 * lrv).astype(np.int64)


def _apart(lrv: FloatArray, least: int, most: int) -> Worth:
    printed = tenths(lrv)

    def worth(first: Rows, second: Rows) -> FloatArray:
        step = np.abs(printed[first] - printed[second])
        return np.where((step >= least) & (step <= most), 0.0, -np.inf)

    return worth


def best_under(web: Web, wishes: Sequence[Wish], lrv: FloatArray) -> Found:
    """The best choice that keeps every wish; none where that is impossible."""
    limited = under(web, wishes, lrv)
    joined = [wish.places for wish in wishes if wish.kind == "one-trim"]
    named = by_block(joined)
    if joined:
        limited = limited.shared(joined)
    few = [wish for wish in wishes if wish.kind == "most-paints"]
    if few:
        places = [place for place in few[0].places if place in limited.places]
        found = best_of_few(limited, places, int(few[0].number("most")))
    else:
        found = best_choice(limited)
    if not found.rows:
        return found
    return Found({place: found.rows[named.get(place, place)] for place in web.places}, found.value, found.proven)
