"""A sheet as a PNG in sRGB: every swatch pixel by pixel the colour that the sheet names.

Drawn by Pillow, which is there for the photos: a renderer of SVG would be one library more, and on a machine without
fonts would leave the words out.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from matcher.report.lettering import face, writable
from matcher.report.sheet import Face, Line, Sheet

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

# Pixels a unit: sharp on screens of double density, and on paper (assumption).
SCALE = 2
# The PNG chunk that says the pixels are sRGB (W3C PNG, 11.3.2.5), to be rendered by relative colorimetry.
_SRGB, _RELATIVE = b"sRGB", b"\x01"


def png_of(sheet: Sheet) -> bytes:
    """Return the drawing as the bytes of a PNG file, ``SCALE`` pixels a unit."""
    from PIL import Image
    from PIL.ImageDraw import Draw
    from PIL.PngImagePlugin import PngInfo

    image = Image.new("RGB", (sheet.width * SCALE, sheet.height * SCALE), "#ffffff")
    draw = Draw(image)
    for box in sheet.boxes:
        left, top = box.x * SCALE, box.y * SCALE
        right, low = left + box.width * SCALE - 1, top + box.height * SCALE - 1
        if box.empty:
            draw.rectangle((left + 1, top + 1, right - 1, low - 1), outline=box.fill)
        else:
            draw.rectangle((left, top, right, low), fill=box.fill)
    for line in sheet.lines:
        size, x = line.size * SCALE, float(line.x * SCALE)
        if line.lead:
            _write(draw, x, line, f"{line.lead} ", "bold")
            x += face("bold", size).getlength(writable(f"{line.lead} ", "bold"))
        _write(draw, x, line, line.text, line.face)
    info = PngInfo()
    info.add(_SRGB, _RELATIVE)
    stream = io.BytesIO()
    image.save(stream, "PNG", pnginfo=info)
    return stream.getvalue()


def _write(draw: ImageDraw, x: float, line: Line, text: str, kind: Face) -> None:
    """Write ``text`` on the base line of ``line``, from or up to ``x`` in pixels."""
    anchor = "rs" if line.end else "ls"
    font = face(kind, line.size * SCALE)
    draw.text((x, line.y * SCALE), writable(text, kind), fill=line.fill, font=font, anchor=anchor)
