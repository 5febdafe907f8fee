"""The names of the app's cookies, and how each is set."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.responses import Response

# Who is signed in; by which token a browser is known; one for each private link that was opened, named by its id.
SESSION_COOKIE, BROWSER_COOKIE, LINK_COOKIE = "givens-session", "givens-browser", "givens-link-"


def set_cookie(answer: Response, name: str, value: str, *, seconds: int, secure: bool) -> None:
    """Set a cookie that no script can read and no other site can send along with a form or a picture."""
    answer.set_cookie(name, value, max_age=seconds, httponly=True, samesite="lax", secure=secure)
