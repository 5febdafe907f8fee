"""A process that works on a store as people do, and says of each thing when it begins and when it was told to be kept.

Run by ``tests.soak.kills``, which kills it: ``python -m tests.soak.hands FOLDER SEED [DATABASE_URL]``. Each line it
prints is JSON: ``begin`` or ``kept``, a number, what it is, and what is needed to look for it afterwards.
"""

from __future__ import annotations

import json
import random
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from matcher.errors import ConflictError, NotFoundError
from matcher.service import access, client
from matcher.service.desk import (
    Desk,
    add_photo,
    delete_room,
    load_room,
    new_room,
    open_desk,
    remove_photo,
    save_document,
)
from matcher.service.records import User
from matcher.settings import Settings
from tests.service.pictures import picture
from tests.service.zipped_room import zipped_room

NAME, PHRASE = "Ada", "seven blue doors"
_HANDS = 4
_saying = threading.Lock()


def main(arguments: list[str]) -> None:
    """Work until somebody kills us."""
    folder, seed, *url = arguments
    desk = open_desk(Settings(folder=Path(folder), database_url=url[0] if url else None))
    user = access.user_of(desk, access.sign_in(desk, NAME, PHRASE, address="soak"))
    assert user
    _say({"ready": True})
    hands = [threading.Thread(target=_work, args=(desk, user, int(seed) * 100 + number)) for number in range(_HANDS)]
    for hand in hands:
        hand.start()


def _say(line: dict[str, Any]) -> None:
    with _saying:
        print(json.dumps(line), flush=True)


class Hand:
    """One person's work on rooms of their own."""

    def __init__(self, desk: Desk, user: User, seed: int) -> None:
        self._desk, self._user, self._seed = desk, user, seed
        self._random = random.Random(seed)
        self._rooms: dict[str, str] = {}  # room -> the token of its link
        self._number = 0

    def step(self) -> None:
        """Do one thing, most often to a room that is there."""
        if not self._rooms or self._random.random() < 0.1:
            self._begin_room()
            return
        room = self._random.choice(list(self._rooms))
        actions: list[tuple[Callable[[str], None], int]] = [
            (self._upload, 4),
            (self._mark, 4),
            (self._pin, 2),
            (self._answer, 2),
            (self._export, 1),
            (self._remove_photo, 2),
            (self._remove_room, 1),
        ]
        act = self._random.choices([act for act, _ in actions], [weight for _, weight in actions])[0]
        act(room)

    def _do(self, what: str, act: Callable[[], Any], **about: Any) -> Any:
        self._number += 1
        told = {"hand": self._seed, "number": self._number, "what": what, **about}
        _say({"begin": True, **told})
        found = act()
        _say({"kept": found if isinstance(found, str) else True, **told})
        return found

    def _begin_room(self) -> None:
        name = f"room {self._seed} {self._number}"
        room = self._do("room", lambda: new_room(self._desk, self._user, name), name=name)
        self._rooms[room] = client.make_link(self._desk, self._user, room)

    def _upload(self, room: str) -> None:
        data = picture(self._random.randrange(10**9))
        if self._random.random() < 0.5:
            self._do(
                "photo", lambda: client.add_client_photo(self._desk, self._rooms[room], data, "a.jpg").sha, room=room
            )
        else:
            self._do("photo", lambda: add_photo(self._desk, room, data, "b.jpg", by="consultant").sha, room=room)

    def _change(self, room: str, what: str, change: Callable[[dict[str, Any], int], dict[str, Any]]) -> None:
        stored = load_room(self._desk, self._user, room)
        value = self._number + 1
        document = change(dict(stored.document), value)
        try:
            self._do(
                what,
                lambda: str(save_document(self._desk, self._user, room, document, revision=stored.revision)),
                room=room,
                value=value,
            )
        except ConflictError:
            return

    def _mark(self, room: str) -> None:
        def mark(document: dict[str, Any], value: int) -> dict[str, Any]:
            surface = {"name": "floor", "material": "timber", "lab": [50.0, value % 100, value // 100]}
            return {**document, "surfaces": [surface]}

        self._change(room, "mark", mark)

    def _pin(self, room: str) -> None:
        self._change(room, "pin", lambda document, value: {**document, "pins": {"walls": f"P{value}"}})

    def _answer(self, room: str) -> None:
        note = f"note {self._number}"
        self._do("answer", lambda: client.answer(self._desk, self._rooms[room], "like", note), room=room, note=note)

    def _export(self, room: str) -> None:
        self._do("export", lambda: len(zipped_room(self._desk, self._user, room)), room=room)

    def _remove_photo(self, room: str) -> None:
        photos = load_room(self._desk, self._user, room).photos
        if photos:
            sha = self._random.choice(photos).sha
            self._do("removed photo", lambda: remove_photo(self._desk, self._user, room, sha), room=room, sha=sha)

    def _remove_room(self, room: str) -> None:
        del self._rooms[room]
        self._do("removed room", lambda: delete_room(self._desk, self._user, room), room=room)


def _work(desk: Desk, user: User, seed: int) -> None:
    hand = Hand(desk, user, seed)
    while True:
        try:
            hand.step()
        except NotFoundError as error:
            raise SystemExit(f"a room was lost while the app ran: {error}") from error


if __name__ == "__main__":
    main(sys.argv[1:])
