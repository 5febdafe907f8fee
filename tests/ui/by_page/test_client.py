"""The householder's page behind a private link."""

from __future__ import annotations

import re
from io import BytesIO

from PIL import Image

from matcher.handover import words as handover_words
from matcher.quantities.cautions import House, cautions_for
from matcher.report.cautions import caution_words
from matcher.report.sentences import CLIENT_CHECKS
from matcher.service import client
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, new_room, save_document
from matcher.service.records import RoleAnswer
from tests.ui.page_alone import page, press, text_of, visit
from ui import words


def test_the_client_sees_their_room_and_no_other_and_what_is_shared(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    new_room(desk, user, "Somebody else's hall")
    token = client.make_link(desk, user, sample_room)
    said = text_of(visit(desk, token))
    assert "Hazel Close kitchen" in said
    assert "Somebody else" not in said
    assert words.CLIENT_NOT_YET in said
    scheme = page("scheme", room=sample_room)
    scheme.text_area[0].input("Try the board by the window.")
    next(one for one in scheme.button if one.label == words.SHARE).click().run()
    test = visit(desk, token)
    said = text_of(test)
    assert "Try the board by the window." in said
    assert words.CLIENT_NOT_YET not in said
    assert all(title in said for title, _ in words.CLIENT_NEXT_STEPS)
    # No laboratory words: what a householder reads has no LRV, no dE00 and no degrees in it.
    shown = re.sub(r"<[^>]*>", " ", said)
    assert not re.search(r"LRV|dE00|CIELAB|\bhue\b|°|undertone", shown)


def test_the_clients_answer_reaches_the_consultant(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    token = client.make_link(desk, user, sample_room)
    scheme = page("scheme", room=sample_room)
    next(one for one in scheme.button if one.label == words.SHARE).click().run()
    test = visit(desk, token)
    # An empty answer says what is missing, and nothing is sent.
    press(test, words.CLIENT_SEND_ANSWER)
    assert words.CLIENT_MISSING.format(missing=f"Walls, Trim and {words.CLIENT_MISSING_WHOLE}") in text_of(test)
    assert load_room(desk, user, sample_room).answers == ()
    walls, trim, whole = (radio for radio in test.radio if radio.label != words.CLIENT_WARMTH)
    walls.set_value("not sure")
    whole.set_value("not sure")
    note = next(one for one in test.text_input if one.label == words.CLIENT_ROLE_NOTE.format(role="Walls"))
    note.input("Is it not too green?")
    press(test, words.CLIENT_SEND_ANSWER)
    # What was sent is echoed, and what was not said is not made up.
    said = text_of(test)
    assert words.CLIENT_ANSWERED in said
    assert "Is it not too green?" in said
    assert words.CLIENT_NO_ANSWER in said
    (answer,) = load_room(desk, user, sample_room).answers
    assert answer.parts == (RoleAnswer("walls", "not sure", "Is it not too green?"),)
    # It can be changed: what was sent stands in the form again.
    again = visit(desk, token)
    walls, trim, whole = (radio for radio in again.radio if radio.label != words.CLIENT_WARMTH)
    assert (walls.value, trim.value, whole.value) == ("not sure", None, "not sure")
    trim.set_value("like")
    press(again, words.CLIENT_SEND_CHANGE)
    # It stays new on every page until it is seen where it stands.
    for _ in range(2):
        assert words.NEWS_AT["answer"] in text_of(page("brief", room=sample_room))
    (summary,) = list_rooms(desk, user)
    assert (summary.stage, summary.news) == ("answered", ("answer",))
    said = text_of(page("scheme", room=sample_room))
    assert "Is it not too green?" in said
    assert words.ANSWER_EARLIER.format(count=1) in [one.label for one in page("scheme", room=sample_room).expander]
    assert list_rooms(desk, user)[0].news == ()
    assert words.NEWS_AT["answer"] not in text_of(page("brief", room=sample_room))


def test_what_may_be_painted_begins_with_the_consultants_brief(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    wishes = {**room.document["wishes"], "roles": ["trim", "door"]}
    save_document(desk, user, sample_room, {**room.document, "wishes": wishes}, revision=room.revision)
    token = client.make_link(desk, user, sample_room)
    test = visit(desk, token)
    assert [box.label for box in test.checkbox if box.value] == ["Trim", "Door"]
    assert next(one for one in test.radio if one.label == words.CLIENT_WARMTH).value is None
    # Sent as it was shown it says nothing: nobody wrote it.
    press(test, words.CLIENT_SEND_BRIEF)
    assert words.CLIENT_BRIEF_EMPTY in text_of(test)
    assert load_room(desk, user, sample_room).brief == {}
    assert words.FROM_CLIENT not in text_of(page("brief", room=sample_room))
    next(box for box in test.checkbox if box.label == "Ceiling").check()
    press(test, words.CLIENT_SEND_BRIEF)
    assert load_room(desk, user, sample_room).brief == {"may_be_painted": ["trim", "door", "ceiling"]}


def test_a_card_that_is_there_is_not_said_to_be_missing(desk: Desk) -> None:
    user = local_user(desk)
    room_id = new_room(desk, user, "Hall")
    token = client.make_link(desk, user, room_id)
    stream = BytesIO()
    # A plain grey picture with one edge: large enough, and no card is found in it.
    plain = Image.new("RGB", (1600, 1200), (150, 150, 150))
    plain.paste((90, 90, 90), (0, 0, 700, 1200))
    plain.save(stream, "JPEG", quality=95)
    client.add_client_photo(desk, token, stream.getvalue(), "floor.jpg")
    said = text_of(visit(desk, token))
    assert CLIENT_CHECKS["cards"] in said
    assert "no neutral card" not in said
    room = load_room(desk, user, room_id)
    card = {"kind": "grey card", "reflectance": 0.18, "outline": [[10, 10], [90, 10], [90, 90], [10, 90]]}
    photos = [{**room.document["photos"][0], "references": [card]}]
    save_document(desk, user, room_id, {**room.document, "photos": photos}, revision=room.revision)
    assert CLIENT_CHECKS["cards"] not in text_of(visit(desk, token))


def test_a_revoked_link_opens_nothing(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    token = client.make_link(desk, user, sample_room)
    (link,) = client.links(desk, user, sample_room)
    client.revoke_link(desk, user, link.id)
    said = text_of(visit(desk, token))
    assert words.CLIENT_GONE in said
    assert "Hazel" not in said


def test_the_client_is_told_of_one_kind_of_sample_board_everywhere() -> None:
    """On the phone, in the document and in the report's cautions."""
    steps = [" ".join(step) for step in words.CLIENT_NEXT_STEPS]
    document = [" ".join(step) for step in handover_words.HOW_STEPS]
    phone, sheet = (next(text for text in told if " cm" in text) for told in (steps, document))
    caution = next(caution_words(one).text for one in cautions_for(House()) if one.kind == "samples")
    for told in (phone, sheet, caution):
        assert "60 by 60 cm" in told
    assert "white edge" in phone
    assert "white edge" in sheet
