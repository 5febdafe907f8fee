"""How to photograph, drawn: three plain pictures for a householder with a phone in the hand."""

from __future__ import annotations

import base64
from html import escape

from ui import words

_INK, _SOFT, _PAPER = "#1c1e20", "#8a8d90", "#ffffff"
_LINE = f'fill="none" stroke="{_INK}" stroke-width="2.5" stroke-linejoin="round" stroke-linecap="round"'

_CARDS = (
    '<g transform="translate({x} {y}) skewX(-24)" stroke="#1c1e20" stroke-width="1.5">'
    '<rect width="34" height="30" fill="#efefef"/><rect x="34" width="34" height="30" fill="#767676"/>'
    '<rect x="68" width="34" height="30" fill="#2a2a2a"/></g>'
)

_WHOLE = (
    f'<path d="M30 30H290V170H30Z M30 170L8 190 M290 170L312 190" {_LINE}/>'
    f'<path d="M60 55h70v60h-70z M95 55v60 M60 85h70" {_LINE}/>'
    f'<path d="M165 120h110v50h-110z M165 132h110 M220 132v38" {_LINE}/>'
    '<rect x="196" y="110" width="16" height="10" fill="#767676" stroke="#1c1e20"/>'
)
_NEAR = (
    f'<path d="M20 80L110 30H300L250 180H10Z" {_LINE}/>'
    f'<path d="M60 120q30-20 60-6t70-14 M150 60q30 10 70-4" fill="none" stroke="{_SOFT}" stroke-width="2"/>'
    + _CARDS.format(x=120, y=92)
)
_LIGHT = (
    f'<path d="M30 30h110v120H30z M85 30v120 M30 90h110" {_LINE}/>'
    f'<path d="M150 60l50 14 M150 90h54 M150 120l50-14" {_LINE}/>'
    f'<path d="M252 40l-22 52h16l-8 42 34-58h-18l16-36z" {_LINE}/>'
    f'<path d="M214 150L304 30" stroke="{_INK}" stroke-width="5"/>'
)
_ON_SURFACE = f'<path d="M64 92H296L258 172H14Z" {_LINE}/>'
_ONE_CARD = (
    '<g transform="translate(146 112) skewX(-24)" stroke="#1c1e20" stroke-width="1.5">'
    '<rect width="46" height="34" fill="#767676"/></g>'
)
# A phone held level over the card, and what it takes in.
_PHONE = (
    f'<rect x="128" y="14" width="70" height="15" rx="4" fill="{_PAPER}" stroke="{_INK}" stroke-width="2.5"/>'
    f'<circle cx="142" cy="29" r="3" fill="{_INK}"/>'
    f'<path d="M140 34L84 104 M146 34L226 104" fill="none" stroke="{_SOFT}" stroke-width="2" stroke-dasharray="5 5"/>'
)
_DAYLIGHT = (
    f'<path d="M20 14h46v50H20z M43 14v50 M20 39h46" {_LINE}/>'
    f'<path d="M266 22l-14 22h28z M266 44v8 M252 14l28 44" {_LINE}/>'
)
_PICTURES = {"whole": _WHOLE, "near": _NEAR, "light": _LIGHT}


def how_to_photograph() -> str:
    """Return the three steps with their pictures."""
    steps = "".join(
        f"<div>{image(_svg(_PICTURES[name]), title)}<h3>{escape(title)}</h3><p>{escape(text)}</p></div>"
        for name, title, text in words.CLIENT_STEPS
    )
    return f'<div class="g-steps-drawn">{steps}</div>'


def asked_photo(kind: str, surface: str) -> str:
    """Return where to lay the card for the photo that was asked for, the surface named in the drawing."""
    many = kind == "three cards"
    alt = words.CLIENT_ASKED_SAID["three" if many else "one"].format(surface=surface)
    body = _ON_SURFACE + (_CARDS.format(x=116, y=112) if many else _ONE_CARD) + _PHONE
    body += _DAYLIGHT if kind == "daylight" else ""
    body += (
        f'<text x="160" y="192" text-anchor="middle" font-family="system-ui, sans-serif" font-size="15" '
        f'fill="{_INK}">{escape(surface)}</text>'
    )
    return f'<div class="g-drawn">{image(_svg(body), alt)}</div>'


def image(svg: str, alt: str) -> str:
    """Return a drawing as an image: the page takes no SVG of its own. ``alt`` is read out in its place."""
    data = base64.b64encode(svg.encode("utf-8")).decode("ascii")
    return f'<img src="data:image/svg+xml;base64,{data}" alt="{escape(alt)}">'


def _svg(body: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 200" width="320" height="200">{body}</svg>'
