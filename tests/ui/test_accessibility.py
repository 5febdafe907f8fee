"""Every screen against WCAG 2.0 to 2.2, A and AA, as far as a machine can tell: axe-core (Deque Systems, MPL-2.0)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, ViewportSize, expect

from matcher.service import client, live, sharing
from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, save_document
from matcher.service.edition import RANKING
from matcher.service.records import RoleAnswer
from matcher.store import edition_runs, editions
from tests.ui.browser import send_file
from tests.ui.givens_server import Server, beside
from tests.ui.pictures import take_picture
from tests.ui.unread_walls import take_reading_off
from ui import words

WIDE: ViewportSize = {"width": 1800, "height": 1100}
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
    context = chromium.new_context(viewport=WIDE, bypass_csp=True)
    context.set_default_timeout(30_000)
    yield context.new_page()
    context.close()


@pytest.fixture
def page(window: Page) -> Page:
    window.goto("about:blank")
    window.set_viewport_size(WIDE)
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


def test_a_new_edition_that_drops_what_the_client_was_shown(
    server: Server, desk: Desk, sample_room: str, page: Page, tmp_path: Path
) -> None:
    """From the file to every decision and back: the client's page stays what it was all the while."""
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    ranked = live.ranked(desk, room)
    assert ranked is not None
    walls, trim = (
        next(one["code"] for one in ranked.scheme["paints"] if one["id"] == id_) for id_ in ("walls", "trim")
    )
    save_document(desk, user, room.id, {**room.document, "pins": {"walls": walls}}, revision=room.revision)
    room = load_room(desk, user, sample_room)
    ranked = live.ranked(desk, room)
    assert ranked is not None
    sharing.share_scheme(desk, user, room, ranked, remark="", pictures=False)
    link = f"{server.address}/client?link={client.make_link(desk, user, sample_room)}"
    seen = client_sees(page, link)
    old = live.deck_of(desk)
    rows = [f"{c},{n},{x[0]},{x[1]},{x[2]}" for c, n, x in zip(old.codes, old.names, old.lab, strict=True)]
    left = [row for row in rows if row.split(",")[0] not in (walls, trim)]
    new, wrong = tmp_path / "spring.csv", tmp_path / "wrong.csv"
    new.write_text("\n".join(["code,name,L,a,b", *left]))
    wrong.write_text("\n".join(["code,name,L,a,b", *left, left[0]]))

    page.set_viewport_size(WIDE)
    page.goto(f"{server.address}/edition")
    expect(page.get_by_role("heading", name=words.EDITION_STEPS[0][0])).to_be_visible()
    send_file(page, wrong)
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text(f"row {len(left) + 2}, column code")
    at_rest(page)
    assert violations(page) == []
    take_picture(page, "wide-edition-refused")
    send_file(page, new)
    kitchen = page.locator("[class*='st-key-edition-room-']")
    expect(kitchen).to_have_count(1, timeout=60_000)
    expect(alert).to_have_count(0)
    expect(kitchen).to_contain_text(words.EDITION_CLIENT)
    # While another ranks the rooms the page says how far it is, and once that ends, that it did.
    edition = editions.latest_edition(desk.store)
    assert edition is not None
    run = edition_runs.last_run(desk.store)
    assert run is not None
    assert edition_runs.begin_run(desk.store, run.old, run.new, holder="a" * 32, by="Ben") is None
    edition_runs.go_on(desk.store, "a" * 32, 250, 2000, RANKING)
    page.reload()
    expect(page.get_by_role("progressbar", name=RANKING)).to_be_visible()
    expect(page.get_by_text("250 of 2,000 rooms, begun by Ben")).to_be_visible()
    at_rest(page)
    assert violations(page) == []
    take_picture(page, "wide-edition-running")
    page.get_by_role("button", name=words.EDITION_STOP).click()
    expect(page.get_by_text(words.EDITION_STOPPING)).to_be_visible()
    editions.begin_edition(desk.store, edition.id, edition.content)
    edition_runs.end_run(desk.store, "a" * 32)
    expect(page.get_by_text(words.EDITION_STANDING["stopped"])).to_be_visible()
    page.get_by_role("button", name=words.EDITION_GO_ON).click()

    # In use: asked first; what was chosen and is gone stays, and is said to be.
    page.get_by_role("button", name=words.EDITION_OVER.format(name="spring")).click(timeout=60_000)
    expect(page.get_by_text(words.EDITION_OVER_WHAT[1])).to_be_visible()
    at_rest(page)
    assert violations(page) == []
    page.get_by_role("button", name=words.EDITION_OVER.format(name="spring")).click()
    back = page.get_by_role("button", name=words.EDITION_BACK_TO.format(name=old.name))
    expect(back).to_be_visible()
    assert live.deck_of(desk).codes == tuple(row.split(",")[0] for row in left)
    assert client_sees(page, link) == seen
    page.set_viewport_size(WIDE)
    page.goto(f"{server.address}/scheme?room={sample_room}")
    expect(page.locator(".st-key-lost-choices")).to_contain_text(walls)
    page.get_by_role("link", name=words.EDITION_LOST_WAY).click()

    # The nearest, taken back; another for the trim, which was merely shown; kept as it is.
    nearest = next(gone["nearest"] for gone in edition.content["gone"] if gone["code"] == walls)
    page.get_by_role("button", name=words.EDITION_WAYS["take"].format(code=nearest)).click()
    expect(page.get_by_text(words.EDITION_DECIDED["take"].format(code=nearest))).to_be_visible()
    assert load_room(desk, user, sample_room).document["pins"] == {"walls": nearest}
    at_rest(page)
    assert violations(page) == []
    take_picture(page, "wide-edition")
    page.get_by_role("button", name=words.EDITION_UNDO).click()
    expect(page.get_by_role("button", name=words.EDITION_WAYS["take"].format(code=nearest))).to_be_visible()
    assert load_room(desk, user, sample_room).document["pins"] == {"walls": walls}
    page.get_by_role("button", name=words.EDITION_WAYS["choose"]).last.click()
    expect(page.get_by_text(words.EDITION_DECIDED["choose"])).to_be_visible()
    page.get_by_role("button", name=words.EDITION_WAYS["leave"]).first.click()
    expect(page.get_by_text(words.EDITION_DECIDED["leave"])).to_be_visible()
    assert load_room(desk, user, sample_room).document["pins"] == {"walls": walls}
    page.set_viewport_size({"width": 390, "height": 844})
    at_rest(page)
    assert page.evaluate("document.querySelector('[data-testid=stMain]').scrollWidth") <= 390
    take_picture(page, "phone-edition")
    back.click()
    page.get_by_role("button", name=words.EDITION_BACK_YES, exact=True).click()
    expect(page.get_by_role("button", name=words.EDITION_BACK_TO.format(name="spring"))).to_be_visible()
    assert live.deck_of(desk).sha256 == old.sha256
    assert client_sees(page, link) == seen


def client_sees(page: Page, link: str) -> str:
    """Everything that the client's page says and shows."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(link)
    expect(page.get_by_role("heading", name=words.CLIENT_SCHEME)).to_be_visible()
    expect(page.locator("input[type=file]")).to_have_count(1)
    at_rest(page)
    said = page.locator("[data-testid=stMain]").inner_text()
    colours = page.locator("[style*=background]").evaluate_all("found => found.map(one => one.getAttribute('style'))")
    return "\n".join([said, *colours])
