"""Marks of a photo and the room document: the same thing in two shapes."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from matcher.room.draft import checked_draft
from matcher.service.marks import marks_of, proposed_cards, with_marks

SIZE = (400, 300)
SQUARE = [[10.0, 10.0], [60.0, 10.0], [60.0, 60.0], [10.0, 60.0]]


def document(**entry: Any) -> dict[str, Any]:
    return {"room": {"name": "x"}, "photos": [{"file": "a.jpg", **entry}, {"file": "b.jpg"}]}


def test_marks_come_back_as_the_document_they_were_taken_from() -> None:
    entry = {
        "whole_room": True,
        "references": [{"kind": "grey card", "reflectance": 0.18, "outline": SQUARE, "on": "floor"}],
        "surfaces": [{"name": "floor", "material": "timber", "outlines": [SQUARE, [[x + 100, y] for x, y in SQUARE]]}],
        "areas": [{"role": "walls", "outlines": [SQUARE], "holes": [[[20.0, 20.0], [30.0, 20.0], [25.0, 30.0]]]}],
    }
    before = document(**entry)
    marks = marks_of(before["photos"][0])
    assert [mark["kind"] for mark in marks] == ["card", "surface", "surface", "area", "hole"]
    assert len({mark["id"] for mark in marks}) == len(marks)
    after, faults = with_marks(before, "a.jpg", marks, SIZE)
    assert faults == []
    assert after == before


def test_one_outline_becomes_a_list_of_one() -> None:
    before = document(surfaces=[{"name": "floor", "material": "timber", "outline": SQUARE}])
    after, _ = with_marks(before, "a.jpg", marks_of(before["photos"][0]), SIZE)
    assert after["photos"][0]["surfaces"] == [{"name": "floor", "material": "timber", "outlines": [SQUARE]}]


def test_a_self_crossing_outline_stays_out_and_is_named() -> None:
    bow = [[0.0, 0.0], [50.0, 50.0], [50.0, 0.0], [0.0, 50.0]]
    after, faults = with_marks(
        document(), "a.jpg", [{"id": "m1", "kind": "surface", "name": "tile", "material": "tile", "polygon": bow}], SIZE
    )
    assert after["photos"][0]["surfaces"] == []
    assert len(faults) == 1
    assert faults[0].startswith("tile: ")


def test_a_hole_without_its_area_is_dropped() -> None:
    after, faults = with_marks(
        document(), "a.jpg", [{"id": "m1", "kind": "hole", "role": "walls", "polygon": SQUARE}], SIZE
    )
    assert after["photos"][0]["areas"] == []
    assert faults == []


points = st.lists(st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), min_size=0, max_size=8)


@given(points)
def test_whatever_is_drawn_the_document_stays_a_draft(polygon: list[tuple[float, float]]) -> None:
    mark = {"id": "m1", "kind": "surface", "name": "floor", "material": "timber", "polygon": polygon}
    after, faults = with_marks(document(), "a.jpg", [mark], SIZE)
    checked_draft(after)
    kept = after["photos"][0]["surfaces"]
    assert bool(kept) != bool(faults)
    for surface in kept:
        assert all(0 <= x <= SIZE[0] and 0 <= y <= SIZE[1] for x, y in surface["outlines"][0])


def test_what_only_some_cards_have_comes_and_goes_with_them() -> None:
    before = document(
        references=[
            {"kind": "chart 24", "outline": SQUARE},
            {"kind": "grey scale", "outline": SQUARE, "reflectances": [0.9, 0.4, 0.1], "on": "floor"},
        ],
        surfaces=[],
        areas=[],
    )
    marks = marks_of(before["photos"][0])
    assert "reflectance" not in marks[0]
    after, faults = with_marks(before, "a.jpg", marks, SIZE)
    assert faults == []
    assert after == before


def test_a_chart_that_was_found_is_proposed_without_a_reflectance() -> None:
    verdict = {
        "cards": [
            {"kind": "grey card", "confidence": 0.6, "outline": SQUARE},
            {"kind": "chart 24", "confidence": 0.9, "outline": SQUARE},
        ]
    }
    chart, card = proposed_cards(verdict)
    assert chart["reference"] == "chart 24"
    assert "reflectance" not in chart
    assert card["reflectance"] == 0.18


def _card(left: int, kind: str, *, top: int = 100, group: int | None = None, confidence: float = 0.9) -> dict[str, Any]:
    outline = [[left, top], [left + 20, top], [left + 20, top + 20], [left, top + 20]]
    together = {} if group is None else {"group": group}
    return {"kind": kind, "confidence": confidence, "outline": outline, **together}


def test_every_likely_card_is_proposed_on_the_surface_its_set_lies_on() -> None:
    kinds = ("white card", "grey card", "black card")
    cards = [_card(200 + 20 * place, kind, group=0) for place, kind in enumerate(kinds)]
    cards += [_card(200 + 20 * place, kind, top=400, group=1) for place, kind in enumerate(kinds)]
    cards += [_card(900, "grey card"), _card(700, "grey card", confidence=0.1)]
    marks = [
        {
            "kind": "surface",
            "name": "worktop",
            "material": "stone",
            "polygon": [[50, 50], [222, 50], [222, 200], [50, 200]],
        },
        {
            "kind": "surface",
            "name": "floor",
            "material": "timber",
            "polygon": [[50, 300], [400, 300], [400, 500], [50, 500]],
        },
        {"kind": "area", "name": "walls", "role": "walls", "polygon": [[880, 50], [999, 50], [999, 200], [880, 200]]},
    ]
    proposed = proposed_cards({"cards": cards}, marks)
    assert [mark.get("on") for mark in proposed] == ["worktop"] * 3 + ["floor"] * 3 + [None]
    assert [mark["reference"] for mark in proposed] == [*kinds, *kinds, "grey card"]
    assert all("on" not in mark for mark in proposed_cards({"cards": cards}))


def test_cards_side_by_side_are_one_set_and_those_apart_are_not() -> None:
    kinds = ("white card", "grey card", "black card")
    cards = [_card(200 + 20 * place, kind) for place, kind in enumerate(kinds)]
    cards += [_card(200 + 20 * place, kind, top=400) for place, kind in enumerate(kinds)]
    cards += [_card(900, "grey card"), _card(920, "paint chip")]
    references = [{"kind": card["kind"], "outline": card["outline"], "on": "floor"} for card in cards]
    before = document(references=references, surfaces=[], areas=[])
    marks = marks_of(before["photos"][0])
    first, second = {mark.get("set") for mark in marks[:3]}, {mark.get("set") for mark in marks[3:6]}
    assert len(first) == len(second) == 1
    assert None not in first | second
    assert first != second
    assert [mark.get("set") for mark in marks[6:]] == [None, None]
    # No room file names sets: they are seen anew.
    assert with_marks(before, "a.jpg", marks, (1000, 1000))[0] == before
    # Of two that lie on different things each is alone.
    references[1] = {**references[1], "on": "worktop"}
    parted = marks_of(document(references=references[:2])["photos"][0])
    assert [mark.get("set") for mark in parted] == [None, None]


def test_proposed_cards_are_a_set_each_and_asked_about_until_one_of_them_is_marked() -> None:
    kinds = ("white card", "grey card", "black card")
    cards = [_card(200 + 20 * place, kind, group=0) for place, kind in enumerate(kinds)]
    cards += [_card(600 + 20 * place, kind, group=1) for place, kind in enumerate(kinds)]
    cards += [_card(900, "grey card")]
    verdict = {"cards": cards}
    assert [mark["set"] for mark in proposed_cards(verdict)] == [*["found0"] * 3, *["found1"] * 3, "found-7"]
    corner_moved = [[205, 98], [222, 101], [219, 121], [200, 119]]
    marked = {"kind": "card", "reference": "white card", "polygon": corner_moved}
    # A single one beside cards that are marked is more likely none.
    assert {mark["set"] for mark in proposed_cards(verdict, [marked])} == {"found1"}
    # Chips are no cards, so that a single one may still be one; what was said to be a chip is not asked about.
    chip = {"kind": "card", "reference": "paint chip", "polygon": corner_moved}
    assert {mark["set"] for mark in proposed_cards(verdict, [chip])} == {"found1", "found-7"}
