"""What a new edition of a deck changes, in words: for the command line and the consultant's page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matcher.description.comparison import VISIBLE_DE00
from matcher.report.sentences import EDITION_CHANGES, EDITION_CLASHES, EDITION_LACKS, EDITION_SEEN, EDITION_WHICH
from matcher.report.trade_words import colour_step_phrase

Json = Mapping[str, Any]


def change_sentence(change: Json) -> str:
    """Return what becomes of a paint in a room, from ``kind`` and ``values`` (matcher/service/edition_room.py)."""
    values = dict(change["values"])
    if "de00" in values:
        values["step"] = colour_step_phrase(values["de00"])
    if change["kind"] == "clash":
        values["which"] = EDITION_WHICH[values["of"]]
        values["clash"] = EDITION_CLASHES[values["clash"]]
    return EDITION_CHANGES[change["kind"]].format(**values, was=change["was"], now=change["now"])


def seen_phrase(de00: float) -> str:
    """Return whether anybody would see a difference side by side."""
    return EDITION_SEEN["seen" if de00 >= VISIBLE_DE00 else "unseen"]


def lacks_sentence(column: str) -> str:
    """Return what the new edition no longer tells (:class:`matcher.description.edition.Edition`)."""
    return EDITION_LACKS[column]
