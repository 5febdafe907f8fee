"""Decks in the store, which one is in use, and who ranks rooms against a new one; on both databases, two servers."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from hashlib import sha256

import pytest

from matcher.errors import ConflictError, NotFoundError
from matcher.service.desk import Desk, open_desk
from matcher.store import decks, edition_runs, editions
from matcher.store.decks import KeptDeck

OLD, NEW, NEXT = (
    KeptDeck(sha256(data).hexdigest(), f"{name}.csv", 1, data)
    for name, data in (("old", b"\x00old\xff"), ("new", b"new"), ("next", b"next"))
)


@pytest.fixture
def beside(desk: Desk) -> Iterator[Desk]:
    """Another server on the same store."""
    opened = open_desk(desk.settings)
    yield opened
    opened.store.close()


def test_both_servers_see_which_deck_is_in_use_and_the_one_before(desk: Desk, beside: Desk) -> None:
    assert decks.deck_in_use(desk.store) is None
    for deck in (OLD, NEW):
        decks.keep_deck(desk.store, deck)
        decks.keep_deck(beside.store, deck)
    assert decks.kept_deck(beside.store, OLD.sha) == OLD
    with pytest.raises(NotFoundError):
        decks.put_in_use(desk.store, NEXT.sha, by="Ada", instead_of=OLD.sha)
    assert decks.deck_in_use(desk.store) is None
    decks.put_in_use(desk.store, NEW.sha, by="Ada", instead_of=OLD.sha)
    with pytest.raises(ConflictError):
        decks.put_in_use(beside.store, NEW.sha, by="Ben", instead_of=OLD.sha)
    assert [(used.file, used.by) for used in decks.decks_used(beside.store)] == [("new.csv", "Ada"), ("old.csv", "")]
    # What nobody used and no edition speaks of goes, the rest stays.
    decks.keep_deck(desk.store, NEXT)
    editions.begin_edition(desk.store, "1" * 64, {"old": {"sha256": OLD.sha}, "edition": {"sha256": NEXT.sha}})
    decks.drop_decks(desk.store)
    assert decks.is_kept(beside.store, NEXT.sha)
    editions.begin_edition(desk.store, "1" * 64, {"old": {"sha256": OLD.sha}, "edition": {"sha256": NEW.sha}})
    decks.drop_decks(desk.store)
    assert [decks.is_kept(beside.store, deck.sha) for deck in (OLD, NEW, NEXT)] == [True, True, False]


def test_one_of_two_servers_ranks_and_the_other_takes_over_what_was_lost(
    desk: Desk, beside: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert edition_runs.last_run(desk.store) is None
    assert edition_runs.begin_run(desk.store, OLD.sha, NEW.sha, holder="a" * 32, by="Ada") is None
    under_way = edition_runs.begin_run(beside.store, OLD.sha, NEXT.sha, holder="b" * 32, by="Ben")
    assert under_way is not None
    assert (under_way.new, under_way.by) == (NEW.sha, "Ada")
    assert edition_runs.go_on(desk.store, "a" * 32, 20, 45, "Ranking")
    run = edition_runs.last_run(beside.store)
    assert run is not None
    assert (run.done, run.of, run.step, run.state) == (20, 45, "Ranking", "running")
    monkeypatch.setattr(edition_runs, "SILENCE", timedelta(0))
    assert edition_runs.begin_run(beside.store, OLD.sha, NEW.sha, holder="b" * 32, by="Ben") is None
    monkeypatch.undo()
    # Who was merely slow is told, and ends what is no longer theirs.
    assert not edition_runs.go_on(desk.store, "a" * 32, 40, 45, "Ranking")
    edition_runs.end_run(desk.store, "a" * 32, problem="too late")
    edition_runs.ask_to_stop(desk.store)
    run = edition_runs.last_run(desk.store)
    assert run is not None
    assert (run.by, run.state, run.done, run.problem) == ("Ben", "stopping", 0, "")
    assert not edition_runs.go_on(beside.store, "b" * 32, 1, 45, "Ranking")
    edition_runs.end_run(beside.store, "b" * 32, problem="a full disk")
    run = edition_runs.last_run(desk.store)
    assert run is not None
    assert (run.state, run.problem) == ("ended", "a full disk")
