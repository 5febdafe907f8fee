"""What every answer tells the browser not to do: scripts, frames, guesses at types, addresses passed on.

Content Security Policy Level 3 and Fetch (W3C, WHATWG). The app's own pages are Streamlit's: one script element written
into the page, named here by its hash, and modules that its components make on the spot (``blob:``). Everything we write
ourselves carries a stricter policy of its own.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from pathlib import Path

STRICT = (
    "default-src 'none'; img-src 'self' data:; style-src 'unsafe-inline'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'"
)
_INLINE_SCRIPT = re.compile(r"<script>(.*?)</script>", re.DOTALL)
_ALWAYS = (
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    # Not "no-referrer": then a browser does not say either that a form comes from our own page.
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
)
_A_YEAR = 365 * 24 * 3600


def security_headers(host: str, *, secure: bool) -> list[tuple[bytes, bytes]]:
    """Return the headers of an answer to somebody who asked for ``host``, as ASGI writes them."""
    found = [*_ALWAYS, ("content-security-policy", app_policy(host))]
    if secure:
        found.append(("strict-transport-security", f"max-age={_A_YEAR}"))
    return [(name.encode("latin-1"), value.encode("latin-1")) for name, value in found]


def app_policy(host: str) -> str:
    """Return the policy of the app's pages at ``host``: sockets to it are named, as Safari below 15.4 needs."""
    scripts = " ".join(["'self'", "blob:", *_script_hashes()])
    return (
        f"default-src 'none'; script-src {scripts}; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
        f"font-src 'self' data:; connect-src 'self' ws://{host} wss://{host}; manifest-src 'self'; form-action 'self'; "
        "frame-ancestors 'none'; base-uri 'none'"
    )


@cache
def _script_hashes() -> tuple[str, ...]:
    """The scripts written into Streamlit's page, each by its SHA-256 (CSP Level 3, section 2.3.1)."""
    import streamlit

    page = (Path(streamlit.__file__).parent / "static" / "index.html").read_text(encoding="utf-8")
    return tuple(
        f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"
        for script in _INLINE_SCRIPT.findall(page)
    )
