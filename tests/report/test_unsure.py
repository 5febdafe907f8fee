"""Why a colour is not known well, and what to do: found from the causes of its doubt and from what cards lay where."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, get_args

import pytest

from matcher.advice.advice import ActionKind
from matcher.report.sentences import ACTIONS, UNSURE, UNSURE_DO
from matcher.report.unsure import Unsure, unsure_sentence, why_unsure
from matcher.room.contents import RoomFile
from matcher.room.reading import read_document, room_of
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Cause

FOLDER = Path(__file__).parents[2] / "sample_photos" / "kitchen"


@cache
def tile_photo(references: str) -> dict[str, Any]:
    """The close-up of the tile, its card said to lie on the tile, on nothing, or not there at all."""
    document = read_document(FOLDER / "kitchen_daylight.toml")
    (photo,) = (photo for photo in document["photos"] if photo["file"] == "tile_day.jpg")
    cards = [] if references == "none" else photo["references"]
    if references == "unsaid":
        cards = [{key: value for key, value in card.items() if key != "on"} for card in cards]
    return {**document, "photos": [{**photo, "references": cards}]}


def room(references: str) -> RoomFile:
    return room_of(tile_photo(references), {"tile_day.jpg": FOLDER / "tile_day.jpg"})


@pytest.mark.parametrize(
    ("references", "kind", "said"),
    [
        ("on it", "tone curve", "Lay white, grey and black side by side on it."),
        ("unsaid", "cards not said", "Choose the cards in tile_day.jpg and say what they lie on."),
        ("none", "no card", "Photograph it close up with a grey card flat on it."),
    ],
)
def test_the_reason_is_what_is_there_and_what_to_do_follows_from_it(references: str, kind: str, said: str) -> None:
    measurement = measure_room(room(references))
    (tile,) = (surface for surface in measurement.surfaces if surface.name == "tile")
    why = why_unsure(tile, measurement)
    assert why is not None
    assert why.kind == kind
    assert unsure_sentence(why).endswith(said)


def test_every_cause_has_its_words_and_every_deed_is_one_that_is_advised() -> None:
    assert set(get_args(Cause)) - set(UNSURE) == {"instrument"}
    assert set(UNSURE_DO) - set(UNSURE) <= set(ACTIONS) & set(get_args(ActionKind))
    for kind in UNSURE:
        said = unsure_sentence(Unsure("tile", kind, None, ("a.jpg", "b.jpg")))
        assert said[0].isupper()
        assert said.endswith(".")
        assert "{" not in said
