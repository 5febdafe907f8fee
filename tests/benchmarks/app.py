"""How quick the browser app is behind the screen: ``python -m tests.benchmarks.app [ROUNDS]``.

Times the use cases that a hand waits for, on a 12 megapixel photo and a 3,000-paint deck, as medians beside
``cv2.imread`` of the same photo in the same run; a thousand rooms listed; then twenty householders sending a photo
each at once to a running server through its own pages, with the server's peak memory and how long somebody else waits
for a page meanwhile.
"""

from __future__ import annotations

import sys
import tempfile
import threading
import time
import tomllib
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np

from matcher.service import ahead, client, live, room_list, showing
from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, list_rooms, load_room, new_room, open_desk, save_document
from matcher.settings import Settings
from matcher.store import rooms
from tests.benchmarks.large_job import write_deck, write_photo, write_room
from tests.ui.browser import CHROMIUM, FLAGS
from tests.ui.givens_server import serve_givens
from ui import words

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator, Page

_ROUNDS = 5
_PAINTS = 3_000
_HOUSEHOLDERS = 20
_ROOMS = 1_000
_UPLOAD_S, _HAND_S, _LIST_S, _PEAK_MB = 2.0, 0.5, 1.0, 1000


def main(arguments: list[str]) -> None:
    """Print every time beside its target."""
    rounds = int(arguments[0]) if arguments else _ROUNDS
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        photo = write_photo(folder)
        deck = write_deck(folder, _PAINTS)
        desk = open_desk(Settings(folder=folder / "data", deck=deck))
        document = _document(write_room(folder, photo))
        _print_hand(desk, photo, document, rounds)
        if Path(CHROMIUM).exists():
            _print_rooms(folder, rounds)
            _print_screen(folder, rounds)
            _print_crowd(folder, photo)
        else:
            print(f"no Chromium at {CHROMIUM}: neither the screen nor the crowd was tried")


def _print_hand(desk: Desk, photo: Path, document: dict[str, Any], rounds: int) -> None:
    user = local_user(desk)
    data = photo.read_bytes()
    decode, upload, outline, ranking, first_repaint, repaint, prepared = ([] for _ in range(7))
    for turn in range(rounds):
        decode.append(_seconds(cv2.imread, str(photo)))
        room_id = new_room(desk, user, f"room {turn}")
        # Other bytes every time: the same photo twice is recognised.
        sent = data + bytes([turn])
        upload.append(_seconds(add_photo, desk, room_id, sent, "large.jpg", by="client"))
        room = load_room(desk, user, room_id)
        save_document(desk, user, room_id, document, revision=room.revision)
        live.measured(desk, load_room(desk, user, room_id))
        outline.append(_seconds(_commit, desk, room_id, turn))
        room = load_room(desk, user, room_id)
        ranking.append(_seconds(live.ranked, desk, room))
        codes = iter(live.deck_of(desk).codes[:2])
        first_repaint.append(_seconds(showing.repainted, desk, room, "cabinets", next(codes)))
        repaint.append(_seconds(showing.repainted, desk, room, "cabinets", next(codes)))
        prepared.append(_prepared_ahead(desk, room_id, turn))
    print(f"{len(data) / 1e6:.1f} MB JPEG of 12 megapixels, {_PAINTS} paints, {rounds} rounds, median (worst)")
    print(f"cv2.imread of the photo                     {_times(decode)}")
    for name, taken, target in (
        ("a photo sent, to its verdict", upload, _UPLOAD_S),
        ("an outline committed, to its colours", outline, _HAND_S),
        ("every role's shortlist and the scheme", ranking, _HAND_S),
        ("the first repainted preview of a room", first_repaint, _HAND_S),
        ("the next repainted preview", repaint, _HAND_S),
        ("the first one, prepared in the background", prepared, _HAND_S),
    ):
        ratio = np.median(taken) / np.median(decode)
        print(f"{name:<44}{_times(taken)}   {ratio:5.1f} x imread   target < {target:g} s")


def _prepared_ahead(desk: Desk, room_id: str, turn: int) -> float:
    """Move an outline, look at the shortlist for a moment, and time the first repaint after it."""
    _commit(desk, room_id, turn + 1)
    room = load_room(desk, local_user(desk), room_id)
    live.ranked(desk, room)
    ahead.prepare_ahead(desk, room, after_s=0)
    assert ahead.wait_until_prepared(60), "a room is prepared in the background within a minute"
    return _seconds(showing.repainted, desk, room, "cabinets", live.deck_of(desk).codes[0])


def _commit(desk: Desk, room_id: str, turn: int) -> None:
    """Move one corner of one outline, save, and measure again."""
    user = local_user(desk)
    room = load_room(desk, user, room_id)
    surface = room.document["photos"][0]["surfaces"][0]
    surface["outline"][0][0] += 7 + turn
    save_document(desk, user, room_id, room.document, revision=room.revision)
    live.measured(desk, load_room(desk, user, room_id))


def _document(room_file: Path) -> dict[str, Any]:
    document = tomllib.loads(room_file.read_text(encoding="utf-8"))
    front = [[2000, 200], [3850, 200], [3850, 1450], [2000, 1450]]
    document["photos"][0]["areas"] = [{"role": "cabinets", "outlines": [front]}]
    return document


