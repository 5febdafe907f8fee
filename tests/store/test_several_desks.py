"""Two desks on one store, as two servers have: what one is told, the other knows; nothing of either goes stale."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select, text, update

from matcher.errors import AccessError, RequestError
from matcher.service import access, client, hints, live
from matcher.service.access import arriving_user
from matcher.service.desk import Desk, load_room, new_room, open_desk, save_document
from matcher.service.incoming import count_arrival
from matcher.settings import Settings
from matcher.store import database
from matcher.store.stored import User
from matcher.store.tables import SCHEMA_VERSION, SchemaVersion

PHRASE = "seven blue doors"


def _elsewhere(settings: Settings, name: str) -> Settings:
    """Return the settings of another machine on the same store."""
    shared = {"database_url": settings.database, "photo_address": f"file://{settings.folder}"}
    return settings.model_copy(update={"folder": settings.folder.parent / name, **shared})


@pytest.fixture
def second(desk: Desk, settings: Settings) -> Iterator[Desk]:
    """The desk of another server, with a folder of its own, on the database and the photos of the first."""
    opened = open_desk(_elsewhere(settings, "second"))
    yield opened
    opened.store.close()


def test_a_session_begun_at_one_opens_the_other_and_ends_at_both(desk: Desk, second: Desk) -> None:
    ada = access.add_user(desk, "Ada", PHRASE)
    token = access.sign_in(desk, "Ada", PHRASE, address="198.51.100.1")
    assert access.user_of(second, token) == ada
    browser = access.remember_browser(desk, token, "")
    assert access.remember_browser(second, token, browser) == browser
    access.sign_out(second, token)
    assert access.user_of(desk, token) is None


def test_tries_that_fail_count_together_wherever_they_are_made(desk: Desk, second: Desk) -> None:
    access.add_user(desk, "Ada", PHRASE)
    strict = [
        replace(each, settings=each.settings.model_copy(update={"sign_in_attempts": 2})) for each in (desk, second)
    ]
    said = []
    for turn in range(4):
        with pytest.raises(AccessError) as refused:
            access.sign_in(strict[turn % 2], "Ada", "six blue doors", address="198.51.100.1")
        said.append("Wait" in str(refused.value))
    assert said == [False, False, True, True]


def test_files_sent_count_together_wherever_they_arrive(desk: Desk, second: Desk) -> None:
    most = 4 * desk.settings.photos_per_room
    for turn in range(most):
        count_arrival((desk, second)[turn % 2], "ab" * 16)
    for each in (desk, second):
        with pytest.raises(RequestError, match=f"{most} files were sent"):
            count_arrival(each, "ab" * 16)


def test_a_link_made_at_one_opens_the_other_until_it_is_closed_anywhere(desk: Desk, second: Desk, user: User) -> None:
    token = client.make_link(desk, user, new_room(desk, user, "Hall"))
    client.save_brief(second, token, {"dislikes": "pink"})
    assert client.client_room(desk, token).brief == {"dislikes": "pink"}
    (link,) = client.links(second, user, client.opened_link(second, token).room_id)  # type: ignore[union-attr]
    client.revoke_link(second, user, link.id)
    assert client.opened_link(desk, token) is None


def test_a_hint_put_away_at_one_is_put_away_at_the_other(desk: Desk, second: Desk, user: User) -> None:
    hints.put_away(desk, user, "how it goes")
    assert not hints.is_shown(second, user, "how it goes")


def test_what_one_remembers_of_a_room_is_not_used_once_the_other_saved_it(desk: Desk, second: Desk, user: User) -> None:
    """Measured and ranked at the first, changed at the second: the first shows the change."""
    room = new_room(desk, user, "Hall")

    def floor(lightness: float) -> dict[str, object]:
        stored = load_room(second, user, room)
        surface = {"name": "floor", "material": "timber", "lab": [lightness, 10.0, 20.0]}
        save_document(second, user, room, {**stored.document, "surfaces": [surface]}, revision=stored.revision)
        ranked = live.ranked(desk, load_room(desk, user, room))
        assert ranked
        return ranked.result["surfaces"][0]

    first, then = floor(40.0), floor(70.0)
    assert (first["colours"][0]["lab"][0], then["colours"][0]["lab"][0]) == (40.0, 70.0)  # type: ignore[index]


def test_only_one_of_the_servers_that_start_at_once_furnishes_an_empty_store(desk: Desk, second: Desk) -> None:
    with ThreadPoolExecutor(4) as pool:
        firsts = [first for _, first in pool.map(arriving_user, [desk, second] * 2)]
    assert sorted(firsts) == [False, False, False, True]


class _Fast(datetime):
    """A machine whose clock is an hour ahead."""

    @classmethod
    def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
        return datetime.now(UTC) + timedelta(hours=1)


def test_all_go_by_the_clock_of_the_database(
    desk: Desk, settings: Settings, user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    if desk.store.database.is_sqlite:
        pytest.skip("one machine has one clock")
    monkeypatch.setattr(database, "datetime", _Fast)
    fast = open_desk(_elsewhere(settings, "fast"))
    room = new_room(fast, user, "Hall")
    token = client.make_link(fast, user, room)
    with fast.store.database.reading() as session:
        (created,) = session.execute(text("SELECT created FROM rooms WHERE id = :id"), {"id": room}).one()
    fast.store.close()
    assert abs(created - datetime.now(UTC)) < timedelta(minutes=1)
    assert client.opened_link(desk, token)


def test_a_server_goes_on_when_a_newer_one_opened_the_store_and_is_refused_when_it_starts_again(
    desk: Desk, settings: Settings, user: User
) -> None:
    """Nothing is changed by the one that is refused."""
    with desk.store.database.writing() as session:
        session.execute(text("CREATE TABLE of_tomorrow (id INTEGER PRIMARY KEY)"))
        session.execute(update(SchemaVersion).values(version=SCHEMA_VERSION + 1))
    room = new_room(desk, user, "Hall")
    with pytest.raises(RequestError) as refused:
        open_desk(settings)
    assert len(refused.value.problems) == 1
    assert load_room(desk, user, room).name == "Hall"
    with desk.store.database.reading() as session:
        assert session.scalar(select(SchemaVersion.version)) == SCHEMA_VERSION + 1
