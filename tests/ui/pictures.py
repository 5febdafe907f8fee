"""Pictures of screens, to be looked at: written to a folder that git ignores."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.ui.browser import SCREENS

_TALLEST = 6000


def take_picture(page: Page, name: str) -> None:
    """Write the whole page, not just what fits the window: the app scrolls inside itself."""
    SCREENS.mkdir(exist_ok=True)
    before = page.viewport_size
    assert before
    tall = page.evaluate("document.querySelector('[data-testid=stMain]')?.scrollHeight ?? 0")
    page.set_viewport_size({"width": before["width"], "height": min(max(int(tall), before["height"]), _TALLEST)})
    page.wait_for_timeout(300)
    page.screenshot(path=SCREENS / f"{name}.png")
    page.set_viewport_size(before)
