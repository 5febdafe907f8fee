"""A new edition of the deck: what it changes in every room, told and not done; stopped and begun again."""

from __future__ import annotations

import csv
import json
import socket
from collections.abc import Iterator, Sequence
from pathlib import Path
from threading import Thread, current_thread
from typing import Any

import pytest
from sqlalchemy import select
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.description.edition import Edition, compare_editions
from matcher.errors import ConflictError, DeckError, NotFoundError, RequestError
from matcher.paints.deck import Deck
from matcher.service import edition_page, edition_room, many_rooms
from matcher.service.desk import Desk, load_room, open_desk
from matcher.service.edition import update, update_deck
from matcher.service.edition_room import RoomTask
from matcher.settings import Settings
from matcher.store import editions, people, rooms
from matcher.store.measurements import StoredMeasurement, keep_measurement
from matcher.store.stored import User
from matcher.store.tables import DeckRow
from tests.benchmarks.edition import forget, furnish, told, write_decks

# Two batches and a part of one; at twenty rooms a batch that takes twice as long and shows the same.
ROOMS, BATCH = 23, 10


@pytest.fixture(autouse=True)
def small_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(many_rooms, "BATCH", BATCH)


@pytest.fixture(scope="module")
def decks(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    return write_decks(tmp_path_factory.mktemp("decks"), 200)


@pytest.fixture
def practice(desk: Desk, decks: tuple[Path, Path]) -> Desk:
    """A desk with some rooms that were measured; the photos they speak of are nowhere."""
    furnish(desk, ROOMS, codes(decks[0]))
    return Desk(desk.settings.model_copy(update={"deck": decks[0]}), desk.store)


@pytest.fixture
def ranked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The rooms that were ranked, by id."""
    found: list[str] = []

    def counted(tasks: Sequence[RoomTask], old: Deck, new: Deck, edition: Edition) -> list[tuple[str, Any]]:
        found.extend(task.id for task in tasks)
        return edition_room.judge_rooms(tasks, old, new, edition)

    monkeypatch.setattr(many_rooms, "judge_rooms", counted)
    return found


def codes(path: Path) -> list[str]:
    with path.open() as stream:
        return [row[0] for row in csv.reader(stream)][1:]


def rewritten(path: Path, to: Path, change: Any) -> Path:
    """A deck file whose rows, header and all, went through ``change``."""
    with path.open() as stream:
        rows = [change(row) for row in csv.reader(stream)]
    with to.open("w", newline="") as stream:
        csv.writer(stream).writerows(row for row in rows if row)
    return to


def test_what_was_stopped_goes_on_where_it_was(
    practice: Desk, decks: tuple[Path, Path], ranked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = update_deck(practice, decks[1], processes=1)
    assert sorted(ranked) == sorted(set(ranked)) == [f"{number:032x}" for number in range(ROOMS)]
    forget(practice)
    keep, kept = editions.keep_ranked, 0

    def full(*arguments: Any) -> None:
        nonlocal kept
        if kept:
            raise KeyboardInterrupt
        kept += 1
        keep(*arguments)

    monkeypatch.setattr(editions, "keep_ranked", full)
    with pytest.raises(KeyboardInterrupt):
        update_deck(practice, decks[1], processes=1)
    monkeypatch.setattr(editions, "keep_ranked", keep)
    latest = editions.latest_edition(practice.store)
    assert latest is not None
    assert latest.finished is None
    ranked.clear()
    resumed = update_deck(practice, decks[1], processes=1)
    assert told(resumed) == told(whole)
    assert len(ranked) == len(set(ranked)) == ROOMS - BATCH
    latest = editions.latest_edition(practice.store)
    assert latest is not None
    assert latest.finished is not None
    ranked.clear()
    assert told(update_deck(practice, decks[1])) == told(whole)
    assert ranked == []


def test_only_a_room_that_changed_is_ranked_again(practice: Desk, decks: tuple[Path, Path], ranked: list[str]) -> None:
    update_deck(practice, decks[1], processes=1)
    with practice.store.database.reading() as session:
        owner = rooms.find(session, f"{7:032x}").owner
    room = rooms.load_room(practice.store, owner, f"{7:032x}")
    document = {**room.document, "wishes": {"roles": ["door"]}}
    rooms.save_document(practice.store, owner, room.id, document, revision=room.revision)
    rooms.delete_room(practice.store, owner, f"{8:032x}")
    ranked.clear()
    again = update_deck(practice, decks[1], processes=1)
    assert ranked == [room.id]
    assert again["ranked"] == {"now": 1, "in_all": ROOMS - 1}


@pytest.fixture(scope="module")
def of_its_own(tmp_path_factory: pytest.TempPathFactory, decks: tuple[Path, Path]) -> Iterator[Desk]:
    """A desk on SQLite with rooms that were measured; where they are ranked has nothing to do with the database."""
    desk = open_desk(Settings(folder=tmp_path_factory.mktemp("alone") / "data", deck=decks[0]))
    furnish(desk, ROOMS, codes(decks[0]))
    yield desk
    desk.store.close()


@pytest.fixture(scope="module")
def alone(of_its_own: Desk, decks: tuple[Path, Path]) -> str:
    """What one process says, forgotten again."""
    result = update_deck(of_its_own, decks[1], processes=1)
    assert result["rooms"]
    forget(of_its_own)
    return told(result)


def test_two_processes_say_what_one_says(of_its_own: Desk, decks: tuple[Path, Path], alone: str) -> None:
    assert told(update_deck(of_its_own, decks[1], processes=2)) == alone
    forget(of_its_own)


def test_a_cluster_says_what_one_process_says(
    of_its_own: Desk, decks: tuple[Path, Path], alone: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A scheduler and a worker of Dask's own in threads of this process, asked through a port as others are."""
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=0, processes=False, protocol="tcp", host="127.0.0.1", dashboard_address=None
    ) as cluster:
        address = cluster.scheduler_address
        with pytest.raises(RequestError, match="has no worker"):
            update_deck(of_its_own, decks[1], scheduler=address)
        with pytest.raises(RequestError, match="settings here name no certificate"):
            update_deck(of_its_own, decks[1], scheduler=address.replace("tcp:", "tls:"))
        cluster.scale(1)
        cluster.wait_for_workers(1)
        with monkeypatch.context() as patched:
            patched.setattr("matcher.service.program_version.program_version", lambda: current_thread().name)
            with pytest.raises(RequestError, match="has workers with another Givens"):
                update_deck(of_its_own, decks[1], scheduler=address)
        assert editions.latest_edition(of_its_own.store) is None
        assert told(update_deck(of_its_own, decks[1], scheduler=address)) == alone


