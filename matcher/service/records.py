"""What the store hands out, under the name by which the screens know it."""

from matcher.store.stored import (
    Answer,
    Ask,
    Choice,
    ClientRoom,
    LinkSummary,
    News,
    OpenedLink,
    RoleAnswer,
    RoomSummary,
    Share,
    StoredPhoto,
    StoredRoom,
    User,
)

__all__ = [
    "Answer",
    "Ask",
    "Choice",
    "ClientRoom",
    "LinkSummary",
    "News",
    "OpenedLink",
    "RoleAnswer",
    "RoomSummary",
    "Share",
    "StoredPhoto",
    "StoredRoom",
    "User",
]
