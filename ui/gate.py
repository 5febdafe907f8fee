"""One gate before the whole app: pages, sockets, pictures, uploads. What is not named here is not answered.

A stranger gets the sign-in page, the address of a private link, the health check, and the browser's part of the app,
which is public software. Everything else needs a consultant's session or a householder's cookie, and is asked for
under a name that we answer to, from a page of our own.
"""

from __future__ import annotations

import asyncio
from contextlib import contextmanager
from typing import TYPE_CHECKING, Literal

from starlette.concurrency import run_in_threadpool
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse

from matcher.errors import AwayError
from matcher.service.decoder import put_away
from ui.away import away_page
from ui.headers import security_headers
from ui.memory import give_back
from ui.nothing_here import nothing_here
from ui.private_link import DOOR, at_the_door
from ui.sheet import FOLDER, sheet_ahead
from ui.visitors import any_opened, consultant_of, is_host_answered, is_own_origin

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from starlette.types import ASGIApp, Message, Receive, Scope, Send

    from matcher.service.desk import Desk

Visitor = Literal["consultant", "householder", "stranger"]

SOCKET = "/_stcore/stream"
_HEALTH, _SIGN_IN = "/_stcore/health", "/sign-in"
# Streamlit's own script, styles and fonts, and our style sheet, the same for everybody.
_PUBLIC = ("/static/", FOLDER, "/favicon.png", "/manifest.json")
_ANYBODY = (_SIGN_IN, "/sign-out", DOOR, _HEALTH)
# What the browser's part of the app asks for on every page.
_KNOWN = (SOCKET, "/_stcore/host-config")
_HOUSEHOLDERS = ("/client-pictures/", "/client-shared/", "/client-photos/")
_CONSULTANTS = (
    "/pictures/", "/repainted/", "/in-scheme/", "/report/", "/handover/", "/room/", "/photos/", "/bring-in", "/paints",
    "/new-edition",
)  # fmt: skip
_SAFE = ("GET", "HEAD", "OPTIONS")
# Assumptions: more windows than anybody has open, and than a small machine can serve.
_MOST_SOCKETS, _MOST_SOCKETS_OF_ONE = 400, 24
_TIDY_S = 30
_REFUSED = 1008  # RFC 6455, 7.4.1: policy violation; before a socket is accepted it becomes HTTP 403


