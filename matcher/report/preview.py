"""A picture file of a photo with its surfaces outlined and numbered as in the report, to send or print on its own."""

from __future__ import annotations

import base64
import io

from PIL import Image, ImageDraw, ImageFont

from matcher.report.picture import Picture

_QUALITY = 85
# White on black lines show on any surface; widths over the picture's longest side, chosen by looking.
_OUTER, _INNER = 0.0045, 0.0022
_INK, _PAPER = (26, 26, 26), (255, 255, 255)


def preview_jpeg(picture: Picture) -> bytes:
    """Return the JPEG file of ``picture``, drawn over."""
    image = Image.open(io.BytesIO(base64.b64decode(picture.data_uri.partition(",")[2]))).convert("RGB")
    scale = image.width / picture.width
    draw = ImageDraw.Draw(image)
    longest = max(image.size)
    for outline in picture.outlines:
        for polygon in outline.polygons:
            _line(draw, polygon, scale, longest)
    for card in picture.cards:
        _line(draw, card, scale, longest)
    for outline in picture.outlines:
        x, y, radius = outline.label[0] * scale, outline.label[1] * scale, picture.badge * scale
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=_INK, outline=_PAPER, width=2)
        draw.text((x, y), str(outline.number), fill=_PAPER, anchor="mm", font=ImageFont.load_default(1.2 * radius))
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=_QUALITY, optimize=True)
    return stream.getvalue()


def _line(draw: ImageDraw.ImageDraw, points: str, scale: float, longest: int) -> None:
    corners = [tuple(scale * float(part) for part in point.split(",")) for point in points.split()]
    closed = [*corners, *corners[:2]]
    for width, colour in ((_OUTER, _INK), (_INNER, _PAPER)):
        draw.line(closed, fill=colour, width=max(1, round(width * longest)), joint="curve")
