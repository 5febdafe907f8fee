"""What the paints of a scheme take: area, coats, litres, primer, tins and sheen of every role that has a size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike

from matcher.paints.deck import Deck
from matcher.quantities.areas import areas_of
from matcher.quantities.hiding import USUAL_GROUND, coats_for
from matcher.quantities.quantity import Area, Job, Purchase, Quantity, Range, Spreading
from matcher.quantities.sheen import sheen_for
from matcher.quantities.spreading import PRIMER, spreading_of
from matcher.quantities.tins import COMMON_TINS, tins_for
from matcher.quantities.units import System
from matcher.room.contents import Sizes

# A tenth for touching up, mending and what stays in the tray, as do-it-yourself guidance adds (lay, no standard).
WASTE = 0.1
# Assumption: a tenth of a sound room is bare or stained and primed in spots; all of it takes ten times as much.
_PRIMED_SHARE = 0.1
# Assumption: ceilings and woodwork are white where nobody measured them.
_USUAL_GROUNDS = {"ceiling": 0.8, "trim": 0.8, "door": 0.8}


def jobs_of(
    paints: Mapping[str, int], deck: Deck, *, grounds: Mapping[str, ArrayLike], room_kind: str | None
) -> tuple[Job, ...]:
    """Return what is to be done for each role, in the order of ``paints`` (rows of the deck by role).

    ``grounds`` is the CIELAB (3,) of the old paint by role, as far as it was measured.
    """
    return tuple(_job(role, row, deck, grounds.get(role), room_kind) for role, row in paints.items())


def _job(role: str, row: int, deck: Deck, ground: ArrayLike | None, room_kind: str | None) -> Job:
    spreading = spreading_of(None if deck.coverage is None else float(deck.coverage[row]))
    coats = coats_for(
        deck.lab[row],
        rate=(spreading.low + spreading.high) / 2,
        ground=ground,
        usual=_USUAL_GROUNDS.get(role, USUAL_GROUND),
        reflectance=None if deck.reflectance is None else deck.reflectance[row],
    )
    sheen = None if deck.sheen is None or np.isnan(deck.sheen[row]) else float(deck.sheen[row])
    return Job(role, row, coats, spreading, sheen_for(role, room_kind, sheen))


def quantities_of(sizes: Sizes, jobs: Sequence[Job], deck: Deck, system: System) -> tuple[Quantity, ...]:
    """Return what each job takes; one whose role has no size has no entry. Raises what :func:`areas_of` does."""
    areas = areas_of(sizes)
    return tuple(_quantity(areas[job.role], job, deck, system) for job in jobs if job.role in areas)


def _quantity(area: Area, job: Job, deck: Deck, system: System) -> Quantity:
    litres = _litres(area.m2 * job.coats.likely, job.spreading)
    primer = _litres(area.m2 * _PRIMED_SHARE, PRIMER)
    return Quantity(job, area, litres, primer, tins_for(litres[1], tin_sizes(deck, job.paint, system)))


def _litres(m2: float, spreading: Spreading) -> Range:
    return m2 / spreading.high, m2 / spreading.low * (1 + WASTE)


def tin_sizes(deck: Deck, row: int, system: System) -> tuple[float, ...]:
    """Return the litres a paint is sold in: as its deck says, or what is common."""
    return (deck.tins[row] if deck.tins is not None else ()) or COMMON_TINS[system]


def purchases(quantities: Sequence[Quantity], deck: Deck, system: System) -> tuple[Purchase, ...]:
    """Return what to buy: roles of one paint in one sheen share their tins; in the order they come in."""
    shared: dict[tuple[int, Range], list[Quantity]] = {}
    for quantity in quantities:
        shared.setdefault((quantity.job.paint, quantity.job.sheen.wanted), []).append(quantity)
    return tuple(_purchase(row, together, deck, system) for (row, _), together in shared.items())


def _purchase(row: int, together: Sequence[Quantity], deck: Deck, system: System) -> Purchase:
    least, most = (sum(one.litres[end] for one in together) for end in (0, 1))
    roles = tuple(one.job.role for one in together)
    return Purchase(row, roles, (least, most), tins_for(most, tin_sizes(deck, row, system)))
