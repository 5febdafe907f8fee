"""Whole schemes of rooms typed in, by the invented deck: what a consultant would cross out is not there.

Common practice, no published source. The colours of the surfaces are typical of such materials, not measured from any.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from matcher.harmony.tint import visibility
from matcher.harmony.warmth import warmth
from matcher.paints.reading import demo_deck
from matcher.ranking.question import ask
from matcher.ranking.rank import rank
from matcher.scheme.build import build_scheme
from matcher.scheme.scheme import Scheme
from matcher.surfaces.surface import Surface, SurfaceColour

Colours = Sequence[tuple[float, float, float, float]]
ROOMS: dict[str, dict[str, Colours]] = {
    "terracotta floor, cream stone": {"floor": [(1, 48, 25, 28)], "worktop": [(0.9, 84, 2, 10), (0.1, 70, 5, 16)]},
    "blue slate, white tile": {"floor": [(0.7, 42, -2, -7), (0.3, 36, -1, -5)], "tile": [(1, 92, 0, 2)]},
    "orange oak, grey marble": {"floor": [(1, 57, 14, 31)], "worktop": [(0.9, 86, 0.2, 1.5), (0.1, 66, 1.5, 6)]},
    "pink granite, pine": {"worktop": [(0.6, 62, 9, 8), (0.4, 45, 4, 4)], "floor": [(1, 70, 5, 17)]},
    "yellow travertine, walnut": {"floor": [(1, 77, 3, 18)], "shelves": [(1, 34, 9, 13)]},
    "black slate, red brick": {"hearth": [(1, 28, 0, -1)], "brick": [(0.7, 45, 24, 22), (0.3, 70, 4, 10)]},
}
ROLES = ("walls", "trim", "cabinets")


def surfaces(room: str) -> list[Surface]:
    found = []
    for name, rows in ROOMS[room].items():
        colours = tuple(SurfaceColour(np.array(lab, float), 0.5 * np.eye(3), share, "field") for share, *lab in rows)
        mean = np.average([colour.lab for colour in colours], axis=0, weights=[colour.share for colour in colours])
        found.append(Surface(name, "other", colours, mean, 0.5 * np.eye(3), 0.5, "instrument", True))
    return found


@pytest.fixture(scope="module", params=ROOMS)
def scheme(request: pytest.FixtureRequest) -> Scheme:
    return build_scheme(ask(ROLES, surfaces(request.param), demo_deck()))


def rows(scheme: Scheme) -> dict[str, int]:
    return {one.role: one.paint for one in scheme.roles}


def test_trim_is_a_white_or_the_walls_own_colour(scheme: Scheme) -> None:
    """A cream's yellow may show; of any other hue a white's tint does not (ISCC-NBS tint boundary, NBS SP 440)."""
    deck, chosen = demo_deck(), rows(scheme)
    lab = deck.lab[chosen["trim"]]
    yellow = lab[2] > 3 * abs(lab[1])
    assert chosen["trim"] == chosen["walls"] or deck.lrv[chosen["trim"]] >= 74
    assert chosen["trim"] == chosen["walls"] or visibility(lab) < (1.6 if yellow else 1.05)


def test_alternatives_differ_from_each_other_and_go_where_they_say(scheme: Scheme) -> None:
    deck = demo_deck()
    every = [rows(scheme), *({one.role: one.paint for one in other.roles} for other in scheme.alternatives)]
    assert len({tuple(sorted(one.items())) for one in every}) == len(every)
    for other, chosen in zip(scheme.alternatives, every[1:], strict=True):
        lean = float(warmth(deck.lab[chosen["walls"]]))
        assert other.kind != "warmer" or lean > 0
        assert other.kind != "cooler" or lean < 0


@pytest.mark.parametrize("room", ROOMS)
def test_cabinets_come_in_white_too(room: str) -> None:
    deck = demo_deck()
    listed = rank(ask(["cabinets"], surfaces(room), deck), "cabinets").candidates
    assert any(deck.lrv[candidate.paint] >= 74 for candidate in listed)
    assert not any(candidate.clashes for candidate in listed)