def test_a_paint_that_is_gone_is_told_and_nothing_is_changed(
    practice: Desk, decks: tuple[Path, Path], tmp_path: Path
) -> None:
    owner = people.add_user(practice.store, "Anna", "anna", "")
    gone, kept = codes(decks[0])[:2]
    document = {"room": {"name": "Hall"}, "wishes": {"roles": ["walls", "trim"]}, "pins": {"trim": gone}}
    room = rooms.create_room(practice.store, owner.id, name="Hall", document=document, stage="new")
    from matcher.store import links

    content = {"paints": [{"id": "walls", "code": gone, "role": "Walls"}, {"id": "trim", "code": kept}]}
    links.add_share(practice.store, owner.id, room, content, {})
    before = load_room(practice, owner, room)
    new = rewritten(decks[0], tmp_path / "new.csv", lambda row: None if row[0] == gone else row)
    result = update_deck(practice, new, processes=1)
    assert [entry["code"] for entry in result["gone"]] == [gone]
    nearest = result["gone"][0]["nearest"]
    (found,) = [entry["changed"] for entry in result["rooms"] if entry["room"] == "Hall"]
    assert [(change["role"], change["was"], change["now"], change["kind"]) for change in found] == [
        ("trim", gone, nearest, "chosen gone"),
        ("walls", gone, nearest, "shared gone"),
    ]
    assert all(gone in change["why"] and nearest in change["why"] for change in found)
    assert load_room(practice, owner, room) == before
    decided_by_whose_room_it_is(practice, owner, new, room, gone)


def decided_by_whose_room_it_is(practice: Desk, owner: User, new: Path, room: str, gone: str) -> None:
    shared = load_room(practice, owner, room).shared
    assert edition_page.rooms_to_decide(practice, owner) == 1
    view = edition_page.view_edition(practice, owner)
    assert view is not None
    assert [change.ways for change in view.rooms[0].changes] == [("choose", "leave"), ("choose", "leave")]
    # Decided rooms leave the list, so the page looked at may be one too far: that is the last.
    assert edition_page.view_edition(practice, owner, page=1) == view
    with pytest.raises(ConflictError, match="not in use yet"):
        edition_page.decide(practice, owner, view.id, room, 0, "take")
    stranger = people.add_user(practice.store, "Ben", "ben", "")
    with pytest.raises(NotFoundError):
        edition_page.decide(practice, stranger, view.id, room, 0, "leave")
    with pytest.raises(NotFoundError):
        edition_page.decide(practice, owner, view.id, room, 7, "leave")
    # What was decided stands while the edition changes the same, also when the command is run again.
    edition_page.decide(practice, owner, view.id, room, 1, "leave")
    update_deck(practice, new, processes=1)
    view = edition_page.view_edition(practice, owner)
    assert view is not None
    assert [change.decided for change in view.rooms[0].changes] == ["", "leave"]
    over = Desk(practice.settings.model_copy(update={"deck": new}), practice.store)
    view = edition_page.view_edition(over, owner)
    assert view is not None
    assert view.in_use
    nearest = view.rooms[0].changes[0].now["code"]
    # What was merely shown becomes a choice when the nearest is taken, and none again when that is taken back.
    for way, pins in (("", {"trim": gone}), ("take", {"trim": gone, "walls": nearest}), ("", {"trim": gone})):
        edition_page.decide(over, owner, view.id, room, 1, way)
        assert load_room(over, owner, room).document["pins"] == pins
    edition_page.decide(over, owner, view.id, room, 1, "leave")
    for way, pins in (("choose", {}), ("", {"trim": gone}), ("take", {"trim": nearest})):
        edition_page.decide(over, owner, view.id, room, 0, way)
        assert load_room(over, owner, room).document["pins"] == pins
    assert load_room(over, owner, room).shared == shared
    assert edition_page.rooms_to_decide(over, owner) == 0
    with pytest.raises(ConflictError, match="another paint was chosen meanwhile"):
        edition_page.decide(over, owner, view.id, room, 0, "choose")


