"""Consultants, their sessions, and the sign-ins that failed."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, delete, func, select, update
from sqlalchemy.orm import Session

from matcher.errors import Problem, RequestError
from matcher.store.store import Store
from matcher.store.stored import User
from matcher.store.tables import BrowserRow, RoomRow, SessionRow, SignInAttempt, UserRow

# An empty name cannot be added, so nobody signs in as this one.
_NOBODY, _NOBODY_KEY = "this machine", ""
_ATTEMPTS_LOCK, _USERS_LOCK = "givens sign-in attempts", "givens users"


# Before the hash of its token; no address of a network begins so.
_BROWSER = "browser:"
_MOST_DOUBLINGS = 30  # more than any pause takes to reach its longest, and no number too large to hold


@dataclass(frozen=True, slots=True)
class TryLimits:
    """How many sign-ins may fail within ``window`` before each next one has to wait, longer every time.

    ``free`` of one name from one origin; ``names_of_origin`` times as many of all names from one origin, and
    ``origins_of_name`` times as many of one name from all origins but known browsers.
    """

    window: timedelta
    free: int
    names_of_origin: int
    origins_of_name: int
    first_pause: timedelta
    longest_pause: timedelta


def add_user(store: Store, name: str, name_key: str, passphrase_hash: str) -> User:
    """Add a consultant; raises RequestError where the name is taken."""
    with store.database.writing() as session:
        store.database.lock(session, _USERS_LOCK)
        if session.scalar(select(UserRow.id).where(UserRow.name_key == name_key)) is not None:
            raise RequestError(Problem("user", f"{name!r} is there already", "Choose another name."))
        row = _new_row(store, name, name_key, passphrase_hash)
        session.add(row)
        session.flush()
        # Whoever comes first takes over what was begun before anybody had to sign in.
        sitting = session.scalar(select(UserRow.id).where(UserRow.name_key == _NOBODY_KEY))
        if sitting is not None:
            session.execute(update(RoomRow).where(RoomRow.owner == sitting).values(owner=row.id))
        return User(row.id, row.name)


def local_user(store: Store, passphrase_hash: str) -> tuple[User, bool]:
    """Return whoever sits at this machine before there are accounts, and whether that is for the first time.

    ``passphrase_hash`` is one that no passphrase has.
    """
    # Asked for on every page and picture: only the first time writes.
    found = find_user(store, _NOBODY_KEY)
    if found is not None:
        return found[0], False
    with store.database.writing() as session:
        store.database.lock(session, _USERS_LOCK)
        row = session.scalar(select(UserRow).where(UserRow.name_key == _NOBODY_KEY))
        if row is not None:
            return User(row.id, row.name), False
        row = _new_row(store, _NOBODY, _NOBODY_KEY, passphrase_hash)
        session.add(row)
        return User(row.id, row.name), True


def _new_row(store: Store, name: str, name_key: str, passphrase_hash: str) -> UserRow:
    return UserRow(
        id=uuid.uuid4().hex,
        name=name,
        name_key=name_key,
        passphrase_hash=passphrase_hash,
        created=store.database.now(),
    )


def has_users(store: Store) -> bool:
    """Tell whether anybody could sign in."""
    with store.database.reading() as session:
        return session.scalar(select(UserRow.id).where(UserRow.name_key != _NOBODY_KEY).limit(1)) is not None


def find_user(store: Store, name_key: str) -> tuple[User, str] | None:
    """Return the consultant of that name with the passphrase's hash."""
    with store.database.reading() as session:
        row = session.scalar(select(UserRow).where(UserRow.name_key == name_key))
        return None if row is None else (User(row.id, row.name), row.passphrase_hash)


