"""A new edition's file as it arrives on its page: refused in words with nothing changed, or kept and every room ranked.

Any consultant may: it changes nothing in a room, nor which deck is in use.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.errors import ConflictError, DeckError, Problem, RequestError

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.service.desk import Desk
    from matcher.service.incoming import Incoming
    from matcher.service.records import User

Json = dict[str, Any]
_MEGABYTE = 1_000_000
# Assumptions: a million paints with names take 2 GB to read; a deck of some thousand is read and compared in a second,
# one of 300,000 of which 20,000 are gone in a minute, of a busy machine in two.
_MEMORY, _SECONDS = 4_000_000_000, 300.0


def most_deck_mb() -> int:
    """Return how many MB a deck's file may have."""
    from matcher.paints.reading import MOST_BYTES

    return MOST_BYTES // _MEGABYTE


def take_edition(desk: Desk, user: User, arrived: Incoming) -> str:
    """Keep a deck that arrived, compare it with the one in use, and begin to rank every room; return what stands for
    the two.

    Raises :class:`matcher.errors.DeckError` with every bad row named, RequestError for the deck that is in use, and
    ConflictError while rooms are ranked against another one; then nothing was changed.
    """
    from matcher.room.photo_name import plain_name
    from matcher.service.deck_in_use import keep_in_use
    from matcher.service.edition import edition_id
    from matcher.store import editions
    from matcher.store.decks import KeptDeck, drop_decks, keep_deck
    from matcher.workers.limits import Allowance
    from matcher.workers.pool import WorkerLostError, call

    path = Path(plain_name(arrived.name) or "deck")
    data = arrived.path.read_bytes()
    old = keep_in_use(desk)
    if arrived.sha == old.sha256:
        remedy = "Nothing was changed. Choose the file of the new edition."
        raise RequestError(Problem(path.name, "is the deck that is in use already", remedy))
    try:
        content = call(weighed, old, data, path, allowance=Allowance(_MEMORY, _SECONDS))
    except WorkerLostError as lost:
        what = f"cannot be read as a deck within {_MEMORY / 1e9:.0f} GB of memory and {_SECONDS:.0f} seconds"
        raise DeckError(
            Problem(path.name, what, "Check that it is the right file; a large one may be split.")
        ) from lost
    number = edition_id(old.sha256, arrived.sha)

    def prepare() -> None:
        keep_deck(desk.store, KeptDeck(arrived.sha, path.name, content["edition"]["size"], data))
        editions.begin_edition(desk.store, number, content)
        drop_decks(desk.store)

    if _begin(desk, user, old.sha256, arrived.sha, prepare) == "another":
        raise _another_runs(desk, path)
    return number


def weighed(old: Deck, data: bytes, path: Path) -> Json:
    """Return what the deck in a file changes against another; done in a worker, as the file is a stranger's."""
    from matcher.description.edition import compare_editions
    from matcher.paints.reading import parse_deck
    from matcher.service.edition import edition_entry

    new = parse_deck(data, path)
    return edition_entry(compare_editions(old, new), old, new)


def _another_runs(desk: Desk, path: Path) -> ConflictError:
    from matcher.service.edition_run import another_runs
    from matcher.store.edition_runs import last_run

    run, remedy = last_run(desk.store), "Wait until that is done, or stop it; then choose this file again."
    if run is not None:
        return another_runs(desk, path.name, run, remedy)
    return ConflictError(Problem(path.name, "another edition is being looked at just now", remedy))


def go_on(desk: Desk, user: User, edition: str) -> None:
    """Begin to rank the rooms that an edition was not held against yet; nothing happens while that is under way.

    Raises NotFoundError where a deck of it is not kept, and ConflictError while another edition is looked at.
    """
    from matcher.service.deck_in_use import kept
    from matcher.store import editions

    content = editions.edition_called(desk.store, edition).content
    old, new = (kept(desk, content[side]["sha256"]) for side in ("old", "edition"))
    if _begin(desk, user, old.sha256, new.sha256) == "another":
        raise _another_runs(desk, Path(new.name))


def _begin(desk: Desk, user: User, old: str, new: str, prepare: Callable[[], None] = lambda: None) -> str:
    from matcher.service import edition_run
    from matcher.service.access import has_users

    return edition_run.begin(desk, old, new, by=user.name if has_users(desk) else "", prepare=prepare)


def stop(desk: Desk) -> None:
    """Ask whoever ranks the rooms to stop: what is ranked by then is kept."""
    from matcher.store.edition_runs import ask_to_stop

    ask_to_stop(desk.store)