def test_first_choices_are_seen_all_at_once_and_what_concerns_a_client_comes_first(
    practice: Desk, decks: tuple[Path, Path]
) -> None:
    update_deck(practice, decks[1], processes=1)
    with practice.store.database.reading() as session:
        owner = User(rooms.find(session, f"{1:032x}").owner, "Practice")
    view = edition_page.view_edition(practice, owner)
    assert view is not None
    assert view.rooms[0].shared
    assert 1 < view.only_first < view.open_rooms
    edition_page.see_first_choices(practice, owner, view.id)
    after = edition_page.view_edition(practice, owner)
    assert after is not None
    assert (after.only_first, after.open_rooms) == (0, view.open_rooms - view.only_first)
    abouts = [{change.about for change in room.changes} for room in after.rooms]
    assert all(about & {"shared", "chosen"} for about in abouts)


def test_new_codes_of_chosen_paints_are_taken_all_at_once_and_nothing_else(
    practice: Desk, decks: tuple[Path, Path], tmp_path: Path
) -> None:
    renamed = rewritten(decks[0], tmp_path / "renamed.csv", lambda row: [row[0].replace("P", "X"), *row[1:]])
    before = pins_of(practice)
    update_deck(practice, renamed, processes=1)
    with practice.store.database.reading() as session:
        owner = User(rooms.find(session, f"{1:032x}").owner, "Practice")
    view = edition_page.view_edition(practice, owner)
    assert view is not None
    with pytest.raises(ConflictError, match="not in use yet"):
        edition_page.take_new_codes(practice, owner, view.id)
    assert pins_of(practice) == before
    over = Desk(practice.settings.model_copy(update={"deck": renamed}), practice.store)
    assert view.only_called == sum(bool(pins) for pins in before.values()) > 1
    edition_page.take_new_codes(over, owner, view.id)
    assert pins_of(over) == {
        room: {role: code.replace("P", "X") for role, code in pins.items()} for room, pins in before.items()
    }
    after = edition_page.view_edition(over, owner)
    assert after is not None
    assert after.only_called == 0
    # What a client was shown under the old code is still to be told.
    assert any(change.about == "shared" for room in after.rooms for change in room.changes if not change.decided)


def pins_of(desk: Desk) -> dict[str, dict[str, str]]:
    return {room.id: room.document.get("pins", {}) for room in editions.rooms_as_they_are(desk.store)}


def test_a_surface_that_meets_a_moved_paint_clashes_now(practice: Desk, tmp_path: Path) -> None:
    """The trim moves from a clean white onto a near miss of the tile's white, by the room's own measure."""
    import numpy as np

    from matcher.surfaces.combining import make_surface
    from matcher.surfaces.kept import KeptMeasurement, KeptSurvey, write_survey
    from matcher.surfaces.surface import SurfaceColour

    colour = SurfaceColour(np.array([93.0, -1.0, 6.0]), np.eye(3) * 0.2, 1.0, "field")
    tile = make_surface("tile", "tile", (colour,), visibility=1.0, source="photo", has_own_card=True)
    text = write_survey(KeptSurvey(KeptMeasurement((tile,), (), (), (), (), ()), (), ()))
    header = "code,name,L,a,b\n"
    rest = "".join(f"R{number},Rest {number},{40 + number},2,4\n" for number in range(20))
    old, new = tmp_path / "old.csv", tmp_path / "new.csv"
    old.write_text(f"{header}T,Trim,93,-1,6\n{rest}")
    new.write_text(f"{header}T,Trim,90.5,3,-3\n{rest}")
    from matcher.service.paint import load_deck

    task = RoomTask("1", {"room": {"name": "x"}, "wishes": {"roles": ["walls"]}, "pins": {"trim": "T"}}, text, "", {})
    before, after = load_deck(old), load_deck(new)
    found = edition_room.judge_room(task, before, after, compare_editions(before, after))["changed"]
    assert {"chosen moved", "clash"} <= {change["kind"] for change in found}
    clash = next(change for change in found if change["kind"] == "clash")
    assert (clash["role"], clash["values"]["surface"], clash["values"]["of"]) == ("trim", "tile", "chosen")
    assert edition_room.judge_room(task, before, before, compare_editions(before, before))["changed"] == []


