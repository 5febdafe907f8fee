"""What nobody may reach without the right to: routes asked directly, as a stranger would."""

from __future__ import annotations

import io
import re
import urllib.error
import urllib.parse
import urllib.request
import zipfile
from email.message import Message
from pathlib import Path
from typing import NamedTuple

import pytest

from matcher.service import access, client
from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, list_rooms, load_room, new_room
from matcher.service.live import deck_of
from tests.first_start import copy_of
from tests.ui.givens_server import Server, beside, serve_givens
from tests.ui.unread_walls import take_reading_off

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    """The same store, opened beside the server: Ada owns the sample kitchen, Ben a hall with a photo."""
    desk = beside(server)
    assert list_rooms(desk, local_user(desk))
    take_reading_off(desk, access.add_user(desk, "Ada", PHRASE))
    ben = access.add_user(desk, "Ben", PHRASE)
    hall = new_room(desk, ben, "Ben's hall")
    add_photo(desk, hall, (SAMPLES / "tile_led.jpg").read_bytes(), "hall.jpg", by="consultant")
    return desk


class Answer(NamedTuple):
    status: int
    headers: Message
    body: bytes


def ask(address: str, *, cookie: str = "", form: dict[str, str] | None = None, **headers: str) -> Answer:
    """Return the answer, whatever its status; redirects are not followed."""

    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *args: object, **more: object) -> None:
            return None

    data = urllib.parse.urlencode(form).encode() if form else None
    sent = {**headers, **({"Cookie": f"givens-session={cookie}"} if cookie else {})}
    request = urllib.request.Request(address, data, sent)
    try:
        with urllib.request.build_opener(Stay).open(request, timeout=30) as answer:
            return Answer(answer.status, answer.headers, answer.read())
    except urllib.error.HTTPError as error:
        with error:
            return Answer(error.code, error.headers, error.read())


def sign_in(server: Server, name: str, phrase: str = PHRASE, origin: str | None = None) -> Answer:
    return ask(
        f"{server.address}/sign-in",
        form={"name": name, "passphrase": phrase},
        Origin=server.address if origin is None else origin,
    )


def session(server: Server, name: str) -> str:
    answer = sign_in(server, name)
    assert answer.status == 303
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "samesite=lax" in cookie.lower()
    found = re.match(r"givens-session=([^;]+)", cookie)
    assert found
    return found[1]


def photo_of(desk: Desk, name: str) -> str:
    user = access.user_of(desk, access.sign_in(desk, name, PHRASE, address="test"))
    assert user
    # Rooms without a photo are made by other tests.
    room = load_room(desk, user, next(room.id for room in list_rooms(desk, user) if room.photos))
    return f"{room.id}/{room.photos[0].sha}"


def test_a_photo_needs_a_session_of_its_owner(server: Server, desk: Desk) -> None:
    mine, theirs = photo_of(desk, "Ada"), photo_of(desk, "Ben")
    ada = session(server, "Ada")
    assert ask(f"{server.address}/pictures/{mine}").status == 404
    assert ask(f"{server.address}/pictures/{mine}", cookie="made-up").status == 404
    assert ask(f"{server.address}/pictures/{theirs}", cookie=ada).status == 404
    own = ask(f"{server.address}/pictures/{mine}", cookie=ada)
    assert own.status == 200
    assert own.headers["Content-Type"] == "image/jpeg"
    assert "private" in own.headers["Cache-Control"]


@pytest.mark.parametrize(
    "route",
    [
        "report/{room}", "room/{room}.zip", "repainted/{room}?role=walls&code=x", "handover/{room}/client.pdf",
        "handover/{room}/1/client.pdf",
    ],
)  # fmt: skip
def test_everything_of_a_room_is_its_owners(server: Server, desk: Desk, route: str) -> None:
    room = photo_of(desk, "Ada").partition("/")[0]
    address = f"{server.address}/{route.format(room=room)}"
    assert ask(address).status == 404
    assert ask(address, cookie=session(server, "Ben")).status == 404


def test_a_guess_is_a_picture_for_who_asks_for_one(server: Server, desk: Desk) -> None:
    """Nothing measured the paint that is on the sample kitchen's walls; a card lay on its cabinets."""
    room, ada = photo_of(desk, "Ada").partition("/")[0], session(server, "Ada")
    address = f"{server.address}/repainted/{room}?code={deck_of(desk).codes[0]}&role="
    assert ask(f"{address}walls", cookie=ada).status == 404
    assert ask(f"{address}walls&guess=1", cookie=ada).status == 200
    assert ask(f"{address}cabinets", cookie=ada).status == 200


