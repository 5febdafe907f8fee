"""What a new edition of a deck changes, in words: for the command line and the consultant's page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matcher.description.comparison import VISIBLE_DE00
from matcher.report.sentences import (
    COLOUR_STEPS,
    EDITION_CHANGES,
    EDITION_CLASHES,
    EDITION_LACKS,
    EDITION_SEEN,
    EDITION_SHARED_TOO,
    EDITION_WHICH,
)

Json = Mapping[str, Any]
# From here on a step is said to be clear.
_CLEAR_DE00 = COLOUR_STEPS[1][0]


def change_sentence(change: Json) -> str:
    """Return what becomes of a paint in a room, from ``kind`` and ``values`` (matcher/service/edition_room.py)."""
    values = dict(change["values"])
    if "de00" in values:
        values["step"] = seen_phrase(values["de00"])
    if change["kind"] == "clash":
        values["which"] = EDITION_WHICH[values["of"]]
        values["clash"] = EDITION_CLASHES[values["clash"]]
    return EDITION_CHANGES[change["kind"]].format(**values, was=change["was"], now=change["now"])


def shown_too(said: str) -> str:
    """Return a sentence on a chosen paint, of one that the client was shown as well."""
    return EDITION_SHARED_TOO.format(said=said)


def seen_phrase(de00: float) -> str:
    """Return who would see a difference between two paints, and where."""
    unseen, beside, clear = EDITION_SEEN
    return unseen if de00 < VISIBLE_DE00 else beside if de00 < _CLEAR_DE00 else clear


def lacks_sentence(column: str) -> str:
    """Return what the new edition no longer tells (:class:`matcher.description.edition.Edition`)."""
    return EDITION_LACKS[column]
