"""What leaves the store: rows as frozen data, none of them tied to a database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

Json = dict[str, Any]
Sender = Literal["client", "consultant"]
Choice = Literal["like", "not sure", "no"]
News = Literal["answer", "photos"]
# Whose turn it is in a room: anybody's, the consultant's, the client's.
Whose = Literal["all", "mine", "client"]


@dataclass(frozen=True, slots=True)
class User:
    """A consultant."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class StoredPhoto:
    """``name`` is unique in its room; ``width`` and ``height`` are of the upright full-size picture.

    ``verdict`` holds ``size``, ``colour_space``, ``checks`` and ``cards`` as ``service.check_photo`` gives them.
    """

    sha: str
    name: str
    width: int
    height: int
    verdict: Json
    by: Sender
    created: datetime


@dataclass(frozen=True, slots=True)
class RoleAnswer:
    """What the client said of the paint of one role."""

    role: str
    choice: Choice
    note: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What the client said to what was shared: to the whole of it, and to its ``parts``; ``share`` is its id, None for
    answers of before that was kept.
    """

    choice: Choice
    note: str
    created: datetime
    parts: tuple[RoleAnswer, ...] = ()
    share: int | None = None


@dataclass(frozen=True, slots=True)
class Share:
    """What was shared once: ``content`` as it was written, ``pictures`` the names of those kept with it."""

    id: int
    content: Json
    created: datetime
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ask:
    """A photo the client is asked for: ``kind`` of action (matcher/advice/advice.py) at ``surface``."""

    kind: str
    surface: str
    created: datetime


@dataclass(frozen=True, slots=True)
class RoomSummary:
    """A room in the list; ``surfaces`` counts different names, ``unread`` tells of photos or answers not yet seen, and
    ``news`` which.
    """

    id: str
    name: str
    stage: str
    photos: int
    surfaces: int
    updated: datetime
    unread: bool
    news: tuple[News, ...] = ()


@dataclass(frozen=True, slots=True)
class StoredRoom:
    """A room as the consultant works on it: ``document`` has the room file's structure and may be a draft; ``news`` is
    what of the client's has not been seen, ``share`` what the client sees, of which ``shared`` is the content.
    """

    id: str
    name: str
    revision: int
    document: Json
    brief: Json
    remark: str
    stage: str
    photos: tuple[StoredPhoto, ...]
    shared: Json | None
    answers: tuple[Answer, ...]
    asked: Ask | None = None
    share: Share | None = None
    news: tuple[News, ...] = ()


@dataclass(frozen=True, slots=True)
class ClientRoom:
    """What the householder may see of their room: ``photos`` are the ones they sent, ``wished`` the
    roles that are to be painted so far, ``carded`` those of their photos in which the consultant outlined a card.
    """

    name: str
    brief: Json
    photos: tuple[StoredPhoto, ...]
    shared: Json | None
    answers: tuple[Answer, ...]
    asked: Ask | None = None
    share: Share | None = None
    wished: tuple[str, ...] = ()
    carded: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class LinkSummary:
    """A private link, without its token, which nobody can get back; ``revoked`` says when, None if it was not."""

    id: str
    created: datetime
    expires: datetime
    revoked: datetime | None
    last_used: datetime | None


@dataclass(frozen=True, slots=True)
class OpenedLink:
    """A private link that opens ``room_id`` until ``expires``; ``id`` names it and opens nothing."""

    id: str
    room_id: str
    expires: datetime
