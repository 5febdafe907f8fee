"""The householder, by private link: their brief, their photos, and what the consultant shared with them."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any, get_args

from matcher.errors import AccessError, NotFoundError, Problem, RequestError
from matcher.service.access import new_token, token_hash
from matcher.service.room_photos import add_photo, take_photo

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matcher.service.desk import Desk
    from matcher.service.incoming import Incoming
    from matcher.store.stored import (
        Choice,
        ClientRoom,
        LinkSummary,
        OpenedLink,
        RoleAnswer,
        Share,
        StoredPhoto,
        User,
    )

Json = dict[str, Any]
_LONGEST_LINK_DAYS = 3650  # assumption: no job lasts ten years
_MOST_NOTE = 2000  # characters; assumption
_MOST_SHARED = 4_000_000  # characters of JSON; assumption


def make_link(desk: Desk, user: User, room_id: str, *, days: int | None = None) -> str:
    """Return the token of a new link to the room; it cannot be had again. Raises NotFoundError."""
    from matcher.store import links as rows

    days = desk.settings.link_days if days is None else days
    if not 1 <= days <= _LONGEST_LINK_DAYS:
        raise RequestError(Problem("days", f"{days} is not between 1 and {_LONGEST_LINK_DAYS}"))
    token = new_token()
    rows.add_link(desk.store, user.id, room_id, token_hash(token), timedelta(days=days))
    return token


def links(desk: Desk, user: User, room_id: str) -> tuple[LinkSummary, ...]:
    """Return the room's links, oldest first, expired and revoked ones too."""
    from matcher.store import links as rows

    return rows.list_links(desk.store, user.id, room_id)


def revoke_link(desk: Desk, user: User, link_id: str) -> None:
    """Close a link for good; raises NotFoundError."""
    from matcher.store import links as rows

    rows.revoke_link(desk.store, user.id, link_id)


def opened_link(desk: Desk, token: str) -> OpenedLink | None:
    """Return what a link opens, None when it is unknown, expired or revoked."""
    from matcher.store import links as rows

    return rows.open_link(desk.store, token_hash(token))


def client_room(desk: Desk, token: str) -> ClientRoom:
    """Return what the householder may see of the room; raises AccessError for a link that does not open one."""
    from matcher.store import links as rows

    return rows.load_for_client(desk.store, _opened(desk, token))


def save_brief(desk: Desk, token: str, brief: Json) -> None:
    """Keep the brief, and fill the draft with it where the consultant has said nothing.

    Keys: ``kind`` of room, ``facing``, ``lamps_k``, ``stays`` (list of text), ``may_be_painted`` (roles), ``warmth``,
    ``dislikes`` (text); each may be left out. Raises RequestError naming every mistake; AccessError.
    """
    from matcher.room.brief import checked_brief, fill_from_brief
    from matcher.store import links as rows

    room_id, checked = _opened(desk, token), checked_brief(brief)
    rows.save_brief(desk.store, room_id, checked, lambda draft, before: fill_from_brief(draft, before, checked))


def answers_in(before: Json, shown: Json, given: Json) -> Json:
    """Return of a form's answers those that the householder gave: what stands as the form ``shown`` it to them, and was
    not in their brief ``before``, nobody said.

    >>> answers_in({}, {"may_be_painted": ["walls"]}, {"may_be_painted": ["walls"], "warmth": None, "dislikes": "pink"})
    {'dislikes': 'pink'}
    """
    return {
        key: value
        for key, value in given.items()
        if value not in ("", [], None) and (key in before or value != shown.get(key))
    }


def take_client_photo(desk: Desk, token: str, arrived: Incoming) -> StoredPhoto:
    """Keep a photo that has arrived from the householder.

    Raises what :func:`matcher.service.room_photos.take_photo` does, and AccessError.
    """
    return take_photo(desk, _opened(desk, token), arrived, by="client")


def add_client_photo(desk: Desk, token: str, data: bytes, name: str) -> StoredPhoto:
    """Keep a photo from the householder; raises what :func:`matcher.service.desk.add_photo` does, and AccessError."""
    return add_photo(desk, _opened(desk, token), data, name, by="client")


