"""A colour as a patch in a terminal that shows colours, and nothing in any other."""

from __future__ import annotations

import sys
from collections.abc import Callable

_PATCH = " " * 6


def swatches() -> Callable[[str], str]:
    """Return what turns a colour in hex into a patch for stdout: empty where that is no terminal with colours.

    NO_COLOR (no-color.org) and TERM are honoured, by rich.
    """
    if not sys.stdout.isatty():
        return lambda hex_: ""
    from rich.console import Console
    from rich.style import Style
    from rich.text import Text

    console = Console(file=sys.stdout, highlight=False)
    if console.no_color or console.color_system in (None, "windows"):
        return lambda hex_: ""

    def patch(hex_: str) -> str:
        with console.capture() as captured:
            console.print(Text(_PATCH, Style(bgcolor=hex_)), end="")
        return captured.get() + "  "

    return patch
