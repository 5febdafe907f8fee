"""A PDF as another program reads it: PDFium (BSD-3-Clause and Apache-2.0), the renderer of a widely used browser."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from typing import Any

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdfium2 import raw


def texts(pdf: bytes) -> list[str]:
    """Return the text of every page as it would be selected, each run of white space as one space."""
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_range().replace("\ufffe", "-").split()) for page in document]


def sizes(pdf: bytes) -> list[tuple[int, int]]:
    """Return width and height of every page in whole points."""
    return [(round(width), round(height)) for width, height in (page.get_size() for page in pypdfium2.PdfDocument(pdf))]


def rendered(pdf: bytes, page: int, scale: float = 1.0) -> NDArray[np.uint8]:
    """Return a page as sRGB pixels (H, W, 3), without smoothing at the edges of what is filled."""
    bitmap = pypdfium2.PdfDocument(pdf)[page].render(scale=scale, no_smoothpath=True, rev_byteorder=True)
    return np.array(bitmap.to_pil().convert("RGB"))


def is_tagged(pdf: bytes) -> bool:
    """Tell whether the catalogue says that the document is tagged."""
    document = pypdfium2.PdfDocument(pdf)
    return bool(raw.FPDFCatalog_IsTagged(document.raw))


def fonts(pdf: bytes) -> dict[str, bool]:
    """Return whether each font in use is embedded, by its name."""
    found = {}
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        for each in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
            font = raw.FPDFTextObj_GetFont(each.raw)
            name = ctypes.create_string_buffer(200)
            raw.FPDFFont_GetBaseFontName(font, name, 200)
            found[name.value.decode()] = bool(raw.FPDFFont_GetIsEmbedded(font))
    return found


def alternatives(pdf: bytes) -> list[str]:
    """Return the alternative text of every figure, "" where one has none."""
    found = []
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        tree = raw.FPDF_StructTree_GetForPage(page.raw)
        for place in range(raw.FPDF_StructTree_CountChildren(tree)):
            found += _figures(raw.FPDF_StructTree_GetChildAtIndex(tree, place))
        raw.FPDF_StructTree_Close(tree)
    return found


def _figures(element: Any) -> Iterator[str]:
    if _utf16(raw.FPDF_StructElement_GetType, element) == "Figure":
        yield _utf16(raw.FPDF_StructElement_GetAltText, element)
    for place in range(raw.FPDF_StructElement_CountChildren(element)):
        child = raw.FPDF_StructElement_GetChildAtIndex(element, place)
        if child:
            yield from _figures(child)


def _utf16(function: Any, element: Any) -> str:
    buffer = ctypes.create_string_buffer(2000)
    length = function(element, buffer, 2000)
    return buffer.raw[: max(length - 2, 0)].decode("utf-16-le")
