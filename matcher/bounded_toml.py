"""Is a text in TOML one that can be read in time and memory in proportion to its length: looked at before it is parsed.

The library calls itself for every list in a list, copies a dotted key once for each of its parts, and keeps a hundred
bytes for each letter of a number: 20,000 dotted parts took 1.6 GB, a thousand brackets the whole of its stack.
"""

from __future__ import annotations

import re
from itertools import accumulate

from matcher.errors import GivensError, Problem

# A room file needs five (a list of tables, holding a list of outlines of points), settings none; the rest is slack.
MOST_NESTED = 20
# No table of ours lies deeper than three names; the rest is slack.
MOST_DOTTED = 20
# Assumption: forty thousand points in one line; whoever writes more of them breaks the line.
MOST_IN_LINE = 1_000_000
# Python prints numbers of up to 4300 digits, and a digit may be one of base 16.
MOST_IN_WORD = 1000

_OPENS_TEXT = re.compile(r"[\"'#]")
_LETTERS = {'"': re.compile(r'["\\\n]'), "'": re.compile(r"['\n]")}
# Both begin where a line or a word does, so that nothing is looked through twice.
_LINE = re.compile(rf"^[^\n]{{{MOST_IN_LINE + 1}}}", re.MULTILINE)
_WORD = re.compile(rf"(?<![^\s,=.\[\]{{}}])[^\s,=.\[\]{{}}]{{{MOST_IN_WORD + 1}}}")
_DOTTED = re.compile(rf"(?:\.[^.,=\[\]{{}}\n]*){{{MOST_DOTTED}}}")
_NO_BRACKET = re.compile(r"[^\[\]{}]+")


def refuse_unbounded(text: str, where: str, error: type[GivensError]) -> None:
    """Raise ``error``, with ``where`` in it, for a text that a parser of TOML must not be given.

    One that is no TOML at all may pass: the parser stops at its first mistake.
    """
    fault = _fault(text)
    if fault:
        raise error(Problem(where, *fault))


def _fault(text: str) -> tuple[str, str] | None:
    """Return what is wrong and what to do, or None."""
    long = _LINE.search(text)
    if long:
        number = text.count("\n", 0, long.start()) + 1
        return f"line {number} has more than {MOST_IN_LINE:,} characters", "Write lists in several lines."
    bare = _without_text(text)
    if _WORD.search(bare):
        what = f"holds a number of thousands of digits, or a name of more than {MOST_IN_WORD:,} letters without quotes"
        return what, "Write numbers as they were measured, and text in quotes."
    if _DOTTED.search(bare):
        return f"holds a key of more than {MOST_DOTTED} parts with dots between them", "Keys go three deep at most."
    brackets = _NO_BRACKET.sub("", bare)
    if max(accumulate(1 if bracket in "[{" else -1 for bracket in brackets), default=0) > MOST_NESTED:
        what = f"is nested too deeply, in more than {MOST_NESTED} brackets"
        return what, "Lists go three deep at most; close every bracket."
    return None


def _without_text(text: str) -> str:
    """Return the text with a pair of quotes for everything in quotes, and no comments."""
    parts: list[str] = []
    begun = 0
    while opens := _OPENS_TEXT.search(text, begun):
        at, mark = opens.start(), opens[0]
        parts.append(text[begun:at])
        if mark == "#":
            end = text.find("\n", at)
            begun = len(text) if end < 0 else end
        else:
            parts.append("''")
            begun = _end_of_text(text, at, mark)
    parts.append(text[begun:])
    return "".join(parts)


def _end_of_text(text: str, at: int, mark: str) -> int:
    """Return where a text that begins at ``at`` with ``mark`` is over, at the latest with its line or the file."""
    several_lines = text.startswith(3 * mark, at)
    at += 3 if several_lines else 1
    while found := _LETTERS[mark].search(text, at):
        at = found.start()
        if found[0] == "\\":
            at += 2
        elif found[0] == "\n":
            if not several_lines:
                return at
            at += 1
        elif not several_lines:
            return at + 1
        elif text.startswith(3 * mark, at):
            return at + 3
        else:
            at += 1
    return len(text)
