"""The consultant at work in a room: it is marked, repainted, changed by two at once, gone through by keyboard alone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from matcher.service.desk import Desk
from matcher.service.records import User
from tests.ui.browser import send_file
from tests.ui.consultant.hands import PHRASE, SAMPLES, draw, lies_on, room_called, sign_in, stage_of, step, until
from tests.ui.givens_server import Server
from tests.ui.pictures import take_picture
from ui import words
from ui.marking.words import WORDS

WIDE = {"width": 1800, "height": 1100}
# Floor boards of the close-up floor_day.jpg (900 x 1200 pixels) around the three cards that lie on them.
BOARDS = [(150.0, 540.0), (760.0, 540.0), (820.0, 900.0), (120.0, 900.0)]


def test_a_photo_marked_and_the_page_loaded_anew(server: Server, desk: Desk, ada: User, page: Page) -> None:
    sign_in(page, server)
    page.get_by_role("button", name=words.NEW_ROOM).click()
    page.get_by_role("button", name=words.NEW_ROOM_BEGIN).click()
    expect(page.get_by_text(words.NEW_ROOM_NAMELESS)).to_be_visible()
    page.get_by_label(words.NEW_ROOM_NAME).fill("Back kitchen")
    page.get_by_role("button", name=words.NEW_ROOM_BEGIN).click()
    expect(page.get_by_role("heading", name=words.BRIEF_TITLE)).to_be_visible()
    take_picture(page, "laptop-brief")

    step(page, "photos")
    expect(page.get_by_text(words.NO_PHOTOS)).to_be_visible()
    send_file(page, SAMPLES / "floor_day.jpg")
    expect(page.get_by_role("img", name="floor_day.jpg")).to_be_visible()
    take_picture(page, "laptop-photos")

    step(page, "mark")
    stage_of(page)
    # Nobody takes cards for something that they were not said to lie on.
    page.get_by_role("button", name=WORDS["set_yes"]).click()
    expect(page.get_by_text(WORDS["say_on_first"])).to_be_visible()
    page.get_by_label(WORDS["set_on"]).select_option("floor")
    page.get_by_role("button", name=WORDS["set_yes"]).click()
    expect(page.get_by_role("button", name=WORDS["set_yes"])).to_be_hidden()
    draw(page, BOARDS, (900, 1200))
    # Outlined around cards that lie on the floor it is the floor.
    expect(page.get_by_label(WORDS["fields"]["name"], exact=True)).to_have_value("floor")
    page.locator(".form").get_by_label(WORDS["fields"]["material"]).select_option("timber")
    colours = page.locator(".g-surface")
    expect(colours).to_have_count(1)
    expect(colours).to_contain_text("Floor (timber)")
    expect(colours).to_contain_text("LRV")
    until(lambda: "floor" in lies_on(room_called(desk, ada, "Back kitchen")))

    # A reload in the middle loses nothing.
    page.reload()
    expect(page.locator(".g-surface")).to_contain_text("Floor (timber)")
    stage_of(page)
    room = room_called(desk, ada, "Back kitchen")
    (entry,) = room.document["photos"]
    assert [surface["name"] for surface in entry["surfaces"]] == ["floor"]
    assert {reference["kind"] for reference in entry["references"]} == {"white card", "grey card", "black card"}
    assert lies_on(room) == {"floor"}
    take_picture(page, "laptop-mark")

    # Nothing is outlined to be painted: the wall says so, and leads there.
    step(page, "wall")
    expect(page.get_by_text(words.WALL_NOTHING[1])).to_be_visible()

    # A paint of the scheme looked at closely, another by a few letters, one of its neighbours, and back.
    step(page, "scheme")
    page.locator(".st-key-scheme-paints a").first.click()
    expect(page.locator(".p-pairs figure")).to_have_count(3)
    page.get_by_role("button", name=words.PAINT_OTHER).click()
    page.get_by_label(words.PAINT_SEARCH).fill("demo-211")
    page.get_by_role("link", name="demo-211").click()
    expect(page.get_by_role("heading", name="A mid grey that turns violet or mauve.")).to_be_visible()
    expect(page.locator(".l-strips")).to_be_visible()
    take_picture(page, "laptop-paint")
    neighbour = page.locator("[class*='st-key-neighbour-'] a").first
    name = neighbour.inner_text().split()[0]
    neighbour.click()
    expect(page.locator(".p-swatches[role=img]").first).to_have_attribute("aria-label", re.compile(f"^{name}, "))
    page.get_by_role("link", name=words.PAINT_BACK["scheme"]).click()
    expect(page.get_by_role("heading", name=words.STEPS["scheme"], exact=True)).to_be_visible()


def test_the_marked_room_repainted(server: Server, desk: Desk, page: Page) -> None:
    sign_in(page, server)
    page.get_by_role("link", name="Hazel Close kitchen").click()
    step(page, "wall")
    after = page.locator("img.after")
    # No card lay on the walls, and nobody asked for the cabinets: the room as it is, and a way on for each role.
    expect(page.get_by_text(words.WALL_UNMEASURED)).to_be_visible()
    expect(page.get_by_role("link", name=words.WALL_MEASURE)).to_be_visible()
    expect(page.get_by_role("link", name=words.WALL_OUTLINE)).to_be_visible()
    expect(after).to_be_hidden()
    take_picture(page, "laptop-wall-unmeasured")
    page.get_by_text(words.WALL_GUESS, exact=True).click()
    expect(after).to_be_visible()
    expect(page.get_by_text(words.WALL_GUESSED, exact=True)).to_be_visible()
    address = after.get_attribute("src")
    assert address
    take_picture(page, "laptop-wall-guess")
    page.get_by_text(words.WALL_SHOW, exact=True).nth(1).click()
    expect(after).not_to_have_attribute("src", address)
    expect(after).to_have_attribute("src", re.compile("role=walls.*role=cabinets.*guess=walls"))
    assert after.evaluate("async image => { await image.decode(); return image.naturalWidth }") > 300
    slider = page.get_by_label(words.WALL_SLIDER)
    slider.focus()
    before = after.evaluate("image => getComputedStyle(image).clipPath")
    page.keyboard.press("ArrowRight")
    assert after.evaluate("image => getComputedStyle(image).clipPath") != before
    take_picture(page, "laptop-wall")
    # The three views do what the drag does.
    page.get_by_role("radio", name=words.WALL_AFTER, exact=True).click()
    expect(page.get_by_text(words.WALL_BEFORE, exact=True).last).to_be_hidden()
    assert after.evaluate("image => getComputedStyle(image).clipPath") == "none"
    page.get_by_role("radio", name=words.WALL_BEFORE, exact=True).click()
    expect(after).to_be_hidden()
    page.set_viewport_size(WIDE)
    take_picture(page, "wide-wall")
    with page.expect_download() as saved:
        page.get_by_role("link", name=words.WALL_SAVE).click()
    assert saved.value.suggested_filename == "Hazel Close kitchen.jpg"


def test_the_later_of_two_is_refused_shown_and_can_be_kept(
    server: Server, desk: Desk, ada: User, context: BrowserContext
) -> None:
    first, second = context.new_page(), context.new_page()
    sign_in(first, server)
    kitchen = room_called(desk, ada, "Hazel Close kitchen")
    address = f"{server.address}/mark?room={kitchen.id}&photo=tile_day.jpg"
    rug = [(40.0, 40.0), (160.0, 40.0), (160.0, 120.0), (40.0, 120.0)]
    for page in (first, second):
        page.goto(address)
        stage_of(page)
        expect(page.locator(".g-surface")).to_have_count(4)
    draw(first, rug, (1200, 900))
    expect(first.locator(".g-surface")).to_have_count(5)
    saved = room_called(desk, ada, "Hazel Close kitchen").document
    draw(second, [(x + 300, y) for x, y in rug], (1200, 900))
    expect(second.get_by_text(words.CONFLICT)).to_be_visible()
    assert room_called(desk, ada, "Hazel Close kitchen").document == saved
    take_picture(second, "laptop-mark-conflict")
    second.get_by_role("button", name=words.CONFLICT_MINE).click()
    expect(second.get_by_text(words.CONFLICT)).to_have_count(0)
    outlines = next(
        entry for entry in room_called(desk, ada, "Hazel Close kitchen").document["photos"]
        if entry["file"] == "tile_day.jpg"
    )["surfaces"]  # fmt: skip
    xs = [x for surface in outlines for outline in surface["outlines"] for x, _ in outline]
    assert any(330 <= x <= 350 for x in xs)


def tab_to(page: Page, target: Locator) -> None:
    """Press Tab until ``target`` has the focus, as a person without a mouse would."""
    for _ in range(120):
        if target.count() and target.first.evaluate("e => e === e.getRootNode().activeElement"):
            return
        page.keyboard.press("Tab")
    pytest.fail(f"Tab does not reach {target}")


def test_with_the_keyboard_alone(server: Server, desk: Desk, ada: User, page: Page) -> None:
    """WCAG 2.2, 2.1.1 Keyboard: sign in, open, mark, choose and share without a pointer."""
    page.goto(f"{server.address}/sign-in")
    tab_to(page, page.get_by_label(words.WHO))
    page.keyboard.type("Ada")
    page.keyboard.press("Tab")
    page.keyboard.type(PHRASE)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name=words.ROOMS)).to_be_visible()
    tab_to(page, page.get_by_role("link", name="Hazel Close kitchen"))
    page.keyboard.press("Enter")
    stage = stage_of(page)
    document = room_called(desk, ada, "Hazel Close kitchen").document
    entries = [*document["surfaces"], *(one for photo in document["photos"] for one in photo["surfaces"])]
    before = len({entry["name"] for entry in entries})
    expect(page.locator(".g-surface")).to_have_count(before)
    tab_to(page, page.get_by_role("button", name=WORDS["tools"]["outline"], exact=True))
    page.keyboard.press("Enter")
    tab_to(page, stage)
    page.keyboard.press("ArrowRight")
    for keys in ([], ["Shift+ArrowRight"], ["Shift+ArrowDown"], ["Shift+ArrowLeft"]):
        for key in keys:
            page.keyboard.press(key)
        page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    expect(page.locator(".g-surface")).to_have_count(before + 1)
    tab_to(page, page.get_by_role("link", name=words.STEPS["shortlist"], exact=True))
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name=words.PIN, exact=True).first).to_be_visible()
    tab_to(page, page.get_by_role("button", name=words.PIN, exact=True))
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name=words.UNPIN, exact=True).first).to_be_visible()
    tab_to(page, page.get_by_role("link", name=words.STEPS["scheme"], exact=True))
    page.keyboard.press("Enter")
    tab_to(page, page.get_by_label(words.REMARK))
    page.keyboard.type("Without a mouse.")
    tab_to(page, page.get_by_role("button", name=words.SHARE_WITH_LINK))
    page.keyboard.press("Enter")
    expect(page.get_by_text(words.SHARED).first).to_be_visible()
    shared = room_called(desk, ada, "Hazel Close kitchen").shared
    assert shared
    assert shared["remark"] == "Without a mouse."
