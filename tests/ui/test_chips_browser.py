"""A strip of paint chips beside the cards, from outline to comparison, as a consultant does it in a browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, load_room, new_room, save_document
from tests.service.chips_photo import SIZE, STRIP, STRIP_CODES, chips_jpeg, marked_entry, put_moved_in_use
from tests.ui.consultant.hands import draw, until
from tests.ui.givens_server import Server, beside
from tests.ui.pictures import take_picture
from ui import words
from ui.marking.words import WORDS

FIELDS = WORDS["fields"]


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    return beside(server)


@pytest.fixture
def room(desk: Desk) -> str:
    """A room with one photo, its cards and its worktop marked."""
    user = local_user(desk)
    room = new_room(desk, user, "Chips on a worktop")
    add_photo(desk, room, chips_jpeg(), "worktop.jpg", by="consultant")
    stored = load_room(desk, user, room)
    document = {**stored.document, "photos": [marked_entry("worktop.jpg")]}
    save_document(desk, user, room, document, revision=stored.revision)
    return room


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(20_000)
    broken: list[str] = []
    context.on("console", lambda message: broken.append(message.text) if "Security Policy" in message.text else None)
    page = context.new_page()
    page.on("pageerror", lambda error: broken.append(str(error)))
    yield page
    context.close()
    assert broken == []


def chips(desk: Desk, room: str) -> list[dict[str, Any]]:
    (photo,) = load_room(desk, local_user(desk), room).document["photos"]
    return [each for each in photo["references"] if each["kind"] == "paint chip"]


def paints(desk: Desk, room: str) -> list[str | None]:
    return [each.get("paint") for each in chips(desk, room)]


def picker(page: Page, label: str) -> Locator:
    return page.get_by_role("combobox", name=label, exact=True)


def test_a_strip_is_outlined_split_named_and_compared(server: Server, desk: Desk, room: str, page: Page) -> None:
    page.goto(f"{server.address}/mark?room={room}")
    draw(page, STRIP, SIZE)
    page.get_by_label(FIELDS["kind"]).select_option("card")
    page.get_by_label(FIELDS["reference"], exact=True).select_option("paint chip")
    page.get_by_label(FIELDS["on"]).select_option("worktop")
    until(lambda: paints(desk, room) == [None])
    expect(page.get_by_text("a paint chip has no paint yet and is left out")).to_be_visible()

    page.get_by_role("button", name=WORDS["strip"]).click()
    first = picker(page, WORDS["strip_chip"].format(number=1))
    first.click()
    page.keyboard.type("DEMO-76", delay=20)
    options = page.locator(".found [role=option]:visible")
    expect(options).to_have_count(1)
    page.keyboard.press("Enter")
    expect(first).to_have_value(re.compile(r"^demo-76 +Tugord$"))
    for number in (2, 3, 4):
        # What follows in the deck is offered first.
        picker(page, WORDS["strip_chip"].format(number=number)).focus()
        page.keyboard.press("ArrowDown")
        expect(options.first).to_have_attribute("aria-selected", "true")
        page.keyboard.press("Enter")
    take_picture(page, "laptop-chips-strip")
    page.get_by_role("button", name=WORDS["strip_split"].format(count=5)).click()
    until(lambda: paints(desk, room) == [*STRIP_CODES[:4], None])

    # The one left is chosen already; its name will do as well as its code.
    last = picker(page, FIELDS["paint"])
    last.click()
    page.keyboard.type("milv", delay=20)
    expect(options).to_have_count(1)
    expect(options).to_contain_text("Milvand")
    last.fill("demo-8")
    expect(options).to_have_count(11)  # demo-8 and demo-80 to demo-89
    take_picture(page, "laptop-chips-list")
    options.filter(has_text="demo-80").click()
    until(lambda: paints(desk, room) == list(STRIP_CODES))
    surface = page.locator(".g-surface").first
    expect(surface).to_contain_text("Of the chips lying here demo-79 comes nearest; beside it this is ")
    expect(surface).to_contain_text("greener")
    for width in (390, 1024):
        page.set_viewport_size({"width": width, "height": 900})
        take_picture(page, f"chips-{width}")
        assert page.evaluate("document.documentElement.scrollWidth") <= width

    marked = load_room(desk, local_user(desk), room).document

    # A chip that is not the paint it is said to be is named, with what to do.
    last.fill("demo-76")
    last.press("Tab")
    page.get_by_text(words.DOUBTS, exact=True).click()
    expect(page.get_by_text(re.compile("demo-76: (this chip does|these chips)"))).to_be_visible()
    undo = page.get_by_role("button", name=WORDS["undo"], exact=True)
    for expected in (list(STRIP_CODES), [*STRIP_CODES[:4], None], [None]):
        undo.click()
        until(lambda expected=expected: paints(desk, room) == expected)  # type: ignore[misc]
    assert len(chips(desk, room)[0]["outline"]) == 4
    of_another_edition(server, desk, room, page, marked)


def of_another_edition(server: Server, desk: Desk, room: str, page: Page, marked: dict[str, Any]) -> None:
    """The codes are other colours in a new edition: these chips are of the old one, unless somebody says otherwise."""
    user = local_user(desk)
    save_document(desk, user, room, marked, revision=load_room(desk, user, room).revision)
    put_moved_in_use(desk)
    page.goto(f"{server.address}/mark?room={room}")
    codes = "demo-76, demo-77, demo-78, demo-79 and demo-80"
    said = page.get_by_text(re.compile(f"{codes} were measured with the colours of another edition"))
    expect(said).to_be_visible()
    for width in (390, 1440):
        page.set_viewport_size({"width": width, "height": 900})
        said.scroll_into_view_if_needed()
        take_picture(page, f"chips-of-another-edition-{width}")
    page.get_by_role("button", name=words.CHIPS_IN_USE).click()
    expect(page.get_by_role("status").filter(has_text=words.CHIPS_IN_USE_DONE)).to_be_visible()
    expect(said).to_have_count(0)
    assert all("lab" in chip for chip in chips(desk, room))
    take_picture(page, "chips-of-the-deck-in-use")
    page.get_by_role("button", name=words.CHIPS_AS_BEFORE).click()
    expect(said).to_be_visible()
    assert not any("lab" in chip for chip in chips(desk, room))
