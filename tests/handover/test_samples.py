"""Which boards are painted, why, and when they are looked at; the sun's side against PyEphem (libastro)."""

from __future__ import annotations

import math
from typing import Any

import ephem
import pytest

from matcher.handover.boards_page import places, sample_reason, sun_sentence
from matcher.handover.contents import Contents, Site
from matcher.handover.samples import samples_of


def paint(code: str, hex_text: str, *, tied: tuple[str, ...] = (), stability: float = 1.0) -> dict[str, Any]:
    return {"code": code, "name": code, "hex": hex_text, "tied_with": list(tied), "stability": stability}


def result(chosen: dict[str, str], lists: dict[str, list[dict[str, Any]]], pinned: list[str] | None = None) -> Any:
    by_code = {each["code"]: each for each in lists["walls"]} | {
        each["code"]: each for paints in lists.values() for each in paints
    }
    roles = {role: by_code[code] for role, code in chosen.items()}
    return {"scheme": {"roles": roles, "pinned": pinned or []}, "shortlists": lists}


A, B = paint("A", "#cdd1c7", tied=("B", "C", "D")), paint("B", "#dde1d8", tied=("A", "C", "D"))
C, D = paint("C", "#cdd0c7", tied=("A", "B", "D")), paint("D", "#d6c9b4", tied=("A", "B", "C"))
WHITE = paint("W", "#e9eae5")


def test_a_tie_that_looks_different_gets_a_board_and_so_does_the_next_role() -> None:
    found = samples_of(result({"walls": "A", "trim": "W"}, {"walls": [A, C, B, D], "trim": [WHITE]}), "walls")
    assert [(each.code, each.kind) for each in found] == [("A", "chosen"), ("B", "tied"), ("W", "beside")]
    assert found[1].differs == ("lighter",)


def test_a_room_of_one_paint_gets_all_its_ties() -> None:
    found = samples_of(result({"walls": "A"}, {"walls": [A, C, B, D]}), "walls")
    assert [each.code for each in found] == ["A", "B", "D"]
    assert "warmer" in found[2].differs


def test_without_doubt_the_boards_are_the_scheme_least_sure_first() -> None:
    sure, unsure = paint("S", "#746e63", stability=0.95), paint("U", "#7a6d5d", stability=0.4)
    alone = paint("A", "#cdd1c7")
    scheme = {"walls": "A", "cabinets": "S", "island": "U"}
    found = samples_of(result(scheme, {"walls": [alone], "cabinets": [sure], "island": [unsure]}), "walls")
    assert [(each.code, each.kind) for each in found] == [("A", "chosen"), ("U", "doubtful"), ("S", "beside")]


def test_a_paint_chosen_beforehand_has_no_rivals() -> None:
    found = samples_of(result({"walls": "A", "trim": "W"}, {"walls": [A, B], "trim": [WHITE]}, ["walls"]), "walls")
    assert [each.code for each in found] == ["A", "W"]


def test_every_reason_is_a_sentence(full: Contents) -> None:
    for sample in full.samples:
        text = sample_reason(full, sample)
        assert text[0].isupper()
        assert text.endswith(".")
        assert "{" not in text


def sun_is_on(facing: str, latitude: float, hour: float) -> bool:
    """Tell whether the sun stands before a window at the equinox, at an hour of local solar time, by PyEphem."""
    there = ephem.Observer()
    there.lat, there.lon, there.pressure = str(latitude), "0", 0
    there.date = ephem.Date(
        f"2026/3/20 {int(hour):02d}:{round(60 * (hour % 1)):02d}"
    )  # at longitude 0 UTC is solar time
    sun = ephem.Sun(there)
    looks = 45 * ("N", "NE", "E", "SE", "S", "SW", "W", "NW").index(facing)
    away = abs((math.degrees(sun.az) - looks + 180) % 360 - 180)
    return math.degrees(sun.alt) > 0 and away < 90


@pytest.mark.parametrize("latitude", [53.4, -33.9])
@pytest.mark.parametrize("facing", ["N", "NE", "E", "SE", "S", "SW", "W", "NW"])
def test_what_is_said_of_the_sun_is_so(facing: str, latitude: float) -> None:
    said = sun_sentence(Site(facing, latitude))
    morning, noon, evening = (sun_is_on(facing, latitude, hour) for hour in (7.5, 12.25, 16.5))
    if "away from the sun" in said:
        assert not noon
        assert not (morning and evening)
    elif "most of a clear day" in said:
        assert noon
    elif "after noon" in said or "late in the day" in said:
        assert evening
        assert not morning
    else:
        assert "in the morning" in said
        assert morning
        assert not evening


def test_nothing_is_said_of_a_sun_that_nobody_knows() -> None:
    assert sun_sentence(Site()) == ""
    assert sun_sentence(Site("N")) == ""
    assert sun_sentence(Site("S", 10.0)) == "", "between the tropics the sun is on both sides"
    assert "east" in sun_sentence(Site("E"))


def test_boards_stand_where_they_meet_what_stays(full: Contents) -> None:
    found = places(full.stays)
    assert len(found) == 5
    assert found[0].startswith("Against the tile")
    assert "Next to the window" in found
    assert any(place.startswith("Low down, above the kitchen floor") for place in found)
