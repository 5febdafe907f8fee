"""What a new edition changes in a consultant's rooms, to be looked at and decided room by room.

Nothing happens by itself: a chosen paint is exchanged only when its consultant says so, and what a client was shown
stays as it was shown until something else is shared.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.errors import ConflictError, Problem

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.records import User
    from matcher.store.edition_runs import EditionRun
    from matcher.store.editions import RankedRoom, StoredEdition

Json = dict[str, Any]
# Put the paint that comes nearest in the chosen one's place; choose anew among all; leave everything as it is.
Way = Literal["take", "choose", "leave"]
# While rooms are ranked; asked to stop; what ended it before every room was ranked; every room was.
Standing = Literal["running", "stopping", "stopped", "lost", "failed", "done"]
ROOMS_A_PAGE = 12


@dataclass(frozen=True, slots=True)
class Change:
    """A change in a room, number ``place`` of it: the ``role`` and its ``title``, the paints it ``was`` and is ``now``
    (``code``, ``name``, ``hex``), what is ``said`` of it, the ``ways`` there are, and what was ``decided``, "" where
    nothing was. ``about`` is chosen, shared or first choice; ``same`` tells that both are one paint, unchanged.
    """

    place: int
    role: str
    title: str
    was: Mapping[str, str]
    now: Mapping[str, str]
    said: str
    about: str
    same: bool
    ways: tuple[Way, ...]
    decided: str


@dataclass(frozen=True, slots=True)
class ChangedRoom:
    """A room in which something changes; ``shared`` tells that its client was shown something that does."""

    id: str
    name: str
    shared: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Ranking:
    """How far the ranking of all rooms is: ``done`` of so many, what is done just now (a ``step`` of
    matcher/service/edition.py), ``by`` whom it was begun ("" where nobody is known), and the ``problem`` that ended it.
    """

    standing: Standing
    done: int
    of: int
    step: str
    by: str
    problem: str


@dataclass(frozen=True, slots=True)
class EditionView:
    """The latest edition: names and sizes of the ``old`` one and the ``edition`` (hash ``sha``), how many paints are
    ``gone``, of these merely ``renamed``, ``added`` and ``moved``, ``notes``; how its ``ranking`` stands; whether it is
    ``in_use`` and both are ``kept`` in the store; ``rooms`` of this page, the first of them number ``first`` of those
    ``listed``, what concerns a client first; ``open_rooms`` have something to decide, of ``all_rooms``, and in
    ``only_first`` of them it is all about first choices; in ``only_called`` a chosen paint has merely another code,
    which can be taken; ``unranked`` rooms with why.
    """

    id: str
    old: str
    old_size: int
    edition: str
    size: int
    sha: str
    gone: int
    renamed: int
    added: int
    moved: int
    notes: tuple[str, ...]
    ranking: Ranking
    in_use: bool
    kept: bool
    rooms: tuple[ChangedRoom, ...]
    first: int
    listed: int
    open_rooms: int
    only_first: int
    only_called: int
    all_rooms: int
    unranked: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class GoingOver:
    """What putting an edition in use means: ``rooms`` of all consultants are ranked anew, in ``changed`` of them
    something changes, in ``gone`` of them a chosen paint is gone.
    """

    rooms: int
    changed: int
    gone: int


def rooms_to_decide(desk: Desk, user: User) -> int:
    """Return in how many of the consultant's rooms the latest edition changes something that is not decided yet."""
    from matcher.store import editions

    return editions.open_rooms(desk.store, user.id)


