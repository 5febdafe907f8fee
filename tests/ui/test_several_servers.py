"""Two app servers on one store: what a browser makes of it when the one behind it dies, or the database goes away."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from threading import Timer

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from matcher.service import access, client
from matcher.service.desk import Desk, add_photo, load_room, new_room
from matcher.service.many_rooms import cluster_of
from matcher.service.records import User
from matcher.store.rooms import count_surfaces
from tests.soak.two_servers import let_in
from tests.soak.visitor import Visitor
from tests.store.backends import MUST_RUN, Postgresql, postgresql_server
from tests.ui.browser import free_port, send_file
from tests.ui.consultant.hands import until
from tests.ui.nginx import need_nginx, replaced
from tests.ui.several_servers import PHRASE, Shop, shop
from tests.ui.unit_files import PROGRAMS, confined, need_to_confine, programs, units, wait_for
from ui import words

ROOT = Path(__file__).parents[2]
SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
_SLOW = 150_000  # bytes a second: a phone's line, on which a photo of 200 kB is more than a second on its way


@pytest.fixture(scope="module")
def database() -> Iterator[Postgresql]:
    need_nginx()
    try:
        with postgresql_server() as server:
            yield server
    except OSError as error:
        if MUST_RUN:
            pytest.fail(str(error))
        pytest.skip(str(error))


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory, database: Postgresql) -> Iterator[Shop]:
    with shop(tmp_path_factory.mktemp("shop"), database.address) as opened:
        yield opened


@pytest.fixture(scope="module")
def desk(both: Shop) -> Iterator[Desk]:
    opened = both.desk()
    yield opened
    opened.store.close()


@pytest.fixture(scope="module")
def ada(desk: Desk) -> User:
    user = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert user
    return user


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    context = chromium.new_context(ignore_https_errors=True, viewport={"width": 1280, "height": 900})
    yield context
    context.close()


def test_a_page_goes_on_at_the_other_server_and_where_the_database_is_back(
    both: Shop, database: Postgresql, desk: Desk, ada: User, context: BrowserContext
) -> None:
    """Signed in once; what is changed first after the server behind the page died is saved, and what was typed before
    is still there; what is changed while the database is away is saved when it is back.
    """
    room = new_room(desk, ada, "Hall")
    page = context.new_page()
    page.goto(both.address)
    page.get_by_label(words.WHO).fill("Ada")
    page.get_by_label(words.PASSPHRASE).fill(PHRASE)
    page.get_by_role("button", name=words.SIGN_IN).click()
    expect(page.get_by_role("link", name="Hall")).to_be_visible()
    page.goto(f"{both.address}/brief?room={room}")
    name = page.get_by_label(words.ROOM_NAME, exact=True)
    expect(name).to_have_value("Hall")
    page.get_by_label(words.LATITUDE).fill("51.5")
    both.kill(both.serving())
    _connected_again(page)
    # The first page that this server shows: it knows of no other yet.
    expect(page.get_by_test_id("stSidebarNav")).to_have_count(0)
    name.fill("Hall, north")
    name.press("Enter")
    until(lambda: load_room(desk, ada, room).name == "Hall, north")
    expect(page.get_by_label(words.LATITUDE)).to_have_value("51.5")

    database.stop()
    name.fill("Hall, east")
    name.press("Enter")
    expect(page.get_by_text(words.AWAY).first).to_be_visible()
    other = context.new_page()
    other.goto(f"{both.address}/brief?room={room}")
    expect(other.get_by_text(words.AWAY)).to_be_visible()
    database.start()
    until(lambda: load_room(desk, ada, room).name == "Hall, east")
    page.bring_to_front()
    expect(page.get_by_text(words.AWAY)).to_have_count(0)
    expect(page.get_by_text(words.NOT_SAVED)).to_be_hidden()
    expect(name).to_have_value("Hall, east")
    expect(other.get_by_label(words.ROOM_NAME, exact=True)).to_have_value("Hall, east")


def test_an_outline_drawn_while_the_database_is_away_is_kept_once_it_is_back(
    both: Shop, database: Postgresql, desk: Desk, ada: User
) -> None:
    room = new_room(desk, ada, "Pantry")
    add_photo(desk, room, (SAMPLES / "floor_led.jpg").read_bytes(), "floor.jpg", by="consultant")
    me = Visitor(both.plain)
    me.sign_in("Ada", PHRASE)
    me.page("mark", f"room={room}")
    database.stop()
    Timer(1.0, database.start).start()
    assert me.outline() == 1
    assert count_surfaces(load_room(desk, ada, room).document) == 1
    me.leave()


def test_a_photo_half_sent_when_its_server_dies_is_sent_again_and_kept_once(
    both: Shop, desk: Desk, ada: User, context: BrowserContext
) -> None:
    both.start_again()
    token = client.make_link(desk, ada, new_room(desk, ada, "Kitchen"))
    phone = context.new_page()
    phone.set_viewport_size({"width": 390, "height": 844})
    phone.goto(f"{both.address}/client?link={token}")
    expect(phone.get_by_role("heading", name=words.CLIENT_TITLE)).to_be_visible()
    phone.get_by_label(words.CLIENT_DISLIKES).fill("no pink")
    line = context.new_cdp_session(phone)
    slow = {"offline": False, "latency": 20, "downloadThroughput": -1, "uploadThroughput": _SLOW}
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", slow)
    send_file(phone, SAMPLES / "floor_led.jpg")
    expect(phone.get_by_text(re.compile(r"^[1-9]\d? %$"))).to_be_visible()
    assert not client.client_room(desk, token).photos
    both.kill(both.serving())
    line.send("Network.emulateNetworkConditions", {**slow, "uploadThroughput": -1})
    expect(phone.get_by_role("img", name="floor_led.jpg")).to_be_attached()
    (photo,) = client.client_room(desk, token).photos
    assert desk.store.photos.path(photo.sha, ".jpg").read_bytes() == (SAMPLES / "floor_led.jpg").read_bytes()
    # A form that was half filled in is sent as it stands.
    phone.get_by_role("button", name=words.CLIENT_SEND_BRIEF).click()
    expect(phone.get_by_text(words.CLIENT_BRIEF_SAVED)).to_be_visible()
    assert client.client_room(desk, token).brief == {"dislikes": "no pink"}


def test_the_settings_and_the_unit_of_an_app_server_are_all_that_it_needs(
    tmp_path: Path, database: Postgresql, both: Shop
) -> None:
    """It answers under the protection that the unit asks for, on the database and the photos of the others."""
    need_to_confine()
    (settings,) = re.findall(r"```toml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL)
    port, socket_folder = free_port(), re.sub(".*host=", "", database.address)
    places = {
        "givens@10.0.0.5/givens": "givens@/postgres?host=/srv/database",
        "s3://colour-example/photos": "file:///srv/photos",
    }
    folders = {name: tmp_path / name for name in ("etc", "state")}
    for folder in folders.values():
        folder.mkdir()
    (folders["etc"] / "givens.toml").write_text(replaced(settings, places), encoding="utf-8")
    said = tmp_path / "said"
    with confined(
        units()["givens.service"],
        {"--host 10.0.0.11": f"--host 127.0.0.1 --port {port}", "/etc/givens\n": "/srv/etc\n"},
        said,
        read={PROGRAMS: programs(tmp_path / "bin"), "/srv/etc": folders["etc"], "/srv/database": Path(socket_folder)},
        write={"/var/lib/givens": folders["state"], "/srv/photos": both.photo_folder},
    ) as running:
        answers = wait_for(f"http://localhost:{port}/sign-in", running, said)
    assert words.PASSPHRASE in answers


def test_the_units_of_a_cluster_make_one_that_a_deck_is_updated_on(tmp_path: Path) -> None:
    need_to_confine()
    port, made = free_port(), programs(tmp_path / "bin")
    state = tmp_path / "state"
    state.mkdir()
    address = {"10.0.0.20:8786": f"127.0.0.1:{port}"}
    with (
        confined(
            units()["givens-scheduler.service"],
            {"--host 10.0.0.20 --port 8786": f"--host 127.0.0.1 --port {port}"},
            tmp_path / "scheduler",
            read={PROGRAMS: made},
            write={},
        ),
        confined(
            units()["givens-worker.service"],
            {**address, "10.0.0.21": "127.0.0.1"},
            tmp_path / "worker",
            read={PROGRAMS: made},
            write={"/var/lib/givens-worker": state},
        ),
    ):
        until(lambda: "Registered to" in (tmp_path / "worker").read_text(), 30)
        # It asks every worker for its version, and leaves.
        cluster_of(f"tcp://127.0.0.1:{port}").close()


@pytest.mark.parametrize("name", sorted(units()))
def test_systemd_finds_nothing_wrong_with_a_unit(tmp_path: Path, name: str) -> None:
    if shutil.which("systemd-analyze") is None:
        pytest.skip("no systemd-analyze here")
    made = programs(tmp_path / "bin")
    path = tmp_path / name
    path.write_text(units()[name].replace(PROGRAMS, str(made)), encoding="utf-8")
    done = subprocess.run(["systemd-analyze", "verify", str(path)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_nothing_that_was_told_to_be_kept_is_lost_with_a_server(both: Shop, desk: Desk, ada: User) -> None:
    """A part of ``python -m tests.soak.two_servers``."""
    both.start_again()
    found = let_in(both, desk, 2, 3, again=False)
    assert (found.lost, found.waits.faults) == ([], [])
    assert found.waits.kept
    # A change that was on its way when a server died is saved by the next, which only hears what the field shows.
    room = new_room(desk, ada, "Attic")
    me = Visitor(both.plain)
    me.sign_in("Ada", PHRASE)
    me.page("brief", f"room={room}")
    assert "Saved " in me.change_as_it_dies(words.ROOM_NAME, "Attic, south")
    assert load_room(desk, ada, room).name == "Attic, south"
    me.leave()


def _connected_again(page: Page) -> None:
    """Return when the page has run on another server."""
    app = page.get_by_test_id("stApp")
    expect(app).not_to_have_attribute("data-test-connection-state", "CONNECTED")
    expect(app).to_have_attribute("data-test-connection-state", "CONNECTED")
    expect(app).to_have_attribute("data-test-script-state", "notRunning")
