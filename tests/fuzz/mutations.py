"""Sound texts made wild the way files go wrong: lines and keys lost, doubled, swapped; numbers, nesting, encodings."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")
_WORD = re.compile(r"[A-Za-z_:*]+")
_NUMBERS = (
    "0", "-1", "1e400", "-1e400", "1e-400", "nan", "inf", "-inf", "NaN", "9" * 30, "9" * 400, "9" * 5000,
    "0x" + "f" * 300, "0x" + "f" * 3000, "1_0", "1__0", "-0", "+5", ".5", "5.", "1,5", "1e5", "1e", "٣", "0b1",
    "1979-05-27", "07:32:00", "true", '""', "[]", "{}", "[[]]", "[1, 2, 3]", "", " ", "null", "2.5e3", "50", "100.0001",
    "150", "1e15", "1e308",
)  # fmt: skip
_LETTERS = " \t\n\r,;.'\"()[]{}<>&#\\-_:/=*L1aé\u2028\u3000\x00"
_OPENINGS = (
    "[",
    "{",
    "(",
    "[[",
    '{"a":',
    "{a=",
    "<a>",
    "a.",
    '"',
    "'",
    '"""',
    "<cc:Object>",
    "BEGIN_DATA_FORMAT\n",
    "<!--",
)
_ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-8-sig", "utf-32", "latin-1", "cp1252", "cp037", "utf-7")
# Enough for the limits of most readers to be passed, little enough for thousands of files a minute.
_MOST_CHARACTERS = 1_500_000

Change = Callable[[random.Random, str], str]


def wild_text(rng: random.Random, text: str) -> str:
    """Return ``text`` after one to six changes."""
    for _ in range(rng.choice((1, 1, 2, 3, 6))):
        text = rng.choice(CHANGES)(rng, text)[:_MOST_CHARACTERS]
    return text


def wild_bytes(rng: random.Random, text: str) -> bytes:
    """Return the bytes of ``text`` made wild, mostly in UTF-8, now and then in another encoding or damaged."""
    changed = wild_text(rng, text) if rng.random() < 0.9 else text
    encoding = rng.choice(_ENCODINGS) if rng.random() < 0.1 else "utf-8"
    data = changed.encode(encoding, errors="replace")
    return damaged(rng, data) if rng.random() < 0.2 else data


def damaged(rng: random.Random, data: bytes) -> bytes:
    """Return ``data`` with bytes flipped, cut off, put in or taken out."""
    found = bytearray(data)
    for _ in range(rng.choice((1, 2, 10))):
        place = rng.randrange(len(found) + 1)
        kind = rng.randrange(5)
        if kind == 0 and found:
            found[place % len(found)] ^= 1 << rng.randrange(8)
        elif kind == 1:
            del found[place:]
        elif kind == 2:
            found[place:place] = rng.randbytes(rng.choice((1, 4, 50)))
        elif kind == 3:
            del found[place : place + rng.choice((1, 4, 50))]
        else:
            found[place : place + 4] = rng.choice(
                (b"\xff\xff\xff\xff", b"\0\0\0\0", b"\xff\xff\xff\x7f", b"\x01\0\0\0")
            )
    return bytes(found)


def _lines_doubled(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    first = rng.randrange(len(lines))
    block = lines[first : first + rng.choice((1, 1, 2, 8))]
    most = _MOST_CHARACTERS // (len("".join(block)) + 1)
    lines[first:first] = block * min(rng.choice((1, 1, 2, 30, 3000)), most)
    return "".join(lines)


def _lines_lost(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    first = rng.randrange(len(lines))
    del lines[first : first + rng.choice((1, 1, 2, 8))]
    return "".join(lines)


def _lines_swapped(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True)
    if rng.random() < 0.2:
        rng.shuffle(lines)
    elif lines:
        one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
        lines[one], lines[other] = lines[other], lines[one]
    return "".join(lines)


def _number_changed(rng: random.Random, text: str) -> str:
    return _replaced(rng, text, _NUMBER, rng.choice(_NUMBERS))


def _word_changed(rng: random.Random, text: str) -> str:
    words = _WORD.findall(text[:20_000]) or ["x"]
    return _replaced(rng, text, _WORD, rng.choice([rng.choice(words), rng.choice(_NUMBERS)]))


def _replaced(rng: random.Random, text: str, pattern: re.Pattern[str], by: str) -> str:
    found = list(pattern.finditer(text))
    if not found:
        return text + by
    if rng.random() < 0.05:
        return pattern.sub(lambda _: by, text, count=200)
    match = rng.choice(found)
    return text[: match.start()] + by + text[match.end() :]


def _nested(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(_OPENINGS) * rng.choice((1, 1, 5, 5, 60, 3000, 20_000)) + text[place:]


def _run(rng: random.Random, text: str) -> str:
    place = rng.randrange(len(text) + 1)
    letters = "".join(rng.choice(_LETTERS) for _ in range(rng.choice((1, 1, 2, 3))))
    return text[:place] + letters * rng.choice((1, 1, 3, 3, 100, 100, 4000, 4000, 60_000)) + text[place:]


def _piece_moved(rng: random.Random, text: str) -> str:
    one, other = sorted((rng.randrange(len(text) + 1), rng.randrange(len(text) + 1)))
    piece = text[one:other]
    place = rng.randrange(len(text) + 1)
    return text[:place] + piece + text[place:] if rng.random() < 0.5 else text[:one] + text[other:]


def _cut(rng: random.Random, text: str) -> str:
    return text[: rng.randrange(len(text) + 1)]


def _line_ends(rng: random.Random, text: str) -> str:
    return text[:_MOST_CHARACTERS].replace("\n", rng.choice(("\r\n", "\r", "\n\n", "\u2028", "\x0b", "\n\x00", "\x85")))


CHANGES: tuple[Change, ...] = (
    _lines_doubled,
    _lines_lost,
    _lines_swapped,
    _number_changed,
    _number_changed,
    _number_changed,
    _word_changed,
    _word_changed,
    _nested,
    _run,
    _run,
    _piece_moved,
    _cut,
    _line_ends,
)
