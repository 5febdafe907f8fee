"""Text that people type: what no disk, database or reader can hold taken out, and its length kept in bounds."""

from __future__ import annotations

import unicodedata

from matcher.errors import Problem, RequestError

# Assumptions: the longest that still fits a line, and the longest remark anybody reads.
LINE, REMARK = 120, 8000


def line(text: str, where: str, *, longest: int = LINE) -> str:
    """Return one line, composed (NFC), inner spaces single; raises RequestError when it is empty or too long."""
    kept = " ".join(_clean(text).split())
    if not kept:
        raise RequestError(Problem(where, "is empty", "Write something there."))
    return _bounded(kept, where, longest)


def remark(text: str, where: str, *, longest: int = REMARK) -> str:
    """Return text of several lines, or none; raises RequestError when it is too long."""
    return _bounded(_clean(text).strip(), where, longest)


def _clean(text: str) -> str:
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
    # Control characters and halves of characters, which PostgreSQL and UTF-8 refuse.
    return "".join(
        letter for letter in composed if letter in "\n\t" or unicodedata.category(letter) not in ("Cc", "Cs")
    )


def _bounded(text: str, where: str, longest: int) -> str:
    if len(text) > longest:
        what = f"has {len(text)} characters, more than the {longest} that are kept"
        raise RequestError(Problem(where, what, "Say it in fewer words."))
    return text
