"""The householder by private link: what opens, what they may say, and what they never get to see."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select, update

from matcher.errors import AccessError, NotFoundError, RequestError
from matcher.service.client import (
    add_client_photo,
    answer,
    answers_in,
    client_room,
    links,
    make_link,
    opened_link,
    revoke_link,
    save_brief,
    share,
    shared_picture,
    shares,
)
from matcher.service.desk import (
    Desk,
    add_photo,
    delete_room,
    list_rooms,
    load_room,
    new_room,
    note_seen,
    save_document,
    save_remark,
)
from matcher.store.stored import RoleAnswer, User
from matcher.store.tables import AnswerPartsRow, LinkRow, SeenRow, SharePictureRow
from tests.service.pictures import picture


@pytest.fixture
def room_id(desk: Desk, user: User) -> str:
    return new_room(desk, user, "Alder Row kitchen")


@pytest.fixture
def token(desk: Desk, user: User, room_id: str) -> str:
    return make_link(desk, user, room_id)


def opened_room(desk: Desk, token: str) -> str | None:
    opened = opened_link(desk, token)
    return opened.room_id if opened else None


def test_a_link_opens_one_room_until_it_expires(desk: Desk, user: User, room_id: str, token: str) -> None:
    assert len(token) >= 43  # 256 bits in base64
    assert opened_room(desk, token) == room_id
    (link,) = links(desk, user, room_id)
    assert timedelta(days=59) < link.expires - link.created <= timedelta(days=desk.settings.link_days)
    assert link.revoked is None
    with desk.store.database.writing() as session:
        assert session.scalars(select(LinkRow.token_hash)).one() == hashlib.sha256(token.encode()).hexdigest()
        session.execute(update(LinkRow).values(expires=datetime.now(UTC)))
    assert opened_room(desk, token) is None


def test_use_of_a_link_is_noted(desk: Desk, user: User, room_id: str, token: str) -> None:
    assert links(desk, user, room_id)[0].last_used is None
    client_room(desk, token)
    used = links(desk, user, room_id)[0].last_used
    assert used is not None
    client_room(desk, token)
    assert links(desk, user, room_id)[0].last_used == used
    with desk.store.database.writing() as session:
        session.execute(update(LinkRow).values(last_used=used - timedelta(minutes=2)))
    client_room(desk, token)
    assert (links(desk, user, room_id)[0].last_used or used) > used


def test_a_revoked_link_is_closed_and_others_stay_open(
    desk: Desk, user: User, other: User, room_id: str, token: str
) -> None:
    second = make_link(desk, user, room_id, days=1)
    first_link, second_link = links(desk, user, room_id)
    with pytest.raises(NotFoundError):
        revoke_link(desk, other, first_link.id)
    assert opened_room(desk, token) == room_id
    revoke_link(desk, user, first_link.id)
    assert opened_room(desk, token) is None
    assert opened_room(desk, second) == room_id
    closed, still_open = links(desk, user, room_id)
    assert closed.revoked is not None
    assert (still_open.id, still_open.revoked) == (second_link.id, None)
    revoke_link(desk, user, first_link.id)
    assert links(desk, user, room_id)[0].revoked == closed.revoked


@pytest.mark.parametrize("days", [0, -1, 3651])
def test_a_link_lasts_between_a_day_and_ten_years(desk: Desk, user: User, room_id: str, days: int) -> None:
    with pytest.raises(RequestError, match="days"):
        make_link(desk, user, room_id, days=days)


@pytest.mark.parametrize("asked", ["", "x", "\0", "\ud800", "x" * 10_000])
def test_a_link_that_is_none_opens_nothing(desk: Desk, asked: str) -> None:
    assert opened_room(desk, asked) is None
    for act in (
        lambda: client_room(desk, asked),
        lambda: save_brief(desk, asked, {}),
        lambda: add_client_photo(desk, asked, picture(), "a.jpg"),
        lambda: answer(desk, asked, "like", ""),
    ):
        with pytest.raises(AccessError, match="opens no room"):
            act()


def test_the_householder_sees_their_own_things_only(desk: Desk, user: User, room_id: str, token: str) -> None:
    own = add_client_photo(desk, token, picture(1), "mine.jpg")
    add_photo(desk, room_id, picture(2), "consultant.jpg", by="consultant")
    save_remark(desk, user, room_id, "hard to please")
    save_brief(desk, token, {"dislikes": "green"})
    answer(desk, token, "not sure", "later\n")
    seen = client_room(desk, token)
    assert seen.name == "Alder Row kitchen"
    assert seen.photos == (own,)
    assert seen.brief == {"dislikes": "green"}
    assert seen.shared is None
    assert [(said.choice, said.note) for said in seen.answers] == [("not sure", "later")]
    assert "hard to please" not in repr(seen)
    assert "consultant.jpg" not in repr(seen)


def test_a_photo_both_sent_is_the_householders_too(desk: Desk, user: User, room_id: str, token: str) -> None:
    add_photo(desk, room_id, picture(), "a.jpg", by="consultant")
    assert client_room(desk, token).photos == ()
    sent = add_client_photo(desk, token, picture(), "b.jpg")
    assert (sent.name, sent.by) == ("a.jpg", "client")
    assert client_room(desk, token).photos == load_room(desk, user, room_id).photos == (sent,)


def test_what_was_shared_last_is_shown(desk: Desk, user: User, room_id: str, token: str) -> None:
    share(desk, user, room_id, {"scheme": 1})
    share(desk, user, room_id, {"scheme": 2, "reasons": ["as warm as the floor"]})
    assert client_room(desk, token).shared == {"scheme": 2, "reasons": ["as warm as the floor"]}
    assert load_room(desk, user, room_id).shared == {"scheme": 2, "reasons": ["as warm as the floor"]}


@pytest.mark.parametrize("content", [[], {"a": float("inf")}, {"a": {1, 2}}, {"a": "x" * 4_000_001}])
def test_what_cannot_be_shared_is_refused(desk: Desk, user: User, room_id: str, content: Any) -> None:
    with pytest.raises(RequestError, match="share"):
        share(desk, user, room_id, content)
    assert load_room(desk, user, room_id).shared is None


def test_answers_are_kept_in_order(desk: Desk, user: User, room_id: str, token: str) -> None:
    answer(desk, token, "no", "too dark \0")
    answer(desk, token, "like", "")
    said = load_room(desk, user, room_id).answers
    assert [(one.choice, one.note) for one in said] == [("no", "too dark"), ("like", "")]
    with pytest.raises(RequestError, match="'maybe' is not one of like, not sure, no"):
        answer(desk, token, "maybe", "")  # type: ignore[arg-type]
    with pytest.raises(RequestError, match="2001 characters"):
        answer(desk, token, "no", "x" * 2001)


def test_a_link_cannot_fill_the_store_with_answers(desk: Desk, token: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("matcher.store.links.MOST_ANSWERS", 2)
    answer(desk, token, "no", "")
    answer(desk, token, "no", "")
    with pytest.raises(RequestError, match="2 answers"):
        answer(desk, token, "no", "")


def test_photos_and_answers_are_news_until_each_is_seen(desk: Desk, user: User, room_id: str, token: str) -> None:
    def news() -> tuple[str, ...]:
        (room,) = list_rooms(desk, user)
        assert room.unread == bool(room.news)
        assert load_room(desk, user, room_id).news == room.news
        return room.news

    assert news() == ()
    add_client_photo(desk, token, picture(), "a.jpg")
    assert news() == news() == ("photos",)
    answer(desk, token, "like", "")
    # Looking at the photos is no reading of the answer.
    note_seen(desk, user, load_room(desk, user, room_id), "photos")
    assert news() == ("answer",)
    before = load_room(desk, user, room_id)
    answer(desk, token, "no", "")
    # What came since the page was loaded stays new.
    note_seen(desk, user, before, "answer")
    assert news() == ("answer",)
    note_seen(desk, user, load_room(desk, user, room_id), "answer")
    assert news() == ()
    add_photo(desk, room_id, picture(3), "own.jpg", by="consultant")
    assert news() == ()
    # A photo that both sent is news when the client sends it.
    add_client_photo(desk, token, picture(3), "own.jpg")
    assert news() == ("photos",)


def test_nobody_notes_for_somebody_else(desk: Desk, user: User, other: User, room_id: str, token: str) -> None:
    answer(desk, token, "like", "")
    with pytest.raises(NotFoundError):
        note_seen(desk, other, load_room(desk, user, room_id), "answer")
    assert list_rooms(desk, user)[0].news == ("answer",)


SCHEME = {"paints": [{"id": "walls", "role": "Walls"}, {"id": "trim", "role": "Trim"}]}


def test_each_share_is_kept_with_its_pictures(desk: Desk, user: User, other: User, room_id: str, token: str) -> None:
    first = share(desk, user, room_id, SCHEME, {"before": b"old", "after": b"new"})
    second = share(desk, user, room_id, {**SCHEME, "remark": "again"})
    assert [(one.id, one.pictures) for one in shares(desk, user, room_id)] == [
        (second, ()), (first, ("before", "after"))
    ]  # fmt: skip
    shown = client_room(desk, token).share
    assert shown is not None
    assert (shown.id, shown.content["remark"]) == (second, "again")
    assert shared_picture(desk, token, first, "after") == b"new"
    for share_id, name in ((first, "other-0"), (second, "after"), (0, "after"), (1 << 40, "after")):
        with pytest.raises(NotFoundError):
            shared_picture(desk, token, share_id, name)
    elsewhere = make_link(desk, user, new_room(desk, user, "Another"))
    with pytest.raises(NotFoundError):
        shared_picture(desk, elsewhere, first, "after")
    with pytest.raises(AccessError):
        shared_picture(desk, "x", first, "after")
    with pytest.raises(NotFoundError):
        shares(desk, other, room_id)


def test_what_was_shared_leaves_with_its_room(desk: Desk, user: User, room_id: str, token: str) -> None:
    share_id = share(desk, user, room_id, SCHEME, {"after": b"new"})
    answer(desk, token, "like", "", parts=[RoleAnswer("walls", "like", "")], share=share_id)
    delete_room(desk, user, room_id)
    with desk.store.database.reading() as session:
        for table in (SharePictureRow, AnswerPartsRow, SeenRow):
            assert session.scalars(select(table)).all() == []


def test_an_answer_is_per_role_and_can_be_changed(desk: Desk, user: User, room_id: str, token: str) -> None:
    share_id = share(desk, user, room_id, SCHEME)
    parts = [RoleAnswer("walls", "like", ""), RoleAnswer("trim", "not sure", "too white?\0")]
    answer(desk, token, "not sure", "", parts=parts, share=share_id)
    answer(desk, token, "like", "yes", parts=parts[:1], share=share_id)
    first, last = client_room(desk, token).answers
    assert first.parts == (RoleAnswer("walls", "like", ""), RoleAnswer("trim", "not sure", "too white?"))
    assert (last.choice, last.note, last.parts, last.share) == ("like", "yes", (parts[0],), share_id)
    assert load_room(desk, user, room_id).answers == (first, last)


def test_an_answer_to_what_was_not_shared_is_refused(desk: Desk, user: User, room_id: str, token: str) -> None:
    share_id = share(desk, user, room_id, SCHEME)
    elsewhere = share(desk, user, new_room(desk, user, "Another"), SCHEME)
    walls = RoleAnswer("walls", "like", "")
    for parts, about, why in (
        ([RoleAnswer("door", "like", "")], share_id, "'door' was not shared"),
        ([walls, walls], share_id, "answered twice"),
        ([RoleAnswer("walls", "maybe", "")], share_id, "'maybe' is not one of"),  # type: ignore[arg-type]
        ([walls], elsewhere, "not there"),
        ([RoleAnswer("walls", "no", "x" * 2001)], share_id, "2001 characters"),
    ):
        with pytest.raises(RequestError, match=why):
            answer(desk, token, "like", "", parts=parts, share=about)
    assert client_room(desk, token).answers == ()


def test_the_brief_begins_with_what_the_consultant_has_in_mind(
    desk: Desk, user: User, room_id: str, token: str
) -> None:
    said = {"room": {"name": "x"}, "wishes": {"roles": ["trim", "door"]}}
    save_document(desk, user, room_id, said, revision=1)
    assert client_room(desk, token).wished == ("trim", "door")
    shown = {"may_be_painted": ["trim", "door"]}
    # What stands as it was shown nobody wrote; what is taken back was written.
    assert answers_in({}, shown, {"may_be_painted": ["trim", "door"], "warmth": None, "stays": [], "kind": ""}) == {}
    assert answers_in({}, shown, {"may_be_painted": ["trim"], "warmth": "either"}) == {
        "may_be_painted": ["trim"], "warmth": "either"
    }  # fmt: skip
    assert answers_in({"may_be_painted": ["walls"]}, {"may_be_painted": ["walls"]}, {"may_be_painted": ["walls"]}) == {
        "may_be_painted": ["walls"]
    }


BRIEF = {
    "kind": "kitchen",
    "facing": "N",
    "lamps_k": 2700,
    "stays": ["oak floor", "worktop"],
    "may_be_painted": ["walls", "cabinets"],
    "warmth": "warm",
    "dislikes": "anything\npurple",
}


def test_a_brief_fills_the_draft(desk: Desk, user: User, room_id: str, token: str) -> None:
    save_brief(desk, token, BRIEF)
    room = load_room(desk, user, room_id)
    assert room.brief == BRIEF
    assert room.document["room"] == {"name": "Alder Row kitchen", "kind": "kitchen", "facing": "N", "lamps_k": 2700}
    assert room.document["wishes"] == {"warmth": "warm", "roles": ["walls", "cabinets"]}
    assert room.revision == 2


def test_a_brief_leaves_what_the_consultant_said(desk: Desk, user: User, room_id: str, token: str) -> None:
    said = {"room": {"name": "x", "facing": "S"}, "wishes": {"warmth": "cool", "roles": ["trim"]}}
    save_document(desk, user, room_id, said, revision=1)
    save_brief(desk, token, BRIEF)
    room = load_room(desk, user, room_id)
    assert room.document["room"] == {"name": "x", "facing": "S", "kind": "kitchen", "lamps_k": 2700}
    assert room.document["wishes"] == {"warmth": "cool", "roles": ["trim"]}


def test_a_brief_changed_later_changes_what_it_filled(desk: Desk, user: User, room_id: str, token: str) -> None:
    save_brief(desk, token, BRIEF)
    room = load_room(desk, user, room_id)
    corrected = {**room.document, "wishes": {**room.document["wishes"], "warmth": "cool"}}
    save_document(desk, user, room_id, corrected, revision=room.revision)
    save_brief(desk, token, {"facing": "E", "warmth": "either", "may_be_painted": ["walls"]})
    document = load_room(desk, user, room_id).document
    assert document["room"] == {"name": "Alder Row kitchen", "facing": "E"}
    assert document["wishes"] == {"warmth": "cool", "roles": ["walls"]}


def test_an_unchanged_brief_leaves_the_revision(desk: Desk, user: User, room_id: str, token: str) -> None:
    save_brief(desk, token, BRIEF)
    save_brief(desk, token, {**BRIEF, "dislikes": "more"})
    room = load_room(desk, user, room_id)
    assert (room.revision, room.brief["dislikes"]) == (2, "more")


def test_every_mistake_in_a_brief_is_said_in_one_go(desk: Desk, user: User, room_id: str, token: str) -> None:
    with pytest.raises(RequestError) as refused:
        save_brief(
            desk,
            token,
            {
                "kind": 3,
                "facing": "up",
                "lamps_k": "warm",
                "stays": "floor",
                "may_be_painted": ["floor"],
                "warmth": "hot",
                "dislikes": "x" * 2001,
                "budget": 1,
            },
        )
    where = {problem.where for problem in refused.value.problems}
    assert where == {"kind", "facing", "lamps_k", "stays", "may_be_painted[0]", "warmth", "dislikes", "budget"}
    assert load_room(desk, user, room_id).brief == {}
