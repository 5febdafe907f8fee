"""The app's script: which pages there are for whoever is looking. Each page stands on its own."""

from __future__ import annotations

import streamlit as st

from matcher.errors import AwayError
from ui import words
from ui.away import wait_until_back
from ui.private_link import VISIT
from ui.state import consultant

PAGES = {"rooms": words.ROOMS, **words.STEPS, **words.BESIDE_STEPS}


def main() -> None:
    """Run the page that the address names, once there is a database to run it on."""
    try:
        _run()
    except AwayError:
        wait_until_back()
        st.rerun()


def _run() -> None:
    """Run the page: a client's by its link, else a consultant's."""
    client = st.Page("pages/client.py", title=words.CLIENT_TITLE, url_path="client")
    desk = [
        st.Page(f"pages/{name}.py", title=title, url_path=name, default=name == "rooms")
        for name, title in PAGES.items()
    ]
    # Behind a link there is the client's page and, without it, where consultants sign in.
    for_client = VISIT in st.query_params
    pages = [desk[0], client] if for_client or consultant() is None else [*desk, client]
    st.navigation(pages, position="hidden").run()


main()
