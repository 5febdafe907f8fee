"""The two pages that stand outside the app because they set a cookie: signing in and out."""

from __future__ import annotations

from html import escape

from ui import words
from ui.plain_page import plain_page


def sign_in_page(wrong: str = "") -> str:
    """Return the form; ``wrong`` says why the last try failed."""
    warning = f'<p class="wrong" role="alert">{escape(wrong)}</p>' if wrong else ""
    return plain_page(
        words.SIGN_IN,
        f'{warning}<form method="post"><label>{words.WHO}<input name="name" autocomplete="username" required autofocus>'
        f'</label><label>{words.PASSPHRASE}<input name="passphrase" type="password" autocomplete="current-password" '
        f"required></label><button>{words.SIGN_IN}</button></form>",
    )


def sign_out_page() -> str:
    """Return the page that asks before signing out."""
    return plain_page(words.SIGN_OUT, f'<form method="post"><button>{words.SIGN_OUT}</button></form>')
