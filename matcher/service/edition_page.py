"""What a new edition changes in a consultant's rooms, to be looked at and decided room by room.

Nothing happens by itself: a chosen paint is exchanged only when its consultant says so, and what a client was shown
stays as it was shown until something else is shared.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.errors import ConflictError, Problem

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.records import User
    from matcher.store.editions import RankedRoom, StoredEdition

Json = dict[str, Any]
# Put the paint that comes nearest in the chosen one's place; choose anew among all; leave everything as it is.
Way = Literal["take", "choose", "leave"]
ROOMS_A_PAGE = 12


@dataclass(frozen=True, slots=True)
class Change:
    """A change in a room, number ``place`` of it: the ``role``'s title, the paints it ``was`` and is ``now`` (``code``,
    ``name``, ``hex``), what is ``said`` of it, the ``ways`` there are, and what was ``decided``, "" where nothing was.
    ``about`` is chosen, shared or first choice; ``same`` tells that both are one paint, unchanged.
    """

    place: int
    role: str
    was: Mapping[str, str]
    now: Mapping[str, str]
    said: str
    about: str
    same: bool
    ways: tuple[Way, ...]
    decided: str


@dataclass(frozen=True, slots=True)
class ChangedRoom:
    """A room in which something changes."""

    id: str
    name: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class EditionView:
    """The latest edition: the names of the ``old`` and the ``new`` one, how many paints are ``gone``, of these merely
    ``renamed``, ``new`` and ``moved``, ``notes``; whether every room was ranked (``complete``) and the new edition is
    ``in_use``; ``rooms`` of this page, the first of them number ``first``, of ``open_rooms`` that have something to
    decide and ``all_rooms``; ``unranked`` rooms with why.
    """

    id: str
    old: str
    edition: str
    gone: int
    renamed: int
    added: int
    moved: int
    notes: tuple[str, ...]
    complete: bool
    in_use: bool
    rooms: tuple[ChangedRoom, ...]
    first: int
    open_rooms: int
    all_rooms: int
    unranked: tuple[tuple[str, str], ...]


def rooms_to_decide(desk: Desk, user: User) -> int:
    """Return in how many of the consultant's rooms the latest edition changes something that is not decided yet."""
    from matcher.store import editions

    latest = editions.latest_edition(desk.store)
    ranked = () if latest is None else editions.ranked_rooms(desk.store, latest.id, owner=user.id)
    return sum(_is_open(room) for room in ranked)


def view_edition(desk: Desk, user: User, *, every: bool = False, page: int = 0) -> EditionView | None:
    """Return what the latest edition changes in the consultant's rooms, a page of those with something to decide or of
    ``every`` one, a page too far being the last; None where no edition was looked at yet.
    """
    from matcher.store import editions

    latest = editions.latest_edition(desk.store)
    if latest is None:
        return None
    ranked = editions.ranked_rooms(desk.store, latest.id, owner=user.id)
    changed = [room for room in ranked if room.content["changed"]]
    undecided = [room for room in changed if _is_open(room)]
    listed = changed if every else undecided
    # What was decided leaves the list: the page looked at may have been the last.
    start = ROOMS_A_PAGE * min(max(page, 0), max(len(listed) - 1, 0) // ROOMS_A_PAGE)
    shown = listed[start : start + ROOMS_A_PAGE]
    content, in_use = latest.content, _in_use(desk, latest)
    return EditionView(
        id=latest.id,
        old=content["old"]["name"],
        edition=content["edition"]["name"],
        gone=len(content["gone"]),
        renamed=len(content["renamed"]),
        added=len(content["new"]),
        moved=len(content["moved"]),
        notes=tuple(content["notes"]),
        complete=latest.finished is not None,
        in_use=in_use,
        rooms=tuple(ChangedRoom(room.room, room.name, _changes(room, in_use)) for room in shown),
        first=start + 1,
        open_rooms=len(undecided),
        all_rooms=len(changed),
        unranked=tuple((room.name, room.content["problem"]) for room in ranked if room.content["problem"]),
    )


def decide(desk: Desk, user: User, edition: str, room_id: str, place: int, way: Way | Literal[""]) -> None:
    """Do what the consultant decided of one change, and note it; "" takes back that it was left as it is.

    Raises NotFoundError for what is not theirs or not there, and ConflictError, with nothing changed, where the room
    was changed meanwhile or the new edition is not in use yet.
    """
    from matcher.service.desk import load_room, save_document
    from matcher.store import editions

    room = load_room(desk, user, room_id)
    change = editions.change_in(desk.store, edition, room_id, place)
    if way in ("take", "choose"):
        pins = dict(room.document.get("pins", {}))
        if pins.get(change["role"]) != change["was"]:
            raise ConflictError(Problem(room.name, "another paint was chosen meanwhile", "Nothing was changed."))
        if way == "take":
            latest = editions.latest_edition(desk.store)
            if latest is None or latest.id != edition or not _in_use(desk, latest):
                raise ConflictError(
                    Problem(room.name, "the new edition is not in use yet", "Nothing was changed. See how above.")
                )
            pins[change["role"]] = change["now"]
        else:
            del pins[change["role"]]
        save_document(desk, user, room_id, {**room.document, "pins": pins}, revision=room.revision)
    editions.decide(desk.store, user.id, edition, room_id, place, way)


def _in_use(desk: Desk, latest: StoredEdition) -> bool:
    from matcher.errors import GivensError
    from matcher.service.live import deck_of

    try:
        return bool(deck_of(desk).sha256 == latest.content["edition"]["sha256"])
    except GivensError:
        # What is wrong with the deck is said where a room is ranked with it.
        return False


def _is_open(room: RankedRoom) -> bool:
    return any(str(place) not in room.decided for place in range(len(room.content["changed"])))


def _changes(room: RankedRoom, in_use: bool) -> tuple[Change, ...]:
    from matcher.report.edition_words import change_sentence
    from matcher.report.wording import role_title

    found = []
    for place, change in enumerate(room.content["changed"]):
        said = change_sentence(change)
        about = change["values"].get("of") or next(
            each for each in ("chosen", "shared", "first choice", "better") if change["kind"].startswith(each)
        )
        found.append(
            Change(
                place=place,
                role=role_title(change["role"]),
                was={"code": change["was"], **change["was_paint"]},
                now={"code": change["now"], **change["now_paint"]},
                said=said[:1].upper() + said[1:],
                about="first choice" if about == "better" else about,
                same=change["was"] == change["now"] and change["was_paint"] == change["now_paint"],
                ways=_ways(change["kind"], about, in_use),
                decided=room.decided.get(str(place), ""),
            )
        )
    return tuple(found)


def _ways(kind: str, about: str, in_use: bool) -> tuple[Way, ...]:
    if kind in ("chosen gone", "chosen renamed"):
        return ("take", "choose", "leave") if in_use else ("choose", "leave")
    return ("choose", "leave") if about == "chosen" else ("leave",)
