"""The address that clients are sent: what it is, how far it reaches, and a code that a phone reads."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import cv2
import numpy as np
import pytest
import segno

from matcher.service import public_address
from matcher.service.desk import Desk, open_desk
from matcher.service.public_address import ANSWERING, base_of, is_this_machine, reach_of
from matcher.service.qr_code import qr_svg
from matcher.settings import Settings

HERE = "https://colour.example/scheme?room=1"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return open_desk(Settings(folder=tmp_path_factory.mktemp("desk") / "data"))


def with_public(desk: Desk, address: str) -> Desk:
    return Desk(desk.settings.model_copy(update={"public_url": address}), desk.store)


@contextmanager
def answering(*, ours: bool) -> Iterator[tuple[str, list[str]]]:
    """A web server, and what it was asked for."""
    asked: list[str] = []

    class Answers(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(404)
            if ours:
                self.send_header(ANSWERING, "closed")
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Answers)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    server.server_close()
    thread.join()


def test_links_begin_with_the_setting_or_with_the_page_that_is_open(desk: Desk) -> None:
    assert base_of(desk, HERE) == "https://colour.example"
    assert base_of(with_public(desk, "https://paint.example"), HERE) == "https://paint.example"


@pytest.mark.parametrize(
    ("address", "here"),
    [
        # RFC 6890 and RFC 6761: loopback addresses, and names that always mean this machine.
        ("http://127.0.0.1:8520", True), ("http://127.8.8.8", True), ("http://[::1]:8520", True),
        ("http://localhost:8520", True), ("http://givens.localhost", True), ("http://0.0.0.0:8520", True),
        ("http://192.168.1.20:8520", False), ("https://colour.example", False), ("http://mylocalhost.example", False),
    ],
)  # fmt: skip
def test_an_address_of_this_machine_is_known(address: str, here: bool) -> None:
    assert is_this_machine(address) == here


def test_an_address_is_tried(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    assert reach_of(desk, "http://localhost:8520/scheme", probe="/x") == "here"
    assert reach_of(desk, HERE, probe="/x") == "in use"
    assert reach_of(with_public(desk, "http://localhost:1"), HERE, probe="/x") == "here"
    # What answers here stands for a web server elsewhere.
    monkeypatch.setattr(public_address, "is_this_machine", lambda address: False)
    with answering(ours=True) as (address, asked):
        assert reach_of(with_public(desk, address), HERE, probe="/client?link=none") == "answers"
        assert asked == ["/client?link=none"]
    assert reach_of(with_public(desk, address), HERE, probe="/x") == "silent"
    with answering(ours=False) as (address, _):
        assert reach_of(with_public(desk, address), HERE, probe="/x") == "another"


def test_the_code_says_the_address() -> None:
    """Read back by OpenCV's reader of QR codes, a program of its own."""
    address = "https://colour.example/client?link=" + "aB3_-" * 8 + "xyz"
    code = qr_svg(address)
    assert code.startswith("<svg")
    # The same matrix as pixels, eight to a module.
    matrix = np.array([list(row) for row in segno.make_qr(address, error="m").matrix_iter(scale=8, border=4)])
    found, _, _ = cv2.QRCodeDetector().detectAndDecode(np.where(matrix, 0, 255).astype(np.uint8))
    assert found == address