def view_edition(
    desk: Desk, user: User, *, every: bool = False, page: int = 0, staying: Collection[str] = ()
) -> EditionView | None:
    """Return what the latest edition changes in the consultant's rooms, a page of those with something to decide or of
    ``every`` one, a page too far being the last; None where no edition was looked at yet.

    Rooms that are ``staying`` (by id) are listed though everything in them is decided.
    """
    from matcher.store import decks, editions

    latest = editions.latest_edition(desk.store)
    if latest is None:
        return None
    ranked = editions.ranked_rooms(desk.store, latest.id, owner=user.id)
    changed = sorted((room for room in ranked if room.content["changed"]), key=_urgency)
    undecided = [room for room in changed if _is_open(room)]
    if len(undecided) != editions.open_rooms(desk.store, user.id):
        editions.mend_open(desk.store, ranked, latest.id)
    listed = changed if every else [room for room in changed if _is_open(room) or room.room in staying]
    # What was decided leaves the list: the page looked at may have been the last.
    start = ROOMS_A_PAGE * min(max(page, 0), max(len(listed) - 1, 0) // ROOMS_A_PAGE)
    shown = listed[start : start + ROOMS_A_PAGE]
    content, in_use = latest.content, _in_use(desk, latest)
    return EditionView(
        id=latest.id,
        old=content["old"]["name"],
        old_size=content["old"]["size"],
        edition=content["edition"]["name"],
        size=content["edition"]["size"],
        sha=content["edition"]["sha256"],
        gone=len(content["gone"]),
        renamed=len(content["renamed"]),
        added=len(content["new"]),
        moved=len(content["moved"]),
        notes=tuple(content["notes"]),
        ranking=_ranking(desk, latest),
        in_use=in_use,
        kept=all(decks.is_kept(desk.store, content[side]["sha256"]) for side in ("old", "edition")),
        rooms=tuple(_changed_room(room, in_use) for room in shown),
        first=start + 1,
        listed=len(listed),
        open_rooms=len(undecided),
        only_first=sum(_urgency(room) == _FIRST_CHOICE for room in undecided),
        only_called=sum(bool(_merely_renamed(room)) for room in undecided),
        all_rooms=len(changed),
        unranked=tuple((room.name, room.content["problem"]) for room in ranked if room.content["problem"]),
    )


def ranking_of(desk: Desk) -> Ranking | None:
    """Return how far the ranking for the latest edition is; None where no edition was looked at yet."""
    from matcher.store import editions

    latest = editions.latest_edition(desk.store)
    return None if latest is None else _ranking(desk, latest)


def going_over(desk: Desk, edition: str) -> GoingOver:
    """Return what it means to put an edition in use, for all consultants together."""
    from matcher.store import editions

    ranked = editions.ranked_rooms(desk.store, edition)
    kinds = [{change["kind"] for change in room.content["changed"]} for room in ranked]
    lost = {"chosen gone", "chosen renamed"}
    return GoingOver(len(ranked), sum(bool(kind) for kind in kinds), sum(bool(kind & lost) for kind in kinds))


def decide(desk: Desk, user: User, edition: str, room_id: str, place: int, way: Way | Literal[""]) -> None:
    """Do what the consultant decided of one change, and note it; "" takes it back.

    A paint that is chosen and was shown to the client is decided on once. Raises NotFoundError for what is not theirs
    or not there, and ConflictError, with nothing changed, where the room was changed meanwhile or the new edition is
    not in use yet.
    """
    from matcher.service.desk import load_room, save_document
    from matcher.store import editions

    room = load_room(desk, user, room_id)
    change = editions.change_in(desk.store, edition, room_id, place)
    (ranked,) = editions.ranked_rooms(desk.store, edition, owner=user.id, room=room_id)
    pins = dict(room.document.get("pins", {}))
    changed = _with_decision(pins, change, way or _undone(ranked.decided.get(str(place), "")))
    if changed is None:
        raise ConflictError(Problem(room.name, "another paint was chosen meanwhile", "Nothing was changed."))
    if way == "take" and not _edition_in_use(desk, edition):
        raise ConflictError(
            Problem(room.name, "the new edition is not in use yet", "Nothing was changed. Put it in use first.")
        )
    if changed != pins:
        save_document(desk, user, room_id, {**room.document, "pins": changed}, revision=room.revision)
    for each in (place, *_twins(ranked.content["changed"], place)):
        editions.decide(desk.store, user.id, edition, room_id, each, way)


def take_new_codes(desk: Desk, user: User, edition: str) -> None:
    """Take the new code of every chosen paint of the consultant's that is the same colour under another code; where the
    room was changed meanwhile it stays to be decided.

    Raises ConflictError, with nothing changed, where the new edition is not in use yet.
    """
    from matcher.store import editions

    for room in editions.ranked_rooms(desk.store, edition, owner=user.id):
        for place in _merely_renamed(room):
            try:
                decide(desk, user, edition, room.room, place, "take")
            except ConflictError:
                if not _edition_in_use(desk, edition):
                    raise


def _merely_renamed(room: RankedRoom) -> list[int]:
    """Return the places of what is to be decided of chosen paints that have another code now."""
    changes = room.content["changed"]
    return [
        place
        for place, change in enumerate(changes)
        if change["kind"] == "chosen renamed" and str(place) not in room.decided
    ]


def see_first_choices(desk: Desk, user: User, edition: str) -> None:
    """Note of every room of the consultant's in which nothing but first choices is to be decided that it was seen."""
    from matcher.store import editions

    ranked = editions.ranked_rooms(desk.store, edition, owner=user.id)
    seen = {
        room.room: {place: "leave" for place in range(len(room.content["changed"])) if str(place) not in room.decided}
        for room in ranked
        if room.content["changed"] and _is_open(room) and _urgency(room) == _FIRST_CHOICE
    }
    editions.decide_many(desk.store, user.id, edition, seen)


def _undone(decided: str) -> str:
    return {"take": "untake", "choose": "unchoose"}.get(decided, "leave")


def _with_decision(pins: Mapping[str, str], change: Json, what: str) -> dict[str, str] | None:
    """Return a room's choices as they are after a decision, or after one was taken back; None where another paint was
    chosen since the edition was looked at.
    """
    role, was, now = change["role"], change["was"], change["now"]
    chosen = pins.get(role)
    others = {key: code for key, code in pins.items() if key != role}
    # What was merely shown to the client is chosen by nobody.
    is_chosen = _about(change) == "chosen"
    before = {**others, role: was} if is_chosen else others
    if what == "take":
        return {**others, role: now} if chosen == was or (chosen is None and not is_chosen) else None
    if what == "choose":
        return others if chosen == was or (chosen is None and not is_chosen) else None
    if what == "untake":
        return before if chosen == now else None
    if what == "unchoose":
        return before if chosen is None else None
    return dict(pins)


def _in_use(desk: Desk, latest: StoredEdition) -> bool:
    from matcher.errors import GivensError
    from matcher.service.live import deck_of

    try:
        return bool(deck_of(desk).sha256 == latest.content["edition"]["sha256"])
    except GivensError:
        # What is wrong with the deck is said where a room is ranked with it.
        return False


def _edition_in_use(desk: Desk, edition: str) -> bool:
    from matcher.store import editions

    latest = editions.latest_edition(desk.store)
    return latest is not None and latest.id == edition and _in_use(desk, latest)


def _ranking(desk: Desk, latest: StoredEdition) -> Ranking:
    from matcher.store.edition_runs import last_run

    run = last_run(desk.store)
    sides = tuple(latest.content[side]["sha256"] for side in ("old", "edition"))
    if run is None or (run.old, run.new) != sides:
        # Another edition was looked at since, or an earlier version's command looked at this one.
        return Ranking("stopped" if latest.finished is None else "done", 0, 0, "", "", "")
    return Ranking(_standing(run, latest), run.done, run.of, run.step, run.by, run.problem)


def _standing(run: EditionRun, latest: StoredEdition) -> Standing:
    if run.state == "running" or run.state == "stopping":
        return run.state
    if latest.finished is not None:
        return "done"
    return "lost" if run.state == "lost" else "failed" if run.problem else "stopped"


def _is_open(room: RankedRoom) -> bool:
    from matcher.store.undecided import is_open

    return is_open(room.content, room.decided)


_FIRST_CHOICE = 2


def _urgency(room: RankedRoom) -> int:
    """Return 0 for a room whose client was shown what changes, 1 where something chosen does, 2 for any other."""
    about = {_about(change) for change in room.content["changed"]}
    return 0 if "shared" in about else 1 if "chosen" in about else _FIRST_CHOICE


def _about(change: Json) -> str:
    about = change["values"].get("of") or next(
        each for each in ("chosen", "shared", "first choice", "better") if change["kind"].startswith(each)
    )
    return "first choice" if about == "better" else str(about)


def _twins(changes: Sequence[Json], place: int) -> tuple[int, ...]:
    """Return the place of what is the same change of the same paint: chosen, and shown to the client."""
    return tuple(
        other
        for other, change in enumerate(changes)
        if other != place
        and _fate(change) == _fate(changes[place])
        and {_about(change), _about(changes[place])} == _BOTH
    )


_BOTH = {"chosen", "shared"}


def _fate(change: Json) -> tuple[str, ...]:
    values = change["values"]
    return (change["role"], change["was"], change["now"], change["kind"].split()[-1], str(values.get("surface")))


def _changed_room(room: RankedRoom, in_use: bool) -> ChangedRoom:
    changes = room.content["changed"]
    shared = any(_about(change) == "shared" for change in changes)
    return ChangedRoom(room.room, room.name, shared, tuple(_changes(changes, room.decided, in_use)))


def _changes(changes: Sequence[Json], decided: Mapping[str, str], in_use: bool) -> list[Change]:
    from matcher.report.edition_words import change_sentence, shown_too
    from matcher.report.wording import role_title

    found = []
    for place, change in enumerate(changes):
        about, twins = _about(change), _twins(changes, place)
        if twins and about == "shared":
            continue  # said with the chosen one
        said = change_sentence(change)
        found.append(
            Change(
                place=place,
                role=change["role"],
                title=role_title(change["role"]),
                was={"code": change["was"], **change["was_paint"]},
                now={"code": change["now"], **change["now_paint"]},
                said=(said[:1].upper() + said[1:]) if not twins else shown_too(said[:1].upper() + said[1:]),
                about=about,
                same=change["was"] == change["now"] and change["was_paint"] == change["now_paint"],
                ways=_ways(change["kind"], about, in_use),
                decided=decided.get(str(place), ""),
            )
        )
    return found


def _ways(kind: str, about: str, in_use: bool) -> tuple[Way, ...]:
    if about not in _BOTH:
        return ("leave",)
    return ("take", "choose", "leave") if in_use and kind.endswith(("gone", "renamed")) else ("choose", "leave")
