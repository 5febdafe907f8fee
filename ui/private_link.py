"""The door of a private link: its token becomes a cookie on first use and leaves the address.

What stands in an address is kept by browsers, logged by proxies and passed on; what stands there from then on is the
link's id, which opens nothing.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from starlette.responses import HTMLResponse, RedirectResponse

from matcher.service import client
from matcher.service.public_address import ANSWERING
from ui import words
from ui.cookies import LINK_COOKIE, set_cookie
from ui.headers import STRICT
from ui.plain_page import plain_page
from ui.visitors import opened_by

if TYPE_CHECKING:
    from starlette.requests import HTTPConnection
    from starlette.responses import Response

    from matcher.service.desk import Desk

# In the address that is sent to a householder, and in the one it leads to.
DOOR, LINK, VISIT = "/client", "link", "visit"
# A link that no token was ever made for: what it is answered with tells that it leads here.
PROBE = f"{DOOR}?{LINK}=none"


def link_address(base: str, token: str) -> str:
    """Return the address to send to a householder, below ``base``, the address of the app."""
    return f"{base}{DOOR}?{urlencode({LINK: token})}"


def at_the_door(desk: Desk, connection: HTTPConnection) -> Response | None:
    """Return where a link leads, or that it opens nothing; None where the browser has been let in before."""
    token = connection.query_params.get(LINK)
    if token is None:
        visit = connection.query_params.get(VISIT, "")
        return None if opened_by(desk, connection, visit) is not None else _gone()
    opened = client.opened_link(desk, token)
    if opened is None:
        return _gone()
    answer = RedirectResponse(f"{DOOR}?{urlencode({VISIT: opened.id})}", 303, {"Cache-Control": "no-store"})
    seconds = int((opened.expires - datetime.now(UTC)).total_seconds())
    set_cookie(answer, LINK_COOKIE + opened.id, token, seconds=seconds, secure=connection.url.scheme == "https")
    return answer


def _gone() -> Response:
    page = plain_page(words.CLIENT_GONE, f"<p>{words.CLIENT_GONE_WHY}</p>")
    headers = {"Content-Security-Policy": STRICT, "Cache-Control": "no-store", ANSWERING: "closed"}
    return HTMLResponse(page, 404, headers)
