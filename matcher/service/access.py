"""Who sits at the desk: consultants, signing in with a passphrase, and their sessions."""

from __future__ import annotations

import hashlib
import secrets
import unicodedata
from datetime import timedelta
from typing import TYPE_CHECKING

from matcher.errors import AccessError, Problem
from matcher.service.passphrase import hash_passphrase, is_passphrase, nobodys_hash
from matcher.service.typed_text import line

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.model import User

_TOKEN_BYTES = 32
# Assumption: one name may be tried more often from everywhere together than from one address, or whoever knows a
# consultant's name could lock them out with a handful of tries.
_NAME_OVER_ADDRESS = 10


def add_user(desk: Desk, name: str, passphrase: str) -> User:
    """Add a consultant; raises RequestError for a name that is taken or empty, or a passphrase that is too short."""
    from matcher.store import people

    name = line(name, "name")
    return people.add_user(desk.store, name, _name_key(name), hash_passphrase(passphrase))


def has_users(desk: Desk) -> bool:
    """Tell whether there is anybody who could sign in."""
    from matcher.store import people

    return people.has_users(desk.store)


def local_user(desk: Desk) -> User:
    """Return whoever sits at this machine; only to be asked while :func:`has_users` says no.

    Their rooms pass to the first account that is added.
    """
    return arriving_user(desk)[0]


def arriving_user(desk: Desk) -> tuple[User, bool]:
    """Return whoever sits at this machine, and whether for the first time."""
    from matcher.store import people

    return people.local_user(desk.store, nobodys_hash())


def sign_in(desk: Desk, name: str, passphrase: str, *, address: str) -> str:
    """Begin a session and return its token.

    Raises AccessError, in the same words and after the same work for an unknown name as for a wrong passphrase; and
    when too many tries failed from this ``address`` or for this name.
    """
    from matcher.store import people

    key, settings = _name_key(name), desk.settings
    address = "".join(letter for letter in address[:200] if letter.isprintable())
    limits = people.TryLimits(
        window=timedelta(minutes=settings.sign_in_window_minutes),
        of_address=settings.sign_in_attempts,
        of_name=settings.sign_in_attempts * _NAME_OVER_ADDRESS,
    )
    if not people.count_try(desk.store, address, key, limits):
        raise AccessError(
            Problem(
                "sign-in", "too many tries failed", f"Wait {settings.sign_in_window_minutes} minutes, then try again."
            )
        )
    found = people.find_user(desk.store, key)
    user, kept = found or (None, nobodys_hash())
    if not is_passphrase(passphrase, kept) or user is None:
        raise AccessError(
            Problem("sign-in", "name and passphrase do not go together", "Check both; capital letters count.")
        )
    people.forget_tries(desk.store, address, key)
    token = new_token()
    people.open_session(desk.store, user, token_hash(token), timedelta(hours=settings.session_hours))
    return token


def sign_out(desk: Desk, token: str) -> None:
    """End the session for good; a token that opens none is let pass."""
    from matcher.store import people

    people.close_session(desk.store, token_hash(token))


def user_of(desk: Desk, token: str) -> User | None:
    """Return whose session it is, None when it ended, ran out or never was."""
    from matcher.store import people

    return people.session_user(desk.store, token_hash(token))


def new_token() -> str:
    """Return a token nobody can guess: 256 random bits, fit for an address or a cookie."""
    return secrets.token_urlsafe(_TOKEN_BYTES)


def token_hash(token: str) -> str:
    """Return what is kept of a token: it is random enough to need no salt."""
    return hashlib.sha256(token.encode("utf-8", errors="surrogatepass")).hexdigest()


def _name_key(name: str) -> str:
    """Return the name as compared: composed, without case or spaces around, and bounded, as anything may be typed."""
    printable = "".join(letter for letter in name[:1000] if unicodedata.category(letter) not in ("Cc", "Cs"))
    return " ".join(unicodedata.normalize("NFKC", printable).casefold().split())
