"""Consultants, their sessions, and the sign-ins that failed."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import delete, func, select, update

from matcher.errors import Problem, RequestError
from matcher.store.model import User
from matcher.store.store import Store
from matcher.store.tables import RoomRow, SessionRow, SignInAttempt, UserRow

# An empty name cannot be added, so nobody signs in as this one.
_NOBODY, _NOBODY_KEY = "this machine", ""
_ATTEMPTS_LOCK, _USERS_LOCK = "givens sign-in attempts", "givens users"


@dataclass(frozen=True, slots=True)
class TryLimits:
    """How many sign-ins may fail within ``window``: from one address, and for one name from anywhere."""

    window: timedelta
    of_address: int
    of_name: int


def add_user(store: Store, name: str, name_key: str, passphrase_hash: str) -> User:
    """Add a consultant; raises RequestError where the name is taken."""
    with store.database.writing() as session:
        store.database.lock(session, _USERS_LOCK)
        if session.scalar(select(UserRow.id).where(UserRow.name_key == name_key)) is not None:
            raise RequestError(Problem("user", f"{name!r} is there already", "Choose another name."))
        row = _new_row(name, name_key, passphrase_hash)
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
        row = _new_row(_NOBODY, _NOBODY_KEY, passphrase_hash)
        session.add(row)
        return User(row.id, row.name), True


def _new_row(name: str, name_key: str, passphrase_hash: str) -> UserRow:
    return UserRow(
        id=uuid.uuid4().hex,
        name=name,
        name_key=name_key,
        passphrase_hash=passphrase_hash,
        created=datetime.now(UTC),
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


def count_try(store: Store, address: str, name_key: str, limits: TryLimits) -> bool:
    """Count one more try and return True, or False where too many failed; tries at the same time count one by one."""
    now = datetime.now(UTC)
    with store.database.writing() as session:
        store.database.lock(session, _ATTEMPTS_LOCK)
        session.execute(delete(SignInAttempt).where(SignInAttempt.tried < now - limits.window))
        count = select(func.count(SignInAttempt.id))
        of_address = session.scalar(count.where(SignInAttempt.address == address)) or 0
        of_name = session.scalar(count.where(SignInAttempt.name_key == name_key)) or 0
        if of_address >= limits.of_address or of_name >= limits.of_name:
            return False
        session.add(SignInAttempt(address=address, name_key=name_key, tried=now))
        return True


def forget_tries(store: Store, address: str, name_key: str) -> None:
    """Forget what failed for this name from this address, once it succeeded there."""
    with store.database.writing() as session:
        session.execute(
            delete(SignInAttempt).where(SignInAttempt.address == address, SignInAttempt.name_key == name_key)
        )


def open_session(store: Store, user: User, token_hash: str, lasts: timedelta) -> None:
    """Begin a session; sessions that have run out are cleared on the way."""
    now = datetime.now(UTC)
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
            .where(SessionRow.token_hash == token_hash, SessionRow.expires > datetime.now(UTC))
        )
        return None if row is None else User(row.id, row.name)
