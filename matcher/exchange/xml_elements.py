"""XML read piece by piece: the elements that are asked for, one at a time, and nothing kept of the others."""

from __future__ import annotations

import io
import re
from collections.abc import Collection, Iterator
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import iterparse  # type: ignore[import-untyped]  # ships no types

# Assumptions, far above any file of colours: levels, elements within one that is asked for, characters of one tag with
# its attributes and of one text.
_MOST_DEEP, _MOST_PARTS, _MOST_IN_TAG, _MOST_IN_TEXT = 50, 5000, 20_000, 50_000
_LONG_TAG = re.compile(rf"<[^<>]{{{_MOST_IN_TAG}}}")


def whole_elements(text: str, wanted: Collection[str]) -> Iterator[Element]:
    """Yield every element of a tag in ``wanted`` with what is in it, at its end; one inside another is part of it.

    Raises ValueError for a document that is deeper or holds a longer element than any file of colours, and for one that
    declares a document type or entities; ``ParseError`` and LookupError for what is no XML in a known encoding.
    """
    if _LONG_TAG.search(text):
        raise ValueError(f"a tag of more than {_MOST_IN_TAG:,} characters")
    opened: list[Element] = []
    within = parts = 0
    for event, element in iterparse(io.BytesIO(text.encode()), events=("start", "end"), forbid_dtd=True):
        if event == "start":
            opened.append(element)
            if len(opened) > _MOST_DEEP:
                raise ValueError(f"elements nested more than {_MOST_DEEP} deep")
            if within or element.tag in wanted:
                within, parts = within + 1, parts + 1
                if parts > _MOST_PARTS:
                    raise ValueError(f"an element with more than {_MOST_PARTS:,} in it")
            continue
        opened.pop()
        if len(element.text or "") > _MOST_IN_TEXT:
            raise ValueError(f"a text of more than {_MOST_IN_TEXT:,} characters")
        within -= 1 if within else 0
        if not within:
            if element.tag in wanted:
                yield element
            parts = 0
            if opened:
                # What is over is let go of; its parent is none that is asked for.
                opened[-1].clear()
