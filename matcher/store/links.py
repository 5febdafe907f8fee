"""Private links to one room, what is shown through them, and what comes through them: the brief and the answers."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from datetime import timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from matcher.errors import NotFoundError, Problem, RequestError
from matcher.store.photo_rows import photos_of
from matcher.store.rooms import answers_of, asked_of, find, latest_share, put_document, share_of
from matcher.store.store import Store
from matcher.store.stored import Choice, ClientRoom, Json, LinkSummary, OpenedLink, RoleAnswer, Share
from matcher.store.tables import AnswerPartsRow, AnswerRow, LinkRow, SharePictureRow, ShareRow

# Assumption: nobody answers as often; it keeps a link that got about from filling the disk.
MOST_ANSWERS = 200
# Assumption: enough to see whether a link is in use, without a write for every picture of a page.
_USE_NOTED_EVERY = timedelta(minutes=1)
_BEYOND_IDS = 1 << 31  # no database here counts rows so far, and none can be asked for more


def add_link(store: Store, owner: str, room_id: str, token_hash: str, lasts: timedelta) -> None:
    """Add a link to a consultant's room; raises NotFoundError."""
    now = store.database.now()
    with store.database.writing() as session:
        find(session, room_id, owner=owner)
        session.add(
            LinkRow(
                id=uuid.uuid4().hex,
                token_hash=token_hash,
                room_id=room_id,
                created=now,
                expires=now + lasts,
                revoked=None,
                last_used=None,
            )
        )


def list_links(store: Store, owner: str, room_id: str) -> tuple[LinkSummary, ...]:
    """Return every link the room ever had, oldest first; raises NotFoundError."""
    with store.database.reading() as session:
        find(session, room_id, owner=owner)
        rows = session.scalars(select(LinkRow).where(LinkRow.room_id == room_id).order_by(LinkRow.created, LinkRow.id))
        return tuple(LinkSummary(row.id, row.created, row.expires, row.revoked, row.last_used) for row in rows)


def revoke_link(store: Store, owner: str, link_id: str) -> None:
    """Close a link for good; raises NotFoundError where it is no link to one of the consultant's rooms."""
    with store.database.writing() as session:
        row = session.get(LinkRow, link_id)
        if row is None or find(session, row.room_id).owner != owner:
            raise NotFoundError(Problem("link", "there is no such link", "Open the room and look at its links."))
        row.revoked = row.revoked or store.database.now()


def open_link(store: Store, token_hash: str) -> OpenedLink | None:
    """Return what the link opens, None once it expired or was revoked, and note that it was used."""
    now = store.database.now()
    with store.database.reading() as session:
        row = session.scalar(select(LinkRow).where(LinkRow.token_hash == token_hash))
        if row is None or row.revoked is not None or row.expires <= now:
            return None
        opened = OpenedLink(row.id, row.room_id, row.expires)
        noted = row.last_used is not None and now - row.last_used < _USE_NOTED_EVERY
    if not noted:

        def note_use(session: Session) -> None:
            used = session.get(LinkRow, opened.id)
            if used is not None:
                used.last_used = now

        store.database.note(note_use)
    return opened


def load_for_client(store: Store, room_id: str) -> ClientRoom:
    """Return what the householder may see."""
    with store.database.reading() as session:
        row = find(session, room_id)
        photos = tuple(photo for photo in photos_of(session, room_id) if photo.by == "client")
        share = latest_share(session, room_id)
        return ClientRoom(
            row.name,
            row.brief,
            photos,
            None if share is None else share.content,
            answers_of(session, room_id),
            asked_of(session, room_id),
            share,
            tuple(row.document.get("wishes", {}).get("roles", ())),
            frozenset(entry["file"] for entry in row.document.get("photos", ()) if entry.get("references")),
        )


def save_brief(store: Store, room_id: str, brief: Json, fill: Callable[[Json, Json], Json]) -> None:
    """Replace the brief; ``fill`` makes the new document from the document and the brief as they were."""
    with store.database.writing() as session:
        row = find(session, room_id, change=True)
        document = fill(row.document, row.brief)
        row.brief = brief
        row.updated = store.database.now()
        if document != row.document:
            put_document(row, document, row.updated)


def add_share(store: Store, owner: str, room_id: str, content: Json, pictures: Mapping[str, bytes]) -> int:
    """Show the client something with its pictures by name, and return its id.

    What was shared before is kept, and no longer shown. Raises NotFoundError.
    """
    now = store.database.now()
    with store.database.writing() as session:
        row = find(session, room_id, owner=owner, change=True)
        row.updated, row.stage = now, "shared"
        shared = ShareRow(room_id=room_id, content=content, created=now)
        session.add(shared)
        session.flush()
        session.add_all(SharePictureRow(share_id=shared.id, name=name, data=data) for name, data in pictures.items())
        return shared.id


def list_shares(store: Store, owner: str, room_id: str) -> tuple[Share, ...]:
    """Return everything that was ever shared of a room, the latest first; raises NotFoundError."""
    with store.database.reading() as session:
        find(session, room_id, owner=owner)
        rows = session.scalars(select(ShareRow).where(ShareRow.room_id == room_id).order_by(ShareRow.id.desc()))
        return tuple(share_of(session, row) for row in rows)


def shared_picture(store: Store, room_id: str, share_id: int, name: str) -> bytes | None:
    """Return a picture kept with something that was shared of this room, None where there is none."""
    if not 0 < share_id < _BEYOND_IDS:
        return None
    with store.database.reading() as session:
        return session.scalar(
            select(SharePictureRow.data)
            .join(ShareRow, ShareRow.id == SharePictureRow.share_id)
            .where(ShareRow.room_id == room_id, ShareRow.id == share_id, SharePictureRow.name == name)
        )


def add_answer(
    store: Store, room_id: str, choice: Choice, note: str, *, parts: Sequence[RoleAnswer], share_id: int | None
) -> None:
    """Keep what the client said to a share; raises RequestError beyond MOST_ANSWERS, or for another room's share."""
    now = store.database.now()
    with store.database.writing() as session:
        row = find(session, room_id, change=True)
        present = session.scalar(select(func.count(AnswerRow.id)).where(AnswerRow.room_id == room_id)) or 0
        if present >= MOST_ANSWERS:
            raise RequestError(
                Problem("answer", f"{present} answers were given already, the most", "Speak to your consultant.")
            )
        if share_id is not None:
            shared = session.get(ShareRow, share_id)
            if shared is None or shared.room_id != room_id:
                raise RequestError(Problem("answer", "what it is about is not there", "Open the page anew."))
        answer = AnswerRow(room_id=room_id, choice=choice, note=note, created=now)
        session.add(answer)
        session.flush()
        told = {"roles": [asdict(part) for part in parts]}
        session.add(AnswerPartsRow(answer_id=answer.id, share_id=share_id, parts=told))
        row.stage = "answered"
        row.updated = now
