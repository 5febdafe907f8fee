"""Addresses outside the pages: sign-in and sign-out, and everything that holds a client's photo.

Whoever may not see a thing gets the same answer as for a thing that is not there.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Iterator
from os import SEEK_END
from typing import BinaryIO
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from matcher.errors import AwayError, GivensError
from matcher.service import access, choices, client, desk, live, painted_room, sharing, showing
from matcher.service.handed_files import MEDIA_TYPES, handed_files
from matcher.service.records import User
from ui import arrivals
from ui.away import away_page
from ui.cookies import BROWSER_COOKIE, SESSION_COOKIE, set_cookie
from ui.desk import the_desk
from ui.headers import STRICT
from ui.nothing_here import nothing_here
from ui.sheet import FOLDER, sheet
from ui.sign_in_page import sign_in_page, sign_out_page
from ui.visitors import consultant_of, link_token, opened_by

_PRIVATE = {"Cache-Control": "private, max-age=600", "Content-Security-Policy": STRICT}
_FORM = {"Cache-Control": "no-store", "Content-Security-Policy": STRICT}
_PIECE = 1 << 18  # bytes
_MOST_LETTERS = 100  # that a paint is looked for by
_SHOWN_SIDE, _SMALL_SIDE = 1600, 640  # pixels: a screen's width, a card's
_NUMBER = re.compile(r"[0-9]{1,10}")
_BROWSER_S = 180 * 24 * 3600  # as long as access.remember_browser remembers it


async def sign_in(request: Request) -> Response:
    """Show the form; on POST check the passphrase and start a session."""
    if request.method == "GET":
        return HTMLResponse(sign_in_page(), headers=_FORM)
    form = await request.form(max_files=0, max_fields=4)
    name, passphrase = str(form.get("name", "")), str(form.get("passphrase", ""))
    address = request.client.host if request.client else ""
    try:
        # Checking a passphrase takes a tenth of a second on purpose: not in the loop that serves everyone.
        token, browser = await run_in_threadpool(
            _signed_in, name, passphrase, address, request.cookies.get(BROWSER_COOKIE, "")
        )
    except AwayError:
        raise
    except GivensError as error:
        text = " ".join(f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.remedy}" for problem in error.problems)
        return HTMLResponse(sign_in_page(text), status_code=403, headers=_FORM)
    answer = RedirectResponse("/", status_code=303)
    secure, hours = request.url.scheme == "https", the_desk().settings.session_hours
    set_cookie(answer, SESSION_COOKIE, token, seconds=3600 * hours, secure=secure)
    set_cookie(answer, BROWSER_COOKIE, browser, seconds=_BROWSER_S, secure=secure)
    return answer


def _signed_in(name: str, passphrase: str, address: str, browser: str) -> tuple[str, str]:
    token = access.sign_in(the_desk(), name, passphrase, address=address, browser=browser)
    return token, access.remember_browser(the_desk(), token, browser)


async def sign_out(request: Request) -> Response:
    """Ask, then end the session on the server: the cookie alone opens nothing afterwards."""
    if request.method == "GET":
        return HTMLResponse(sign_out_page(), headers=_FORM)
    await run_in_threadpool(access.sign_out, the_desk(), request.cookies.get(SESSION_COOKIE, ""))
    answer = RedirectResponse("/", status_code=303)
    answer.delete_cookie(SESSION_COOKIE)
    return answer


def _guarded(make: Callable[[Request, User], Response]) -> Callable[[Request], Awaitable[Response]]:
    """Return a route that runs ``make`` for a consultant, aside; 404 for anybody else and for what is not theirs."""

    async def route(request: Request) -> Response:
        user = await run_in_threadpool(consultant_of, the_desk(), request)
        if user is None:
            return nothing_here()
        try:
            return await run_in_threadpool(make, request, user)
        except AwayError:
            raise
        except GivensError:
            return nothing_here()

    return route


def _photo(request: Request, user: User) -> Response:
    room_id = request.path_params["room"]
    # Not by loading the room: that counts as having read its news, and a picture is no reader.
    if not desk.owns_room(the_desk(), user, room_id):
        return nothing_here()
    side = _SMALL_SIDE if request.query_params.get("small") == "1" else _SHOWN_SIDE
    return _jpeg(desk.display_jpeg(the_desk(), room_id, request.path_params["sha"], longest_side=side))


def _repainted(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    asked = request.query_params
    roles, codes, guessed = asked.getlist("role"), asked.getlist("code"), asked.getlist("guess")
    if len(roles) != len(codes) or len(set(roles)) != len(roles):
        return nothing_here()
    # A guess is asked for by role, or with 1 for all of them.
    paints = dict(zip(roles, codes, strict=True))
    return _jpeg(
        showing.repainted_together(the_desk(), room, paints, guessed=roles if "1" in guessed else guessed).picture
    )


def _paints(request: Request, user: User) -> Response:
    like, after = request.query_params.get("like", ""), request.query_params.get("after", "")
    return JSONResponse(live.found_paints(the_desk(), like[:_MOST_LETTERS], after=after), headers=_FORM)


def _report(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    appendix = request.query_params.get("appendix") != "0"
    return HTMLResponse(showing.report(the_desk(), room, appendix=appendix), headers=_PRIVATE)


def _archive(request: Request, user: User) -> Response:
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    zipped = showing.archive(the_desk(), user, room)
    size = zipped.seek(0, SEEK_END)
    zipped.seek(0)
    headers = {**_PRIVATE, "Content-Length": str(size), "Content-Disposition": 'attachment; filename="room.zip"'}
    return StreamingResponse(_pieces(zipped), media_type="application/zip", headers=headers)


def _handed(request: Request, user: User) -> Response:
    """Give out a file of the hand-over, made from the room as it stands."""
    name = request.path_params["file"]
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    if name not in MEDIA_TYPES:
        return nothing_here()
    return _file(handed_files(the_desk(), room)[name], name, room.name)


def _handed_then(request: Request, user: User) -> Response:
    """Give out the client's document as it was shared."""
    room_id, share = request.path_params["room"], request.path_params["share"]
    if request.path_params["file"] != sharing.DOCUMENT:
        return nothing_here()
    number = int(share) if _NUMBER.fullmatch(share) else 0
    return _file(client.shared_file(the_desk(), user, room_id, number, sharing.DOCUMENT), sharing.DOCUMENT)


