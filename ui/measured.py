"""What is measured so far, as small cards: colours by their share, what the main one could be, one line of doubt."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

from ui import words
from ui.swatches import band, titled

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    Json = Mapping[str, Any]


def measured_cards(surfaces: Sequence[Json], waiting: Iterable[str] = ()) -> str:
    """Return a card for every measured surface, and one with a broken edge for each that is ``waiting`` by name."""
    cards = [_card(surface) for surface in surfaces]
    cards += [_waiting(name) for name in waiting]
    caption = f'<span class="g-soft">{words.COULD_BE}</span>' if surfaces else ""
    head = f'<div class="g-measured-head"><h2>{words.COLOURS}</h2>{caption}</div>'
    if not cards:
        return head
    # To be reached by keyboard: many surfaces scroll where the window is low.
    return f'{head}<ul class="g-measured" tabindex="0" aria-label="{words.COLOURS}">{"".join(cards)}</ul>'


def _card(surface: Json) -> str:
    main = surface["colours"][0]
    line = surface["sentence"].partition(". ")[0]
    unsure = surface["unsure"]
    return (
        f'<li><div class="g-ground">{band(surface)}{_could_be(main)}</div>'
        f'<p class="g-called"><strong>{escape(surface["title"])}</strong> {escape(main["leans"])}</p>'
        f'<p class="g-soft g-num">{escape(line.partition(",")[0])}, {escape(surface["sure"])}'
        f"{'. ' + escape(unsure) if unsure else ''}</p></li>"
    )


def _could_be(colour: Json) -> str:
    """Return the strip of what a colour could be, from dark to light; nothing where nothing is known of it."""
    parts = "".join(f'<span style="background:{text}"></span>' for text in colour.get("spread", ()))
    return f'<span class="g-could-be" role="img" aria-label="{words.COULD_BE_SAID}">{parts}</span>' if parts else ""


def _waiting(name: str) -> str:
    title = escape(titled(name))
    return f'<li><div class="g-waiting">{words.COLOUR_WAITS}</div><p class="g-called"><strong>{title}</strong></p></li>'
