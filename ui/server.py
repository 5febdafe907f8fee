"""The web server's application: a gate, behind it the app's pages and the routes for photos and signing in.

Started by ``givens serve`` through uvicorn as ``ui.server:app``.
"""

from __future__ import annotations

import logging
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from threading import Thread

import streamlit as st
from streamlit import config
from streamlit.runtime.pages_manager import PagesManager

from ui import words
from ui.desk import the_desk
from ui.gate import Gate
from ui.memory import keep_few_heaps, keep_what_is_loaded
from ui.pending_changes import keep_what_waits
from ui.routes import ROUTES

_OPTIONS = {
    "browser.gatherUsageStats": False,
    "client.showErrorLinks": False,
    "client.showErrorDetails": "none",
    "client.toolbarMode": "minimal",
    "logger.level": "warning",
    # Else all that is in memory, libraries too, is looked through for garbage at the end of each run of a page: longer
    # than many a run takes, and nobody else is served meanwhile. What visitors leave is given back when they leave.
    "runner.postScriptGC": False,
    "server.fileWatcherType": "none",
    "theme.base": "light",
    "theme.backgroundColor": "#f7f7f7",
    "theme.secondaryBackgroundColor": "#ededed",
    "theme.textColor": "#1b1b1b",
    "theme.primaryColor": "#1b1b1b",
    "theme.font": "sans-serif",
    "theme.baseRadius": "3px",
}
for _name, _value in _OPTIONS.items():
    config.set_option(_name, _value)

# Beside a folder "pages" Streamlit runs a page without ui/app.py, and lists all of them at its side, until somebody has
# asked for the first page: that may never happen on a server that takes over from another.
PagesManager.uses_pages_directory = False

# Importing Streamlit gives the web server's loggers handlers of its own. What is asked for stays out of any log: the
# addresses of a private link hold its token.
for _name in ("uvicorn", "uvicorn.error"):
    logging.getLogger(_name).setLevel(logging.WARNING)
logging.getLogger("uvicorn.access").disabled = True


def _get_ready() -> None:
    """Load what Streamlit loads when it shows the first component: seconds in which its visitor sees half a page."""
    for name in ("pandas", "pyarrow"):
        with suppress(ImportError):
            import_module(name)


keep_few_heaps()
keep_what_waits()
keep_what_is_loaded()
Thread(target=_get_ready, daemon=True).start()
_PAGES = (*words.STEPS, *words.BESIDE_STEPS)
app = Gate(st.App(Path(__file__).with_name("app.py"), routes=ROUTES), the_desk, _PAGES)
