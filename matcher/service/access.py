"""Who sits at the desk: consultants, signing in with a passphrase, and their sessions."""

from __future__ import annotations

import hashlib
import ipaddress
import secrets
import unicodedata
from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from matcher.errors import AccessError, Problem
from matcher.service.passphrase import hash_passphrase, is_passphrase, nobodys_hash
from matcher.service.typed_text import line

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.stored import User

_TOKEN_BYTES = 32
# Assumptions, in the shape of OWASP's "Slow Down Online Guessing Attacks with Device Cookies": from one place several
# people may mistype, and a name may be guessed at from many; a browser somebody signed in from is counted by itself.
_NAMES_OF_ORIGIN, _ORIGINS_OF_NAME = 4, 10
# Assumption: a person hardly notices the first and bears the longest; a program gets about one try a minute.
_FIRST_PAUSE, _LONGEST_PAUSE = timedelta(seconds=2), timedelta(seconds=60)
_BROWSER_DAYS = 180  # assumption: a browser in use is used within half a year
_LONGEST_TOKEN = 100  # characters of what may be a token; ours have 43
_IPV6_SUBSCRIBER = 64  # RFC 6177: what one subscriber gets at least, so an address in it is no other person's


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


def sign_in(desk: Desk, name: str, passphrase: str, *, address: str, browser: str = "") -> str:
    """Begin a session and return its token.

    ``browser`` is the token of :func:`remember_browser`, if it has one. Raises AccessError, in the same words and after
    the same work for an unknown name as for a wrong passphrase; and when, after tries that failed, it comes too early.
    """
    from matcher.store import people

    key, settings = _name_key(name), desk.settings
    known = bool(browser) and people.knows_browser(desk.store, token_hash(browser), key)
    origin = people.browser_origin(token_hash(browser)) if known else _network(address)
    limits = people.TryLimits(
        window=timedelta(minutes=settings.sign_in_window_minutes),
        free=settings.sign_in_attempts,
        names_of_origin=_NAMES_OF_ORIGIN,
        origins_of_name=_ORIGINS_OF_NAME,
        first_pause=_FIRST_PAUSE,
        longest_pause=_LONGEST_PAUSE,
    )
    wait = people.count_try(desk.store, origin, key, limits)
    if wait is not None:
        seconds = ceil(wait.total_seconds())
        raise AccessError(
            Problem("sign-in", "too many tries failed", f"Wait {seconds} second{'s' * (seconds != 1)}, then try again.")
        )
    found = people.find_user(desk.store, key)
    user, kept = found or (None, nobodys_hash())
    if not is_passphrase(passphrase, kept) or user is None:
        raise AccessError(
            Problem("sign-in", "name and passphrase do not go together", "Check both; capital letters count.")
        )
    people.forget_tries(desk.store, origin, key)
    token = new_token()
    people.open_session(desk.store, user, token_hash(token), timedelta(hours=settings.session_hours))
    return token


def remember_browser(desk: Desk, session: str, browser: str) -> str:
    """Return the token by which a browser is known to whoever has just signed in: the one it has, or a new one.

    It opens nothing; it only keeps guesses made elsewhere from slowing down whoever signs in here.
    """
    from matcher.store import people

    user = user_of(desk, session)
    if not browser or not people.knows_browser(desk.store, token_hash(browser)):
        browser = new_token()
    if user is not None:
        people.remember_browser(desk.store, user, token_hash(browser), timedelta(days=_BROWSER_DAYS))
    return browser


def _network(address: str) -> str:
    """Return what of an address stands for who is behind it."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return "".join(letter for letter in address[:_LONGEST_TOKEN] if letter.isprintable() and letter != ":")
    if isinstance(found, ipaddress.IPv6Address):
        found = found.ipv4_mapped or found
    if found.version == 4:
        return str(found)
    return str(ipaddress.ip_network((found, _IPV6_SUBSCRIBER), strict=False))


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
