"""Under a list that is longer than a page: which of it is shown, and a button each way."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from ui import words


def show_leaf(
    first: int, shown: int, count: int, a_page: int, labels: tuple[str, str], turn_to: Callable[[int], None]
) -> None:
    """Draw it where ``count`` is more than ``a_page``: ``shown`` of them from number ``first`` on are on this page.

    ``labels`` are those of the buttons back and on; each calls ``turn_to`` with the page it leads to, 0 the first.
    """
    if count <= a_page:
        return
    page, last = (first - 1) // a_page, first + shown - 1
    back, on = labels
    with st.container(key="leaf", horizontal=True, vertical_alignment="center"):
        st.button(back, disabled=page == 0, on_click=turn_to, args=(page - 1,))
        said = words.ROOMS_SHOWN.format(first=first, last=last, count=count)
        st.html(f'<span class="g-soft g-num">{said}</span>', width="content")
        st.button(on, disabled=last >= count, on_click=turn_to, args=(page + 1,))
