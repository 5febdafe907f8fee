"""A web server in front, by the configuration that DEVELOPERS.md gives, and what is believed of who is asking."""

from __future__ import annotations

import re
import ssl
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from playwright.sync_api import Browser, expect

from matcher.service import access, client
from matcher.service.access import local_user
from matcher.service.desk import list_rooms, new_room
from tests.first_start import copy_of
from tests.ui.browser import free_port, send_file
from tests.ui.givens_server import Server, beside, serve_givens
from tests.ui.nginx import NAME, certificate, need_nginx, nginx, replaced
from tests.ui.test_guarded import PHRASE, ask
from ui import words

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_photos" / "kitchen"


class Front(NamedTuple):
    """The web server's ``address``, the app behind it, and the log of what was asked for."""

    address: str
    server: Server
    log: Path


@pytest.fixture(scope="module")
def front(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Iterator[Front]:
    """nginx with TLS before the app, as DEVELOPERS.md writes it but for ports, paths and the certificate."""
    need_nginx()
    folder = tmp_path_factory.mktemp("front")
    port = free_port()
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (site,) = re.findall(r"```nginx\n(.*?)```", text, flags=re.DOTALL)
    (settings,) = [block for block in re.findall(r"```toml\n(.*?)```", text, flags=re.DOTALL) if "proxies" in block]
    (folder / "givens.toml").write_text(settings, encoding="utf-8")
    with serve_givens(copy_of(furnished_once, folder / "data")) as server:
        desk = beside(server)
        access.add_user(desk, "Ada", PHRASE)
        behind = server.address.rpartition(":")[2]
        changes = {
            "listen 443 ssl": f"listen 127.0.0.1:{port} ssl",
            "127.0.0.1:8520": f"127.0.0.1:{behind}",
            "/var/log/nginx/givens.log": str(folder / "asked.log"),
            **certificate(folder),
        }
        with nginx(folder, replaced(site, changes), port):
            yield Front(f"https://{NAME}:{port}", server, folder / "asked.log")


def test_the_whole_way_through_a_web_server_in_front(front: Front, chromium: Browser) -> None:
    """Signing in, a page by its socket, a file sent, a private link; its token in no log."""
    context = chromium.new_context(ignore_https_errors=True, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto(front.address)
    page.get_by_label(words.WHO).fill("Ada")
    page.get_by_label(words.PASSPHRASE).fill(PHRASE)
    page.get_by_role("button", name=words.SIGN_IN).click()
    expect(page.get_by_role("link", name="Hazel Close kitchen")).to_be_visible()
    cookies = {cookie["name"]: cookie for cookie in context.cookies()}
    assert cookies["givens-session"]["secure"]
    desk = beside(front.server)
    ada = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert ada
    token = client.make_link(desk, ada, new_room(desk, ada, "Hall"))
    outside = chromium.new_context(ignore_https_errors=True, viewport={"width": 390, "height": 844})
    phone = outside.new_page()
    phone.goto(f"{front.address}/client?link={token}")
    expect(phone.get_by_role("heading", name=words.CLIENT_TITLE)).to_be_visible()
    send_file(phone, SAMPLES / "floor_led.jpg")
    expect(phone.get_by_role("img", name="floor_led.jpg")).to_be_attached()
    context.close()
    outside.close()
    asked = front.log.read_text()
    assert "GET /client" in asked
    assert token not in asked
    assert token not in front.server.log()


def test_the_address_that_a_trusted_proxy_gives_counts_and_what_was_there_before_does_not(front: Front) -> None:
    """The client writes what it likes into X-Forwarded-For; the web server overwrites it."""
    wrong = {"name": "Bo", "passphrase": "six blue doors"}
    said = [_post(front, wrong, f"203.0.113.{turn}") for turn in range(12)]
    assert any("Wait" in one for one in said)


def _post(front: Front, form: dict[str, str], claimed: str) -> str:
    trusting = ssl.create_default_context()
    trusting.check_hostname, trusting.verify_mode = False, ssl.CERT_NONE
    port = front.address.rpartition(":")[2]
    request = urllib.request.Request(
        f"https://127.0.0.1:{port}/sign-in",
        urllib.parse.urlencode(form).encode(),
        {"Host": f"{NAME}:{port}", "Origin": front.address, "X-Forwarded-For": claimed},
    )
    try:
        with urllib.request.urlopen(request, context=trusting, timeout=30) as answer:
            return str(answer.read().decode())
    except urllib.error.HTTPError as error:
        with error:
            return str(error.read().decode())


def test_without_a_trusted_proxy_no_header_says_who_is_asking(tmp_path: Path, furnished_once: Path) -> None:
    with serve_givens(copy_of(furnished_once, tmp_path / "data")) as server:
        desk = beside(server)
        assert list_rooms(desk, local_user(desk))
        access.add_user(desk, "Ada", PHRASE)
        access.add_user(desk, "Bo", PHRASE)

        def signing_in(name: str, phrase: str, turn: int) -> tuple[int, str]:
            answer = ask(
                f"{server.address}/sign-in",
                form={"name": name, "passphrase": phrase},
                Origin=server.address,
                **{"X-Forwarded-For": f"203.0.113.{turn}"},
            )
            return answer.status, answer.body.decode()

        said = [signing_in("Ada", "six blue doors", turn)[1] for turn in range(12)]
        assert sum("do not go together" in one for one in said) == 8
        assert sum("Wait" in one for one in said) == 4
        # Nobody else is shut out, and neither is whoever it was, a moment later.
        assert signing_in("Bo", PHRASE, 99)[0] == 303
        time.sleep(2)
        assert signing_in("Ada", PHRASE, 99)[0] == 303
