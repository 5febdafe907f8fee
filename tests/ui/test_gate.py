"""What stands before the whole app: a stranger gets nothing, from no address, under no name, by no socket.

RFC 6455 for the socket, RFC 9110 for hosts; the headers are those of the Fetch and CSP Level 3 standards.
"""

from __future__ import annotations

import base64
import json
import os
import re
import socket
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from matcher.errors import Problem, RequestError, StoreError
from matcher.service import access, client
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, new_room
from matcher.service.incoming import count_arrival
from matcher.service.records import User
from tests.first_start import copy_of
from tests.ui.givens_server import Server, beside, serve_givens
from tests.ui.test_guarded import PHRASE, Answer, ask, opened, session
from ui import words
from ui.gate import SOCKET, _is_sent_by_us
from ui.messages import householder_problems

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"


def socket_status(address: str, **headers: str) -> int:
    """Ask for the app's socket as a browser does, and return the status: 101 lets in."""
    split = urllib.parse.urlsplit(address)
    assert split.hostname
    assert split.port
    sent = {
        "Host": split.netloc,
        "Upgrade": "websocket",
        "Connection": "Upgrade",
        "Sec-WebSocket-Key": base64.b64encode(os.urandom(16)).decode(),
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Protocol": "streamlit",
        **headers,
    }
    lines = ["GET /_stcore/stream HTTP/1.1", *(f"{name}: {value}" for name, value in sent.items()), "", ""]
    with socket.create_connection((split.hostname, split.port), timeout=20) as line:
        line.sendall("\r\n".join(lines).encode())
        return int(line.recv(4096).split()[1])


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    desk = beside(server)
    assert list_rooms(desk, local_user(desk))
    access.add_user(desk, "Ada", PHRASE)
    return desk


@pytest.fixture(scope="module")
def room(desk: Desk) -> str:
    return new_room(desk, _ada(desk), "A client's room")


@pytest.fixture(scope="module")
def token(desk: Desk, room: str) -> str:
    return client.make_link(desk, _ada(desk), room)


def put(address: str, data: bytes, **headers: str) -> Answer:
    request = urllib.request.Request(address, data, headers, method=headers.pop("method", "POST"))
    try:
        with urllib.request.urlopen(request, timeout=30) as answer:
            return Answer(answer.status, answer.headers, answer.read())
    except urllib.error.HTTPError as error:
        with error:
            return Answer(error.code, error.headers, error.read())


CLOSED = (
    "/_stcore/metrics",
    "/_stcore/upload_file/x/y",
    "/_stcore/script-health-check",
    "/_stcore/agent/openapi.json",
    "/media/x.jpg",
    "/component/x/index.html",
    "/oauth2callback",
)
FOR_KNOWN = (
    "/_stcore/host-config",
    "/pictures/x/y",
    "/report/x",
    "/room/x.zip",
    "/handover/x/client.pdf",
    "/repainted/x",
    "/paints",
    "/new-edition",
    "/client-pictures/x/y",
)


@pytest.mark.parametrize("path", [*CLOSED, *FOR_KNOWN])
def test_a_stranger_gets_nothing(server: Server, desk: Desk, path: str) -> None:
    answer = ask(server.address + path)
    assert (answer.status, answer.body) == (404, words.NOTHING_HERE.encode())


@pytest.mark.parametrize("path", CLOSED)
def test_what_the_app_does_not_use_answers_nobody(server: Server, desk: Desk, path: str) -> None:
    assert ask(server.address + path, cookie=session(server, "Ada")).status == 404


@pytest.mark.parametrize("method", ["PUT", "POST", "DELETE"])
def test_no_file_gets_in_by_streamlits_own_address(server: Server, desk: Desk, method: str) -> None:
    ada = session(server, "Ada")
    for cookie in ({}, {"Cookie": f"givens-session={ada}"}):
        answer = put(
            f"{server.address}/_stcore/upload_file/x/y", b"x" * 1000, method=method, Origin=server.address, **cookie
        )
        assert answer.status == 404


def test_a_stranger_is_led_to_the_sign_in(server: Server, desk: Desk) -> None:
    answer = ask(server.address)
    assert (answer.status, answer.headers["Location"]) == (303, "/sign-in")
    assert ask(f"{server.address}/_stcore/health").status == 200


