"""The brief saved a field at a time: the rest stays, somebody else's part too; what cannot be kept is refused."""

from __future__ import annotations

from typing import Any

import pytest

from matcher.errors import RequestError
from matcher.service import brief_fields
from matcher.service.brief_fields import Saved, save_field, with_field
from matcher.service.desk import Desk, load_room, new_room, save_document
from matcher.service.live import deck_of, finished_part, size_faults
from matcher.service.room_photos import count_marks, with_whole_room
from matcher.store.stored import User

DRAFT: dict[str, Any] = {
    "room": {"name": "Alder Row", "kind": "kitchen"},
    "wishes": {"warmth": "warm", "roles": ["walls"], "lrv": [40.0, 80.0]},
    "pins": {"walls": "demo-1"},
}


@pytest.mark.parametrize(
    ("field", "value", "table", "kept"),
    [
        ("name", "  Alder \n Row 2 ", "room", {"name": "Alder Row 2", "kind": "kitchen"}),
        ("facing", "N", "room", {"name": "Alder Row", "kind": "kitchen", "facing": "N"}),
        ("kind", None, "room", {"name": "Alder Row"}),
        ("date", "2026-03-21", "room", {"name": "Alder Row", "kind": "kitchen", "date": "2026-03-21"}),
        ("latitude", 0.0, "room", {"name": "Alder Row", "kind": "kitchen", "latitude": 0.0}),
        ("lrv", None, "wishes", {"warmth": "warm", "roles": ["walls"]}),
        ("lrv", (50, 60), "wishes", {"warmth": "warm", "roles": ["walls"], "lrv": [50.0, 60.0]}),
        ("roles", ["trim"], "wishes", {"warmth": "warm", "roles": ["trim"], "lrv": [40.0, 80.0]}),
        ("country", "GB", "room", {"name": "Alder Row", "kind": "kitchen", "country": "GB"}),
        ("length", 4.2, "sizes", {"length": 4.2, "units": "metres"}),
        (
            "lrv_of",
            {"trim": [80, 95]},
            "wishes",
            {"warmth": "warm", "roles": ["walls"], "lrv": [40.0, 80.0], "lrv_of": {"trim": [80, 95]}},
        ),
        ("units", "feet", "sizes", {"units": "feet"}),
        ("built", 1931, "room", {"name": "Alder Row", "kind": "kitchen", "built": 1931}),
        ("most_paints", 2, "wishes", {**DRAFT["wishes"], "most_paints": 2}),
        ("avoid", ["demo-3"], "wishes", {**DRAFT["wishes"], "avoid": ["demo-3"]}),
        ("avoid_families", [], "wishes", DRAFT["wishes"]),
        ("one_trim", False, "wishes", DRAFT["wishes"]),
    ],
)
def test_one_field_changes_and_nothing_else(field: Any, value: Any, table: str, kept: dict[str, Any]) -> None:
    before = {key: dict(part) for key, part in DRAFT.items()}
    assert with_field(DRAFT, field, value) == {**DRAFT, table: kept}
    assert before == DRAFT


def test_of_an_lrv_kept_and_of_a_contrast_only_the_part_asked_changes() -> None:
    apart = {"between": ["walls", "trim"], "at_least": 10.0}
    both = {"wishes": {"lrv_of": {"walls": [50.0, 70.0]}, "contrast": [apart]}}
    changed = with_field(both, "lrv_of", (80, 100), part=("trim",))
    assert changed["wishes"]["lrv_of"] == {"walls": [50.0, 70.0], "trim": [80.0, 100.0]}
    # The whole of the scale is no wish, and the last of a table takes the table with it.
    assert "lrv_of" not in with_field(both, "lrv_of", (0, 100), part=("walls",))["wishes"]
    changed = with_field(both, "contrast", (None, 5), part=("walls", "ceiling"))
    assert changed["wishes"]["contrast"] == [apart, {"between": ["walls", "ceiling"], "at_most": 5.0}]
    # Whichever of the two is named first.
    changed = with_field(changed, "contrast", (20, 30), part=("trim", "walls"))
    assert changed["wishes"]["contrast"][0] == {"between": ["trim", "walls"], "at_least": 20.0, "at_most": 30.0}
    assert "contrast" not in with_field(both, "contrast", None, part=("walls", "trim"))["wishes"]


