"""A template and its data as a tagged PDF (PDF/UA-1, ISO 14289-1), with every font in it.

All text reaches a template as JSON, so that no name or code is ever read as markup. The same inputs give the same
bytes: what time it is does not enter, and the machine's own fonts only where a name has letters that none of ours has.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from matcher.handover.naming import MAY_BREAK

if TYPE_CHECKING:
    from datetime import datetime

    import typst

_PACKAGE = "matcher.handover"
_SHARED = "sheet.typ"
# As typst words it where PDF/UA-1 forbids what would show as an empty box; the letters are quoted as in its own code.
_NO_FONT = re.compile(r'the text `"((?:[^"\\]|\\.)+)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-fA-F]+)\}|\\(.)")
_IN_PLACE = "?"  # of a letter that no font has: every font has this one
_UNPRINTED = ("Cc", "Cf", "Co", "Cs", "Cn")  # Unicode general categories without a shape of their own
_LINE_ENDS = "\n\r\t\v\f\x85\u2028\u2029"
_MOST_ROUNDS = 20  # assumption: one names every letter that is missing; more only where letters were joined into others


@dataclass(frozen=True, slots=True)
class Typeset:
    """``pdf`` is the file; ``missing`` the letters that no font here has, each shown as a question mark."""

    pdf: bytes
    missing: tuple[str, ...] = ()


def typeset(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], *, made_on: datetime | None = None
) -> Typeset:
    """Return ``template`` (a file of the folder ``templates``) filled with ``data``, JPEG and PNG ``pictures`` by name.

    ``made_on`` is the date of the document, with its time zone; without one the file states 1 January 1970.
    """
    import typst

    text = json.dumps(_printable(data), ensure_ascii=False, allow_nan=False)
    # As numbers within the data: a client's photo never lies on the disk of whoever makes the document.
    shown = _as_numbers(pictures)
    missing: list[str] = []
    own_fonts = True
    for _ in range(_MOST_ROUNDS):
        try:
            pdf = _compiled(template, text, shown, made_on, own_fonts=own_fonts)
        except typst.TypstError as error:
            lacking = [_unescaped(found) for found in _NO_FONT.findall(f"{error.message}\n{error.diagnostic}")]
            if not lacking:
                raise
            if own_fonts:
                own_fonts = False
                continue
            for letters in lacking:
                text = text.replace(json.dumps(letters, ensure_ascii=False)[1:-1], _IN_PLACE)
            missing += lacking
        else:
            return Typeset(pdf, tuple(dict.fromkeys(missing)))
    raise AssertionError(f"letters without a font are found again and again: {missing}")


def _compiled(template: str, text: str, pictures: bytes, made_on: datetime | None, *, own_fonts: bool) -> bytes:
    import typst

    sources: dict[str, bytes] = {
        "main.typ": _source(template),
        _SHARED: _source(_SHARED),
        "data.json": text.encode("utf-8"),
        "pictures.json": pictures,
    }
    compile_files: Callable[..., Any] = typst.compile_with_warnings  # its stubs leave out files given by name
    pdf, _ = compile_files(
        sources,
        font_paths=_fonts(own_fonts),
        format="pdf",
        pdf_standards="ua-1",
        timestamp=0 if made_on is None else made_on,
    )
    return bytes(pdf)


def _as_numbers(files: Mapping[str, bytes]) -> bytes:
    """Return files by name as JSON, each an array of its bytes: what ``json`` takes ten times as long for."""
    cells = _byte_cells()
    arrays = (
        json.dumps(name).encode("ascii") + b":[" + cells[np.frombuffer(data, np.uint8)].tobytes()[:-1] + b"]"
        for name, data in files.items()
    )
    return b"{" + b",".join(arrays) + b"}"


@cache
def _byte_cells() -> NDArray[np.uint8]:
    """Each byte as four letters (256, 4): its number, filled up with spaces, which JSON allows, and a comma."""
    return np.frombuffer("".join(f"{byte:3d}," for byte in range(256)).encode("ascii"), np.uint8).reshape(256, 4)


@cache
def _source(name: str) -> bytes:
    return (files(_PACKAGE) / "templates" / name).read_bytes()


@cache
def _fonts(own: bool) -> typst.Fonts:
    import typst

    with as_file(files(_PACKAGE) / "fonts") as folder:
        return typst.Fonts(include_system_fonts=not own, font_paths=[folder])


def _printable(value: Any) -> Any:
    """Return the data with what has no shape of its own taken out of its texts, and line ends as spaces."""
    if isinstance(value, str):
        return "".join(
            " " if letter in _LINE_ENDS else letter if letter == MAY_BREAK or _has_shape(letter) else ""
            for letter in value
        )
    if isinstance(value, Mapping):
        return {key: _printable(each) for key, each in value.items()}
    return [_printable(each) for each in value] if isinstance(value, (list, tuple)) else value


def _has_shape(letter: str) -> bool:
    return unicodedata.category(letter) not in _UNPRINTED


def _unescaped(quoted: str) -> str:
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)) if found[1] else found[2], quoted)
