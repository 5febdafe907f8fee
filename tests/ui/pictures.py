"""Pictures of screens, to be looked at: written to a folder that git ignores, where ``GIVENS_TEST_PICTURES`` is set.

Each takes about a second, so that a run whose pictures nobody looks at draws none. No test looks at them. Where one
would be taken the page is waited for all the same: the next press meets a page that is whole.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from tests.ui.browser import SCREENS

if TYPE_CHECKING:
    from playwright.sync_api import Page

ASKED_FOR = bool(os.environ.get("GIVENS_TEST_PICTURES"))
_TALLEST = 6000


def take_picture(page: Page, name: str) -> None:
    """Write the whole page, not just what fits the window: the app scrolls inside itself."""
    drawn(page)
    if not ASKED_FOR:
        return
    before = page.viewport_size
    assert before
    tall = page.evaluate("document.querySelector('[data-testid=stMain]')?.scrollHeight ?? 0")
    page.set_viewport_size({"width": before["width"], "height": min(max(int(tall), before["height"]), _TALLEST)})
    take_page(page, name)
    page.set_viewport_size(before)


def drawn(page: Page) -> None:
    """Wait until the app's script has run and nothing on the page is from before."""
    from playwright.sync_api import expect

    # A field that was typed into waits a moment before it tells.
    page.wait_for_timeout(150)
    expect(page.locator("[data-test-script-state=running], [data-stale=true]")).to_have_count(0)


def take_page(page: Page, name: str) -> None:
    """Write the page as it is, once it is at rest."""
    drawn(page)
    if not ASKED_FOR:
        return
    SCREENS.mkdir(exist_ok=True)
    page.wait_for_timeout(300)
    page.screenshot(path=SCREENS / f"{name}.png", full_page=True)
