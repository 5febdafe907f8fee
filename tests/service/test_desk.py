"""Rooms at the desk: begun, saved, seen by their owner only, and never overwritten unawares. On both databases."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from matcher.errors import ConflictError, GivensError, NotFoundError, RequestError, RoomFileError
from matcher.service import client
from matcher.service.desk import (
    Desk,
    add_photo,
    delete_room,
    list_rooms,
    load_room,
    new_room,
    open_desk,
    owns_room,
    photo_path,
    save_document,
    save_remark,
)
from matcher.settings import Settings
from matcher.store.stored import User
from tests.service.pictures import picture

SURFACE = {"name": "worktop", "material": "stone", "outline": []}
DRAFT: dict[str, Any] = {
    "room": {"name": "Alder Row kitchen", "facing": None},
    "wishes": {"warmth": "warm", "roles": ["walls"]},
    "pins": {},
    "photos": [{"file": "a.jpg", "references": [], "surfaces": [SURFACE]}, {"file": "b.jpg", "surfaces": [SURFACE]}],
    "surfaces": [{"name": "floor", "material": "timber"}],
}


def test_a_new_room_is_an_empty_draft(desk: Desk, user: User) -> None:
    room = load_room(desk, user, new_room(desk, user, "  Alder \n Row "))
    assert room.name == "Alder Row"
    assert room.document == {
        "room": {"name": "Alder Row"},
        "wishes": {"warmth": "either", "roles": ["walls", "trim"]},
        "photos": [],
    }
    assert (room.revision, room.brief, room.remark, room.photos, room.shared, room.answers) == (1, {}, "", (), None, ())


def test_a_saved_draft_comes_back_and_is_listed(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "x")
    assert save_document(desk, user, room_id, DRAFT, revision=1) == 2
    room = load_room(desk, user, room_id)
    assert (room.document, room.revision, room.name) == (DRAFT, 2, "Alder Row kitchen")
    (summary,) = list_rooms(desk, user)
    assert (summary.id, summary.name, summary.surfaces, summary.photos) == (room_id, "Alder Row kitchen", 2, 0)
    assert summary.updated.utcoffset() is not None


def test_the_room_changed_last_is_listed_first(desk: Desk, user: User) -> None:
    first, second = new_room(desk, user, "first"), new_room(desk, user, "second")
    assert [room.id for room in list_rooms(desk, user)] == [second, first]
    save_remark(desk, user, first, "  north light\n")
    assert [room.id for room in list_rooms(desk, user)] == [first, second]
    assert load_room(desk, user, first).remark == "north light"


def test_name_can_be_changed(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "before")
    assert save_document(desk, user, room_id, {**DRAFT, "room": {"name": "after"}}, revision=1) == 2
    room = load_room(desk, user, room_id)
    assert (room.name, room.document["room"]["name"], room.revision) == ("after", "after", 2)


def test_a_stale_save_is_refused_and_overwrites_nothing(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "x")
    save_document(desk, user, room_id, DRAFT, revision=1)
    with pytest.raises(ConflictError, match="at revision 1; it is at 2"):
        save_document(desk, user, room_id, {"room": {"name": "mine"}}, revision=1)
    assert load_room(desk, user, room_id).document == DRAFT


def test_of_many_saving_at_once_exactly_one_wins(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "x")
    writers = 4
    barrier = Barrier(writers)

    def save(number: int) -> int | None:
        barrier.wait()
        try:
            save_document(desk, user, room_id, {"room": {"name": f"by {number}"}}, revision=1)
        except ConflictError:
            return None
        return number

    with ThreadPoolExecutor(writers) as pool:
        (won,) = [number for number in pool.map(save, range(writers)) if number is not None]
    room = load_room(desk, user, room_id)
    assert (room.name, room.revision) == (f"by {won}", 2)


def test_a_photo_arriving_makes_an_open_draft_stale(desk: Desk, user: User) -> None:
    """The draft names the photos, so saving an older one would drop the photo from it."""
    room_id = new_room(desk, user, "x")
    add_photo(desk, room_id, picture(), "a.jpg", by="client")
    with pytest.raises(ConflictError):
        save_document(desk, user, room_id, DRAFT, revision=1)


def test_somebody_elses_room_is_as_if_it_were_not_there(desk: Desk, user: User, other: User) -> None:
    room_id = new_room(desk, user, "x")
    messages = set()
    for asked in (room_id, "0" * 32, "", "\0"):
        for act in (
            lambda asked: load_room(desk, other, asked),
            lambda asked: save_document(desk, other, asked, DRAFT, revision=1),
            lambda asked: save_remark(desk, other, asked, "y"),
            lambda asked: delete_room(desk, other, asked),
            lambda asked: client.make_link(desk, other, asked),
            lambda asked: client.links(desk, other, asked),
            lambda asked: client.share(desk, other, asked, {}),
        ):
            with pytest.raises(NotFoundError) as refused:
                act(asked)
            messages.add(str(refused.value))
    assert len(messages) == 1
    assert list_rooms(desk, other) == ()
    assert owns_room(desk, user, room_id)
    assert not owns_room(desk, other, room_id)
    assert load_room(desk, user, room_id).revision == 1


def test_a_deleted_room_leaves_nothing(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "x")
    photo = add_photo(desk, room_id, picture(), "a.jpg", by="client")
    token = client.make_link(desk, user, room_id)
    client.answer(desk, token, "like", "")
    path = photo_path(desk, room_id, photo.sha)
    delete_room(desk, user, room_id)
    assert client.opened_link(desk, token) is None
    assert list_rooms(desk, user) == ()
    assert not path.exists()
    with pytest.raises(NotFoundError):
        photo_path(desk, room_id, photo.sha)


@pytest.mark.parametrize("name", ["", " \n\t ", "x" * 121, "\0"])
def test_names_that_are_none_are_refused(desk: Desk, user: User, name: str) -> None:
    with pytest.raises(RequestError, match="room name"):
        new_room(desk, user, name)
    assert list_rooms(desk, user) == ()


BAD_DRAFTS: dict[str, tuple[Any, str]] = {
    "no table": ([], "not a table"),
    "unknown key": ({"room": {"name": "x"}, "photo": []}, "photo: is not a known key"),
    "no name": ({"room": {}}, "room.name"),
    "name of half a character": ({"room": {"name": "\ud800"}}, "room.name"),
    "photos no list": ({"room": {"name": "x"}, "photos": {}}, "photos: is not a list"),
    "photo without file": ({"room": {"name": "x"}, "photos": [{}]}, r"photos\[0\].file"),
    "surface no table": (
        {"room": {"name": "x"}, "photos": [{"file": "a", "surfaces": [1]}]},
        "is not a list of tables",
    ),
    "surface name a list": ({"room": {"name": "x"}, "surfaces": [{"name": []}]}, r"surfaces\[0\].name"),
    "not a number": ({"room": {"name": "x", "latitude": float("nan")}}, "cannot be kept"),
    "half a character": ({"room": {"name": "x", "kind": "\ud800"}}, "cannot be kept"),
    "too long": ({"room": {"name": "x", "kind": "y" * 4_000_001}}, "more than"),
}


@pytest.mark.parametrize(("draft", "words"), BAD_DRAFTS.values(), ids=BAD_DRAFTS.keys())
def test_what_is_no_draft_is_refused(desk: Desk, user: User, draft: Any, words: str) -> None:
    room_id = new_room(desk, user, "x")
    with pytest.raises(RoomFileError, match=words):
        save_document(desk, user, room_id, draft, revision=1)
    assert load_room(desk, user, room_id).revision == 1


text = st.text(max_size=12)
plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(text, inner, max_size=3),
    max_leaves=12,
)
KEYS = ["room", "wishes", "pins", "photos", "surfaces", "file", "name", "references", "areas"]
tables = st.recursive(
    plain,
    lambda inner: st.dictionaries(st.sampled_from(KEYS), inner, max_size=4) | st.lists(inner, max_size=2),
    max_leaves=20,
)


@given(draft=tables, name=text)
@hypothesis_settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_draft_is_kept_as_it_is_or_refused_in_words(desk: Desk, user: User, draft: Any, name: str) -> None:
    room_id = new_room(desk, user, "x")
    if isinstance(draft, dict):
        draft["room"] = {"name": name}
    try:
        save_document(desk, user, room_id, draft, revision=1)
    except GivensError:
        assert load_room(desk, user, room_id).revision == 1
        return
    assert load_room(desk, user, room_id).document == draft


def test_the_desk_opens_again_with_what_was_there(desk: Desk, user: User, settings: Settings) -> None:
    room_id = new_room(desk, user, "x")
    again = open_desk(settings)
    assert [room.id for room in list_rooms(again, user)] == [room_id]
    again.store.database.close()
