"""One paint of a deck examined in a room: beside the surfaces of a result, in as much sun as the room gets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.description.examined import examine
from matcher.paints.deck import Deck
from matcher.ranking.meeting import SurfacePart, meet
from matcher.report.paint_view import paint_view

Json = Mapping[str, Any]


def paint_in_room(deck: Deck, row: int, staying: Sequence[Json], away_from_sun: float | None) -> dict[str, Any]:
    """Return the view (:func:`matcher.report.paint_view.paint_view`) of a row of the deck beside what stays.

    ``staying`` are entries of ``surfaces`` in result.json; ``away_from_sun`` -1..1, None where not known.
    """
    lab, lrv = deck.lab[row], float(deck.lrv[row])
    found = examine(lab, lrv=lrv, away_from_sun=away_from_sun)
    met = [meet(lab, lrv, surface["name"], [_part(colour) for colour in surface["colours"]]) for surface in staying]
    return paint_view(found, met, code=deck.codes[row], name=deck.names[row])


def _part(colour: Json) -> SurfacePart:
    lightness, a, b = colour["lab"]
    return SurfacePart((lightness, a, b), colour["share"], colour["lrv"], colour["hex"], colour["undertone_certainty"])
