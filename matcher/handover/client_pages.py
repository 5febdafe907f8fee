"""What the client is told, page by page: the same for the PDF and for the page of a browser."""

from __future__ import annotations

from typing import Any

from matcher.handover.boards_page import boards_page
from matcher.handover.contents import Contents
from matcher.handover.last_page import last_page
from matcher.handover.light_page import light_page
from matcher.handover.room_page import room_page
from matcher.handover.scheme_page import MOST_STAYING, scheme_page
from matcher.handover.why_page import why_page


def client_pages(contents: Contents, *, most_staying: int | None = MOST_STAYING) -> list[dict[str, Any]]:
    """Return the data of each page, those left out that would be empty; the room's name is the first one's title.

    ``most_staying`` is how many things that stay a page has room for, None for any number.
    """
    room = room_page(contents)
    pages = [
        room,
        scheme_page(contents, titled=room is not None, most_staying=most_staying),
        why_page(contents, most_staying=most_staying),
        light_page(contents),
        boards_page(contents),
        last_page(contents),
    ]
    return [page for page in pages if page is not None]