def test_the_socket_opens_to_those_who_may_only(server: Server, desk: Desk, token: str) -> None:
    ada, (_, cookie) = session(server, "Ada"), opened(server, token)
    assert socket_status(server.address) == 403
    assert socket_status(server.address, Cookie="givens-session=made-up") == 403
    assert socket_status(server.address, Origin=server.address, Cookie=f"givens-session={ada}") == 101
    assert socket_status(server.address, Origin=server.address, Cookie=cookie) == 101
    assert socket_status(server.address, Origin="https://elsewhere.example", Cookie=f"givens-session={ada}") == 403


def test_before_the_first_account_neither_pages_nor_the_socket_answer_another_name(
    tmp_path: Path, furnished_once: Path
) -> None:
    """DNS rebinding: a page elsewhere points its own name at this machine; its requests carry that name."""
    with serve_givens(copy_of(furnished_once, tmp_path / "data")) as server:
        rebound = f"evil.example:{urllib.parse.urlsplit(server.address).port}"
        assert socket_status(server.address, Origin=server.address) == 101
        assert socket_status(server.address, Host=rebound, Origin=f"http://{rebound}") == 403
        assert ask(server.address).status == 200
        assert ask(server.address, Host=rebound).status == 404
        # What a proxy on this machine passes on comes from elsewhere, whatever name it asks under.
        assert ask(server.address, **{"X-Forwarded-For": "203.0.113.9"}).status == 404
        assert socket_status(server.address, **{"X-Forwarded-For": "203.0.113.9"}) == 403


@pytest.mark.parametrize("host", ["", "a b", "user@localhost", "localhost/x", "local;host", "x" * 300, "[zz]"])
def test_a_name_that_is_none_is_not_answered(server: Server, desk: Desk, host: str) -> None:
    assert ask(f"{server.address}/sign-in", Host=host).status in (400, 404)


def test_a_foreign_page_does_not_make_the_server_look_anything_up(server: Server, desk: Desk) -> None:
    """Streamlit asks the internet for its own outside address when an origin is not known to it."""
    started = time.monotonic()
    for _ in range(5):
        assert socket_status(server.address, Origin="https://elsewhere.example") == 403
    assert time.monotonic() - started < 2
    assert "external" not in server.log().lower()


def test_a_link_leaves_the_address_and_opens_nothing_for_another_browser(server: Server, token: str) -> None:
    visit, cookie = opened(server, token)
    address = f"{server.address}/client?visit={visit}"
    assert ask(address, Cookie=cookie).status == 200
    for answer in (ask(address), ask(address, Cookie="x=y"), ask(f"{server.address}/client?link={'x' * 43}")):
        assert answer.status == 404
        assert words.CLIENT_GONE.encode() in answer.body
    assert token not in server.log()


def test_a_householder_reaches_nothing_of_the_consultants(server: Server, desk: Desk, token: str) -> None:
    _, cookie = opened(server, token)
    mine = next(one for one in list_rooms(desk, _ada(desk)) if one.photos)
    sha = load_room(desk, _ada(desk), mine.id).photos[0].sha
    for path in (
        f"/pictures/{mine.id}/{sha}",
        f"/report/{mine.id}",
        f"/room/{mine.id}.zip",
        f"/handover/{mine.id}/schedule.pdf",
        "/paints",
        "/_stcore/metrics",
    ):
        assert ask(server.address + path, Cookie=cookie).status == 404
    assert ask(server.address, Cookie=cookie).headers["Location"] == "/sign-in"


def _ada(desk: Desk) -> User:
    user = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert user
    return user


def test_a_file_is_taken_from_those_who_may_and_from_our_own_page(server: Server, desk: Desk, token: str) -> None:
    visit, cookie = opened(server, token)
    address, data = f"{server.address}/client-photos/{visit}", (SAMPLES / "floor_led.jpg").read_bytes()
    sent = {"X-File-Name": "our%20floor.jpg", "Origin": server.address}
    assert put(f"{server.address}/new-edition", b"code,name,hex\n1,One,#ffffff\n", Cookie=cookie, **sent).status == 404
    assert put(address, data, **sent).status == 404
    assert put(address, data, **{**sent, "Origin": "https://elsewhere.example"}, Cookie=cookie).status == 404
    assert put(address, data, Cookie=cookie, **{"X-File-Name": "a.jpg"}).status == 404
    kept = put(address, data, Cookie=cookie, **sent)
    assert kept.status == 200
    (photo,) = client.client_room(desk, token).photos
    assert json.loads(kept.body) == {"kept": photo.sha}
    assert photo.name == "our floor.jpg"