def share(desk: Desk, user: User, room_id: str, content: Json, pictures: Mapping[str, bytes] | None = None) -> int:
    """Show the householder ``content``, any JSON object, in place of what was shared before, and return its id.

    ``pictures`` are kept with it by name. Raises NotFoundError.
    """
    import json

    from matcher.store import links as rows

    try:
        text = json.dumps(content, allow_nan=False)
    except (TypeError, ValueError) as error:
        raise RequestError(Problem("share", f"holds what cannot be kept ({error})")) from error
    if not isinstance(content, dict) or len(text) > _MOST_SHARED:
        raise RequestError(Problem("share", f"is no table, or takes more than {_MOST_SHARED:,} characters"))
    return rows.add_share(desk.store, user.id, room_id, content, pictures or {})


def shares(desk: Desk, user: User, room_id: str) -> tuple[Share, ...]:
    """Return everything that was ever shared of a room, the latest first; raises NotFoundError."""
    from matcher.store import links as rows

    return rows.list_shares(desk.store, user.id, room_id)


def shared_file(desk: Desk, user: User, room_id: str, share_id: int, name: str) -> bytes:
    """Return a picture or document that was shared of a room, to the consultant; raises NotFoundError."""
    from matcher.service.desk import owns_room
    from matcher.store import links as rows

    owned = owns_room(desk, user, room_id)
    found = rows.shared_picture(desk.store, room_id, share_id, name) if owned else None
    if found is None:
        raise NotFoundError(Problem("file", "there is no such file", "Open the page anew."))
    return found


def shared_picture(desk: Desk, token: str, share_id: int, name: str) -> bytes:
    """Return a picture that was shared, through the link; raises AccessError, NotFoundError."""
    from matcher.store import links as rows

    picture = rows.shared_picture(desk.store, _opened(desk, token), share_id, name)
    if picture is None:
        raise NotFoundError(Problem("picture", "there is no such picture", "Open the page anew."))
    return picture


def answer(
    desk: Desk, token: str, choice: Choice, note: str, *, parts: Sequence[RoleAnswer] = (), share: int | None = None
) -> None:
    """Keep what the householder says to a ``share``, in place of what they said before, which is kept too.

    ``parts`` are of roles that were shared, one each. Raises RequestError for another choice or role; AccessError.
    """
    from matcher.service.typed_text import remark
    from matcher.store import links as rows
    from matcher.store.stored import RoleAnswer

    _refuse_other_choices([choice, *(part.choice for part in parts)])
    room_id = _opened(desk, token)
    shared = client_room(desk, token).shared or {}
    offered = {role_of(paint) for paint in shared.get("paints", ())}
    for part in parts:
        if part.role not in offered or sum(other.role == part.role for other in parts) > 1:
            raise RequestError(Problem("answer", f"{part.role!r} was not shared, or is answered twice"))
    kept = tuple(RoleAnswer(part.role, part.choice, remark(part.note, part.role, longest=_MOST_NOTE)) for part in parts)
    note = remark(note, "note", longest=_MOST_NOTE)
    rows.add_answer(desk.store, room_id, choice, note, parts=kept, share_id=share)


def role_of(paint: Mapping[str, Any]) -> str:
    """Return what a shared paint is answered under: its role, or the role's title in what was shared long ago."""
    return str(paint.get("id") or paint["role"])


def _refuse_other_choices(choices: Sequence[str]) -> None:
    from matcher.store.stored import Choice

    for choice in choices:
        if choice not in get_args(Choice):
            raise RequestError(Problem("answer", f"{choice!r} is not one of {', '.join(get_args(Choice))}"))


def _opened(desk: Desk, token: str) -> str:
    opened = opened_link(desk, token)
    if opened is None:
        raise AccessError(
            Problem("link", "this link opens no room, or does so no longer", "Ask your consultant for a new one.")
        )
    return opened.room_id
