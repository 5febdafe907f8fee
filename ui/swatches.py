"""Surfaces and paints as the screen shows them: swatches on neutral grey, facts beside them. HTML, all text escaped."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING, Any

from matcher.service.showing import unbroken
from ui import words

if TYPE_CHECKING:
    from matcher.service.instrument import Kept, Understood
    from matcher.service.tiles import Tile

from ui.drawings import image

Json = Mapping[str, Any]


def band(surface: Json) -> str:
    """Return the colours of a surface side by side, each as wide as its share."""
    parts = "".join(
        f'<span style="flex:{colour["share"]} 0 0;background:{colour["hex"]}"></span>' for colour in surface["colours"]
    )
    alt = ", ".join(f"{100 * colour['share']:.0f} % {_leans(colour)}" for colour in surface["colours"])
    return f'<span class="g-band" role="img" aria-label="{escape(surface["name"])}: {escape(alt)}">{parts}</span>'


def _leans(colour: Json) -> str:
    # A scheme that was shared before this word was kept has the designation alone.
    return str(colour.get("leans", colour["designation"]))


def swatch(paint: Json, size: str = "") -> str:
    """Return a paint's colour, large; ``size`` "tall" for a phone held at arm's length."""
    return (
        f'<span class="g-swatch {size}" style="background:{paint["hex"]}" role="img" '
        f'aria-label="{escape(paint["name"])}"></span>'
    )


def chip(colour: str) -> str:
    """Return a colour, hex, as a small square on its ground, to stand before the words for it."""
    return f'<span class="g-chip" style="background:{colour}"></span>'


def paints_band(paints: Iterable[Json]) -> str:
    """Return the paints of a scheme side by side on the ground, all as wide."""
    colours = "".join(f'<span style="flex:1;background:{paint["hex"]}"></span>' for paint in paints)
    return f'<div class="g-ground"><div class="g-band">{colours}</div></div>'


def paints_named(paints: Iterable[Json]) -> str:
    """Return the paints of a scheme by role and name, in a line of text."""
    return "; ".join(f"{paint['role']}: {paint['name']}" for paint in paints)


def _stays(surface: Json, pixels: Mapping[str, bytes], caption: str = "") -> str:
    return f"<figure>{pixels_of(surface, pixels)}{band(surface)}{caption}</figure>"


def pixels_of(surface: Json, pixels: Mapping[str, bytes]) -> str:
    """Return a piece of the photo that a surface was measured in; nothing where an instrument read it."""
    picture = pixels.get(surface["name"])
    if picture is None:
        return ""
    data = base64.b64encode(picture).decode("ascii")
    name = escape(surface["name"])
    return f'<img class="g-pixels" src="data:image/jpeg;base64,{data}" alt="{name}, from the photo" title="{name}">'


def surface_block(surface: Json, pixels: Mapping[str, bytes]) -> str:
    """Return one surface with what was measured of it."""
    rows = "".join(
        f"<tr><td>{chip(colour['hex'])}{escape(colour['part'])}</td>"
        f'<td class="g-num">{100 * colour["share"]:.0f} %</td><td>{escape(colour["leans"])}</td>'
        f'<td class="g-num">{colour["lrv"]:.0f}</td></tr>'
        for colour in surface["colours"]
    )
    return (
        f'<div class="g-surface"><div class="g-ground">{_stays(surface, pixels)}</div>'
        f'<h3>{escape(surface["title"])} <span class="g-soft">({escape(surface["material"])})</span></h3>'
        f"<p>{escape(surface['sentence'])}</p>{_spread(surface)}{_beside_chips(surface)}"
        f'<table class="g-table"><thead><tr><th>Part</th><th>Share</th><th>Leans</th><th>LRV</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _beside_chips(surface: Json) -> str:
    """Return the surface's main colour edge to edge with the chip it comes nearest to, and what is said of the two."""
    name, own = surface["name"], surface["colours"][0]["hex"]
    return "".join(
        f'<div class="g-beside"><div class="g-ground"><div class="g-pair" role="img" '
        f'aria-label="{escape(words.BESIDE_CHIP.format(surface=name, **near))}">'
        f'<span style="background:{own}"></span><span style="background:{near["hex"]}"></span></div></div>'
        f'<div class="g-pair g-soft g-small" aria-hidden="true"><span>{escape(surface["title"])}</span>'
        f"<span>{escape(near['code'])} {escape(near['name'])}</span></div>"
        f"<p>{escape(near['sentence'])} "
        f'<span class="g-soft g-small">{escape(near["compared"])}.</span></p></div>'
        for near in surface["chips"]
    )


def _spread(surface: Json) -> str:
    drawing = surface["spread"]
    return "" if drawing is None else f'<div class="g-spread">{image(drawing.svg, drawing.alt)}</div>'


def reading_block(understood: Understood) -> str:
    """Return what a reading of an instrument says: its colour, large, and its figures."""
    count = words.INSTRUMENT_COUNT.format(count=understood.count) if understood.count > 1 else ""
    found = words.INSTRUMENT_FOUND.format(*understood.lab)
    return (
        f'<div class="g-ground">{swatch({"hex": understood.hex, "name": found})}</div>'
        f'<p class="g-num" style="margin-top:0.6rem">{escape(found)}<br>{escape(_figures(understood, count))}</p>'
        f"{in_numbers([words.INSTRUMENT_DOUBT.format(sd=understood.sd)])}"
    )


