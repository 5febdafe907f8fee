"""A measured colour with its doubt, as a swatch: in the middle what was read, beside it what it may truly be. SVG."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from matcher.report.ground import GREYS
from matcher.report.plots import Drawing
from matcher.report.sentences import SPREAD_SAID

# Drawing sizes in SVG units, chosen by looking at phone and laptop width.
_WIDTH, _HEIGHT, _EDGE = 360, 84, 10
_MIDDLE = 112
_GROUND = GREYS["ground"]


def spread_drawing(surface: str, colour: Mapping[str, Any]) -> Drawing:
    """Return the swatch of a colour entry of the result: ``hex`` in the middle, the darker half of ``spread`` to the
    left and the lighter one to the right, all touching, on neutral grey.
    """
    beside = colour["spread"]
    half = len(beside) // 2
    width = (_WIDTH - 2 * _EDGE - _MIDDLE) / (2 * half)
    low, high = 2 * _EDGE, _HEIGHT - 4 * _EDGE
    parts = [f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="{_GROUND}"/>']
    for place, text in enumerate(beside):
        left = _EDGE + place * width + (_MIDDLE if place >= half else 0)
        # A hair wider than its place, so that no ground shines through between two.
        parts.append(f'<rect x="{left:.1f}" y="{low}" width="{width + 0.5:.1f}" height="{high}" fill="{text}"/>')
    middle = _EDGE + half * width
    parts.append(
        f'<rect x="{middle:.1f}" y="{_EDGE}" width="{_MIDDLE}" height="{_HEIGHT - 2 * _EDGE}" fill="{colour["hex"]}"/>'
    )
    alt = SPREAD_SAID.format(surface=surface)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" '
        f'aria-label="{escape(alt)}">{"".join(parts)}</svg>'
    )
    return Drawing(svg, alt)
