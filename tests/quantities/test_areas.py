"""Areas of a room from its sizes, and one quantity that somebody else worked out."""

from __future__ import annotations

import pytest

from matcher.errors import RoomFileError
from matcher.quantities.areas import areas_of
from matcher.quantities.tins import COMMON_TINS, tins_for
from matcher.quantities.units import LITRES_PER_GALLON, M2_PER_FT2, m2_per_litre
from matcher.report.amounts import tins_text
from matcher.room.contents import Sizes


def test_the_almanacs_worked_room() -> None:
    """The Old Farmer's Almanac, "How much do you need: interior paint" (almanac.com): a room of 10 by 15 feet, 8 feet
    high, two doors of 21 and two windows of 15 square feet. Walls 400 less 72 make 328 square feet, for which a gallon
    at 400 square feet is adequate for one coat; the ceiling's 150 square feet take about two quarts.
    """
    areas = areas_of(Sizes(units="feet", length=10, width=15, height=8, openings=2 * 21 + 2 * 15))
    walls, ceiling = areas["walls"], areas["ceiling"]
    assert walls.gross / M2_PER_FT2 == pytest.approx(400)
    assert walls.m2 / M2_PER_FT2 == pytest.approx(328)
    assert ceiling.m2 / M2_PER_FT2 == pytest.approx(150)
    bought = [tins_for(area.m2 / m2_per_litre(400), COMMON_TINS["US"]) for area in (walls, ceiling)]
    one_gallon, two_quarts = (tins_text(tins, "US").split("\N{NARROW NO-BREAK SPACE}") for tins in bought)
    assert (one_gallon[0], one_gallon[-1]) == ("1", "1 gal")
    assert (two_quarts[0], two_quarts[-1]) == ("2", "1 qt")
    # Not a drop less than is needed.
    assert walls.m2 / m2_per_litre(400) <= LITRES_PER_GALLON


def test_the_contracts_example_in_metres() -> None:
    areas = areas_of(Sizes(units="metres", length=4.2, width=3.1, height=2.4, openings=4.5, trim=14.0, cabinets=9.0))
    assert areas["walls"].m2 == pytest.approx(2 * (4.2 + 3.1) * 2.4 - 4.5)
    assert (areas["walls"].gross, areas["walls"].openings) == pytest.approx((35.04, 4.5))
    assert areas["ceiling"].m2 == pytest.approx(4.2 * 3.1)
    assert areas["cabinets"].m2 == 9.0
    # Half a foot of face to a running metre.
    assert areas["trim"].m2 == pytest.approx(14.0 * 0.1524)
    assert {role: area.how for role, area in areas.items()} == {
        "walls": "room", "ceiling": "room", "trim": "running", "cabinets": "given",
    }  # fmt: skip


def test_own_areas_and_walls_that_are_given() -> None:
    """A role's own area is what is painted of it: no openings come off."""
    areas = areas_of(Sizes(units="feet", walls=330, openings=30, ceiling=140, island=20, accent=60, door=21))
    assert {role: area.m2 / M2_PER_FT2 for role, area in areas.items()} == pytest.approx(
        {"walls": 330, "ceiling": 140, "island": 20, "accent": 60, "door": 21}
    )
    # An area of its own goes before what follows from the room.
    assert areas_of(Sizes(units="metres", length=4, width=3, height=2, ceiling=10))["ceiling"].m2 == 10


@pytest.mark.parametrize(
    ("sizes", "message"),
    [
        ({}, "gives no area"),
        ({"length": 4.0}, "sizes.width: is missing beside length. Add width and height, or give walls."),
        ({"walls": 9.0, "openings": 9.0}, "9 is no less than the 9 of the walls"),
    ],
)
def test_sizes_that_tell_nothing_are_refused_here_too(sizes: dict[str, float], message: str) -> None:
    """The app's rooms are drafts: they come without the checks of a file."""
    with pytest.raises(RoomFileError, match=message):
        areas_of(Sizes(units="metres", **sizes))
