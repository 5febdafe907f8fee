"""A new edition of the deck: what it changes in the deck and in every open room. Nothing is changed by asking.

Each room that was ranked is kept at once, under the state it was in: a run that is begun again, after whatever ended
it, ranks what is left and what has changed since.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from matcher.errors import AwayError, GivensError, Problem, RequestError, StoreError

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.description.edition import Edition
    from matcher.paints.deck import Deck
    from matcher.service.desk import Desk
    from matcher.service.edition_room import RoomTask
    from matcher.settings import Settings
    from matcher.store.editions import RoomAsItIs

Json = dict[str, Any]
Progress = Callable[[int, int, str], None]
MEASURING, RANKING = "Measuring what was not measured yet", "Ranking the rooms"


def silent(done: int, of: int, step: str) -> None:
    """Progress for callers that do not want any."""


def update(
    settings: Settings,
    new_path: Path,
    *,
    old_path: Path | None = None,
    scheduler: str | None = None,
    progress: Progress = silent,
) -> Json:
    """Return what :func:`update_deck` does, of the store that the settings name; of no rooms where there is none."""
    from matcher.description.edition import compare_editions
    from matcher.service.desk import open_desk
    from matcher.service.many_rooms import check_scheduler
    from matcher.service.paint import load_deck

    if scheduler is not None:
        check_scheduler(scheduler)
    if settings.database_url is None and not settings.folder.is_dir():
        # Opening a store makes one, and nobody asked for that.
        new, old = load_deck(new_path), load_deck(old_path or settings.deck)
        _refuse_the_same(old, new, new_path)
        nothing = {"rooms": [], "unranked": [], "ranked": {"now": 0, "in_all": 0}}
        return {**edition_entry(compare_editions(old, new), old, new), **nothing}
    desk = open_desk(settings)
    try:
        return update_deck(desk, new_path, old_path=old_path, scheduler=scheduler, progress=progress)
    finally:
        desk.store.close()


def update_deck(
    desk: Desk,
    new_path: Path,
    *,
    old_path: Path | None = None,
    scheduler: str | None = None,
    processes: int | None = None,
    progress: Progress = silent,
) -> Json:
    """Return what the deck at ``new_path`` changes against ``old_path``, the deck in use if left out: ``gone``,
    ``new``, ``moved`` and ``rooms`` as the contract says; ``renamed`` codes, what the edition ``lacks``, ``unranked``
    rooms with why, and how many were ``ranked`` now and in all.

    Rooms, what is shared and the deck in use stay as they are; both decks are kept in the store, so that the page can
    go on from here. ``processes`` and ``scheduler`` as for :class:`matcher.service.many_rooms.Crew`; ``progress`` is
    told how many rooms are done, of how many, and the step. Raises :class:`matcher.errors.GivensError` for a deck that
    cannot be read or is the old one, for a cluster that cannot be used, and while somebody else ranks all rooms.
    """
    from matcher.service.deck_in_use import deck_of, keep_in_use, read_to_keep
    from matcher.service.edition_run import held
    from matcher.store.decks import drop_decks, keep_deck

    new, to_keep = read_to_keep(new_path)
    old, old_to_keep = (deck_of(desk), None) if old_path is None else read_to_keep(old_path)
    _refuse_the_same(old, new, new_path)
    with held(desk, old.sha256, new.sha256, by=_here(), where=str(new_path), progress=progress) as told:
        if old_to_keep is None:
            keep_in_use(desk)
        else:
            keep_deck(desk.store, old_to_keep)
        keep_deck(desk.store, to_keep)
        try:
            return update_between(desk, old, new, scheduler=scheduler, processes=processes, progress=told)
        finally:
            with suppress(StoreError):
                drop_decks(desk.store)  # those of a run that never got as far as the rooms, too


def _here() -> str:
    import socket

    return f"the command line on {socket.gethostname()}"


def update_between(
    desk: Desk,
    old: Deck,
    new: Deck,
    *,
    scheduler: str | None = None,
    processes: int | None = None,
    progress: Progress = silent,
) -> Json:
    """Do what :func:`update_deck` does, of two decks that were read. What ``progress`` raises ends it: what was ranked
    until then is kept.
    """
    from contextlib import closing

    from matcher.description.edition import compare_editions
    from matcher.service.many_rooms import Crew
    from matcher.store import editions

    number, store = edition_id(old.sha256, new.sha256), desk.store
    known = editions.states_of(store, number)
    tasks: list[RoomTask] = []
    states: dict[str, str] = {}
    rooms = list(editions.rooms_as_they_are(store))
    with Crew(old, new, scheduler=scheduler, processes=processes) as crew:
        crew.get_ready(sum(room.id not in known for room in rooms))
        edition = compare_editions(old, new)
        for room, task, state in _tasks(desk, rooms, progress):
            states[room.id] = state
            if known.get(room.id) != state:
                tasks.append(task)
        # A cluster that is not there is said before anything is written.
        with closing(crew.judged(tasks, edition)) as answers:
            first = next(answers, None)
            editions.begin_edition(store, number, edition_entry(edition, old, new))
            done = len(rooms) - len(tasks)
            progress(done, len(rooms), RANKING)
            while first is not None:
                editions.keep_ranked(store, number, {room: (states[room], content) for room, content in first})
                done += len(first)
                progress(done, len(rooms), RANKING)
                first = next(answers, None)
    editions.finish_edition(store, number)
    ranked = [room for room in editions.ranked_rooms(store, number) if room.room in states]
    return {
        **edition_entry(edition, old, new),
        **room_entries(ranked),
        "ranked": {"now": len(tasks), "in_all": len(rooms)},
    }


def edition_id(old: str, new: str) -> str:
    """Return what stands for the step from one edition to another (SHA-256), as this program sees it."""
    from matcher.service.program_version import program_version

    return sha256(f"{old}{new}{program_version()}".encode()).hexdigest()


def edition_entry(edition: Edition, old: Deck, new: Deck) -> Json:
    """Return what changes in the deck, for JSON and for the store."""
    from matcher.report.edition_words import lacks_sentence
    from matcher.report.sentences import EDITION_CODES_CHANGED

    renamed = [{"was": each.code, "now": each.nearest} for each in edition.gone if each.renamed]
    notes = [lacks_sentence(column) for column in edition.lacks]
    if edition.codes_changed:
        notes.insert(0, EDITION_CODES_CHANGED.format(renamed=len(renamed), size=len(old)))
    return {
        "old": {"name": old.name, "size": len(old), "sha256": old.sha256},
        "edition": {"name": new.name, "size": len(new), "sha256": new.sha256},
        "notes": notes,
        "gone": [
            {"code": each.code, "nearest": each.nearest, "de00": round(each.de00, 2), "visible": each.visible}
            for each in edition.gone
        ],
        "new": list(edition.new),
        "moved": [{"code": each.code, "de00": round(each.de00, 2), "visible": each.visible} for each in edition.moved],
        "renamed": renamed,
    }


def room_entries(ranked: list[Any]) -> Json:
    """Return ``rooms`` in which something changes, and ``unranked`` with why."""
    from matcher.report.edition_words import change_sentence

    return {
        "rooms": [
            {
                "room": room.name,
                "id": room.room,
                "changed": [
                    {
                        "role": change["role"],
                        "was": change["was"],
                        "now": change["now"],
                        "why": change_sentence(change),
                        "kind": change["kind"],
                        "values": change["values"],
                    }
                    for change in room.content["changed"]
                ],
            }
            for room in ranked
            if room.content["changed"]
        ],
        "unranked": [
            {"room": room.name, "id": room.room, "why": room.content["problem"]}
            for room in ranked
            if room.content["problem"]
        ],
    }


def _refuse_the_same(old: Deck, new: Deck, path: Path) -> None:
    if old.sha256 == new.sha256:
        raise RequestError(
            Problem(str(path), "is the edition that is in use already", "Name the new one, or the old one with --old.")
        )


def _tasks(desk: Desk, rooms: Sequence[RoomAsItIs], progress: Progress) -> Iterator[tuple[RoomAsItIs, RoomTask, str]]:
    """Yield every room with its task and its state, measured where it was not yet."""
    from matcher.service.edition_room import RoomTask
    from matcher.store.measurements import measurements_of

    kept = measurements_of(desk.store, [room.id for room in rooms])
    for place, room in enumerate(rooms, start=1):
        measured = kept.get(room.id)
        text, problem = measured.content if measured is not None else None, ""
        if not _is_current(room, measured):
            progress(place, len(rooms), MEASURING)
            text, problem = _measure(desk, room)
        document = {key: value for key, value in room.document.items() if key not in ("photos", "areas")}
        task = RoomTask(room.id, document, text, problem, _shared_codes(room.shared))
        state = json.dumps([document, text, problem, sorted(task.shared.items())], sort_keys=True)
        yield room, task, sha256(state.encode("utf-8")).hexdigest()


def _is_current(room: RoomAsItIs, measured: Any) -> bool:
    """Tell whether what is kept is what would be measured now. Chips need the deck's word: that is asked for anew."""
    from matcher.service.chips import has_chips
    from matcher.service.kept_measurement import marks_of
    from matcher.surfaces.version import measurement_version

    if measured is None or measured.version != measurement_version() or has_chips(room.document):
        return False
    return bool(measured.marks == marks_of(room.document, room.photos, {}))


def _measure(desk: Desk, room: RoomAsItIs) -> tuple[str | None, str]:
    """Return the text of a room's measurement, as it is kept or measured now; or None and what is in the way."""
    from matcher.service.live import told_of
    from matcher.store.rooms import load_room
    from matcher.surfaces.kept import write_survey

    try:
        return write_survey(told_of(desk, load_room(desk.store, room.owner, room.id)).survey), ""
    except AwayError:
        raise  # nothing of the room
    except GivensError as error:
        return None, "; ".join(str(problem) for problem in error.problems)


def _shared_codes(shared: Mapping[str, Any] | None) -> dict[str, str]:
    return {paint["id"]: paint["code"] for paint in (shared or {}).get("paints", ())}
