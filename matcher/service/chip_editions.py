"""Which edition of the deck the chips in a room's photos are of: a chip keeps the colour that it was photographed with.

A chip lay there when its photo came, so it is of the deck that was in use then, whatever its code means by now. What it
was measured as before goes before that, and what its entry states itself before anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from matcher.errors import GivensError
from matcher.recall import Recall
from matcher.service.chips import has_chips, marked_chips, stated_chips
from matcher.service.deck_in_use import chosen_codes, deck_with, kept

if TYPE_CHECKING:
    from datetime import datetime

    from matcher.paints.deck import Deck
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom
    from matcher.store.decks import InUse

Json = dict[str, Any]
Lab = tuple[float, float, float]
# Of a room file (matcher/room/contents.py); what is worked out from other values may be a hair beyond.
_MOST_L, _MOST_CHROMATIC = 100.0, 150.0
_labs = Recall(256)


def as_photographed(desk: Desk, room: StoredRoom) -> Json:
    """Return the room's document with the colour of each chip that is another one in the deck in use."""
    return _filled(desk, room, everyone=False)


def with_every_chip(desk: Desk, room: StoredRoom) -> Json:
    """Return the room's document with the colour of each chip, to be measured the same wherever it goes."""
    return _filled(desk, room, everyone=True)


def as_in_use(desk: Desk, room: StoredRoom) -> Json:
    """Return the document with every chip as the deck in use has it, because somebody looked at them and says so."""
    deck = deck_with(desk, chosen_codes(room.document))
    labs = {place: _lab(deck, place[1]) for place in _places(room.document) if place[1] in deck.row_of}
    return _with_labs(room.document, labs)


def _filled(desk: Desk, room: StoredRoom, *, everyone: bool) -> Json:
    if not has_chips(room.document):
        return room.document
    try:
        deck = deck_with(desk, chosen_codes(room.document))
        own = dict(_own_labs(desk, room))
    except GivensError:
        if everyone:
            return room.document  # a room goes on its way without the word of a deck that cannot be read
        raise
    labs = {}
    for place in _places(room.document):
        now = _lab(deck, place[1]) if place[1] in deck.row_of else None
        lab = own.get(place, now)
        if lab is not None and (everyone or lab != now):
            labs[place] = lab
    return _with_labs(room.document, labs, stated=stated_chips(room.document))


def _own_labs(desk: Desk, room: StoredRoom) -> Iterator[tuple[tuple[str, str], Lab]]:
    """Yield by photo and code what is known of a chip but for the deck in use."""
    from matcher.store.decks import decks_used
    from matcher.store.measurements import chips_of

    measured, history = chips_of(desk.store, room.id), decks_used(desk.store)
    photos = {photo.name: photo for photo in room.photos}
    for name, code in _places(room.document):
        photo = photos.get(name)
        if photo is None:
            continue
        lab = measured.get((photo.sha, code)) or _lab_then(desk, history, photo.created, code)
        if lab is not None:
            yield (name, code), lab


def _lab_then(desk: Desk, history: tuple[InUse, ...], moment: datetime, code: str) -> Lab | None:
    """Return a code's colour in the deck that was in use at a moment; ``history`` has the latest first."""
    if not history:
        return None
    # What a store began with is noted when it is put out of use.
    then = next((used for used in history if used.since <= moment), history[-1])
    return _labs.of((then.sha, code), lambda: _lab_in(desk, then.sha, code))


def _lab_in(desk: Desk, sha: str, code: str) -> Lab | None:
    deck = kept(desk, sha)
    return _lab(deck, code) if code in deck.row_of else None


def _lab(deck: Deck, code: str) -> Lab:
    lightness, *chromatic = map(float, deck.lab[deck.row_of[code]])
    a, b = (min(max(value, -_MOST_CHROMATIC), _MOST_CHROMATIC) for value in chromatic)
    return min(max(lightness, 0.0), _MOST_L), a, b


def _places(document: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return photo and code of every chip that has one."""
    return [(file, code) for file, code, _ in marked_chips(document)]


def _with_labs(
    document: Json, labs: Mapping[tuple[str, str], Lab], stated: set[tuple[str, str]] | frozenset[Any] = frozenset()
) -> Json:
    """Return the document with these colours of chips, by photo and code, but for what is ``stated``."""
    photos = []
    for photo in document.get("photos", ()):
        references = []
        for reference in photo.get("references", ()):
            place = str(photo.get("file")), str(reference.get("paint"))
            own = labs.get(place) if place not in stated else None
            references.append(reference if own is None else {**reference, "lab": list(own)})
        photos.append({**photo, "references": references} if "references" in photo else photo)
    return {**document, "photos": photos} if "photos" in document else document
