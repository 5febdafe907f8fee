"""A server that starts looks at the others on its store: what they must have in common, and what they should.

Photos in another place would be lost to the others: that is refused. Another deck, other limits or another version lose
nothing, and are what an upgrade looks like halfway: they are named.
"""

from __future__ import annotations

import secrets
import socket
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC
from typing import TYPE_CHECKING, Any

from matcher.errors import Problem, RequestError
from matcher.service.heartbeat import beating

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.servers import Server

Json = dict[str, Any]
BEAT_S = 20.0
# What belongs to a machine and not to the store; the deck goes by what is in its file.
_OF_A_MACHINE = frozenset(
    {"folder", "database_url", "photo_address", "deck", "port", "hosts", "trusted_proxies", "letterhead_mark"}
)
_MOST_NAMED = 4  # servers in a message


@contextmanager
def among_others(desk: Desk, port: int) -> Iterator[list[str]]:
    """Note that a server runs here, at a ``port``, until the block ends; gives a sentence for each way in which servers
    that run differ from this one.

    Raises RequestError where one keeps photos in another place.
    """
    from matcher.store import servers

    mine = facts_of(desk)
    said: list[str] = []

    def check(others: Sequence[Server]) -> None:
        _refuse_other_places(mine, others)
        said.extend(_differences(mine, others))

    own = secrets.token_hex(16)
    servers.enter(desk.store, own, socket.gethostname(), port, mine, check)
    try:
        with beating(lambda: servers.go_on(desk.store, own), BEAT_S):
            yield said
    finally:
        servers.leave(desk.store, own)


def facts_of(desk: Desk) -> Json:
    """Return what a server goes by: where photos lie, the deck (a hash; "" where the store says which), the version of
    the program, and those settings that are the same wherever a store is served.
    """
    from matcher.service.program_version import program_version

    settings = desk.settings.model_dump(mode="json", exclude=set(_OF_A_MACHINE))
    return {
        "photos": desk.store.photos.place(),
        "deck": _deck_of_settings(desk),
        "version": program_version(),
        "settings": settings,
    }


def _deck_of_settings(desk: Desk) -> str:
    import hashlib

    from matcher.paints.reading import DEMO_DECK
    from matcher.store.decks import deck_in_use

    if deck_in_use(desk.store) is not None:
        return ""
    try:
        with (desk.settings.deck or DEMO_DECK).open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""  # said where a room is ranked with it


def _refuse_other_places(mine: Mapping[str, Any], others: Sequence[Server]) -> None:
    apart = [other for other in others if other.facts.get("photos") != mine["photos"]]
    if apart:
        what = f"the server {_called(apart)} keeps this store's photos in another place: neither could show the other's"
        remedy = "Name one place that all servers reach, such as a bucket or a shared disk, on each of them."
        raise RequestError(Problem("photo_address", what, remedy))


def _differences(mine: Mapping[str, Any], others: Sequence[Server]) -> Iterator[str]:
    """Yield a sentence for each kind of difference, with the servers that have it."""
    decks = [other for other in others if other.facts.get("deck") != mine["deck"] and other.facts.get("deck")]
    if decks and mine["deck"]:
        yield (
            f"deck: the server {_called(decks)} ranks with another deck, so the same room gets other advice there. "
            "Name the same file on each, or put one in use on the page New edition, which holds for all."
        )
    settings = mine["settings"]
    for key in settings:
        apart = [other for other in others if other.facts.get("settings", {}).get(key, settings[key]) != settings[key]]
        if apart:
            yield f"{key}: the server {_called(apart)} has another value. Write the same on each."
    versions = [other for other in others if other.facts.get("version") != mine["version"]]
    if versions:
        yield f"version: the server {_called(versions)} runs another version of the program. Upgrade all of them."


def _called(others: Sequence[Server]) -> str:
    named = [f"{each.host}:{each.port} (since {each.started.astimezone(UTC):%d %b %Y, %H:%M} UTC)" for each in others]
    more = f" and {len(named) - _MOST_NAMED} more" if len(named) > _MOST_NAMED else ""
    return f"{', '.join(named[:_MOST_NAMED])}{more}"
