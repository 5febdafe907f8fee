"""Files chosen in a browser: sent one after the other, dropped, refused in words, or handed to the page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room
from tests.ui.browser import send_file
from tests.ui.givens_server import Server, beside
from tests.ui.pictures import take_picture
from ui import words

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
# L* of Y = 18 is 49.496 (CIE 015:2018, eq. 8.3).
SPECTRUM = "\n".join(f"{nm}\t0.18" for nm in range(400, 701, 10))


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    return beside(server)


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 1440, "height": 900})
    yield context.new_page()
    context.close()


def photos(desk: Desk, room: str) -> list[str]:
    return [photo.name for photo in load_room(desk, local_user(desk), room).photos]


def test_several_at_once_those_that_are_none_told(server: Server, desk: Desk, sample_room: str, page: Page) -> None:
    before = photos(desk, sample_room)
    page.goto(f"{server.address}/photos?room={sample_room}")
    chooser = page.locator("input[type=file]")
    expect(chooser).to_have_count(1)
    chooser.set_input_files([SAMPLES / "floor_led.jpg", Path(__file__), SAMPLES / "tile_led.jpg"])
    expect(page.get_by_role("alert")).to_contain_text("test_choosing_browser.py: is not a photo")
    expect(page.get_by_role("img", name="tile_led.jpg")).to_be_attached()
    take_picture(page, "laptop-photos-sent")
    assert photos(desk, sample_room) == [*before, "floor_led.jpg", "tile_led.jpg"]


def test_a_file_larger_than_is_taken_is_not_sent(server: Server, sample_room: str, page: Page, tmp_path: Path) -> None:
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.truncate(41_000_000)
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)
    page.goto(f"{server.address}/photos?room={sample_room}")
    send_file(page, large)
    expect(page.get_by_role("alert")).to_contain_text("large.jpg is larger than 40 MB")
    assert sent == []


def test_a_file_dropped_is_sent(server: Server, desk: Desk, sample_room: str, page: Page) -> None:
    page.goto(f"{server.address}/photos?room={sample_room}")
    expect(page.locator("input[type=file]")).to_have_count(1)
    data = (SAMPLES / "worktop_led.jpg").read_bytes()
    held = page.evaluate_handle(
        """bytes => {
          const held = new DataTransfer();
          held.items.add(new File([new Uint8Array(bytes)], "dropped.jpg", { type: "image/jpeg" }));
          return held;
        }""",
        list(data),
    )
    page.locator(".place").dispatch_event("drop", {"dataTransfer": held})
    expect(page.get_by_role("img", name="dropped.jpg")).to_be_attached()
    assert "dropped.jpg" in photos(desk, sample_room)


def test_a_file_chosen_before_the_chooser_listens_is_sent(server: Server, sample_room: str, page: Page) -> None:
    """What a page shows stands there a moment before its script does: longer on a busy machine or a slow phone."""
    page.add_init_script(
        """const attach = Element.prototype.attachShadow;
        Element.prototype.attachShadow = function (given) {
          const root = attach.call(this, given);
          new MutationObserver(() => {
            const input = root.querySelector("input[type=file]");
            if (!input || input.onchange || window.early) return;
            window.early = new DataTransfer();
            window.early.items.add(new File(["none"], "early.jpg", { type: "image/jpeg" }));
            input.files = window.early.files;
            input.dispatchEvent(new Event("change", { bubbles: true }));
          }).observe(root, { childList: true, subtree: true });
          return root;
        };"""
    )
    page.goto(f"{server.address}/photos?room={sample_room}")
    expect(page.get_by_role("alert")).to_contain_text("early.jpg: is not a photo")
    assert page.evaluate("window.early !== undefined")


def test_a_reading_in_a_file_is_handed_to_the_page(
    server: Server, sample_room: str, page: Page, tmp_path: Path
) -> None:
    path = tmp_path / "floor.txt"
    path.write_text(SPECTRUM)
    page.goto(f"{server.address}/mark?room={sample_room}")
    page.get_by_text(words.INSTRUMENT_ADD).click()
    send_file(page, path)
    expect(page.get_by_text(words.INSTRUMENT_FILE_CHOSEN.format(name="floor.txt"))).to_be_visible()
    page.get_by_role("button", name=words.INSTRUMENT_READ).click()
    expect(page.get_by_text(words.INSTRUMENT_FOUND.format(49.5, 0.0, 0.0))).to_be_visible()
    take_picture(page, "laptop-reading-in-a-file")
