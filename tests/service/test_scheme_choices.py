"""Choices made and taken back on the scheme: one change each, the rest of the draft as it was."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from matcher.room.contents import RoomFile
from matcher.service.scheme_choices import (
    choices_of,
    with_choices,
    with_paint,
    with_paints,
    without_choice,
    without_paint,
    without_wish,
)

DRAFT: dict[str, Any] = {
    "room": {"name": "Alder Row"},
    "wishes": {
        "roles": ["walls", "trim"],
        "avoid": ["demo-7"],
        "avoid_families": ["red"],
        "most_paints": 1,
        "lrv_of": {"walls": [50.0, 60.0], "trim": [80.0, 100.0]},
        "contrast": [{"between": ["walls", "trim"], "at_least": 30.0}],
        "one_trim": True,
    },
    "pins": {"trim": "demo-2"},
    "photos": [],
}


def test_a_paint_taken_is_kept_for_its_role_and_is_none_to_avoid() -> None:
    before = copy.deepcopy(DRAFT)
    changed = with_paint(DRAFT, "walls", "demo-7")
    assert changed["pins"] == {"trim": "demo-2", "walls": "demo-7"}
    assert "avoid" not in changed["wishes"]
    # A role that was not to be painted is from now on.
    assert with_paint(DRAFT, "island", "demo-3")["wishes"]["roles"] == ["walls", "trim", "island"]
    assert with_paints(DRAFT, {"walls": "demo-1"})["pins"] == {"walls": "demo-1"}
    assert before == DRAFT
    assert with_choices(changed, choices_of(DRAFT)) == DRAFT


def test_a_paint_not_to_be_used_is_chosen_for_nothing() -> None:
    changed = without_paint(DRAFT, "demo-2")
    assert (changed["pins"], changed["wishes"]["avoid"]) == ({}, ["demo-7", "demo-2"])
    assert without_paint(changed, "demo-2") == changed
    assert without_choice(DRAFT, "trim")["pins"] == {}
    assert without_choice(DRAFT, "walls") == DRAFT


@pytest.mark.parametrize(
    ("wish", "gone"),
    [
        ({"kind": "avoid", "roles": ["walls", "trim"], "values": {"count": 1}}, "avoid"),
        ({"kind": "avoid-family", "roles": ["walls"], "values": {"family": "red"}}, "avoid_families"),
        ({"kind": "most-paints", "roles": ["walls"], "values": {"most": 1}}, "most_paints"),
        ({"kind": "contrast", "roles": ["trim", "walls"], "values": {}}, "contrast"),
        ({"kind": "one-trim", "roles": ["trim"], "values": {}}, "one_trim"),
    ],
)
def test_a_wish_given_up_is_gone_and_no_other(wish: dict[str, Any], gone: str) -> None:
    kept = {key: value for key, value in DRAFT["wishes"].items() if key != gone}
    assert without_wish(DRAFT, wish) == {**DRAFT, "wishes": kept}


def test_of_a_range_and_of_a_choice_only_the_role_named_goes() -> None:
    changed = without_wish(DRAFT, {"kind": "lrv", "roles": ["trim"], "values": {}})
    assert changed["wishes"]["lrv_of"] == {"walls": [50.0, 60.0]}
    assert without_wish(DRAFT, {"kind": "pin", "roles": ["trim"], "values": {}})["pins"] == {}
    # What is left is a room file still.
    RoomFile.model_validate({**changed, "surfaces": [{"name": "x", "material": "tile", "lab": [50.0, 0.0, 0.0]}]})
