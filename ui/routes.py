"""Addresses outside the pages: sign-in and sign-out, and everything that holds a client's photo.

Whoever may not see a thing gets the same answer as for a thing that is not there.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from matcher.errors import GivensError
from matcher.service import access, client, desk, showing
from matcher.service.records import User
from ui import words
from ui.cookies import SESSION_COOKIE
from ui.desk import the_desk
from ui.sign_in_page import sign_in_page, sign_out_page

_PRIVATE = {
    "Cache-Control": "private, max-age=600",
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; img-src data:; style-src 'unsafe-inline'",
}
_LOCAL_HOSTS = ("localhost", "127.0.0.1", "::1")


async def sign_in(request: Request) -> Response:
    """Show the form; on POST check the passphrase and start a session."""
    if request.method == "GET":
        return HTMLResponse(sign_in_page())
    if not _same_origin(request):
        return _nothing()
    form = await request.form(max_files=0, max_fields=4)
    name, passphrase = str(form.get("name", "")), str(form.get("passphrase", ""))
    address = request.client.host if request.client else ""
    try:
        # Checking a passphrase takes a tenth of a second on purpose: not in the loop that serves everyone.
        token = await run_in_threadpool(access.sign_in, the_desk(), name, passphrase, address=address)
    except GivensError as error:
        told = " ".join(f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.remedy}" for problem in error.problems)
        return HTMLResponse(sign_in_page(told), status_code=403)
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(
        SESSION_COOKIE,
        token,
        max_age=3600 * the_desk().settings.session_hours,
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )
    return answer


async def sign_out(request: Request) -> Response:
    """Ask, then end the session on the server: the cookie alone opens nothing afterwards."""
    if request.method == "GET":
        return HTMLResponse(sign_out_page())
    if not _same_origin(request):
        return _nothing()
    await run_in_threadpool(access.sign_out, the_desk(), request.cookies.get(SESSION_COOKIE, ""))
    answer = RedirectResponse("/", status_code=303)
    answer.delete_cookie(SESSION_COOKIE)
    return answer


def _guarded(make: Callable[[Request, User], Response]) -> Callable[[Request], Awaitable[Response]]:
    """Return a route that runs ``make`` for a consultant, aside; 404 for anybody else and for what is not theirs."""

    async def route(request: Request) -> Response:
        user = await run_in_threadpool(_consultant, request)
        if user is None:
            return _nothing()
        try:
            return await run_in_threadpool(make, request, user)
        except GivensError:
            return _nothing()

    return route


def _consultant(request: Request) -> User | None:
    if not access.has_users(the_desk()):
        # Without a passphrase only this machine is answered, and only by its own name: a page elsewhere that points
        # its name at this machine gets nothing.
        return access.local_user(the_desk()) if request.url.hostname in _LOCAL_HOSTS else None
    return access.user_of(the_desk(), request.cookies.get(SESSION_COOKIE, ""))


def _photo(request: Request, user: User) -> Response:
    room_id = request.path_params["room"]
    # Not by loading the room: that counts as having read its news, and a picture is no reader.
    if not desk.owns_room(the_desk(), user, room_id):
        return _nothing()
    return _jpeg(desk.display_jpeg(the_desk(), room_id, request.path_params["sha"]))


def _repainted(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    role, code = request.query_params.get("role", ""), request.query_params.get("code", "")
    return _jpeg(showing.repainted(the_desk(), room, role, code).picture)


def _report(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    return HTMLResponse(showing.report(the_desk(), room), headers=_PRIVATE)


def _archive(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    data = showing.archive(the_desk(), user, room)
    return Response(
        data,
        media_type="application/zip",
        headers={**_PRIVATE, "Content-Disposition": 'attachment; filename="room.zip"'},
    )


async def client_photo(request: Request) -> Response:
    """Show a householder a photo they sent."""
    return await run_in_threadpool(_client_photo, request.path_params["token"], request.path_params["sha"])


def _client_photo(token: str, sha: str) -> Response:
    try:
        room = client.client_room(the_desk(), token)
        room_id = client.room_of_link(the_desk(), token)
        if room_id is None or sha not in {photo.sha for photo in room.photos}:
            return _nothing()
        return _jpeg(desk.display_jpeg(the_desk(), room_id, sha))
    except GivensError:
        return _nothing()


def _jpeg(data: bytes) -> Response:
    return Response(data, media_type="image/jpeg", headers=_PRIVATE)


def _nothing() -> Response:
    return Response(words.NOTHING_HERE, status_code=404, media_type="text/plain")


def _same_origin(request: Request) -> bool:
    """Tell whether a form was sent from one of our own pages; browsers say where a POST comes from."""
    origin = request.headers.get("origin") or request.headers.get("referer") or ""
    return urlsplit(origin).netloc == request.headers.get("host")


ROUTES = [
    Route("/sign-in", sign_in, methods=["GET", "POST"]),
    Route("/sign-out", sign_out, methods=["GET", "POST"]),
    Route("/pictures/{room}/{sha}", _guarded(_photo)),
    Route("/repainted/{room}", _guarded(_repainted)),
    Route("/report/{room}", _guarded(_report)),
    Route("/room/{room}.zip", _guarded(_archive)),
    Route("/client-pictures/{token}/{sha}", client_photo),
]