def count_try(store: Store, origin: str, name_key: str, limits: TryLimits) -> timedelta | None:
    """Count one more try and return None, or how long to wait before one counts; tries at once count one by one.

    A try that comes too early is not counted: whoever keeps on trying keeps nobody else away for longer.
    """
    now = store.database.now()
    with store.database.writing() as session:
        store.database.lock(session, _ATTEMPTS_LOCK)
        session.execute(delete(SignInAttempt).where(SignInAttempt.tried < now - limits.window))
        mine, same_name = SignInAttempt.address == origin, SignInAttempt.name_key == name_key
        scopes: list[tuple[int, tuple[ColumnElement[bool], ...]]] = [(1, (mine, same_name))]
        if not is_known_browser(origin):
            strangers = ~SignInAttempt.address.startswith(_BROWSER)
            scopes += [(limits.names_of_origin, (mine,)), (limits.origins_of_name, (same_name, strangers))]
        waits = [_wait(session, where, share, limits, now) for share, where in scopes]
        if max(waits) > timedelta():
            return max(waits)
        session.add(SignInAttempt(address=origin, name_key=name_key, tried=now))
        return None


def _wait(
    session: Session, where: tuple[ColumnElement[bool], ...], share: int, limits: TryLimits, now: datetime
) -> timedelta:
    """Return what is left of the pause after the last of the failures ``where`` says: twice as long after each."""
    count, last = session.execute(
        select(func.count(SignInAttempt.id), func.max(SignInAttempt.tried)).where(*where)
    ).one()
    over = count // share - limits.free
    if over < 0:
        return timedelta()
    doubled: timedelta = limits.first_pause * 2 ** min(over, _MOST_DOUBLINGS)
    left: timedelta = last + min(doubled, limits.longest_pause) - now
    return max(left, timedelta())


def browser_origin(token_hash: str) -> str:
    """Return the origin that stands for a browser that is known."""
    return _BROWSER + token_hash


def is_known_browser(origin: str) -> bool:
    """Tell whether an origin is a known browser."""
    return origin.startswith(_BROWSER)


def knows_browser(store: Store, token_hash: str, name_key: str | None = None) -> bool:
    """Tell whether somebody, or whoever has this name, signed in from a browser before."""
    known = select(BrowserRow.user_id).where(
        BrowserRow.token_hash == token_hash, BrowserRow.expires > store.database.now()
    )
    if name_key is not None:
        known = known.join(UserRow, UserRow.id == BrowserRow.user_id).where(UserRow.name_key == name_key)
    with store.database.reading() as session:
        return session.scalar(known.limit(1)) is not None


def remember_browser(store: Store, user: User, token_hash: str, lasts: timedelta) -> None:
    """Note that a consultant signed in from a browser; those not used for long are forgotten on the way."""
    now = store.database.now()
    with store.database.writing() as session:
        session.execute(delete(BrowserRow).where(BrowserRow.expires <= now))
        session.merge(BrowserRow(token_hash=token_hash, user_id=user.id, expires=now + lasts))


def forget_tries(store: Store, origin: str, name_key: str) -> None:
    """Forget what failed for this name from here, once it succeeded."""
    with store.database.writing() as session:
        session.execute(
            delete(SignInAttempt).where(SignInAttempt.address == origin, SignInAttempt.name_key == name_key)
        )


def open_session(store: Store, user: User, token_hash: str, lasts: timedelta) -> None:
    """Begin a session; sessions that have run out are cleared on the way."""
    now = store.database.now()
    with store.database.writing() as session:
        session.execute(delete(SessionRow).where(SessionRow.expires <= now))
        session.add(SessionRow(token_hash=token_hash, user_id=user.id, expires=now + lasts))


def close_session(store: Store, token_hash: str) -> None:
    """End a session; one that is not there has ended already."""
    with store.database.writing() as session:
        session.execute(delete(SessionRow).where(SessionRow.token_hash == token_hash))


def session_user(store: Store, token_hash: str) -> User | None:
    """Return whose session it is, None once it ended or ran out."""
    with store.database.reading() as session:
        row = session.scalar(
            select(UserRow)
            .join(SessionRow, SessionRow.user_id == UserRow.id)
            .where(SessionRow.token_hash == token_hash, SessionRow.expires > store.database.now())
        )
        return None if row is None else User(row.id, row.name)
