"""A shortlist as tiles, eight in view: each with what stays lying on it, to be used, compared or looked at closely."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import streamlit as st

from ui import saving, words
from ui.looking import MOST_COMPARED
from ui.swatches import tile_swatch, tile_text

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from matcher.service.tiles import Tile
    from ui.looking import Looking
    from ui.state import Visit

_ROWS = (("four", 4), ("three", 3), ("one", 1))  # tiles a row as ui/looks/shortlist.css lays them out


@dataclass(frozen=True, slots=True)
class Listed:
    """The shortlist of a ``role`` of a room as somebody looks at it: its ``tiles``, the ``surfaces`` that stay, small
    pictures of their real ``pixels`` by name.
    """

    visit: Visit
    room: StoredRoom
    looking: Looking
    role: str
    tiles: Sequence[Tile]
    surfaces: Sequence[Mapping[str, Any]]
    pixels: Mapping[str, bytes]

    @property
    def pinned(self) -> str | None:
        """The code of the paint in use for the role."""
        code: str | None = self.room.document.get("pins", {}).get(self.role)
        return code

    @property
    def here(self) -> Tile | None:
        """The tile looked at closely: the one pressed last, else the one in use, else the first."""
        by_code = {tile.code: tile for tile in self.tiles}
        wanted = (by_code.get(code) for code in (self.looking.closer.get(self.role), self.pinned) if code)
        return next((tile for tile in wanted if tile), self.tiles[0] if self.tiles else None)

    @property
    def compared(self) -> list[Tile]:
        """The tiles that are compared, in the order of the list."""
        codes = self.looking.compared.get(self.role, [])
        return [tile for tile in self.tiles if tile.code in codes]


def show_tiles(listed: Listed) -> None:
    """Show every paint of the list as a tile, under the heading of its group."""
    here = listed.here
    for place, tile in enumerate(listed.tiles):
        state = "here" if tile is here else "there"
        with st.container(key=f"tile-{state}-{listed.role}-{tile.code}", gap=None):
            _tile(listed, place, tile)


def _tile(listed: Listed, place: int, tile: Tile) -> None:
    role, compared = listed.role, listed.compared
    # Where a narrow screen puts the pane: ui/looks/shortlist.css.
    opens = '<i class="g-opens"></i>' if tile.code == listed.looking.opened(role) else ""
    st.html(_heading(listed.tiles, place) + tile_swatch(tile, listed.surfaces) + opens)
    st.button(
        str(tile.paint["name"]),
        key=f"look-{role}-{tile.code}",
        type="tertiary",
        on_click=listed.looking.look,
        args=(role, tile.code),
    )
    st.html(tile_text(tile))
    with st.container(key=f"do-{role}-{tile.code}", horizontal=True, vertical_alignment="center"):
        use_button(listed, tile, "pin")
        st.checkbox(
            words.COMPARE,
            value=tile in compared,
            key=f"compare-{role}-{tile.code}",
            disabled=len(compared) >= MOST_COMPARED and tile not in compared,
            on_change=listed.looking.compare,
            args=(role, tile.code),
            width="content",
        )


def use_button(listed: Listed, tile: Tile, key: str) -> None:
    """Show the button that takes a paint for the role or, where it is in use, lets it go."""
    mine = tile.code == listed.pinned
    st.button(
        words.UNPIN if mine else words.PIN,
        key=f"{key}-{listed.role}-{tile.code}",
        type="primary" if mine else "secondary",
        on_click=_pin,
        args=(listed, None if mine else tile.code),
    )


def _pin(listed: Listed, code: str | None) -> None:
    document, role = listed.room.document, listed.role
    pins = {other: kept for other, kept in document.get("pins", {}).items() if other != role}
    if code is not None:
        pins[role] = code
    if saving.save(listed.visit, listed.room, {**document, "pins": pins}):
        # What is tried on the wall follows what was chosen last.
        listed.looking.tried.pop(role, None)


def _heading(tiles: Sequence[Tile], place: int) -> str:
    """Return the heading of a group over its first tile, as wide as the group goes on in that row; and over the first
    tile of a row that a group goes on in.
    """
    group = tiles[place].group
    count = sum(tile.group == group for tile in tiles)
    first = next(number for number, tile in enumerate(tiles) if tile.group == group)
    title, why = words.FIRST_ALONE if group == "first" and count == 1 else words.GROUPS[group]
    headings = ""
    for row, across in _ROWS:
        run = min(across - place % across, first + count - place)
        if place == first:
            said = f'<strong>{title}</strong> <span class="g-soft">{why if run > 1 or row == "one" else ""}</span>'
        elif place % across == 0 and across > 1:
            said = f'<span class="g-soft">{words.GROUP_ON[group]}</span>'
        else:
            continue
        headings += f'<p class="g-group g-{row}" style="--run:{run}">{said}</p>'
    return headings