class Gate:
    """The ASGI application in front of ``app``; ``pages`` are the addresses of a consultant's pages."""

    def __init__(self, app: ASGIApp, desk: Callable[[], Desk], pages: tuple[str, ...]) -> None:
        self._app = app
        self._desk = desk
        self._pages = ("/", *(f"/{page}" for page in pages))
        self._sockets: dict[str, int] = {}
        self._somebody_left = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, refuse, or hand on."""
        if scope["type"] == "lifespan":
            tidying = asyncio.create_task(self._tidy())
            try:
                await self._app(scope, receive, send)
            finally:
                tidying.cancel()
                self._desk().store.close()
            return
        connection = HTTPConnection(scope)
        guarded = _with_headers(send, connection) if scope["type"] == "http" else send
        answered = _Noted(guarded)
        try:
            await self._answer(scope, connection, receive, answered)
        except AwayError:
            if answered.begun:
                raise
            await _away(scope, receive, guarded)

    async def _answer(self, scope: Scope, connection: HTTPConnection, receive: Receive, send: Send) -> None:
        if not await self._is_named_right(connection) or not _is_sent_by_us(scope):
            await _refuse(scope, receive, send)
            return
        who, key = await self._visitor(scope, connection)
        if not self._may(who, scope["path"]):
            if scope["type"] == "http" and scope["path"] in self._pages:
                await RedirectResponse(_SIGN_IN, status_code=303)(scope, receive, send)
            else:
                await _refuse(scope, receive, send)
            return
        if scope["type"] == "http":
            turned_away = (
                await run_in_threadpool(at_the_door, self._desk(), connection) if scope["path"] == DOOR else None
            )
            await (turned_away or self._app)(scope, receive, send)
            return
        with self._counted(key) as taken:
            if taken:
                await self._app(scope, receive, send)
            else:
                await _refuse(scope, receive, send)
        self._somebody_left = True

    async def _is_named_right(self, connection: HTTPConnection) -> bool:
        try:
            return await run_in_threadpool(is_host_answered, self._desk(), connection)
        except AwayError:
            # A page that waits for the database has to be able to say so: what is everybody's comes all the same.
            if connection.scope["path"].startswith(_PUBLIC):
                return True
            raise

    async def _tidy(self) -> None:
        """Give back the memory of those who left, a while after: it takes as long as a page does."""
        while True:
            await asyncio.sleep(_TIDY_S)
            if self._somebody_left:
                self._somebody_left = False
                if not self._sockets:
                    await run_in_threadpool(put_away)
                await run_in_threadpool(give_back)

    async def _visitor(self, scope: Scope, connection: HTTPConnection) -> tuple[Visitor, str]:
        """Return who asks, and what sockets are counted against."""
        path: str = scope["path"]
        if scope["type"] == "http" and (path in _ANYBODY or path.startswith(_PUBLIC)):
            return "stranger", ""
        user = await run_in_threadpool(consultant_of, self._desk(), connection)
        if user is not None:
            return "consultant", user.id
        opened = await run_in_threadpool(any_opened, self._desk(), connection)
        return ("householder", opened.id) if opened is not None else ("stranger", "")

    def _may(self, who: Visitor, path: str) -> bool:
        if path in _ANYBODY or path.startswith(_PUBLIC):
            return True
        if who == "householder":
            return path in _KNOWN or path.startswith(_HOUSEHOLDERS)
        if who == "consultant":
            # A consultant may look at a householder's page too: whether its link is open is asked there.
            return path in _KNOWN or path in self._pages or path.startswith((*_HOUSEHOLDERS, *_CONSULTANTS))
        return False

    @contextmanager
    def _counted(self, key: str) -> Iterator[bool]:
        """Count a socket for as long as it is open; False where there are too many."""
        if sum(self._sockets.values()) >= _MOST_SOCKETS or self._sockets.get(key, 0) >= _MOST_SOCKETS_OF_ONE:
            yield False
            return
        self._sockets[key] = self._sockets.get(key, 0) + 1
        try:
            yield True
        finally:
            self._sockets[key] -= 1
            if not self._sockets[key]:
                del self._sockets[key]


def _is_sent_by_us(scope: Scope) -> bool:
    """Tell whether a request that could change something, or a socket, comes from one of our own pages.

    A socket of a program says nothing of its origin; it needs a session all the same, which no page elsewhere has.
    """
    own = is_own_origin(HTTPConnection(scope))
    if scope["type"] == "websocket":
        return own is not False
    return scope["method"] in _SAFE or own is True


def _with_headers(send: Send, connection: HTTPConnection) -> Send:
    """Add what every answer carries and the answer does not say itself; take out what lets other sites read it."""
    ours = security_headers(connection.headers.get("host", ""), secure=connection.url.scheme == "https")

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = [
                (name, value)
                for name, value in message.get("headers", ())
                if not name.lower().startswith(b"access-control-")
            ]
            names = {name.lower() for name, _ in headers}
            # What we write ourselves has a policy of its own; what has none and is a page is the app's.
            if b"content-security-policy" not in names and _is_page(headers):
                headers.append(sheet_ahead())
            message = {**message, "headers": [*headers, *(pair for pair in ours if pair[0] not in names)]}
        await send(message)

    return sending


def _is_page(headers: list[tuple[bytes, bytes]]) -> bool:
    return any(name.lower() == b"content-type" and value.startswith(b"text/html") for name, value in headers)


class _Noted:
    """A ``send`` that notes whether anything was sent."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.begun = False

    async def __call__(self, message: Message) -> None:
        self.begun = True
        await self._send(message)


async def _away(scope: Scope, receive: Receive, send: Send) -> None:
    """Say that the database does not answer; whoever wants a socket asks again by itself."""
    if scope["type"] == "websocket":
        await _refuse(scope, receive, send)
    else:
        await away_page()(scope, receive, send)


async def _refuse(scope: Scope, receive: Receive, send: Send) -> None:
    """Say the same to whoever may not see a thing as for a thing that is not there."""
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": _REFUSED})
        return
    await nothing_here()(scope, receive, send)
