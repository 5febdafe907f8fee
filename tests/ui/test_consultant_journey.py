"""The consultant's way from signing in to sharing a scheme, in a browser: with the mouse, with the keyboard alone."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from matcher.service import access
from matcher.service.access import local_user
from matcher.service.desk import Desk, delete_room, list_rooms, load_room, new_room
from matcher.service.records import StoredRoom, User
from tests.ui.browser import send_file
from tests.ui.givens_server import Server, beside
from tests.ui.pictures import take_picture
from tests.ui.unread_walls import take_reading_off
from ui import words
from ui.marking.words import WORDS

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"
LAPTOP, WIDE = {"width": 1280, "height": 900}, {"width": 1800, "height": 1100}
# Floor boards of the close-up floor_day.jpg (900 x 1200 pixels) around the three cards that lie on them.
BOARDS = [(150.0, 540.0), (760.0, 540.0), (820.0, 900.0), (120.0, 900.0)]


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    """The store beside the server; Ada has an account and took over the sample kitchen, its wall paint unread."""
    desk = beside(server)
    local_user(desk)
    take_reading_off(desk, access.add_user(desk, "Ada", PHRASE))
    return desk


@pytest.fixture(scope="module")
def ada(desk: Desk) -> User:
    user = access.user_of(desk, access.sign_in(desk, "Ada", PHRASE, address="test"))
    assert user
    return user


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    context = chromium.new_context(viewport=LAPTOP, permissions=["clipboard-read", "clipboard-write"])
    context.set_default_timeout(30_000)
    # A browser tells every rule of the content security policy that a page runs into.
    broken: list[str] = []
    context.on("console", lambda message: broken.append(message.text) if "Security Policy" in message.text else None)
    yield context
    context.close()
    assert broken == []


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


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


def test_a_wrong_passphrase_is_told_and_opens_nothing(server: Server, desk: Desk, page: Page) -> None:
    page.goto(server.address)
    expect(page.get_by_role("heading", name=words.SIGN_IN)).to_be_visible()
    page.get_by_label(words.WHO).fill("Ada")
    page.get_by_label(words.PASSPHRASE).fill("six blue doors")
    page.get_by_role("button", name=words.SIGN_IN).click()
    expect(page.get_by_role("alert")).to_contain_text("do not go together")
    take_picture(page, "laptop-sign-in-wrong")
    page.goto(server.address)
    expect(page.get_by_role("heading", name=words.SIGN_IN)).to_be_visible()
    expect(page.get_by_role("heading", name=words.ROOMS)).to_have_count(0)


def test_from_an_empty_room_to_a_shared_scheme(server: Server, desk: Desk, ada: User, page: Page) -> None:
    sign_in(page, server)
    take_picture(page, "laptop-rooms")
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

    step(page, "shortlist")
    expect(page.get_by_role("button", name=words.PIN, exact=True).first).to_be_visible()
    take_picture(page, "laptop-shortlist")
    page.get_by_role("button", name=words.PIN, exact=True).first.click()
    expect(page.get_by_role("button", name=words.UNPIN, exact=True).first).to_be_visible()
    boxes = page.get_by_text(words.COMPARE, exact=True)
    for place in range(2):
        boxes.nth(place).click()
        # A second press while the page is drawn anew would be lost.
        title = words.COMPARE_TITLE.format(count=place + 1, most=4)
        expect(page.get_by_role("button", name=title, exact=True)).to_be_visible()
        expect(page.locator("[data-stale=true]")).to_have_count(0)
    expect(page.locator(".g-lanes")).to_be_visible()
    take_picture(page, "laptop-compare")

    step(page, "wall")
    expect(page.get_by_text(words.WALL_NOTHING)).to_be_visible()
    step(page, "scheme")
    # A paint of the scheme looked at closely, another by a few letters, and back.
    page.locator(".st-key-scheme-paints a").first.click()
    expect(page.locator(".p-pairs figure")).to_have_count(3)
    page.get_by_role("button", name=words.PAINT_OTHER).click()
    page.get_by_label(words.PAINT_SEARCH).fill("demo-211")
    page.get_by_role("link", name="demo-211").click()
    expect(page.get_by_role("heading", name="A mid grey that turns violet or mauve.")).to_be_visible()
    take_picture(page, "laptop-paint")
    page.get_by_role("link", name=words.PAINT_BACK["scheme"]).click()
    page.get_by_label(words.REMARK).fill("Look at it by the window.")
    page.get_by_role("button", name=words.SHARE_WITH_LINK).click()
    expect(page.get_by_text(words.SHARED).first).to_be_visible()
    shared = room_called(desk, ada, "Back kitchen").shared
    assert shared
    assert shared["remark"] == "Look at it by the window."

    # The link was made on the way: shown, copied, and as a code that a phone reads (OpenCV's reader stands for it).
    expect(page.get_by_text(words.LINK_REACH["here"])).to_be_visible()
    address = page.get_by_role("textbox", name=words.LINK_ADDRESS).input_value()
    page.get_by_role("button", name=f"{words.COPY}: {words.LINK_ADDRESS}").click()
    assert page.evaluate("navigator.clipboard.readText()") == address
    expect(page.locator("[data-stale=true]")).to_have_count(0)
    assert read_code(page.get_by_role("img", name=words.LINK_CODE)) == address
    take_picture(page, "laptop-scheme")

    # The client opens it and answers; that is news until it is seen where it stands.
    phone = page.context.browser.new_page() if page.context.browser else page
    phone.goto(address)
    expect(phone.get_by_text("Look at it by the window.")).to_be_visible()
    phone.get_by_text(words.WHOLE_WORDS["like"]).click()
    phone.get_by_role("button", name=words.CLIENT_SEND_ANSWER).click()
    expect(phone.get_by_role("heading", name=words.CLIENT_ANSWERED)).to_be_visible()
    phone.close()
    step(page, "brief")
    news = page.get_by_role("link", name=words.NEWS_AT["answer"])
    expect(news).to_be_visible()
    page.reload()
    news.click()
    expect(page.get_by_role("heading", name=words.ANSWERS)).to_be_visible()
    expect(page.get_by_text(words.WHOLE_WORDS["like"])).to_be_visible()
    take_picture(page, "laptop-scheme-answered")
    until(lambda: room_called(desk, ada, "Back kitchen").news == ())


def test_what_was_changed_in_the_brief_is_there_after_leaving_at_once(
    server: Server, desk: Desk, ada: User, page: Page
) -> None:
    sign_in(page, server)
    hall = new_room(desk, ada, "Front hall")
    page.goto(f"{server.address}/brief?room={hall}")
    expect(page.get_by_text(words.SAVES_ITSELF)).to_be_visible()
    page.get_by_label(words.ROLES_TO_PAINT).click()
    page.get_by_role("option", name="Ceiling").click()
    # Straight on, the list still open: the press that a person would make.
    page.mouse.click(*middle(page.locator(".st-key-onward a")))
    expect(page.get_by_role("heading", name=words.PHOTOS_TITLE)).to_be_visible()
    until(lambda: load_room(desk, ada, hall).document["wishes"]["roles"] == ["walls", "trim", "ceiling"])
    page.goto(server.address)
    page.get_by_label(words.ROOM_SEARCH).fill("front")
    expect(page.get_by_role("link", name="Hazel Close kitchen")).to_have_count(0)
    page.get_by_role("link", name=words.NEXT_THING["photos"]).click()
    expect(page.get_by_text(words.NO_PHOTOS)).to_be_visible()
    delete_room(desk, ada, hall)


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


# Of each close-up: its size, what it shows, made of what, and one stroke over it.
CLOSE_UPS = {
    "tile_led.jpg": ((1200, 900), "splashback", "tile", [(100.0, 250.0), (450.0, 330.0)]),
    "floor_day.jpg": ((900, 1200), "floor", "timber", [(250.0, 560.0), (600.0, 1000.0)]),
    "cabinets_day.jpg": ((1200, 900), "cabinets", "paint", [(250.0, 350.0), (600.0, 620.0)]),
}
# Of the whole room, 1600 x 1200 pixels: a stroke over the walls, one over the ceiling.
WALLS, CEILING = [(480.0, 300.0), (820.0, 380.0)], [(300.0, 30.0), (1200.0, 60.0)]


def button(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=name, exact=True)


def does_not_scroll(page: Page) -> None:
    """Everything of the page is in view; what is long scrolls in itself."""
    heights = page.evaluate("""() => [document.scrollingElement, document.querySelector("[data-testid=stMain]")]
        .filter(Boolean).map(part => part.scrollHeight - part.clientHeight)""")
    assert heights == [0] * len(heights)
    for part in (".stage", ".photos", ".panel", ".g-measured-head"):
        box = page.locator(part).bounding_box()
        assert box
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 900


def test_four_photos_are_marked_in_few_actions_and_without_scrolling(
    server: Server, desk: Desk, ada: User, page: Page
) -> None:
    """Three cards on each of three surfaces, three surfaces, two areas; the cards are those that were found."""
    page.set_viewport_size({"width": 1440, "height": 900})
    sign_in(page, server)
    hand = Hand(page)
    hand.press(page.get_by_role("button", name=words.NEW_ROOM))
    hand.type(words.NEW_ROOM_NAME, "Side kitchen")
    hand.press(page.get_by_role("button", name=words.NEW_ROOM_BEGIN))
    expect(page.get_by_role("heading", name=words.BRIEF_TITLE)).to_be_visible()
    hand.actions += 1
    step(page, "photos")
    for name in ("whole_day.jpg", *CLOSE_UPS):
        hand.send(SAMPLES / name)
        expect(page.get_by_role("img", name=name)).to_be_visible()
    hand.actions += 1
    step(page, "mark")
    before = hand.actions

    # The one card of the whole room was found and waits; the areas are brushed over, each asks its role.
    stage_of(page)
    does_not_scroll(page)
    hand.choose(WORDS["card_on"], "floor")
    hand.press(button(page, WORDS["card_yes"]))
    for role, points in (("walls", WALLS), ("ceiling", CEILING)):
        hand.press(button(page, WORDS["tools"]["include"]))
        hand.choose(WORDS["making"], "area:")
        hand.stroke((1600, 1200), *points)
        hand.press(button(page, WORDS["keep"]))
        hand.choose(WORDS["fields"]["role"], role)
    for name, (size, surface, material, points) in CLOSE_UPS.items():
        hand.press(page.get_by_title(name, exact=True))
        # While the page is drawn anew the photo before is still there, unseen.
        expect(page.locator(".thumb[aria-current]").first).to_contain_text("Confirm 3 cards")
        expect(page.locator(".stage")).to_have_count(1)
        stage_of(page)
        does_not_scroll(page)
        hand.choose(WORDS["set_on"], surface)
        hand.press(button(page, WORDS["set_yes"]))
        hand.press(button(page, WORDS["brush_under"].format(on=surface)))
        hand.stroke(size, *points)
        hand.press(button(page, WORDS["keep"]))
        hand.choose(WORDS["fields"]["material"], material)
        expect(page.locator(".thumb[aria-current]")).to_contain_text("Done")
    expect(page.locator(".g-measured li")).to_have_count(3)
    expect(page.locator(".g-waiting")).to_have_count(0)
    does_not_scroll(page)
    take_picture(page, "laptop-mark-whole")
    print(f"{hand.actions} actions from a new room to a marked one, {hand.actions - before} of them on Mark")
    assert hand.actions <= 42

    until(lambda: len(_marked(room_called(desk, ada, "Side kitchen"))) == 3)
    room = room_called(desk, ada, "Side kitchen")
    kinds = {"white card", "grey card", "black card"}
    assert _marked(room) == {surface: (material, kinds) for _, surface, material, _ in CLOSE_UPS.values()}
    areas = [area["role"] for entry in room.document["photos"] for area in entry.get("areas", ())]
    assert areas == ["walls", "ceiling"]


def _marked(room: StoredRoom) -> dict[str, tuple[str, set[str]]]:
    """The outlined surfaces, each with its material and the kinds of cards beside it that are said to lie on it."""
    return {
        surface["name"]: (
            surface["material"],
            {card["kind"] for card in entry["references"] if card.get("on") == surface["name"]},
        )
        for entry in room.document["photos"]
        for surface in entry.get("surfaces", ())
    }


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
    expect(page.locator(".g-measured li").nth(3)).to_be_visible()
    before = page.locator(".g-surface").count()
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
