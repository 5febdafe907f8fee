"""Every screen against WCAG 2.0 to 2.2, A and AA, as far as a machine can tell: axe-core (Deque Systems, MPL-2.0)."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from matcher.service import client, live, sharing
from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room
from matcher.service.records import RoleAnswer
from tests.ui.givens_server import Server, beside
from tests.ui.pictures import take_picture
from tests.ui.unread_walls import take_reading_off
from ui import words

# Of what holds, the checker need not gather where.
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
# What shows that a page is whole.
WHOLE = {
    "brief": f"button:has-text('{words.LINK_MAKE}')",
    "photos": "img.g-photo",
    "mark": ".g-measured li",
    "shortlist": ".g-closer",
    "wall": "img.after",
    "scheme": ".s-files",
    "light": ".l-moment",
}


@pytest.fixture(scope="module")
def desk(server: Server) -> Desk:
    return beside(server)


@pytest.fixture(scope="module")
def window(chromium: Browser) -> Iterator[Page]:
    # The checker is a script put into the page, which the app's own policy forbids.
    context = chromium.new_context(bypass_csp=True)
    context.set_default_timeout(30_000)
    yield context.new_page()
    context.close()


@pytest.fixture
def page(window: Page) -> Page:
    window.goto("about:blank")
    window.set_viewport_size({"width": 1800, "height": 1100})
    return window


def violations(page: Page) -> list[str]:
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{one['id']}: {[node['html'][:160] for node in one['nodes']]}" for one in found]


@pytest.mark.parametrize("step", WHOLE)
def test_a_step_of_a_room(server: Server, desk: Desk, sample_room: str, page: Page, step: str) -> None:
    page.goto(f"{server.address}/{step}?room={sample_room}")
    page.locator(WHOLE[step]).first.wait_for()
    if step == "wall":
        at_rest(page)
        assert violations(page) == []
        # Where the old paint of the walls was not measured, what is shown of them is asked for.
        take_reading_off(desk, local_user(desk))
        page.reload()
        page.get_by_text(words.WALL_GUESS, exact=True).wait_for()
        at_rest(page)
        assert violations(page) == []
        page.get_by_text(words.WALL_GUESS, exact=True).click()
        page.locator("img.after").wait_for()
    at_rest(page)
    take_picture(page, f"wide-{step}")
    assert violations(page) == []
    if step == "shortlist":
        # On a phone the closer look opens below the paint that was pressed, and not before.
        page.set_viewport_size({"width": 390, "height": 844})
        pane, tiles = page.locator(".st-key-list-side"), page.locator("[class*='st-key-tile-']")
        expect(pane).to_be_hidden()
        page.locator("[class*='st-key-look-'] button").nth(1).click()
        expect(pane).to_be_visible()
        at_rest(page)
        tops = [place.bounding_box() for place in (tiles.nth(1), pane, tiles.nth(2))]
        assert tops == sorted(tops, key=lambda box: box["y"] if box else 0)
        assert violations(page) == []
        take_picture(page, "phone-shortlist")
    if step in ("brief", "scheme"):
        for fold in page.locator(".stExpander summary").all():
            fold.click()
        at_rest(page)
        take_picture(page, f"wide-{step}-open")
        assert violations(page) == []
    if step == "photos":
        page.get_by_role("button", name=words.REMOVE, exact=True).first.click()
        expect(page.get_by_role("button", name=words.REMOVE_YES)).to_be_visible()
        at_rest(page)
        assert violations(page) == []


def test_one_paint(server: Server, sample_room: str, page: Page) -> None:
    for code in ("demo-211", "demo-322", "demo-312"):
        page.goto(f"{server.address}/paint?room={sample_room}&paint={code}&from=shortlist")
        page.locator(".p-details summary").click()
        at_rest(page)
        assert violations(page) == []
    page.set_viewport_size({"width": 390, "height": 844})
    wide = page.evaluate("document.querySelector('[data-testid=stMain]').scrollWidth")
    assert wide <= 390
    take_picture(page, "phone-paint")


def at_rest(page: Page) -> None:
    """While a page is being drawn what is not sure to stay is paler."""
    expect(page.locator("[data-stale=true]")).to_have_count(0)
    page.wait_for_timeout(500)


def test_the_rooms_and_the_sign_in(server: Server, sample_room: str, page: Page) -> None:
    page.goto(server.address)
    expect(page.get_by_role("link", name="Hazel Close kitchen")).to_be_visible()
    at_rest(page)
    assert violations(page) == []
    take_picture(page, "wide-rooms")
    page.get_by_role("button", name=words.NEW_ROOM).click()
    page.get_by_role("button", name=words.NEW_ROOM_BEGIN).click()
    expect(page.get_by_text(words.NEW_ROOM_NAMELESS)).to_be_visible()
    at_rest(page)
    assert violations(page) == []
    page.get_by_role("button", name=words.IMPORT).click()
    expect(page.locator("input[type=file]")).to_have_count(1)
    expect(page.get_by_text(words.IMPORT_HELP)).to_be_visible()
    at_rest(page)
    assert violations(page) == []
    page.goto(f"{server.address}/sign-in")
    assert violations(page) == []


def test_the_householders_page(server: Server, desk: Desk, sample_room: str, page: Page) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    ranked = live.ranked(desk, room)
    assert ranked is not None
    token = client.make_link(desk, user, sample_room)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{server.address}/client?link={token}")
    expect(page.get_by_role("heading", name=words.CLIENT_TITLE)).to_be_visible()
    expect(page.locator("input[type=file]")).to_have_count(1)
    assert violations(page) == []
    titles = [other["title"] for other in ranked.scheme["alternatives"]]
    content = sharing.to_share(ranked, "By the window.", alternatives=titles[:2])
    painted = sharing.picture_of(desk, room, [{"id": "cabinets", "code": content["paints"][0]["code"]}])
    assert painted.picture
    client.share(desk, user, sample_room, content, {sharing.BEFORE: painted.picture, sharing.AFTER: painted.picture})
    client.answer(desk, token, "like", "yes", parts=[RoleAnswer("walls", "like", "")])
    page.reload()
    expect(page.get_by_role("heading", name=words.CLIENT_SHARED)).to_be_visible()
    expect(page.locator("input[type=file]")).to_have_count(1)
    assert violations(page) == []
    # The consultant's side of it: the answer, the link with its code, the preview.
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto(f"{server.address}/scheme?room={sample_room}")
    page.get_by_role("button", name=words.LINK_AGAIN).click()
    expect(page.get_by_role("img", name=words.LINK_CODE)).to_be_visible()
    expect(page.get_by_role("region", name=words.SHARE_PREVIEW)).to_be_attached()
    expect(page.locator("[data-stale=true]")).to_have_count(0)
    page.wait_for_timeout(500)
    assert violations(page) == []
