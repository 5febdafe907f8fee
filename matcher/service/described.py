"""One colour described and examined, and the picture of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.description.examined import Examined
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
    deck_path: Path | None = None,
    other_decks: Sequence[Path] = (),
) -> Described:
    """Describe a colour named by a paint's ``code`` or name, by CIELAB or by sRGB; decks are read where one is named.

    ``beside`` names what it will meet: a code or name, ``L a b`` or ``#rrggbb``. What ``deck_path`` does not have is
    sought in ``other_decks`` (:func:`matcher.service.decks.find_among`).
    """
    from matcher.description.asked import checked_lab, hex_colour
    from matcher.description.colour import describe_colours
    from matcher.description.examined import examine
    from matcher.report.colour_entry import colour_entry
    from matcher.report.examined_entry import examined_entry
    from matcher.report.paint_view import paint_view
    from matcher.service.decks import find_among, load_decks
    from matcher.service.paint import entry_among

    @cache
    def decks() -> tuple[Deck, ...]:
        return load_decks(deck_path, other_decks)

    if code is not None:
        place, row = find_among(decks(), code)
        entry = entry_among(decks(), place, row, lights)
        found = examine(decks()[place].lab[row], lrv=float(decks()[place].lrv[row]))
    else:
        colour = checked_lab(lab) if lab is not None else hex_colour(hex_text or "")
        entry = colour_entry(describe_colours([colour], lights=lights)[0], code="", name="")
        found = examine(colour)
    met, label = _beside(beside, decks, found) if beside is not None else ((), "")
    view = paint_view(found, met, code=entry["code"], name=entry["name"], beside=label)
    return Described({**entry, "munsell": found.munsell, "examined": examined_entry(found, view, met)}, view)


def _beside(text: str, decks: Callable[[], Sequence[Deck]], found: Examined) -> tuple[tuple[Meeting, ...], str]:
    """Return how the paint meets the colour that ``text`` names, and that colour's name."""
    from matcher.colorimetry.lrv import lrv
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.description.asked import stated_colour
    from matcher.ranking.meeting import meet, part_of
    from matcher.service.decks import find_among

    lab, name = stated_colour(text, where="--beside"), _OTHER
    if lab is None:
        place, row = find_among(decks(), text)
        deck = decks()[place]
        name = deck.names[row] or deck.codes[row]
        part = part_of(deck.lab[row], float(deck.lrv[row]), lab_to_hex(deck.lab[row]))
    else:
        part = part_of(lab, float(lrv(lab)), lab_to_hex(lab))
    return (meet(found.colour.lab, found.colour.lrv, _OTHER, [part]),), name


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