def test_several_roles_come_in_one_picture(server: Server, desk: Desk) -> None:
    room, ada = photo_of(desk, "Ada").partition("/")[0], session(server, "Ada")
    first, second = deck_of(desk).codes[:2]
    address = f"{server.address}/repainted/{room}?role=cabinets&code={first}"
    both = ask(f"{address}&role=walls&code={second}&guess=walls", cookie=ada)
    assert both.status == 200
    assert both.headers["Content-Type"] == "image/jpeg"
    assert both.body != ask(address, cookie=ada).body
    assert ask(f"{address}&role=walls&code={second}", cookie=ada).status == 404
    # One code too few, one role twice, none at all.
    assert ask(f"{address}&role=walls&guess=walls", cookie=ada).status == 404
    assert ask(f"{address}&role=cabinets&code={second}", cookie=ada).status == 404
    assert ask(f"{server.address}/repainted/{room}", cookie=ada).status == 404


def test_report_and_zip_come_to_their_owner(server: Server, desk: Desk) -> None:
    room, ada = photo_of(desk, "Ada").partition("/")[0], session(server, "Ada")
    report = ask(f"{server.address}/report/{room}", cookie=ada)
    assert report.status == 200
    assert b"Hazel Close kitchen" in report.body
    client = ask(f"{server.address}/report/{room}?appendix=0", cookie=ada)
    assert b"CIELAB" in report.body
    assert b"CIELAB" not in client.body
    assert b"Hazel Close kitchen" in client.body
    archive = ask(f"{server.address}/room/{room}.zip", cookie=ada)
    with zipfile.ZipFile(io.BytesIO(archive.body)) as held:
        assert {"room.toml", "result.json"} <= set(held.namelist())
        assert "photos/whole_day.jpg" in held.namelist()


def test_a_hand_over_comes_to_its_owner_as_files(server: Server, desk: Desk) -> None:
    room, ada = photo_of(desk, "Ada").partition("/")[0], session(server, "Ada")
    begins = {"client.pdf": b"%PDF-", "schedule.csv": b"surface,", "swatches.gpl": b"GIMP Palette\n"}
    for name, start in begins.items():
        answer = ask(f"{server.address}/handover/{room}/{name}", cookie=ada)
        assert answer.status == 200
        assert answer.body.startswith(start)
        said = answer.headers["Content-Disposition"]
        assert said == f"attachment; filename=\"{name}\"; filename*=UTF-8''Hazel%20Close%20kitchen%2C%20{name}"
        assert answer.headers["Cache-Control"] == "no-store"
    for name in ("report.html", f"{10**30}/client.pdf", "1/schedule.pdf"):
        assert ask(f"{server.address}/handover/{room}/{name}", cookie=ada).status == 404
    user = access.user_of(desk, ada)
    assert user
    share = client.share(desk, user, room, {"paints": []}, {"client.pdf": b"%PDF- as it was"})
    kept = ask(f"{server.address}/handover/{room}/{share}/client.pdf", cookie=ada)
    assert (kept.status, kept.body) == (200, b"%PDF- as it was")
    assert kept.headers["Content-Type"] == "application/pdf"
    # By the link it is a file too, for whoever has opened it.
    visit, cookie = opened(server, client.make_link(desk, user, room))
    shown = ask(f"{server.address}/client-shared/{visit}/{share}/client.pdf", Cookie=cookie)
    assert (shown.body, shown.headers["Content-Type"]) == (b"%PDF- as it was", "application/pdf")
    assert ask(f"{server.address}/client-shared/{visit}/{share}/client.pdf").status == 404
    assert ask(f"{server.address}/handover/{room}/client.pdf", Cookie=cookie).status == 404


def test_signing_out_ends_the_session_on_the_server(server: Server, desk: Desk) -> None:
    mine, ada = photo_of(desk, "Ada"), session(server, "Ada")
    assert ask(f"{server.address}/sign-out", cookie=ada, form={"x": "y"}, Origin=server.address).status == 303
    assert ask(f"{server.address}/pictures/{mine}", cookie=ada).status == 404


def test_a_form_from_another_site_is_not_taken(server: Server, desk: Desk) -> None:
    assert sign_in(server, "Ada", origin="https://elsewhere.example").status == 404
    assert sign_in(server, "Ada", origin="").status == 404


