"""Servers on one store: what keeps one from starting beside another, what is merely said, and who is forgotten."""

from __future__ import annotations

from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import RequestError
from matcher.paints.reading import DEMO_DECK, deck_bytes
from matcher.service import program_version
from matcher.service.desk import Desk, open_desk
from matcher.service.other_servers import among_others
from matcher.settings import Settings
from matcher.store import decks, servers
from matcher.store.tables import ServerRow


def ports(desk: Desk) -> list[int]:
    with desk.store.database.reading() as session:
        return list(session.scalars(select(ServerRow.port).order_by(ServerRow.port)))


def test_servers_of_one_mind_have_nothing_to_say_and_a_lost_one_is_forgotten(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    with ExitStack() as stack:
        assert [stack.enter_context(among_others(desk, port)) for port in (1, 2)] == [[], []]
        assert ports(desk) == [1, 2]
        # One that comes where another was takes its place: it must have been lost.
        assert stack.enter_context(among_others(desk, 2)) == []
        assert ports(desk) == [1, 2]
        monkeypatch.setattr(servers, "SILENCE", timedelta(0))
        assert stack.enter_context(among_others(desk, 3)) == []
        assert ports(desk) == [3]
    assert ports(desk) == []


def test_what_would_be_lost_is_refused_and_what_differs_is_named(
    desk: Desk, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: "till")
    elsewhere = settings.model_copy(update={"folder": tmp_path / "elsewhere", "database_url": settings.database})
    apart = open_desk(elsewhere)
    # A disk that both reach, whatever each of them calls it.
    (tmp_path / "by another name").symlink_to(settings.folder, target_is_directory=True)
    shared = open_desk(elsewhere.model_copy(update={"photo_address": f"file://{tmp_path}/by another name"}))
    deck = tmp_path / "deck.csv"
    deck.write_bytes(deck_bytes(DEMO_DECK) + b"\n")
    changed = {
        "deck": deck,
        "upload_limit_mb": settings.upload_limit_mb + 1,
        "port": 9999,
        "hosts": ("colour.example",),
    }
    other = Desk(shared.settings.model_copy(update=changed), desk.store)
    with among_others(desk, 8520):
        said = r"photo_address: the server till:8520 \(since .* UTC\) keeps this store's photos in another place"
        with pytest.raises(RequestError, match=said), among_others(apart, 8521):
            pass
        with among_others(shared, 8521) as differences:
            assert differences == []
        monkeypatch.setattr(program_version, "program_version", lambda: "other")
        monkeypatch.setattr("matcher.service.desk.the_desk", lambda: other)
        monkeypatch.setattr("uvicorn.run", lambda *args, **rest: None)
        served = CliRunner().invoke(app, ["serve", "--port", "8521", "--json"])
        assert served.exit_code == 0
        assert [line.split(":")[1].strip() for line in served.stderr.splitlines()] == [
            "deck",
            "upload_limit_mb",
            "version",
        ]
        assert served.stderr.count("till:8520") == 3
        assert ports(desk) == [8520]
        # Once the store says which deck is in use, nobody goes by the settings.
        for number in ("1", "2"):
            decks.keep_deck(desk.store, decks.KeptDeck(number * 64, "deck.csv", 1, b""))
        decks.put_in_use(desk.store, "2" * 64, by="", instead_of="1" * 64)
        with among_others(other, 8521) as differences:
            assert [each.split(":")[0] for each in differences] == ["upload_limit_mb", "version"]
    # Nobody else is there: photos may lie in another place from now on.
    with among_others(apart, 8521) as differences:
        assert differences == []
    for opened in (apart, shared):
        opened.store.close()