def _file(data: bytes, name: str, room: str = "") -> Response:
    """Return a file to keep: with no viewer of a browser to run in it, and called by the room where that is known."""
    called = quote(f"{room}, {name}" if room else name, safe="")
    headers = {**_FORM, "Content-Disposition": f"attachment; filename=\"{name}\"; filename*=UTF-8''{called}"}
    return Response(data, media_type=MEDIA_TYPES[name], headers=headers)


def _pieces(stream: BinaryIO) -> Iterator[bytes]:
    with stream:
        while piece := stream.read(_PIECE):
            yield piece


async def client_photo(request: Request) -> Response:
    """Show a householder a photo they sent."""
    return await run_in_threadpool(_client_photo, request, request.path_params["visit"], request.path_params["sha"])


def _client_photo(request: Request, visit: str, sha: str) -> Response:
    opened = opened_by(the_desk(), request, visit)
    if opened is None:
        return nothing_here()
    try:
        room = client.client_room(the_desk(), link_token(request.cookies, visit))
        if sha not in {photo.sha for photo in room.photos}:
            return nothing_here()
        return _jpeg(desk.display_jpeg(the_desk(), opened.room_id, sha))
    except AwayError:
        raise
    except GivensError:
        return nothing_here()


async def client_shared(request: Request) -> Response:
    """Show a householder a picture that was shared with them, or give them the document, as it was then."""
    return await run_in_threadpool(_client_shared, request, request.path_params["visit"])


def _client_shared(request: Request, visit: str) -> Response:
    if opened_by(the_desk(), request, visit) is None:
        return nothing_here()
    token, share = link_token(request.cookies, visit), request.path_params["share"]
    # Checked here: an address that no route takes would be answered with the app's own empty page.
    number = int(share) if _NUMBER.fullmatch(share) else 0
    name = request.path_params["name"]
    try:
        shared = client.shared_picture(the_desk(), token, number, name)
        return _file(shared, name) if name == sharing.DOCUMENT else _jpeg(shared)
    except AwayError:
        raise
    except GivensError:
        return nothing_here()


def _in_scheme(request: Request, user: User) -> Response:
    """Show the room in the paints of the address, codes by role; as it is where none of them can be shown."""
    room = desk.load_room(the_desk(), user, request.path_params["room"])
    asked = {role: code for role, code in request.query_params.items() if role in choices.ROLES}
    picture = painted_room.paint_room(the_desk(), room, asked).picture or painted_room.room_as_it_is(the_desk(), room)
    return nothing_here() if picture is None else _jpeg(picture)


def _jpeg(data: bytes) -> Response:
    return Response(data, media_type="image/jpeg", headers=_PRIVATE)


def _or_away(answer: Callable[[Request], Awaitable[Response]]) -> Callable[[Request], Awaitable[Response]]:
    """Return a route that says so where the database does not answer: the browser asks again by itself."""

    async def route(request: Request) -> Response:
        try:
            return await answer(request)
        except AwayError:
            return away_page()

    return route


ROUTES = [
    Route(FOLDER + "{name}", sheet),
    Route("/sign-in", _or_away(sign_in), methods=["GET", "POST"]),
    Route("/sign-out", _or_away(sign_out), methods=["GET", "POST"]),
    Route("/pictures/{room}/{sha}", _or_away(_guarded(_photo))),
    Route("/repainted/{room}", _or_away(_guarded(_repainted))),
    Route("/paints", _or_away(_guarded(_paints))),
    Route("/report/{room}", _or_away(_guarded(_report))),
    Route("/room/{room}.zip", _or_away(_guarded(_archive))),
    Route("/handover/{room}/{file}", _or_away(_guarded(_handed))),
    Route("/handover/{room}/{share}/{file}", _or_away(_guarded(_handed_then))),
    Route("/client-pictures/{visit}/{sha}", _or_away(client_photo)),
    Route("/client-shared/{visit}/{share}/{name}", _or_away(client_shared)),
    Route("/in-scheme/{room}", _or_away(_guarded(_in_scheme))),
    Route("/photos/{room}", _or_away(arrivals.photo), methods=["POST"]),
    Route("/bring-in", _or_away(arrivals.room), methods=["POST"]),
    Route("/new-edition", _or_away(arrivals.edition), methods=["POST"]),
    Route("/client-photos/{visit}", _or_away(arrivals.client_photo), methods=["POST"]),
]
