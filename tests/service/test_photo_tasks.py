"""What is still to do on each photo: cards to confirm first, then chips without a paint, then an outline."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from matcher.service.photo_tasks import photo_tasks
from matcher.service.records import StoredPhoto, StoredRoom

SQUARE = [[10.0, 10.0], [60.0, 10.0], [60.0, 60.0], [10.0, 60.0]]
FLOOR = {"name": "floor", "material": "timber", "outlines": [SQUARE]}
CARDS = [
    {"kind": kind, "confidence": 0.9, "group": 0, "outline": [[x + 200.0 + 50 * place, y] for x, y in SQUARE]}
    for place, kind in enumerate(("white card", "grey card", "black card"))
]


def room(entry: dict[str, Any], cards: list[dict[str, Any]]) -> StoredRoom:
    verdict = {"size": [400, 300], "colour_space": "sRGB", "checks": [], "cards": cards}
    photo = StoredPhoto("sha1", "by_the door.jpg", 400, 300, verdict, "consultant", datetime.now(UTC))
    fields = dict.fromkeys(StoredRoom.__dataclass_fields__)
    document = {"room": {"name": "x"}, "photos": [{"file": photo.name, **entry}]}
    return StoredRoom(**{**fields, "document": document, "photos": (photo,)})  # type: ignore[arg-type]  # rest unused


@pytest.mark.parametrize(
    ("entry", "cards", "task", "count"),
    [
        ({}, [], "outline", 0),
        ({}, CARDS, "confirm cards", 3),
        ({"surfaces": [FLOOR]}, CARDS, "confirm cards", 3),
        ({"surfaces": [FLOOR]}, [], "done", 0),
        ({"areas": [{"role": "walls", "outlines": [SQUARE]}]}, [], "done", 0),
        ({"surfaces": [FLOOR], "references": [{"kind": "paint chip", "outline": SQUARE}]}, [], "choose paints", 1),
        # Once one of a set is marked, moved a little or not, the set is no longer asked about.
        (
            {"references": [{"kind": "grey card", "reflectance": 0.18, "outline": CARDS[1]["outline"]}]},
            CARDS,
            "outline",
            0,
        ),
    ],
)
def test_what_comes_first(entry: dict[str, Any], cards: list[dict[str, Any]], task: str, count: int) -> None:
    (found,) = photo_tasks(room(entry, cards))
    assert (found.task, found.count) == (task, count)
    assert (found.name, found.title) == ("by_the door.jpg", "By the door")


def test_cards_that_a_person_said_are_none_are_not_asked_about() -> None:
    (found,) = photo_tasks(room({}, CARDS), {"sha1": ("found0",)})
    assert found.task == "outline"
    (other,) = photo_tasks(room({}, CARDS), {"sha2": ("found0",)})
    assert other.task == "confirm cards"
