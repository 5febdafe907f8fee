"""A new edition sent to its page: refused with nothing changed; every room ranked in the background, once for all
servers, stopped, killed and gone on with; put in use and back.
"""

from __future__ import annotations

import csv
import hashlib
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import delete, func, select

from matcher.errors import ConflictError, DeckError, GivensError, NotFoundError, RequestError
from matcher.recall import Recall
from matcher.service import backup, deck_in_use, edition_arrival, edition_run, live, many_rooms, process_mark, restore
from matcher.service.desk import Desk, load_room, open_desk
from matcher.service.edition import edition_id, update_deck
from matcher.service.incoming import incoming
from matcher.settings import Settings
from matcher.store import decks as kept_decks
from matcher.store import edition_runs, editions, people, rooms
from matcher.store.edition_runs import EditionRun
from matcher.store.stored import User
from matcher.store.tables import DeckRow, PhotoRow
from tests.benchmarks.edition import forget, furnish, told, write_decks

ROOMS = 20


@pytest.fixture(scope="module")
def decks(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    return write_decks(tmp_path_factory.mktemp("decks"), 120)


@pytest.fixture
def practice(tmp_path: Path, decks: tuple[Path, Path]) -> Desk:
    desk = open_desk(Settings(folder=tmp_path / "data", deck=decks[0]))
    furnish(desk, ROOMS, [row[0] for row in rows_of(decks[0])[1:]])
    return desk


@pytest.fixture
def ada(practice: Desk) -> User:
    return people.add_user(practice.store, "Ada", "ada", "")


def rows_of(path: Path) -> list[list[str]]:
    with path.open() as stream:
        return list(csv.reader(stream))


def send(desk: Desk, user: User, path: Path, name: str = "") -> str:
    with incoming(desk, name or path.name, most_mb=edition_arrival.most_deck_mb()) as arrived:
        arrived.write(path.read_bytes())
        return edition_arrival.take_edition(desk, user, arrived)


def run_of(desk: Desk) -> EditionRun:
    run = edition_runs.last_run(desk.store)
    assert run is not None
    return run


def until(holds: Callable[[], bool], seconds: float = 60) -> None:
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def test_two_press_at_once_one_is_killed_and_another_server_goes_on(
    practice: Desk, ada: User, decks: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = told(update_deck(practice, decks[1], processes=1))
    forget(practice)
    started: list[subprocess.Popen[bytes]] = []
    start = edition_run._start

    def noted(desk: Desk, order: dict[str, str]) -> subprocess.Popen[bytes]:
        started.append(start(desk, order))
        return started[-1]

    monkeypatch.setattr(edition_run, "_start", noted)
    other = open_desk(practice.settings)
    number = send(practice, ada, decks[1])
    # The same file once more, from another server: it is under way already, and nothing is begun.
    assert send(other, ada, decks[1]) == number
    edition_arrival.go_on(other, ada, number)
    assert len(started) == 1
    started[0].kill()
    started[0].wait()
    assert run_of(other).state == "running"
    monkeypatch.setattr(edition_runs, "SILENCE", timedelta(0))
    assert run_of(other).state == "lost"
    before = editions.edition_called(other.store, number)
    assert before.finished is None
    edition_arrival.go_on(other, ada, number)
    monkeypatch.undo()
    until(lambda: run_of(practice).state == "ended")
    run = run_of(practice)
    assert (run.done, run.of, run.problem, run.by) == (ROOMS, ROOMS, "", "Ada")
    assert len(editions.states_of(practice.store, number)) == ROOMS
    assert editions.edition_called(practice.store, number).finished is not None
    # Nothing is left to rank, and what the page's run found is what the command finds.
    found = update_deck(practice, decks[1], processes=1)
    assert found["ranked"]["now"] == 0
    assert told(found) == whole
    other.store.close()


def test_stopped_it_keeps_what_it_has_and_goes_on_from_there(
    practice: Desk, ada: User, decks: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(edition_run, "_start", lambda desk, order: orders.append(order))
    monkeypatch.setattr(many_rooms.os, "cpu_count", lambda: 1)
    monkeypatch.setattr(many_rooms, "BATCH", ROOMS // 2)
    monkeypatch.setattr(edition_run, "BEAT_S", 0.01)
    orders: list[dict[str, str]] = []
    number = send(practice, ada, decks[1])
    third = decks[1].with_name("third.csv")
    third.write_text("\n".join(decks[1].read_text().splitlines()[:-1]))
    with pytest.raises(ConflictError, match=r"third\.csv: another edition is being looked at"):
        send(practice, ada, third)
    keep = editions.keep_ranked

    def keep_and_ask(*arguments: Any) -> None:
        keep(*arguments)
        edition_arrival.stop(practice)
        assert run_of(practice).state == "stopping"
        time.sleep(0.2)  # twenty times as long as who works takes to ask whether to stop

    monkeypatch.setattr(editions, "keep_ranked", keep_and_ask)
    edition_run.work(practice, **orders[0])
    assert run_of(practice).state == "ended"
    assert len(editions.states_of(practice.store, number)) == ROOMS // 2
    assert editions.edition_called(practice.store, number).finished is None
    monkeypatch.setattr(editions, "keep_ranked", keep)
    edition_arrival.go_on(practice, ada, number)
    # One that lost the run to another does nothing more.
    assert not edition_runs.go_on(practice.store, orders[0]["holder"], 0, 0, "")
    # A server that ends takes it along; what it has in hand is kept.
    monkeypatch.setattr(editions, "keep_ranked", lambda *arguments: (keep(*arguments), time.sleep(0.2)))
    edition_run.work(practice, **orders[1], parent=BytesIO())
    assert run_of(practice).problem == "the server that began it was ended"
    monkeypatch.setattr(editions, "keep_ranked", keep)
    edition_arrival.go_on(practice, ada, number)
    edition_run.work(practice, **orders[2])
    assert (run_of(practice).done, run_of(practice).of) == (ROOMS, ROOMS)
    assert editions.edition_called(practice.store, number).finished is not None


def test_the_command_takes_its_turn_and_keeps_its_decks(
    practice: Desk, ada: User, decks: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(edition_run, "_start", lambda desk, order: orders.append(order))
    monkeypatch.setattr(edition_run, "BEAT_S", 0.05)
    monkeypatch.setattr("socket.gethostname", lambda: "till")
    orders: list[dict[str, str]] = []
    who = r"\(new\.csv, begun by the command line on till on \d\d \w{3} \d{4}, \d\d:\d\d UTC(, \d+ of 20 rooms)?\)"

    def while_it_ranks(done: int, of: int, step: str) -> None:
        with pytest.raises(ConflictError, match=rf"old: another edition is being looked at just now {who}"):
            edition_arrival.go_on(practice, ada, "9" * 64)
        with pytest.raises(ConflictError, match=rf"this edition is being looked at just now {who}\. Wait"):
            update_deck(practice, decks[1], processes=1)
        edition_arrival.stop(practice)
        until(lambda: run_of(practice).state == "stopping")
        time.sleep(0.2)

    old = {"sha256": live.deck_of(practice).sha256}
    editions.begin_edition(practice.store, "9" * 64, {"old": old, "edition": old})
    with pytest.raises(ConflictError, match=r"was stopped on the page New edition\. What was ranked is kept"):
        update_deck(practice, decks[1], processes=1, progress=while_it_ranks)
    assert run_of(practice).state == "ended"
    assert kept_decks.kept_deck(practice.store, kept_sha(decks[1])).data == decks[1].read_bytes()
    # It dies without a word: the run is somebody else's once nothing was heard for long enough, and goes on from there.
    with monkeypatch.context() as killed:
        killed.setattr(edition_runs, "end_run", lambda *args, **rest: None)
        killed.setattr(editions, "finish_edition", lambda *args: sys.exit())
        with pytest.raises(SystemExit):
            update_deck(practice, decks[1], processes=1)
    number = edition_id(live.deck_of(practice).sha256, kept_sha(decks[1]))
    assert edition_arrival.go_on(practice, ada, number) is None
    assert orders == []
    monkeypatch.setattr(edition_runs, "SILENCE", timedelta(0))
    edition_arrival.go_on(practice, ada, number)
    (order,) = orders
    assert (order["old"], order["new"]) == (live.deck_of(practice).sha256, kept_sha(decks[1]))


def test_who_was_killed_may_give_the_command_again_at_once(practice: Desk, decks: tuple[Path, Path]) -> None:
    code = "from matcher.service.process_mark import mark; print(mark(), flush=True); input()"
    other = subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert other.stdin is not None
    assert other.stdout is not None
    holder, mark_here = other.stdout.readline().strip(), process_mark.mark()
    old, new = live.deck_of(practice).sha256, kept_sha(decks[1])
    assert edition_runs.begin_run(practice.store, old, new, holder=holder, by="the command line on till") is None
    with pytest.raises(ConflictError, match="is being looked at just now"):
        update_deck(practice, decks[1], processes=1)
    other.kill()
    until(lambda: not process_mark.is_gone(mark_here) and process_mark.is_gone(holder))
    assert update_deck(practice, decks[1], processes=1)["rooms"]
    # Of another machine nothing is known, nor of what has no mark.
    assert not process_mark.is_gone("0" * 16 + holder[16:])
    assert not process_mark.is_gone(kept_sha(decks[1]))
    other.wait()
    assert process_mark.is_gone(holder)
    for pipe in (other.stdin, other.stdout):
        pipe.close()


def test_a_file_that_is_refused_changes_nothing(
    practice: Desk, ada: User, decks: tuple[Path, Path], tmp_path: Path
) -> None:
    half = tmp_path / "half.csv"
    half.write_text("\n".join(",".join(row[:3]) for row in rows_of(decks[1])))
    rows = [",".join(row) for row in rows_of(decks[1])]
    wrong = tmp_path / "wrong.csv"
    wrong.write_text("\n".join([*rows[:3], rows[2], "X1,No colour,,2,3", *rows[3:]]))
    empty = tmp_path / "empty.csv"
    empty.write_text("")
    refused: list[tuple[Path, type[GivensError], str]] = [
        (half, DeckError, r"half\.csv.*column a, b is missing"),
        (wrong, DeckError, r"wrong\.csv, row 5, column L: is empty.*row 4, column code: 'P00001' stands already"),
        (empty, DeckError, r"empty\.csv: is empty"),
        (decks[0], RequestError, r"old\.csv: is the deck that is in use already"),
    ]
    for path, error, said in refused:
        with pytest.raises(error, match=f"(?s){said}"):
            send(practice, ada, path)
        assert editions.latest_edition(practice.store) is None
        assert edition_runs.last_run(practice.store) is None
    with practice.store.database.reading() as session:
        assert session.scalar(select(func.count()).select_from(DeckRow)) <= 1


def test_put_in_use_every_server_ranks_with_it_and_a_gone_paint_stays_until_it_is_decided(
    practice: Desk, ada: User, decks: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(edition_run, "_start", lambda desk, order: None)
    other = open_desk(practice.settings)
    old = live.deck_of(practice)
    gone, avoided = sorted(set(old.codes) - {row[0] for row in rows_of(decks[1])})[:2]
    document = {
        "room": {"name": "Hall"},
        "wishes": {"roles": ["walls", "trim"], "avoid": [avoided]},
        "pins": {"trim": gone},
        "surfaces": [{"name": "floor", "material": "timber", "lab": [55.0, 14.0, 28.0], "sd": 1.0}],
    }
    hall = rooms.create_room(practice.store, ada.id, name="Hall", document=document, stage="new")
    send(practice, ada, decks[1])
    new = deck_in_use.kept(practice, kept_sha(decks[1]))
    stated = deck_in_use.in_use(practice)
    assert (stated.sha, stated.since, stated.before) == (old.sha256, None, None)
    with pytest.raises(NotFoundError):
        deck_in_use.put_in_use(practice, ada, "0" * 64, instead_of=old.sha256)
    deck_in_use.put_in_use(practice, ada, new.sha256, instead_of=old.sha256)
    assert live.deck_of(other).sha256 == new.sha256
    stated = deck_in_use.in_use(other)
    assert (stated.name, stated.by) == (new.name, "Ada")
    assert stated.before is not None
    assert stated.before.sha == old.sha256
    with pytest.raises(RequestError, match="is the edition that is in use already"):
        update_deck(other, decks[1])
    # Who looked at the page before does not undo what they did not see.
    with pytest.raises(ConflictError, match="another one was put in use meanwhile"):
        deck_in_use.put_in_use(other, ada, new.sha256, instead_of=old.sha256)
    room = load_room(other, ada, hall)
    with_old = live.deck_for(other, room)
    assert with_old.codes[: len(new)] == new.codes
    assert with_old.codes[len(new) :] == (gone,)
    assert with_old.lab[-1].tolist() == old.lab[old.row_of[gone]].tolist()
    ranked = live.ranked(other, room)
    assert ranked is not None
    assert ranked.result["scheme"]["roles"]["trim"]["code"] == gone
    a_backup_has_every_deck_that_was_in_use(practice, ada, hall, gone, tmp_path)
    deck_in_use.put_in_use(other, ada, old.sha256, instead_of=new.sha256)
    assert live.deck_of(practice).sha256 == old.sha256
    assert [used.sha for used in kept_decks.decks_used(practice.store)] == [old.sha256, new.sha256, old.sha256]
    other.store.close()


def a_backup_has_every_deck_that_was_in_use(desk: Desk, user: User, room: str, gone: str, folder: Path) -> None:
    """Restored where nobody has the files of the decks, a room still shows the paint that only the old one has."""
    with desk.store.database.writing() as session:
        session.execute(delete(PhotoRow))  # those of the other rooms are nowhere
    backup(desk.settings, folder / "all.zip")
    restore(Settings(folder=folder / "again"), folder / "all.zip")
    again = open_desk(Settings(folder=folder / "again"))
    used = kept_decks.decks_used(desk.store)
    assert kept_decks.decks_used(again.store) == used
    assert len({each.sha for each in used}) == 2
    for each in used:
        kept = kept_decks.kept_deck(again.store, each.sha)
        assert hashlib.sha256(kept.data).hexdigest() == each.sha
    assert deck_in_use.in_use(again) == deck_in_use.in_use(desk)
    # Nothing that a process remembers of the decks.
    with pytest.MonkeyPatch.context() as forgetful:
        forgetful.setattr(deck_in_use, "_decks", Recall(4))
        forgetful.setattr(deck_in_use, "_whole", Recall(4))
        restored, there = load_room(again, user, room), load_room(desk, user, room)
        (lost,) = live.lost_choices(again, restored)
        assert live.lost_choices(desk, there) == [lost]
        assert lost["code"] == gone
        ranked = live.ranked(again, restored)
    assert ranked is not None
    assert ranked.result["scheme"]["roles"]["trim"]["code"] == gone
    again.store.close()


def kept_sha(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