def reading_line(kept: Kept) -> str:
    """Return a kept reading in two lines beside its colour."""
    found = words.INSTRUMENT_FOUND.format(*kept.lab)
    return (
        f"<p>{chip(kept.hex)}{escape(titled(kept.name))}<br>"
        f'<span class="g-soft g-num g-small">{escape(found)}. {escape(_figures(kept))}</span></p>'
        f"{in_numbers([words.INSTRUMENT_DOUBT.format(sd=kept.sd)])}"
    )


def _figures(read: Understood | Kept, count: str = "") -> str:
    lrv = words.INSTRUMENT_LRV.format(lrv=read.lrv)
    return f"{', '.join(filter(None, (lrv, count)))}; {words.INSTRUMENT_OFF.format(off=read.off)}"


def in_numbers(lines: Iterable[str]) -> str:
    """Return a fold with the numbers behind words."""
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f'<details><summary>{words.IN_NUMBERS}</summary><ul class="g-soft g-num">{items}</ul></details>'


def stays_pictures(surfaces: Sequence[Json], pixels: Mapping[str, bytes]) -> str:
    """Return the style that puts each surface's real pixels into the chips of :func:`tile_swatch`: sent once a page."""
    rules = "".join(
        f".g-real-{number} {{ background-image: url(data:image/jpeg;base64,"
        f"{base64.b64encode(pixels[surface['name']]).decode('ascii')}) }}"
        for number, surface in enumerate(surfaces)
        if surface["name"] in pixels
    )
    return f"<style>{rules}</style>"


def tile_swatch(tile: Tile, surfaces: Sequence[Json]) -> str:
    """Return a paint on its ground, with chips of what stays lying on it: real pixels above the measured colours."""
    chips = "".join(
        f'<span class="g-lies"><i class="g-real-{number}"></i><b>'
        + "".join(f'<u style="flex:{c["share"]} 0 0;background:{c["hex"]}"></u>' for c in surface["colours"])
        + "</b></span>"
        for number, surface in enumerate(surfaces)
    )
    return (
        f'<div class="g-tile-ground g-on-{tile.ground}" aria-hidden="true">'
        f'<div class="g-tile-paint" style="background:{tile.paint["hex"]}">{chips}</div></div>'
    )


def tile_text(tile: Tile) -> str:
    """Return what a tile says of its paint in a glance: code, LRV, one reason, and what speaks against it."""
    paint = tile.paint
    extra = f'<p class="g-against">{escape(tile.clash)}</p>' if tile.clash else ""
    if paint["added"]:
        extra += f'<p class="g-small">{words.ADDED}</p>'
    return (
        f'<p class="g-tile-facts g-num"><span class="g-soft">{escape(paint["code"])}</span>'
        f'<span>LRV {paint["lrv"]:.0f}</span></p><p class="g-tile-reason">{escape(tile.reason)}</p>{extra}'
    )


def named_stays(surfaces: Sequence[Json], pixels: Mapping[str, bytes]) -> str:
    """Return what stays in a row, each with its name below."""
    figures = "".join(
        _stays(surface, pixels, f"<figcaption>{escape(titled(surface['name']))}</figcaption>") for surface in surfaces
    )
    return f'<div class="g-strip g-named">{figures}</div>'


def closer_swatch(tile: Tile, surfaces: Sequence[Json], pixels: Mapping[str, bytes]) -> str:
    """Return one paint large, touching each of the surfaces that stay."""
    return (
        f'<div class="g-closer g-on-{tile.ground}"><div style="background:{tile.paint["hex"]}" role="img" '
        f'aria-label="{escape(tile.paint["name"])}"></div>{named_stays(surfaces, pixels)}</div>'
    )


def titled(name: str) -> str:
    """Return a name as it stands over what it names."""
    return name[:1].upper() + name[1:]


def clashes(found: Sequence[Json]) -> str:
    """Return a box for each clash."""
    return "".join(
        f'<div class="g-clash"><strong>{escape(clash["title"])}</strong>{escape(clash["message"])}</div>'
        for clash in found
    )


def reasons(found: Sequence[Json]) -> str:
    """Return reasons with their side: for, against, aside."""
    lines = "".join(
        f'<li class="{reason["side"].lower()}"><span class="g-hidden">{reason["side"]}: </span>'
        f"{unbroken(reason['text'])}</li>"
        for reason in found
    )
    return f'<ul class="g-reasons">{lines}</ul>'


def terms(paint: Json) -> str:
    """Return how a paint scored, a bar a term."""
    rows = "".join(
        f'<tr><th scope="row">{escape(term["title"])}</th><td><div class="g-bar">'
        f'<span style="width:{100 * term["value"]:.1f}%"></span></div></td>'
        f'<td class="g-num">{term["value"]:.2f}</td></tr>'
        for term in paint["terms"]
    )
    return f'<table class="g-terms">{rows}</table><p class="g-soft g-small">{escape(paint["stability"])}</p>'


def levels(checks: Sequence[Json]) -> str:
    """Return the verdicts on a photo, a line each."""
    lines = "".join(
        f"<li><strong>{escape(check['word'])}</strong><span>{escape(check['message'])}</span></li>" for check in checks
    )
    return f'<ul class="g-levels">{lines}</ul>'


def picture_tag(address: str, alt: str) -> str:
    """Return a client's photo as an image at one of our guarded addresses."""
    return f'<img class="g-photo" src="{escape(address)}" alt="{escape(alt)}" loading="lazy">'
