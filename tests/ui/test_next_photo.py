"""The next photo on the pages: advised, asked for, drawn for the householder, come, withdrawn."""

from __future__ import annotations

import base64
from io import BytesIO
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from matcher.service import client
from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, save_document
from matcher.service.next_photo import ask_for_photo, request_of
from tests.ui.page_alone import page, press, text_of, visit
from ui import words

CLOSE_UP = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "tile_day.jpg"


@pytest.fixture
def one_card(desk: Desk, sample_room: str) -> str:
    """The sample kitchen with the marks of the whole picture alone: its one card lies on the floor."""
    room = load_room(desk, local_user(desk), sample_room)
    photos = [
        photo if photo.get("whole_room") else {**photo, "references": [], "surfaces": [], "areas": []}
        for photo in room.document["photos"]
    ]
    save_document(desk, local_user(desk), sample_room, {**room.document, "photos": photos}, revision=room.revision)
    return sample_room


def drawn(test: AppTest) -> str:
    """Return the drawings of a page as text."""
    found = "".join(str(element.proto.body) for element in test.get("html"))
    parts = [part.split('"')[0] for part in found.split("data:image/svg+xml;base64,")[1:]]
    return "".join(base64.b64decode(part).decode("utf-8") for part in parts)


def test_the_advised_photo_is_asked_for_by_the_link_and_withdrawn(desk: Desk, one_card: str) -> None:
    user = local_user(desk)
    token = client.make_link(desk, user, one_card)
    assert words.CLIENT_ASKED not in text_of(visit(desk, token))
    test = press(page("shortlist", room=one_card), words.ASK)
    asked = request_of(load_room(desk, user, one_card))
    assert asked is not None
    assert asked.text in text_of(test)
    shown = visit(desk, token)
    assert words.CLIENT_ASKED in text_of(shown)
    assert f">{asked.surface}</text>" in drawn(shown)
    assert asked.text in text_of(page("mark", room=one_card))
    test = press(page("shortlist", room=one_card), words.ASK_WITHDRAW)
    assert request_of(load_room(desk, user, one_card)) is None
    assert words.CLIENT_ASKED not in text_of(visit(desk, token))


def test_a_photo_that_came_is_thanked_for_and_offered_for_marking(desk: Desk, one_card: str) -> None:
    from PIL import Image

    user = local_user(desk)
    token = client.make_link(desk, user, one_card)
    ask_for_photo(desk, user, load_room(desk, user, one_card), "grey card", "tile")
    stream = BytesIO()
    with Image.open(CLOSE_UP) as picture:
        # The sample room holds the very file already.
        picture.save(stream, "JPEG", quality=90)
    client.add_client_photo(desk, token, stream.getvalue(), "tile again.jpg")
    shown = text_of(visit(desk, token))
    assert words.CLIENT_ASKED_COME in shown
    assert words.CLIENT_ASKED not in shown
    assert "tile again" in text_of(page("mark", room=one_card))


def test_colours_come_with_their_spread_and_words_for_how_sure(desk: Desk, one_card: str) -> None:
    test = page("mark", room=one_card)
    said = text_of(test)
    assert "rough, lay a card on it" in said
    assert drawn(test).count("<rect") >= 4 * 7
