"""The database's tables. Tokens are kept as SHA-256 only, passphrases as scrypt only; moments are UTC."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import DateTime, Dialect, ForeignKey, Index, String, Text, TypeDecorator, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

# Raised by whoever changes a table, together with the step that brings an older database up.
SCHEMA_VERSION = 6

Json = dict[str, Any]
_KEY_LENGTH = 64  # SHA-256 in hex; ids are uuid4 in hex, half as long
_HEX = re.compile(f"[0-9a-f]{{1,{_KEY_LENGTH}}}")


class Moment(TypeDecorator[datetime]):
    """A moment in UTC, aware on both sides: SQLite keeps no time zone and would hand back a naive one."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment in UTC."""
        return None if value is None else value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment as aware."""
        if value is None or value.tzinfo is not None:
            return value
        return value.replace(tzinfo=UTC)


class JsonText(TypeDecorator[Any]):
    """JSON as plain ASCII text: the same in every database, key order kept, no character a server could refuse."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str:
        """Return the text of ``value``."""
        return json.dumps(value, allow_nan=False)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        """Return the value of the text."""
        return None if value is None else json.loads(value)


class Key(TypeDecorator[str]):
    """An id or a hash in hex; anything else that is asked for matches none, whatever characters are in it."""

    impl = String(_KEY_LENGTH)
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Return the key, or "", which no row has."""
        return value if value is None or _HEX.fullmatch(value) else ""


class Base(DeclarativeBase):
    """Root of the tables."""

    type_annotation_map = {datetime: Moment, dict[str, Any]: JsonText}  # noqa: RUF012  # read by SQLAlchemy as it is


class SchemaVersion(Base):
    """One row: the version of the tables that this database holds."""

    __tablename__ = "schema_version"
    version: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)


class UserRow(Base):
    """A consultant; ``name_key`` is the name as compared (case and composed forms folded)."""

    __tablename__ = "users"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str]
    name_key: Mapped[str] = mapped_column(unique=True)
    passphrase_hash: Mapped[str]
    created: Mapped[datetime]


class SessionRow(Base):
    """A consultant signed in on one browser."""

    __tablename__ = "sessions"
    token_hash: Mapped[str] = mapped_column(Key, primary_key=True)
    user_id: Mapped[str] = mapped_column(Key, ForeignKey("users.id", ondelete="CASCADE"), index=True)
    expires: Mapped[datetime] = mapped_column(index=True)


class BrowserRow(Base):
    """A browser that a consultant signed in from before: guesses made elsewhere do not slow it down."""

    __tablename__ = "browsers"
    token_hash: Mapped[str] = mapped_column(Key, primary_key=True)
    user_id: Mapped[str] = mapped_column(Key, ForeignKey("users.id", ondelete="CASCADE"), primary_key=True)
    expires: Mapped[datetime] = mapped_column(index=True)


class SignInAttempt(Base):
    """A sign-in that has not succeeded; ``address`` is where it came from, a network or a browser that is known."""

    __tablename__ = "sign_in_attempts"
    id: Mapped[int] = mapped_column(primary_key=True)
    address: Mapped[str] = mapped_column(index=True)
    name_key: Mapped[str] = mapped_column(index=True)
    tried: Mapped[datetime] = mapped_column(index=True)


class RoomRow(Base):
    """A room. ``revision`` counts changes of ``document``; its news were counted in ``client_events`` and
    ``seen_events`` before version 3, and stand in :class:`SeenRow` since.
    """

    __tablename__ = "rooms"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    owner: Mapped[str] = mapped_column(Key, ForeignKey("users.id"), index=True)
    name: Mapped[str]
    document: Mapped[Json]
    surfaces: Mapped[int]
    brief: Mapped[Json]
    remark: Mapped[str]
    revision: Mapped[int]
    stage: Mapped[str]
    client_events: Mapped[int]
    seen_events: Mapped[int]
    created: Mapped[datetime]
    updated: Mapped[datetime]


class PhotoRow(Base):
    """A photo of a room; the bytes lie under their SHA-256 in the photo folder, ``suffix`` and all."""

    __tablename__ = "photos"
    __table_args__ = (
        UniqueConstraint("room_id", "sha"),
        UniqueConstraint("room_id", "name"),
        Index("photos_sha", "sha"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), index=True)
    sha: Mapped[str] = mapped_column(Key)
    suffix: Mapped[str]
    name: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    verdict: Mapped[Json]
    by: Mapped[str]
    created: Mapped[datetime]


class LeavingRow(Base):
    """A photo that no room had any more when this was written: its file goes, now or at the next start."""

    __tablename__ = "leaving_photos"
    sha: Mapped[str] = mapped_column(Key, primary_key=True)
    suffix: Mapped[str]


class OnTheWayRow(Base):
    """A photo being sent to a place far away, noted before any of it gets there; gone once a room has it, or nobody."""

    __tablename__ = "photos_on_the_way"
    id: Mapped[int] = mapped_column(primary_key=True)
    sha: Mapped[str] = mapped_column(Key)
    suffix: Mapped[str]
    since: Mapped[datetime] = mapped_column(Moment)


class UploadRow(Base):
    """A file that arrived, whatever became of it; counted for a while against who sent it."""

    __tablename__ = "uploads"
    id: Mapped[int] = mapped_column(primary_key=True)
    sender: Mapped[str] = mapped_column(Key, index=True)
    arrived: Mapped[datetime] = mapped_column(index=True)


class LinkRow(Base):
    """A private link to one room."""

    __tablename__ = "links"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    token_hash: Mapped[str] = mapped_column(Key, unique=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), index=True)
    created: Mapped[datetime]
    expires: Mapped[datetime]
    revoked: Mapped[datetime | None]
    last_used: Mapped[datetime | None]


class ShareRow(Base):
    """What the consultant chose to show the client; the latest one is shown."""

    __tablename__ = "shares"
    id: Mapped[int] = mapped_column(primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), index=True)
    content: Mapped[Json]
    created: Mapped[datetime]


class SharePictureRow(Base):
    """A picture as it was shared, ``name`` its part in it; it goes with the room."""

    __tablename__ = "share_pictures"
    __table_args__ = (UniqueConstraint("share_id", "name"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    share_id: Mapped[int] = mapped_column(ForeignKey("shares.id", ondelete="CASCADE"), index=True)
    name: Mapped[str]
    data: Mapped[bytes]


class AnswerRow(Base):
    """What the client said to it as a whole."""

    __tablename__ = "answers"
    id: Mapped[int] = mapped_column(primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), index=True)
    choice: Mapped[str]
    note: Mapped[str]
    created: Mapped[datetime]


class AnswerPartsRow(Base):
    """To which share an answer was given, and what was said of each role; answers of before version 3 have none."""

    __tablename__ = "answer_parts"
    answer_id: Mapped[int] = mapped_column(
        ForeignKey("answers.id", ondelete="CASCADE"), primary_key=True, autoincrement=False
    )
    share_id: Mapped[int | None] = mapped_column(ForeignKey("shares.id", ondelete="CASCADE"), index=True)
    parts: Mapped[Json]


class SeenRow(Base):
    """Up to which moment the consultant has seen what came from the client: answers, and photos."""

    __tablename__ = "seen"
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), primary_key=True)
    answers: Mapped[datetime]
    photos: Mapped[datetime]


class AskRow(Base):
    """A photo that the consultant asked the client for; the latest one stands unless it was withdrawn."""

    __tablename__ = "asks"
    id: Mapped[int] = mapped_column(primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str]
    surface: Mapped[str]
    created: Mapped[datetime]
    withdrawn: Mapped[datetime | None]


class MeasurementRow(Base):
    """What was measured of a room: ``marks`` is a hash of photos, marks and chips, ``version`` that of the program's
    measuring, ``content`` the text of :mod:`matcher.surfaces.kept`; ``moved`` what the version before saw otherwise,
    and what paint chips were taken for.
    """

    __tablename__ = "measurements"
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), primary_key=True)
    marks: Mapped[str] = mapped_column(Key)
    version: Mapped[str] = mapped_column(Key)
    content: Mapped[str] = mapped_column(Text)
    moved: Mapped[Json]
    created: Mapped[datetime]


class EditionRow(Base):
    """A new edition of the deck that rooms were ranked against: ``id`` is a hash of both editions' bytes and of the
    program; ``content`` says what changes in the deck. ``finished`` once every open room was ranked.
    """

    __tablename__ = "editions"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    content: Mapped[Json]
    begun: Mapped[datetime]
    finished: Mapped[datetime | None]


class EditionRoomRow(Base):
    """What an edition changes in a room that looked as ``state`` (a hash) says; ``decided`` is what the consultant made
    of it, by the place of the change in ``content``.
    """

    __tablename__ = "edition_rooms"
    edition_id: Mapped[str] = mapped_column(Key, ForeignKey("editions.id", ondelete="CASCADE"), primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), primary_key=True, index=True)
    state: Mapped[str] = mapped_column(Key)
    content: Mapped[Json]
    decided: Mapped[Json]
    ranked: Mapped[datetime]


class EditionOpenRow(Base):
    """That something of what an edition changes in a room is not decided yet (:mod:`matcher.store.undecided`)."""

    __tablename__ = "edition_rooms_open"
    edition_id: Mapped[str] = mapped_column(Key, ForeignKey("editions.id", ondelete="CASCADE"), primary_key=True)
    room_id: Mapped[str] = mapped_column(Key, ForeignKey("rooms.id", ondelete="CASCADE"), primary_key=True, index=True)


class DeckRow(Base):
    """A deck as its file was read, under the SHA-256 of its bytes; ``file`` is what it was called, ``size`` how many
    paints it holds.
    """

    __tablename__ = "decks"
    sha: Mapped[str] = mapped_column(Key, primary_key=True)
    file: Mapped[str]
    size: Mapped[int]
    data: Mapped[bytes]
    kept: Mapped[datetime]


class DeckInUseRow(Base):
    """That a deck was put in use, and by whom, "" for the one that a store began with; the latest one counts. The name
    outlives its account.
    """

    __tablename__ = "decks_in_use"
    id: Mapped[int] = mapped_column(primary_key=True)
    sha: Mapped[str] = mapped_column(Key)
    by: Mapped[str]
    since: Mapped[datetime]


class EditionRunRow(Base):
    """One row: rooms ranked against a new edition in the background, now or last. Whoever does it (``holder``) says so
    every few seconds (``beat``) and how far it is; ``ended`` once it was done, stopped, or a ``problem`` was met.
    """

    __tablename__ = "edition_runs"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    old: Mapped[str] = mapped_column(Key)
    new: Mapped[str] = mapped_column(Key)
    holder: Mapped[str] = mapped_column(Key)
    by: Mapped[str]
    begun: Mapped[datetime]
    beat: Mapped[datetime]
    done: Mapped[int]
    of: Mapped[int]
    step: Mapped[str]
    stop: Mapped[bool]
    ended: Mapped[datetime | None]
    problem: Mapped[str]


class ServerRow(Base):
    """An app server that runs on this store: where, and what of its settings the others should have too (``facts``); it
    says again and again that it is there (``beat``).
    """

    __tablename__ = "servers"
    id: Mapped[str] = mapped_column(Key, primary_key=True)
    host: Mapped[str]
    port: Mapped[int]
    started: Mapped[datetime]
    beat: Mapped[datetime]
    facts: Mapped[Json]


class PutAwayRow(Base):
    """A hint that a consultant put away, by its name."""

    __tablename__ = "put_away"
    user_id: Mapped[str] = mapped_column(Key, ForeignKey("users.id", ondelete="CASCADE"), primary_key=True)
    hint: Mapped[str] = mapped_column(primary_key=True)
