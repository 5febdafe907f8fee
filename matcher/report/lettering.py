"""Type for pictures: the machine's own faces where it has them, else the one that comes with Pillow.

Named after the same stacks as the pages. The built-in face has letters of English only: what a face lacks is written
without its accent, or as a question mark.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, cast
from unicodedata import normalize

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

    from matcher.report.sheet import Face

_FILES: dict[Face, tuple[str, ...]] = {
    "serif": ("georgia.ttf", "Georgia.ttf", "LiberationSerif-Regular.ttf", "DejaVuSerif.ttf"),
    "sans": ("segoeui.ttf", "Roboto-Regular.ttf", "LiberationSans-Regular.ttf", "Arial.ttf", "DejaVuSans.ttf"),
    "bold": ("segoeuib.ttf", "Roboto-Bold.ttf", "LiberationSans-Bold.ttf", "Arial Bold.ttf", "DejaVuSans-Bold.ttf"),
}
_NO_LETTER = "\uffff"  # which no face has: what is drawn for it is the sign for a letter that is missing
# An SVG is set by whatever face its reader has, of which some run wider (DejaVu Sans by a seventh, looked at in
# Chromium): lines are broken with this much to spare.
_SPARE = 0.84


@cache
def face(kind: Face, size: int) -> FreeTypeFont:
    """Return a face in pixels."""
    from PIL import ImageFont

    for file in _FILES[kind]:
        try:
            return ImageFont.truetype(file, size)
        except OSError:
            continue
    # Only without FreeType, which every wheel of Pillow has, is it a face of another kind.
    return cast("FreeTypeFont", ImageFont.load_default(size))


def width_of(text: str, kind: Face, size: int) -> float:
    """Return how wide a line is, in the units of ``size``."""
    return face(kind, size).getlength(writable(text, kind))


def broken(text: str, kind: Face, size: int, width: float, *, lead: str = "") -> list[str]:
    """Return ``text`` in lines of at most ``width``; a word that is longer has a line of its own.

    The first line stands behind ``lead`` in bold, which takes some of its room.
    """
    taken = width_of(f"{lead} ", "bold", size) if lead else 0.0
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".lstrip()
        room = width * _SPARE - (taken if len(lines) == 1 else 0.0)
        if width_of(longer, kind, size) <= room or not (lines[-1] or (taken and len(lines) == 1)):
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def writable(text: str, kind: Face) -> str:
    """Return ``text`` with what the face lacks in other letters."""
    return "".join(_writable(letter, kind) for letter in text)


@cache
def _writable(letter: str, kind: Face) -> str:
    instead = {"\u2212": "-", "\u2013": "-", "\u2019": "'", "\N{NO-BREAK SPACE}": " "}.get(letter, "")
    plain = normalize("NFKD", letter)[:1]
    return next((one for one in (letter, instead, plain) if one and (one == " " or _has(one, kind))), "?")


def _has(letter: str, kind: Face) -> bool:
    drawn, missing = (face(kind, 24).getmask(one) for one in (letter, _NO_LETTER))
    return drawn.size != missing.size or bytes(drawn) != bytes(missing)
