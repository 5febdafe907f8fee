"""What is told while the database does not answer: one message, the page left as it is, and on it goes once it does."""

from __future__ import annotations

import time
from contextlib import suppress

import streamlit as st
from starlette.responses import HTMLResponse

from matcher.errors import AwayError
from matcher.service.access import has_users
from ui import words
from ui.desk import the_desk
from ui.headers import STRICT
from ui.plain_page import plain_page
from ui.style import put_on_sheet

# Assumption: often enough for whoever waits, and seldom enough for a database that is being started.
_ASKED_EVERY_S = 4
_NOTED = "store-away"  # that it was told, as long as the session


def wait_until_back() -> None:
    """Say so, and return when the database answers again; what is on the page meanwhile, typed or not, stays there."""
    put_on_sheet()
    while True:
        # Told again and again: the word that it is over might be overtaken by the page.
        st.toast(words.AWAY, duration=_ASKED_EVERY_S + 1)
        time.sleep(_ASKED_EVERY_S)
        # Wherever the session's state is looked up a run ends that nobody waits for any more.
        st.session_state[_NOTED] = True
        with suppress(AwayError):
            has_users(the_desk())
            return


def away_page() -> HTMLResponse:
    """Return the page for whoever comes meanwhile; it asks again by itself."""
    page = plain_page(words.AWAY_TITLE, f"<p>{words.AWAY}</p>")
    page = page.replace("<title>", f'<meta http-equiv="refresh" content="{_ASKED_EVERY_S}"><title>', 1)
    headers = {"Content-Security-Policy": STRICT, "Cache-Control": "no-store", "Retry-After": str(_ASKED_EVERY_S)}
    return HTMLResponse(page, 503, headers)
