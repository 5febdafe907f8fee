"""The deck that every room of the store is ranked with: read once, put in use and taken back, the same on every server.

A room outlives an edition: a paint that was chosen and that the deck no longer has is looked up in those used before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.recall import Recall

if TYPE_CHECKING:
    from datetime import datetime

    from matcher.paints.deck import Deck
    from matcher.service.desk import Desk
    from matcher.service.records import User
    from matcher.store.decks import InUse, KeptDeck

# Assumption: the deck in use, the one before, and two editions that are compared; a million paints take 300 MB.
_decks = Recall(4)
_whole = Recall(32)  # decks with a few paints of earlier ones


@dataclass(frozen=True, slots=True)
class DeckInUse:
    """The deck in use: its ``name``, ``size`` and hash, ``by`` whom it was put in use ("" where nobody is known) and
    ``since`` when, None for the one that the store began with; ``before`` is the one that was in use until then.
    """

    name: str
    size: int
    sha: str
    by: str
    since: datetime | None
    before: InUse | None


def deck_of(desk: Desk) -> Deck:
    """Return the deck in use: that of the store, or as long as none was put in use the settings' file, or the invented
    deck of the package.
    """
    from matcher.service.paint import load_deck
    from matcher.store import decks

    used = decks.deck_in_use(desk.store)
    if used is not None:
        return kept(desk, used.sha)
    path = desk.settings.deck
    stamp = path.stat().st_mtime_ns if path is not None and path.is_file() else 0
    return _decks.of(("file", str(path), stamp), lambda: load_deck(path))


def kept(desk: Desk, sha: str) -> Deck:
    """Return a deck that the store has; raises NotFoundError."""

    def read() -> Deck:
        from matcher.paints.reading import parse_deck
        from matcher.store.decks import kept_deck

        found = kept_deck(desk.store, sha)
        return parse_deck(found.data, Path(found.file))

    return _decks.of(("kept", sha), read)


def deck_with(desk: Desk, codes: Iterable[str]) -> Deck:
    """Return the deck in use and, at its end, those of ``codes`` that only an edition used before has."""
    from matcher.store import decks

    deck = deck_of(desk)
    lost = tuple(dict.fromkeys(code for code in codes if code not in deck.row_of))
    if not lost:
        return deck
    before = tuple(dict.fromkeys(used.sha for used in decks.decks_used(desk.store) if used.sha != deck.sha256))
    return _whole.of((deck.sha256, before, lost), lambda: _with(desk, deck, before, lost))


def _with(desk: Desk, deck: Deck, before: Sequence[str], lost: Sequence[str]) -> Deck:
    for sha in before:
        other = kept(desk, sha)
        rows = [other.row_of[code] for code in lost if code in other.row_of and code not in deck.row_of]
        deck = deck.with_paints(other, rows) if rows else deck
    return deck


def chosen_codes(document: dict[str, Any]) -> tuple[str, ...]:
    """Return the codes that a room was given, by choice or as chips in its photos."""
    pins = document.get("pins", {}).values()
    photos = document.get("photos", ())
    chips = (reference.get("paint") for photo in photos for reference in photo.get("references", ()))
    return (*pins, *(code for code in chips if code))


def in_use(desk: Desk) -> DeckInUse:
    """Return which deck is in use; raises :class:`matcher.errors.GivensError` where it cannot be read."""
    from matcher.store import decks

    deck, history = deck_of(desk), decks.decks_used(desk.store)
    if not history:
        return DeckInUse(deck.name, len(deck), deck.sha256, "", None, None)
    latest = history[0]
    before = next((used for used in history if used.sha != latest.sha), None)
    # What a store began with was put in use by nobody.
    since = latest.since if len(history) > 1 else None
    return DeckInUse(deck.name, len(deck), latest.sha, latest.by, since, before)


def put_in_use(desk: Desk, user: User, sha: str, *, instead_of: str) -> None:
    """Put a kept deck in use instead of the one that was looked at when this was decided; any consultant may, and it is
    kept who did. What was shared with clients stays as it was.

    Raises ConflictError where another one is in use meanwhile, NotFoundError for one that the store does not have.
    """
    from matcher.errors import ConflictError, Problem
    from matcher.service.access import has_users
    from matcher.store import decks

    if deck_of(desk).sha256 != instead_of:
        what = "another one was put in use meanwhile"
        raise ConflictError(Problem("deck", what, "Look again, then decide. Nothing was changed."))
    decks.put_in_use(desk.store, sha, by=user.name if has_users(desk) else "", instead_of=instead_of)


def keep_in_use(desk: Desk) -> Deck:
    """Keep the deck in use in the store too, where it is the settings' file or the package's, and return it."""
    from matcher.paints.reading import DEMO_DECK
    from matcher.store import decks

    deck = deck_of(desk)
    if decks.is_kept(desk.store, deck.sha256):
        return deck
    # Read anew: the file may be another by now.
    deck, to_keep = read_to_keep(desk.settings.deck or DEMO_DECK)
    decks.keep_deck(desk.store, to_keep)
    return deck


def read_to_keep(path: Path) -> tuple[Deck, KeptDeck]:
    """Return a file's deck, and what the store keeps of it; raises :class:`matcher.errors.DeckError`."""
    from matcher.paints.reading import deck_bytes, parse_deck
    from matcher.store.decks import KeptDeck

    data = deck_bytes(path)
    deck = parse_deck(data, path)
    return deck, KeptDeck(deck.sha256, path.name, len(deck), data)
