"""The client's document: at most six pages, each left out where it would be empty."""

from __future__ import annotations

from datetime import UTC, datetime, time
from typing import Any

from matcher.handover import words
from matcher.handover.client_pages import client_pages
from matcher.handover.contents import Contents
from matcher.handover.room_page import picture_files
from matcher.handover.sheet import mark_file, sheet_of
from matcher.handover.typeset import Typeset, typeset

TEMPLATE = "client.typ"


def client_pdf(contents: Contents) -> Typeset:
    """Return the client's document as a tagged PDF."""
    pictures = {name: picture.data for name, picture in picture_files(contents.pictures).items()}
    shown = {**pictures, **mark_file(contents)}
    return typeset(TEMPLATE, client_data(contents), shown, made_on=made_on(contents))


def client_data(contents: Contents) -> dict[str, Any]:
    """Return what the template is filled with."""
    foot = words.INVENTED_FOOT if contents.invented else words.FOOT
    return {
        "sheet": sheet_of(contents, words.REPORT, page_of=words.PAGE_OF, foot=foot),
        "pages": client_pages(contents),
    }


def made_on(contents: Contents) -> datetime | None:
    """Return the letterhead's date as the document's own; None, so that the file repeats, where it has none."""
    day = contents.letterhead.day
    return None if day is None else datetime.combine(day, time(), UTC)