def test_a_room_whose_photos_are_gone_is_named_and_the_rest_is_ranked(practice: Desk, decks: tuple[Path, Path]) -> None:
    keep_measurement(practice.store, f"{3:032x}", StoredMeasurement("1" * 64, "2" * 64, "text"))
    result = update_deck(practice, decks[1], processes=1)
    (unranked,) = result["unranked"]
    assert unranked["room"] == "Room 3"
    assert "whole.jpg: is gone from where photos are kept" in unranked["why"]
    assert result["ranked"]["in_all"] == ROOMS


def greet(server: socket.socket) -> None:
    caller, _ = server.accept()
    with caller:
        caller.sendall(b"SSH-2.0-Other_1.0\r\n")


def test_bad_input_is_refused_in_words_and_changes_nothing(
    practice: Desk, decks: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(RequestError, match="is the edition that is in use already"):
        update_deck(practice, decks[0])
    half = rewritten(decks[1], tmp_path / "half.csv", lambda row: row[:3])
    with pytest.raises(DeckError, match="column a, b is missing"):
        update_deck(practice, half)
    with pytest.raises(RequestError, match="is not the address of a scheduler"):
        update_deck(practice, decks[1], scheduler="nonsense")
    # A server of another kind says nothing before it is asked, or something that is no message of Dask's.
    monkeypatch.setattr(many_rooms, "_CONNECT_S", 0.2)
    with socket.create_server(("127.0.0.1", 0)) as other:
        elsewhere = f"tcp://127.0.0.1:{other.getsockname()[1]}"
        with pytest.raises(RequestError, match="something else is there"):
            update_deck(practice, decks[1], scheduler=elsewhere)
        caller, _ = other.accept()
        caller.close()
        greeting = Thread(target=greet, args=(other,))
        greeting.start()
        with pytest.raises(RequestError, match="something else is there"):
            update_deck(practice, decks[1], scheduler=elsewhere)
        greeting.join()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        with pytest.raises(RequestError, match="no Dask scheduler answers at tcp:"):
            update_deck(practice, decks[1], scheduler=f"tcp://127.0.0.1:{free.getsockname()[1]}")
    assert editions.latest_edition(practice.store) is None
    with practice.store.database.reading() as session:
        assert session.scalars(select(DeckRow.sha)).all() == []


def test_renamed_codes_are_said_to_be_renamed(tmp_path: Path, decks: tuple[Path, Path]) -> None:
    renamed = rewritten(decks[0], tmp_path / "renamed.csv", lambda row: [row[0].replace("P", "X"), *row[1:]])
    result = update(Settings(folder=tmp_path / "nothing", deck=decks[0]), renamed)
    assert result["notes"] == ["most codes are new ones for the same colours: 200 of 200 paints were renamed"]
    assert not (tmp_path / "nothing").exists()


def test_the_command_line_says_it_as_the_contract_does(tmp_path: Path, decks: tuple[Path, Path]) -> None:
    command = ["deck", "update", str(decks[1]), "--old", str(decks[0])]
    environment = {"GIVENS_FOLDER": str(tmp_path / "nothing")}
    done = CliRunner().invoke(app, [*command, "--json"], env=environment)
    result = json.loads(done.stdout)
    assert done.exit_code == 0
    assert set(result["gone"][0]) >= {"code", "nearest", "de00"}
    assert set(result["moved"][0]) >= {"code", "de00"}
    assert result["new"][0] in codes(decks[1])
    assert result["rooms"] == []
    text = CliRunner().invoke(app, command, env=environment).stdout
    assert f"Gone: {len(result['gone'])}" in text


def test_ctrl_c_says_that_nothing_is_lost(
    practice: Desk, decks: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*arguments: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(editions, "keep_ranked", stopped)
    command = ["deck", "update", str(decks[1]), "--old", str(decks[0]), "-q"]
    url = practice.settings.database_url
    environment = {"GIVENS_FOLDER": str(practice.settings.folder), **({"GIVENS_DATABASE_URL": url} if url else {})}
    done = CliRunner().invoke(app, command, env=environment)
    assert done.exit_code == 130
    assert done.stdout == ""
    assert done.stderr == "givens: stopped. What was ranked is kept; the same command goes on from there.\n"