def test_a_wrong_passphrase_is_told_in_the_same_words_as_a_wrong_name(server: Server, desk: Desk) -> None:
    wrong, unknown = sign_in(server, "Ada", "not this one"), sign_in(server, "Nobody", "not this one")
    assert wrong.status == unknown.status == 403
    assert wrong.body == unknown.body


def test_a_client_sees_their_own_photos_by_their_link_only(server: Server, desk: Desk) -> None:
    ada = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert ada
    room = new_room(desk, ada, "A client's room")
    token = client.make_link(desk, ada, room)
    sent = client.add_client_photo(desk, token, (SAMPLES / "floor_led.jpg").read_bytes(), "floor.jpg")
    visit, cookie = opened(server, token)
    address = f"{server.address}/client-pictures/{visit}"
    assert ask(f"{address}/{sent.sha}", Cookie=cookie).status == 200
    assert ask(f"{address}/{sent.sha}").status == 404
    assert token not in server.log()
    assert ask(f"{address}/{photo_of(desk, 'Ben').partition('/')[2]}", Cookie=cookie).status == 404
    assert ask(f"{server.address}/client-pictures/{'0' * 32}/{sent.sha}", Cookie=cookie).status == 404
    (link,) = client.links(desk, ada, room)
    client.revoke_link(desk, ada, link.id)
    assert ask(f"{address}/{sent.sha}", Cookie=cookie).status == 404


def test_what_was_shared_is_shown_by_the_link_only(server: Server, desk: Desk) -> None:
    ada = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert ada
    room = new_room(desk, ada, "A client's hall")
    token = client.make_link(desk, ada, room)
    share = client.share(desk, ada, room, {"paints": []}, {"after": b"a picture"})
    visit, cookie = opened(server, token)
    address = f"{server.address}/client-shared/{visit}"
    shown = ask(f"{address}/{share}/after", Cookie=cookie)
    assert (shown.status, shown.body) == (200, b"a picture")
    assert "private" in shown.headers["Cache-Control"]
    assert ask(f"{address}/{share}/after").status == 404
    for elsewhere in (f"{share}/before", f"{share + 1}/after", f"{10**30}/after", "x/after"):
        assert ask(f"{address}/{elsewhere}", Cookie=cookie).status == 404
    other = client.make_link(desk, ada, new_room(desk, ada, "Another client's hall"))
    stranger, pass_ = opened(server, other)
    assert ask(f"{server.address}/client-shared/{stranger}/{share}/after", Cookie=pass_).status == 404
    # The consultant's picture of the room in other paints is nobody else's.
    assert ask(f"{server.address}/in-scheme/{room}?walls=demo-1", Cookie=cookie).status == 404
    client.revoke_link(desk, ada, client.links(desk, ada, room)[0].id)
    assert ask(f"{address}/{share}/after", Cookie=cookie).status == 404
    assert token not in server.log()


def opened(server: Server, token: str) -> tuple[str, str]:
    """Open a private link; return what it is called from then on, and the cookie."""
    answer = ask(f"{server.address}/client?link={token}")
    assert answer.status == 303
    assert token not in answer.headers["Location"]
    found = re.fullmatch(r"/client\?visit=([0-9a-f]{32})", answer.headers["Location"])
    assert found
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "samesite=lax" in cookie.lower()
    return found[1], cookie.partition(";")[0]


def test_what_is_served_carries_no_tags_of_the_camera(server: Server, desk: Desk) -> None:
    """EXIF 2.32: tags stand in an APP1 segment that starts with "Exif"."""
    ada = session(server, "Ada")
    data = ask(f"{server.address}/pictures/{photo_of(desk, 'Ada')}", cookie=ada).body
    assert data.startswith(b"\xff\xd8")
    assert b"Exif" not in data
    assert b"http://ns.adobe.com" not in data


def test_before_the_first_account_only_this_machine_is_answered_by_its_own_name(
    tmp_path: Path, furnished_once: Path
) -> None:
    """A page elsewhere that points its name at 127.0.0.1 must get nothing."""
    with serve_givens(copy_of(furnished_once, tmp_path / "data")) as open_server:
        desk = beside(open_server)
        room = load_room(desk, local_user(desk), list_rooms(desk, local_user(desk))[0].id)
        address = f"{open_server.address}/pictures/{room.id}/{room.photos[0].sha}"
        assert ask(address).status == 200
        assert ask(address, Host="evil.example").status == 404
