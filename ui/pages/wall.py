"""The scheme in the client's own room: every role that is outlined painted together, before and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import streamlit as st

from matcher.errors import GivensError
from matcher.service import live, showing
from matcher.service.ahead import prepare_ahead
from matcher.service.on_the_wall import wall_roles
from matcher.service.photo import verdict_words
from ui import words
from ui.before_after import View, before_after
from ui.header import room_page
from ui.looking import Looking, looking_at
from ui.messages import show_error
from ui.nothing_yet import need_ranked, show_nothing_yet
from ui.role_card import show_role, tried_colours
from ui.saving import save
from ui.state import ROOM, Visit
from ui.swatches import levels, named_stays

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from matcher.service.repainting import Repainted
    from matcher.service.showing import Repaintable

_VIEWS: tuple[View, ...] = ("before", "half", "after")


def main() -> None:
    """Show the room before and after."""
    visit, room, bar = room_page("wall", words.STEPS["wall"])
    looking = looking_at(room)
    shown = showing.repaintable(room)
    if shown is None:
        show_nothing_yet(room, words.WALL_NOTHING, "mark" if room.photos else "photos")
        return
    ranked = need_ranked(visit, room, words.SHORTLIST_NOTHING)
    roles = wall_roles(visit.desk, room, ranked)
    paints = {role.role: looking.trying(role) for role in roles if looking.is_shown(role)}
    painted, problem = _painted(visit, room, paints, looking.guessed)
    deck = ranked.result["deck"]["sha256"]
    address = _address(room, paints, looking.guessed, deck) if painted else ""
    with bar:
        if address:
            looking.view = st.segmented_control(
                words.WALL_VIEW,
                _VIEWS,
                default=looking.view,
                required=True,
                format_func=words.WALL_VIEWS.__getitem__,
                key="wall-view",
                label_visibility="collapsed",
            )
        st.html("<i></i>", width="stretch")
        st.page_link("pages/light.py", label=words.LIGHT_PAGE, query_params={ROOM: room.id}, width="content")
        if address:
            file = escape(f"{room.name}.jpg")
            st.html(
                f'<a class="g-button" href="{escape(address)}" download="{file}">{words.WALL_SAVE}</a>',
                width="content",
            )
    with st.container(key="wall-zones", horizontal=True):
        with st.container(key="wall-main"):
            if problem:
                show_error(problem)
            _picture(room, shown, looking, address, guess=bool(looking.guessed & paints.keys()))
            _sure(painted)
        with st.container(key="wall-side"):
            st.html(tried_colours(roles))
            for role in roles:
                show_role(room, shown, looking, role, painted)
            staying = [surface for surface in ranked.staying if surface["name"].casefold() not in paints]
            st.html(
                f'<div class="g-card"><h3>{words.WHAT_STAYS}</h3><div class="g-ground">'
                f"{named_stays(staying, live.pictures(visit.desk, room))}</div></div>"
            )
            _go_on(visit, room, looking, paints)
    prepare_ahead(visit.desk, room)


def _painted(
    visit: Visit, room: StoredRoom, paints: Mapping[str, str], guessed: set[str]
) -> tuple[Repainted | None, GivensError | None]:
    """Return the picture, None where nothing is shown painted, and what kept it from being made."""
    if not paints:
        return None, None
    try:
        return showing.repainted_together(visit.desk, room, paints, guessed=guessed), None
    except GivensError as error:
        return None, error


def _address(room: StoredRoom, paints: Mapping[str, str], guessed: set[str], deck: str) -> str:
    asked: list[tuple[str, str]] = []
    for role, code in paints.items():
        asked += [("role", role), ("code", code)]
    asked += [("guess", role) for role in sorted(guessed & paints.keys())]
    # A picture is kept by the browser for a while: of other marks, or another edition, it is another one.
    state = [("marks", showing.marked_version(room)[:12]), ("deck", deck[:12])]
    return f"/repainted/{room.id}?" + urlencode([*asked, *state])


def _picture(room: StoredRoom, shown: Repaintable, looking: Looking, address: str, *, guess: bool) -> None:
    before = f"/pictures/{room.id}/{shown.sha}"
    before_after(
        before,
        address or before,
        before_word=words.WALL_BEFORE,
        after_word=words.WALL_GUESSED if guess else words.WALL_AFTER,
        slider_word=words.WALL_SLIDER,
        key="before-after",
        view=looking.view if address else "before",
        loading_word=words.WALL_LOADING,
    )


def _sure(painted: Repainted | None) -> None:
    """Show what the picture does not show and, on demand, what is known of how right it is, role by role."""
    with st.container(key="wall-below", horizontal=True, vertical_alignment="center"):
        note = words.WALL_NOTE if painted else words.WALL_NOTHING_SHOWN
        st.html(f'<p class="g-soft g-wall-note">{note}</p>', width="stretch")
        if painted is not None:
            found = [verdict_words(said) for said in painted.result["painted"]]
            with st.popover(words.WALL_SURE, type="tertiary"):
                st.html(levels(_once([check for checks in found for check in checks if check["level"] != "ok"])))


def _once(checks: Sequence[dict[str, str]]) -> list[dict[str, str]]:
    return list({check["message"]: check for check in checks}.values())


def _go_on(visit: Visit, room: StoredRoom, looking: Looking, paints: Mapping[str, str]) -> None:
    with st.container(key="wall-go", horizontal=True):
        if st.button(words.WALL_BACK, key="wall-back", width="stretch"):
            st.switch_page("pages/shortlist.py", query_params={ROOM: room.id})
        kept = st.button(words.WALL_KEEP, key="wall-keep", type="primary", width="stretch", disabled=not paints)
        if kept and save(visit, room, {**room.document, "pins": {**room.document.get("pins", {}), **paints}}):
            st.switch_page("pages/scheme.py", query_params={ROOM: room.id})


main()