def test_a_file_that_is_no_photo_is_told_in_words(server: Server, token: str) -> None:
    visit, cookie = opened(server, token)
    told = put(
        f"{server.address}/client-photos/{visit}", b"a list of paints\n" * 40, Cookie=cookie, Origin=server.address,
        **{"X-File-Name": "kitchen.jpg"},
    )  # fmt: skip
    assert told.status == 422
    (problem,) = json.loads(told.body)["problems"]
    assert problem.startswith("kitchen.jpg: is not a photo")


def test_a_file_that_promises_to_be_too_large_is_refused_before_it_comes(server: Server, token: str) -> None:
    visit, cookie = opened(server, token)
    split = urllib.parse.urlsplit(server.address)
    head = [
        f"POST /client-photos/{visit} HTTP/1.1", f"Host: {split.netloc}", f"Origin: {server.address}",
        f"Cookie: {cookie}", "X-File-Name: a.jpg", "Content-Length: 400000000", "", "",
    ]  # fmt: skip
    with socket.create_connection((split.hostname or "", split.port or 0), timeout=20) as line:
        line.sendall("\r\n".join(head).encode())
        said = ""
        while piece := line.recv(65536).decode():
            said += piece
            if said.endswith("}"):
                break
    assert " 422 " in said.partition("\r\n")[0]
    assert "more than the 40 MB" in said


def test_files_are_counted_against_whoever_sends_them(desk: Desk) -> None:
    most = 4 * desk.settings.photos_per_room
    for _ in range(most):
        count_arrival(desk, "ab" * 16)
    with pytest.raises(RequestError, match=f"{most} files were sent within 60 minutes"):
        count_arrival(desk, "ab" * 16)
    count_arrival(desk, "cd" * 16)


@pytest.mark.parametrize(
    "path", ["/", "/mark", "/paint", "/sign-in", "/nothing", "/client", "/static/x.js", "/looks/x.css"]
)
def test_every_answer_says_what_the_browser_may_not_do(server: Server, desk: Desk, path: str) -> None:
    answer = ask(server.address + path, cookie=session(server, "Ada"))
    said = {name.lower(): value for name, value in answer.headers.items()}
    assert said["x-content-type-options"] == "nosniff"
    assert said["referrer-policy"] == "same-origin"
    assert said["x-frame-options"] == "DENY"
    policy = said["content-security-policy"]
    assert "frame-ancestors 'none'" in policy
    assert "default-src 'none'" in policy
    assert "unsafe-eval" not in policy
    assert not re.search(r"script-src[^;]*'unsafe-inline'", policy)
    assert "server" not in said


def test_the_style_sheet_is_asked_for_once(server: Server, desk: Desk) -> None:
    """Its address changes with it, so a browser keeps it for good (RFC 8246); a page says where it is (RFC 8288)."""
    linked = ask(f"{server.address}/", cookie=session(server, "Ada")).headers["Link"]
    found = re.fullmatch(r"<(/looks/[0-9a-f]{16}\.css)>; rel=preload; as=style", linked)
    assert found, linked
    answer = ask(server.address + found[1])
    assert answer.status == 200
    assert answer.headers["Content-Type"].startswith("text/css")
    assert "immutable" in answer.headers["Cache-Control"]
    assert ask(f"{server.address}/looks/{'0' * 16}.css").status == 404
    assert "Link" not in ask(f"{server.address}/sign-in").headers


def test_a_householder_is_not_told_where_things_are_kept() -> None:
    error = StoreError(Problem("/srv/shop/givens.db", "the database cannot be used (database or disk is full)"))
    assert householder_problems(error) == [words.NOT_NOW]
    assert householder_problems(RequestError(Problem("photos", "this room is full"))) == ["photos: this room is full"]


@pytest.mark.parametrize(
    ("origin", "ours"), [(b"http://here:1", True), (b"http://elsewhere:1", False), (b"null", False)]
)
def test_the_gate_itself_turns_a_foreign_socket_away(origin: bytes, ours: bool) -> None:
    """Streamlit would refuse it as well, after a look at the internet."""
    scope = {"type": "websocket", "path": SOCKET, "headers": [(b"host", b"here:1"), (b"origin", origin)]}
    assert _is_sent_by_us(scope) is ours
