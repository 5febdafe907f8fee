"""The list of a consultant's rooms, a page at a time: each with its picture, its steps, what is new, what is next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.service.next_photo import request_of
from matcher.service.steps import NextThing, State, next_step, next_thing, step_states
from matcher.store.stored import Whose

if TYPE_CHECKING:
    from collections.abc import Mapping, Set
    from datetime import datetime

    from matcher.service.desk import Desk
    from matcher.store.listing import ListedRoom
    from matcher.store.stored import StoredRoom, User

__all__ = ["ROOMS_A_PAGE", "RoomCard", "RoomList", "Standing", "Whose", "list_page", "sample_room"]

# Assumption: what a large screen shows without much scrolling.
ROOMS_A_PAGE = 12
_LONGEST_SEARCH = 100  # characters; assumption: no name is sought by more
StandingKind = Literal["news", "answered", "shared", "asked", "linked", "unfit", "holds"]


@dataclass(frozen=True, slots=True)
class Standing:
    """What there is to say of a room, as ``kind`` and ``values``:

    news: ``photos`` that came, ``poor`` of them not fit to measure from, ``answer`` (a choice or None) ·
    answered: ``answer`` · shared, linked: ``when`` · asked: ``text`` · unfit: ``poor`` photos not fit to measure from ·
    holds: ``photos`` and ``surfaces``, numbers of them.
    """

    kind: StandingKind
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class RoomCard:
    """A room in the list; ``picture`` is the SHA-256 of its photo of the whole room, else of its first one.

    ``at`` is the step it stands at; ``sample`` tells a room that holds every photo of the sample.
    """

    id: str
    name: str
    sample: bool
    picture: str | None
    states: Mapping[str, State]
    at: str
    standing: Standing
    next: NextThing
    updated: datetime


@dataclass(frozen=True, slots=True)
class RoomList:
    """Cards ``first`` to ``first + len(cards) - 1`` of ``counts[whose]``, counted from 1."""

    cards: tuple[RoomCard, ...]
    first: int
    counts: Mapping[Whose, int]


def list_page(
    desk: Desk, user: User, *, like: str = "", whose: Whose = "all", page: int = 0, sample: Set[str] = frozenset()
) -> RoomList:
    """Return a page of the rooms whose name holds ``like``, the one last changed first; a page too far is the last.

    ``whose`` leaves the rooms where the next thing is the consultant's own ("mine") or the client's; ``sample`` holds
    the SHA-256 of the sample room's photos.
    """
    from matcher.store import listing

    like = like[:_LONGEST_SEARCH]

    def turn_to(page: int) -> listing.RoomsPage:
        offset = page * ROOMS_A_PAGE
        return listing.page_of_rooms(desk.store, user.id, like=like, whose=whose, offset=offset, limit=ROOMS_A_PAGE)

    page = max(page, 0)
    found = turn_to(page)
    last = max(found.counts[whose] - 1, 0) // ROOMS_A_PAGE
    if page > last:
        page, found = last, turn_to(last)
    cards = tuple(_card(listed, sample) for listed in found.rooms)
    return RoomList(cards, page * ROOMS_A_PAGE + 1, found.counts)


def sample_room(desk: Desk, user: User, sample: Set[str]) -> str | None:
    """Return the id of the consultant's newest room with every photo of the ``sample``, None where there is none."""
    from matcher.store import listing

    return listing.room_with_photos(desk.store, user.id, sample)


def _card(listed: ListedRoom, sample: Set[str]) -> RoomCard:
    room = listed.room
    states = step_states(room)
    return RoomCard(
        id=room.id,
        name=room.name,
        sample=bool(sample) and sample <= {photo.sha for photo in room.photos},
        picture=_picture(room),
        states=states,
        at=next_step(states),
        standing=_standing(listed),
        next=next_thing(room, news=listed.news > 0),
        updated=listed.updated,
    )


def _picture(room: StoredRoom) -> str | None:
    shas = {photo.name: photo.sha for photo in room.photos}
    entries = [entry for entry in room.document.get("photos", ()) if entry["file"] in shas]
    shown = next((entry for entry in entries if entry.get("whole_room")), entries[0] if entries else None)
    return shas[shown["file"]] if shown else None


def _standing(listed: ListedRoom) -> Standing:
    from matcher.store.rooms import count_surfaces

    room = listed.room
    if listed.news:
        return _news(listed)
    if room.stage == "answered" and room.answers:
        return Standing("answered", {"answer": room.answers[-1].choice})
    if room.stage == "shared" and listed.shared is not None:
        return Standing("shared", {"when": listed.shared})
    request = request_of(room)
    if request is not None and request.state == "open" and listed.waits:
        return Standing("asked", {"text": request.text})
    if listed.waits and listed.linked is not None:
        return Standing("linked", {"when": listed.linked})
    poor = sum(_is_poor(photo.verdict) for photo in room.photos)
    if poor:
        return Standing("unfit", {"poor": poor})
    return Standing("holds", {"photos": len(room.photos), "surfaces": count_surfaces(room.document)})


def _news(listed: ListedRoom) -> Standing:
    """Of what the client did, the newest as many as were not seen."""
    room = listed.room
    photos = [photo for photo in room.photos if photo.by == "client"]
    moments = sorted((*(photo.created for photo in photos), *(answer.created for answer in room.answers)), reverse=True)
    since = moments[: listed.news]
    if not since:
        return Standing("news", {"photos": 0, "poor": 0, "answer": None})
    fresh = [photo for photo in photos if photo.created >= since[-1]]
    said = [answer.choice for answer in room.answers if answer.created >= since[-1]]
    return Standing(
        "news",
        {
            "photos": len(fresh),
            "poor": sum(_is_poor(photo.verdict) for photo in fresh),
            "answer": said[-1] if said else None,
        },
    )


def _is_poor(verdict: Mapping[str, Any]) -> bool:
    return any(check["level"] == "fail" for check in verdict["checks"])
