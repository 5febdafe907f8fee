"""README.md and DEVELOPERS.md taken apart: fenced blocks, and what stands as code in running text and tables."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCUMENTS = ("README.md", "DEVELOPERS.md")
# A fence of a list's item is indented; whatever is opened has to be closed.
_FENCE = re.compile(r"^ *```(.*)$")


@dataclass(frozen=True)
class Block:
    """A fenced block: the kind that its fence names, and its text."""

    document: str
    line: int
    kind: str
    text: str


@dataclass(frozen=True)
class Span:
    """What stands between backticks outside of blocks, in a table without the backslashes that it needs there."""

    document: str
    line: int
    text: str


def text_of(document: str) -> str:
    """Return a document."""
    return (ROOT / document).read_text(encoding="utf-8")


def parts(document: str) -> tuple[list[Block], list[Span]]:
    """Return the blocks and the spans of a document."""
    blocks: list[Block] = []
    spans: list[Span] = []
    opened: tuple[int, str, list[str]] | None = None
    for number, line in enumerate(text_of(document).splitlines(), start=1):
        fence = _FENCE.match(line)
        if fence and opened is None:
            opened = number, fence[1].strip(), []
        elif fence and opened is not None:
            first, kind, lines = opened
            blocks.append(Block(document, first, kind, "\n".join([*lines, ""])))
            opened = None
        elif opened is not None:
            opened[2].append(line)
        else:
            assert line.count("`") % 2 == 0, f"{document}, line {number}: code that is not closed in its line"
            spans += [Span(document, number, found.replace("\\|", "|")) for found in re.findall(r"`([^`]+)`", line)]
    assert opened is None, f"{document}: a block is not closed"
    return blocks, spans


BLOCKS: list[Block] = [block for document in DOCUMENTS for block in parts(document)[0]]
SPANS: list[Span] = [span for document in DOCUMENTS for span in parts(document)[1]]


@cache
def sources() -> str:
    """Return all of the program's own text."""
    return "\n".join(
        path.read_text(encoding="utf-8")
        for package in ("matcher", "ui")
        for path in sorted((ROOT / package).rglob("*"))
        if path.suffix in (".py", ".js", ".j2", ".typ", ".toml", ".css")
    )
