"""What a consultant does with the app, as tests do it: sign in, go from step to step, draw, and count the actions."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
from playwright.sync_api import Locator, Page, expect

from matcher.service.desk import Desk, list_rooms, load_room
from matcher.service.records import StoredRoom, User
from tests.ui.browser import send_file
from tests.ui.givens_server import Server
from ui import words
from ui.marking.words import WORDS

SAMPLES = Path(__file__).parents[3] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"


def sign_in(page: Page, server: Server) -> None:
    page.goto(f"{server.address}/sign-in")
    page.get_by_label(words.WHO).fill("Ada")
    page.get_by_label(words.PASSPHRASE).fill(PHRASE)
    page.get_by_role("button", name=words.SIGN_IN).click()
    expect(page.get_by_role("heading", name=words.ROOMS)).to_be_visible()


def room_called(desk: Desk, user: User, name: str) -> StoredRoom:
    summary = next(room for room in list_rooms(desk, user) if room.name == name)
    return load_room(desk, user, summary.id)


def step(page: Page, name: str) -> None:
    page.get_by_role("link", name=words.STEPS[name], exact=True).click()
    expect(page).to_have_url(re.compile(rf"/{name}\?"))


def read_code(image: Locator) -> str:
    """Return what the QR code in an image says."""
    pixels = np.frombuffer(image.screenshot(scale="css"), np.uint8)
    found, _, _ = cv2.QRCodeDetector().detectAndDecode(cv2.imdecode(pixels, cv2.IMREAD_GRAYSCALE))
    return str(found)


def stage_of(page: Page) -> Locator:
    stage = page.locator(".stage")
    expect(stage).to_be_visible()
    expect(page.locator(".veil")).to_be_hidden()
    return stage


def on_stage(stage: Locator, point: tuple[float, float], size: tuple[int, int]) -> tuple[float, float]:
    """Where a photo pixel is on the page while the whole photo is shown."""
    box = stage.bounding_box()
    assert box
    scale = min(box["width"] / size[0], box["height"] / size[1])
    left = box["x"] + (box["width"] - size[0] * scale) / 2
    top = box["y"] + (box["height"] - size[1] * scale) / 2
    return left + point[0] * scale, top + point[1] * scale


def draw(page: Page, points: list[tuple[float, float]], size: tuple[int, int]) -> None:
    stage = stage_of(page)
    stage.scroll_into_view_if_needed()
    page.get_by_role("button", name=WORDS["tools"]["outline"], exact=True).click()
    for point in [*points, points[0]]:
        page.mouse.click(*on_stage(stage, point, size))


def lies_on(room: StoredRoom) -> set[str]:
    return {reference.get("on", "") for entry in room.document["photos"] for reference in entry.get("references", ())}


def until(holds: Callable[[], bool], seconds: float = 10) -> None:
    """Wait for what is saved behind the screen's back."""
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline, "it was not saved"
        time.sleep(0.05)


def middle(target: Locator) -> tuple[float, float]:
    box = target.bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


class Hand:
    """A mouse that counts what it does: a press, a drag, a choice in a list, a text typed, a file chosen."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    def press(self, target: Locator) -> None:
        self.actions += 1
        target.click()

    def choose(self, label: str, value: str) -> None:
        self.actions += 1
        self.page.locator(".marking").get_by_label(label, exact=True).select_option(value)

    def type(self, label: str, text: str) -> None:
        self.actions += 1
        self.page.get_by_label(label).fill(text)

    def step(self, name: str) -> None:
        self.actions += 1
        step(self.page, name)

    def send(self, path: Path) -> None:
        self.actions += 1
        send_file(self.page, path)

    def stroke(self, size: tuple[int, int], *points: tuple[float, float]) -> None:
        self.actions += 1
        stage = stage_of(self.page)
        self.page.mouse.move(*on_stage(stage, points[0], size))
        self.page.mouse.down()
        for point in points[1:]:
            self.page.mouse.move(*on_stage(stage, point, size), steps=8)
        self.page.mouse.up()
