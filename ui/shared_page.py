"""What was shared, as the householder sees it; the consultant's preview is made of the same. HTML, all text escaped."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from matcher.service.sharing import listed
from ui import words
from ui.swatches import band, paints_band, paints_named, picture_tag, swatch

Json = Mapping[str, Any]
_WALLS = "walls"


def headline(content: Json, *, room: str, pictured: bool) -> str:
    """Return what stands under the picture: from whom, what it is, the consultant's own words."""
    title = words.CLIENT_SHARED if pictured else words.CLIENT_SHARED_PLAIN
    remark = "".join(f'<p class="g-lede">{escape(line)}</p>' for line in content["remark"].splitlines() if line.strip())
    close = ""
    if pictured:
        left = content.get("unpainted", ())
        as_now = words.CLIENT_AS_NOW.format(roles=listed(left).lower()) if left else ""
        close = f'<p class="g-soft">{words.CLIENT_CLOSE} {escape(as_now)}</p>'
    from_whom = escape(words.CLIENT_FROM.format(room=room))
    return f'<p class="g-soft c-from">{from_whom}</p><h1>{title}</h1>{remark}{close}'


def section(title: str, note: str = "") -> str:
    """Return the head of a section, parted from what is above it."""
    return f'<div class="c-section"><h2>{title}</h2>' + (f'<p class="g-soft">{note}</p>' if note else "") + "</div>"


def paint_board(paint: Json, content: Json) -> str:
    """Return a paint large, touching what it will live with, then its role, its name and why."""
    walls = next((one for one in content["paints"] if one.get("id") == _WALLS and one is not paint), None)
    beside = []
    if walls is not None:
        beside = [(walls["role"].lower(), f'<span class="c-chip" style="background:{walls["hex"]}"></span>')]
    beside += [(surface["name"], band(surface)) for surface in content["surfaces"]]
    met = "".join(f"<figure>{chip}<figcaption>{escape(name)}</figcaption></figure>" for name, chip in beside)
    return (
        f'<div class="g-ground c-board">{swatch(paint, "tall")}<div class="c-met">{met}</div></div>'
        f'<div class="c-name"><h3>{escape(paint["role"])}</h3>'
        f'<p><strong class="g-serif">{escape(paint["name"])}</strong> <span class="g-soft">{escape(paint["code"])}'
        f"</span></p></div>{_why(paint)}"
    )


def _why(paint: Json) -> str:
    """Return the reasons, one fact a line; nothing against the paint is left out."""
    against = [(f"{words.CLIENT_MIND} {clash['title']}.", clash["message"]) for clash in paint["clashes"]]
    against += [(words.CLIENT_MIND, reason["text"]) for reason in paint["reasons"] if reason["side"] == "Against"]
    lines = [f"<li>{escape(reason['text'])}.</li>" for reason in paint["reasons"] if reason["side"] != "Against"]
    lines += [f"<li><strong>{escape(mind)}</strong> {escape(text)}.</li>" for mind, text in dict.fromkeys(against)]
    return f'<ul class="c-why">{"".join(lines)}</ul>'


def other_ways(content: Json, pictures: Mapping[int, str]) -> str:
    """Return the other ways to go; ``pictures`` are addresses by their place. Empty where none was shared."""
    return "".join(
        f'<div class="c-other">{_picture(pictures.get(place), other["title"])}{paints_band(other["paints"])}'
        f"<h3>{escape(other['title'])}</h3><p>{escape(other['trade'])}.</p>"
        f'<p class="g-soft">{escape(paints_named(other["paints"]))}</p></div>'
        for place, other in enumerate(content.get("alternatives", ()))
    )


def _picture(address: str | None, alt: str) -> str:
    return "" if address is None else picture_tag(address, alt)


def to_keep(address: str) -> str:
    """Return the way to the document that goes with the suggestion."""
    return (
        f'<p class="c-keep"><a href="{escape(address)}">{words.CLIENT_KEEP}</a> '
        f'<span class="g-soft">{words.CLIENT_KEEP_NOTE}</span></p>'
    )


def what_next(content: Json) -> str:
    """Return what to do with the suggestion: sample boards, looked at where they will live; and the one hazard."""
    paints = listed(list(dict.fromkeys(paint["name"] for paint in content["paints"])))
    steps = "".join(
        f"<li><strong>{title}</strong><span>{escape(text.format(paints=paints))}</span></li>"
        for title, text in words.CLIENT_NEXT_STEPS
    )
    return (
        f'{section(words.CLIENT_NEXT, words.CLIENT_NEXT_NOTE)}<ol class="c-next">{steps}</ol>'
        f'<p class="c-caution"><strong>{words.CLIENT_CAUTION}</strong> {words.CLIENT_CAUTION_WHY}</p>'
    )
