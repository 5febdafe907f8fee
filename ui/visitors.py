"""Who sends a request: a consultant by a session, a householder by a link's cookie, or nobody we know."""

from __future__ import annotations

import ipaddress
import re
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from matcher.service import access, client
from ui.cookies import LINK_COOKIE, SESSION_COOKIE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.requests import HTTPConnection

    from matcher.service.desk import Desk
    from matcher.service.records import OpenedLink, User

# RFC 9110, 7.2: a name or an address, and a port.
_HOST = re.compile(r"(?:(?P<name>[A-Za-z0-9._-]{1,253})|\[(?P<address>[0-9A-Fa-f:.]{2,45})\])(?::[0-9]{1,5})?")
_LOCAL_NAMES = ("localhost", "127.0.0.1", "::1")
# A browser that opened more links than this is asked to open the one it wants again; each takes a look at the database.
_MOST_LINKS = 20


def is_host_answered(desk: Desk, connection: HTTPConnection) -> bool:
    """Tell whether this app answers to the name in the request.

    Before the first account only this machine is answered, and only by its own names: a page elsewhere that points its
    own name at this machine gets nothing (DNS rebinding). Afterwards ``hosts`` of the settings decides.
    """
    asked = _HOST.fullmatch(connection.headers.get("host", ""))
    if asked is None:
        return False
    name = (asked["name"] or asked["address"]).lower().rstrip(".")
    if not access.has_users(desk):
        return name in _LOCAL_NAMES and _comes_from_here(connection)
    known = desk.settings.hosts
    return not known or name in _LOCAL_NAMES or name in {host.lower() for host in known}


def _comes_from_here(connection: HTTPConnection) -> bool:
    # What a proxy on this machine passes on comes from elsewhere.
    if connection.headers.get("x-forwarded-for") or connection.headers.get("forwarded"):
        return False
    try:
        return connection.client is None or ipaddress.ip_address(connection.client.host).is_loopback
    except ValueError:
        return False


def is_own_origin(connection: HTTPConnection) -> bool | None:
    """Tell whether one of our own pages sends the request; None where the browser does not say."""
    origin = connection.headers.get("origin") or connection.headers.get("referer")
    if origin is None:
        return None
    return urlsplit(origin).netloc == connection.headers.get("host")


def consultant_of(desk: Desk, connection: HTTPConnection) -> User | None:
    """Return who is signed in; before the first account, whoever sits at this machine."""
    if not access.has_users(desk):
        return access.local_user(desk)
    token = connection.cookies.get(SESSION_COOKIE)
    return access.user_of(desk, token) if token else None


def link_token(cookies: Mapping[str, str], visit: str) -> str:
    """Return the token of the link that a visit (its id) is by, "" where this browser did not open it."""
    return cookies.get(LINK_COOKIE + visit, "")


def opened_by(desk: Desk, connection: HTTPConnection, visit: str) -> OpenedLink | None:
    """Return the link that a visit is by, while it opens a room."""
    token = link_token(connection.cookies, visit)
    opened = client.opened_link(desk, token) if token else None
    return opened if opened is not None and opened.id == visit else None


def any_opened(desk: Desk, connection: HTTPConnection) -> OpenedLink | None:
    """Return a link that this browser opened and that still opens a room."""
    visits = [name.removeprefix(LINK_COOKIE) for name in connection.cookies if name.startswith(LINK_COOKIE)]
    found = (opened_by(desk, connection, visit) for visit in visits[-_MOST_LINKS:])
    return next((opened for opened in found if opened is not None), None)