def test_the_last_size_takes_the_table_with_it() -> None:
    assert with_field({**DRAFT, "sizes": {"units": "metres", "length": 4.2}}, "length", None) == DRAFT
    assert with_field(DRAFT, "length", None) == DRAFT


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("name", " ", "called “Alder Row”"),
        ("roles", [], "nothing is chosen"),
        ("lrv", (50, 50), "50 to 50 is no range"),
        ("built", 3000, "^3000 is not between 1000 and 2100"),
        ("height", -2.4, "^-2.4 is not between 0 and 300"),
        ("walls", 0.0, "0 leaves nothing to paint"),
        ("country", "XX", "no country code"),
        ("most_paints", 0, "0 paints are none"),
        ("contrast", [{"between": ["walls", "trim"]}], r"contrast\[0\]: give at_least or at_most"),
        ("avoid_families", ["prple"], "Did you mean 'purple'"),
    ],
)
def test_what_says_nothing_is_refused(field: Any, value: Any, said: str) -> None:
    with pytest.raises(RequestError, match=said):
        with_field(DRAFT, field, value)


def test_what_somebody_else_saves_in_between_stays(desk: Desk, user: User, monkeypatch: pytest.MonkeyPatch) -> None:
    room_id = new_room(desk, user, "x")
    save_document(desk, user, room_id, DRAFT, revision=1)
    original = brief_fields.with_field

    def overtaken(document: dict[str, Any], field: Any, value: Any, **more: Any) -> dict[str, Any]:
        monkeypatch.undo()
        theirs = {**DRAFT, "pins": {"walls": "demo-2"}}
        save_document(desk, user, room_id, theirs, revision=2)
        return original(document, field, value, **more)

    monkeypatch.setattr(brief_fields, "with_field", overtaken)
    assert save_field(desk, user, room_id, "facing", "N") == Saved(over=3, revision=4)
    document = load_room(desk, user, room_id).document
    assert (document["room"]["facing"], document["pins"]) == ("N", {"walls": "demo-2"})
    assert save_field(desk, user, room_id, "facing", "N") == Saved(over=4, revision=4)


def test_paints_to_avoid_are_named_by_code_or_name(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "x")
    deck = deck_of(desk)
    save_field(desk, user, room_id, "avoid", f" {deck.codes[3].upper()}, {deck.names[8]}\n{deck.codes[3]},")
    assert load_room(desk, user, room_id).document["wishes"]["avoid"] == [deck.codes[3], deck.codes[8]]
    with pytest.raises(RequestError, match="“Vessin” is no paint"):
        save_field(desk, user, room_id, "avoid", f"{deck.codes[1]}, Vessin")
    assert load_room(desk, user, room_id).document["wishes"]["avoid"] == [deck.codes[3], deck.codes[8]]
    save_field(desk, user, room_id, "avoid", " ")
    assert "avoid" not in load_room(desk, user, room_id).document["wishes"]


def test_sizes_half_given_stop_no_shortlist() -> None:
    half = {"room": {"name": "x"}, "sizes": {"units": "metres", "length": 4.2}}
    assert "sizes" not in finished_part(half, frozenset())
    assert size_faults(half) == ("Width is missing beside length. Add width and height, or give walls.",)
    whole = {**half, "sizes": {"units": "metres", "walls": 30.0}}
    assert finished_part(whole, frozenset())["sizes"] == whole["sizes"]
    assert size_faults(whole) == size_faults({}) == ()


def test_one_photo_at_most_shows_the_whole_room() -> None:
    document = {"photos": [{"file": "a.jpg", "whole_room": True}, {"file": "b.jpg", "references": []}]}
    assert with_whole_room(document, "b.jpg")["photos"] == [
        {"file": "a.jpg"},
        {"file": "b.jpg", "references": [], "whole_room": True},
    ]
    assert with_whole_room(document, None)["photos"] == [{"file": "a.jpg"}, {"file": "b.jpg", "references": []}]


def test_every_outline_of_a_photo_is_counted() -> None:
    marked = {
        "file": "a.jpg",
        "references": [{}, {}],
        "surfaces": [{"outlines": [[], []]}, {"outline": []}],
        "areas": [],
    }
    assert count_marks({"photos": [marked, {"file": "b.jpg"}]}, "a.jpg") == 5
    assert count_marks({"photos": [marked, {"file": "b.jpg"}]}, "b.jpg") == 0
