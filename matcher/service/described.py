"""One colour described and examined, and the picture of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.ranking.meeting import Meeting

Json = dict[str, Any]
_KINDS = {".png": "PNG", ".svg": "SVG"}
_OTHER = "other colour"  # what sentences call the colour that one is looked at beside


@dataclass(frozen=True, slots=True)
class Described:
    """``entry`` as ``paint describe --json`` prints it, ``view`` the same in words, with the colours beside them."""

    entry: Json
    view: Json


def described(
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    hex_text: str | None = None,
    beside: str | None = None,
    lights: Sequence[str] = (),
    deck: Callable[[], Deck],
) -> Described:
    """Describe a colour named by a paint's ``code`` or name, by CIELAB or by sRGB; the ``deck`` is read where needed.

    ``beside`` names what it will meet: a code or name, ``L a b`` or ``#rrggbb``.
    """
    from matcher.description.asked import checked_lab, colour_beside, find_named, hex_colour
    from matcher.description.colour import describe_colours
    from matcher.description.examined import examine
    from matcher.report.colour_entry import colour_entry
    from matcher.report.examined_entry import examined_entry
    from matcher.report.paint_view import paint_view

    lrv = reflectance = None
    named, name = "", ""
    if code is not None:
        known = deck()
        row = find_named(known, code)
        colour: Sequence[float] = known.lab[row].tolist()
        lrv, named, name = float(known.lrv[row]), known.codes[row], known.names[row]
        reflectance = None if known.reflectance is None else known.reflectance[[row]]
    else:
        colour = checked_lab(lab) if lab is not None else hex_colour(hex_text or "")
    found = examine(colour, lrv=lrv)
    met, label = _beside(colour_beside(deck, beside), found.colour.lab, found.colour.lrv) if beside else ((), "")
    view = paint_view(found, met, code=named, name=name, beside=label)
    colours = describe_colours([colour], lrvs=None if lrv is None else [lrv], lights=lights, reflectance=reflectance)
    entry = colour_entry(colours[0], code=named, name=name)
    return Described({**entry, "munsell": found.munsell, "examined": examined_entry(found, view, met)}, view)


def _beside(other: tuple[list[float], float | None, str], own: Any, lrv: float) -> tuple[tuple[Meeting, ...], str]:
    from matcher.colorimetry.lrv import lrv as lrv_of
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.ranking.meeting import meet, part_of

    lab, published, name = other
    part = part_of(lab, float(lrv_of(lab)) if published is None else published, lab_to_hex(lab))
    return (meet(own, lrv, _OTHER, [part]),), name


def drawing_kind(path: Path) -> str:
    """Return PNG or SVG by the suffix of ``path``; raises :class:`matcher.errors.RequestError` for others."""
    from matcher.errors import Problem, RequestError

    kind = _KINDS.get(path.suffix.lower())
    if kind is None:
        raise RequestError(Problem(str(path), "a paint is drawn as PNG or SVG", "End its name in .png or .svg"))
    return kind


def drawn(view: Json, kind: str) -> bytes:
    """Return the picture of a paint in a view of :func:`described`, the file of a ``kind`` PNG or SVG."""
    from matcher.report.paint_picture import paint_picture
    from matcher.report.sheet_png import png_of
    from matcher.report.sheet_svg import svg_of

    sheet = paint_picture(view)
    return png_of(sheet) if kind == "PNG" else svg_of(sheet).encode("utf-8")
