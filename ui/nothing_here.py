"""The one answer to whoever may not see a thing: the same as for a thing that is not there."""

from __future__ import annotations

from starlette.responses import Response

from ui import words
from ui.headers import STRICT


def nothing_here() -> Response:
    """Return the answer."""
    return Response(words.NOTHING_HERE, 404, {"content-security-policy": STRICT}, "text/plain")