def _print_rooms(folder: Path, rounds: int) -> None:
    """List a thousand rooms, each as full as the sample kitchen: from the store, and on the screen."""
    from playwright.sync_api import sync_playwright

    with serve_givens(folder / "rooms") as server, sync_playwright() as playwright:
        # One visitor, whose browser keeps the app's scripts; for the first one the sample is made.
        context = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS)).new_context()
        _listed_on_screen(context, server.address)
        desk = open_desk(Settings(folder=folder / "rooms"))
        user = local_user(desk)
        document = load_room(desk, user, list_rooms(desk, user)[0].id).document
        for number in range(_ROOMS):
            rooms.create_room(desk.store, user.id, name=f"Room {number}", document=document, stage="new")
        asked = [_seconds(room_list.list_page, desk, user) for _ in range(rounds)]
        sought = [_seconds(room_list.list_page, desk, user, like="room 99") for _ in range(rounds)]
        seen = [_listed_on_screen(context, server.address) for _ in range(rounds)]
        context.close()
    print(f"{f'{_ROOMS} rooms listed, from the store':<44}{_times(asked)}   target < {_LIST_S:g} s")
    print(f"{f'{_ROOMS} rooms sought by name':<44}{_times(sought)}   target < {_LIST_S:g} s")
    first, taken, sizes = ([one[place] for one in seen] for place in range(3))
    print(
        f"{f'{_ROOMS} rooms listed, to the last card on screen':<44}{_times(taken)}   target < {_LIST_S:g} s, "
        f"{np.median(first):.3f} s of it until the app's name stands there; "
        f"{np.median(sizes) / 1e3:.0f} kB over the socket"
    )


def _listed_on_screen(context: BrowserContext, address: str) -> tuple[float, float, int]:
    """Open the first page; return the seconds until its first line and its last card are there, and the bytes sent."""
    page = context.new_page()
    received: list[int] = []
    page.on("websocket", lambda socket: socket.on("framereceived", lambda frame: received.append(len(frame))))
    start = time.perf_counter()
    page.goto(address)
    page.locator(".g-mark").wait_for()
    first = time.perf_counter() - start
    # What stands under the cards.
    page.get_by_text(words.GUARD).wait_for()
    last = time.perf_counter() - start
    page.close()
    return first, last, sum(received)


def _print_screen(folder: Path, rounds: int) -> None:
    """Draw outlines on the sample kitchen in a browser, and wait for the colours to stand beside the photo."""
    from playwright.sync_api import sync_playwright

    with serve_givens(folder / "screen") as server, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(server.address)
        page.get_by_role("link", name="Hazel Close kitchen").click()
        colours = page.locator(".g-surface")
        colours.nth(3).wait_for()
        page.locator(".veil").wait_for(state="hidden")
        page.wait_for_timeout(1000)
        before = colours.count()
        taken = [_outline_on_screen(page, turn, colours.nth(before + turn)) for turn in range(rounds)]
        browser.close()
    print(f"{'an outline closed, to its colours on screen':<44}{_times(taken)}   target < {_HAND_S:g} s")


def _outline_on_screen(page: Page, turn: int, there: Locator) -> float:
    box = page.locator(".stage").bounding_box()
    assert box
    # The picture, 1600 x 1200, fits the stage exactly in one direction and stands in the middle of the other.
    scale = min(box["width"] / 1600, box["height"] / 1200)
    left, top = box["x"] + (box["width"] - 1600 * scale) / 2, box["y"] + (box["height"] - 1200 * scale) / 2
    x = 420 + 90 * turn % 900
    page.get_by_role("button", name="Outline", exact=True).click()
    for across, down in ((x, 1000), (x + 70, 1000), (x + 70, 1100)):
        page.mouse.click(left + across * scale, top + down * scale)
    start = time.perf_counter()
    page.mouse.click(left + x * scale, top + 1000 * scale)
    there.wait_for()
    taken = time.perf_counter() - start
    page.wait_for_timeout(700)
    return taken


def _print_crowd(folder: Path, photo: Path) -> None:
    """Let twenty phones send a photo at once."""
    from playwright.sync_api import sync_playwright

    data = folder / "crowd"
    desk = open_desk(Settings(folder=data))
    user = local_user(desk)
    tokens = [client.make_link(desk, user, new_room(desk, user, f"room {n}")) for n in range(_HOUSEHOLDERS)]
    with serve_givens(data) as server, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        context = browser.new_context(viewport={"width": 390, "height": 844})
        pages = [context.new_page() for _ in tokens]
        for page, token in zip(pages, tokens, strict=True):
            page.goto(f"{server.address}/client?link={token}")
        for page in pages:
            page.locator("input[type=file]").wait_for(state="attached", timeout=120_000)
        waits: list[float] = []
        watching = threading.Event()
        watcher = threading.Thread(target=_watch, args=(server.address, waits, watching))
        watcher.start()
        start = time.perf_counter()
        for page in pages:
            page.locator("input[type=file]").set_input_files(str(photo))
        for page in pages:
            page.locator("img.g-photo").first.wait_for(state="attached", timeout=120_000)
        taken = time.perf_counter() - start
        watching.set()
        watcher.join()
        browser.close()
        peak = server.peak_mb()
    print(
        f"{_HOUSEHOLDERS} householders at once: all verdicts after {taken:.1f} s (browsers on the same cores), "
        f"server's peak {peak:.0f} MB (target < {_PEAK_MB}), another page answered in {1e3 * np.median(waits):.0f} ms "
        f"(worst {1e3 * max(waits):.0f})"
    )


def _watch(address: str, waits: list[float], done: threading.Event) -> None:
    while not done.is_set():
        waits.append(_seconds(_ask, f"{address}/sign-in"))
        time.sleep(0.2)


def _ask(address: str) -> None:
    with urllib.request.urlopen(address, timeout=60) as answer:
        answer.read()


def _seconds(action: Callable[..., object], *given: object, **named: object) -> float:
    start = time.perf_counter()
    action(*given, **named)
    return time.perf_counter() - start


def _times(seconds: list[float]) -> str:
    return f"{np.median(seconds):6.3f} s ({max(seconds):.3f})"


if __name__ == "__main__":
    main(sys.argv[1:])
