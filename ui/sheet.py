"""The style sheet as one file at an address of its own, which changes with it: a browser asks for each once."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from ui.headers import STRICT
from ui.nothing_here import nothing_here

FOLDER = "/looks/"
# RFC 8246: what is at this address never changes; a year, the most that caches are asked for (RFC 2616, 14.21).
_FOR_GOOD = {"Cache-Control": "public, max-age=31536000, immutable", "Content-Security-Policy": STRICT}


async def sheet(request: Request) -> Response:
    """Answer with the style sheet, to anybody: it is part of the app, as its scripts are."""
    if request.url.path != sheet_address():
        return nothing_here()
    return Response(_text(), media_type="text/css", headers=_FOR_GOOD)


@cache
def sheet_address() -> str:
    """Return where the sheet is, named by what it holds."""
    return f"{FOLDER}{hashlib.sha256(_text().encode()).hexdigest()[:16]}.css"


@cache
def sheet_ahead() -> tuple[bytes, bytes]:
    """Return the header that has a browser fetch the sheet beside the scripts, before any of them asks (RFC 8288)."""
    return b"link", f"<{sheet_address()}>; rel=preload; as=style".encode("ascii")


@cache
def _text() -> str:
    """Every sheet of ui/looks, the whole app's first: what a page adds stands in a sheet of its name."""
    looks = Path(__file__).with_name("looks")
    sheets = sorted(looks.glob("*.css"), key=lambda sheet: (sheet.stem != "page", sheet.stem))
    return "\n".join(sheet.read_text(encoding="utf-8") for sheet in sheets)
