"""A sheet as one self-contained SVG: rectangles with exact sRGB fills, text as text in faces every machine has."""

from __future__ import annotations

from html import escape

from matcher.report.sheet import Box, Line, Sheet

_FACES = {
    "serif": "font-family=\"Georgia, 'Times New Roman', 'Liberation Serif', serif\"",
    "sans": "font-family=\"system-ui, 'Segoe UI', Roboto, 'Liberation Sans', Arial, sans-serif\"",
    "bold": "font-family=\"system-ui, 'Segoe UI', Roboto, 'Liberation Sans', Arial, sans-serif\" font-weight=\"600\"",
}


def svg_of(sheet: Sheet) -> str:
    """Return the drawing as the text of an SVG file."""
    size = f'viewBox="0 0 {sheet.width} {sheet.height}" width="{sheet.width}" height="{sheet.height}"'
    body = "\n".join([*map(_box, sheet.boxes), *map(_line, sheet.lines)])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-label="{escape(sheet.alt)}" '
        f'shape-rendering="crispEdges">\n<title>{escape(sheet.alt)}</title>\n{body}\n</svg>\n'
    )


def _box(box: Box) -> str:
    if box.empty:
        # Half a line within its edge.
        place = f'x="{box.x + 0.5}" y="{box.y + 0.5}" width="{box.width - 1}" height="{box.height - 1}"'
        return f'<rect {place} fill="none" stroke="{box.fill}" stroke-dasharray="4 4"/>'
    name = f"<title>{escape(box.name)}</title>" if box.name else ""
    place = f'x="{box.x}" y="{box.y}" width="{box.width}" height="{box.height}" fill="{box.fill}"'
    return f"<rect {place}>{name}</rect>" if name else f"<rect {place}/>"


def _line(line: Line) -> str:
    anchor = ' text-anchor="end"' if line.end else ""
    place = f'x="{line.x}" y="{line.y}" font-size="{line.size}" fill="{line.fill}"{anchor}'
    lead = f'<tspan font-weight="600">{escape(line.lead)}</tspan> ' if line.lead else ""
    return f"<text {place} {_FACES[line.face]}>{lead}{escape(line.text)}</text>"
