"""Ada, who has an account and took over the sample kitchen, and the browser she works in."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from matcher.service import access
from matcher.service.access import local_user
from matcher.service.desk import Desk
from matcher.service.records import User
from tests.ui.consultant.hands import PHRASE
from tests.ui.givens_server import Server, beside
from tests.ui.unread_walls import take_reading_off

LAPTOP = {"width": 1280, "height": 900}


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
