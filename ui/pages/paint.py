"""One paint looked at closely: which way it leans, shown beside white, true grey and what stays; what that means."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import live
from matcher.service.examined import examined
from matcher.service.room_light import day_view
from ui import words
from ui.day_strips import day_of
from ui.header import room_page
from ui.looking import looking_at
from ui.messages import show_error, show_note
from ui.neighbours import show_neighbours
from ui.paint_link import FROM, PAGE, PAINT, paint_query
from ui.state import ROOM
from ui.swatches import chip

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def main() -> None:
    """Show the paint that the address names."""
    came = st.query_params.get(FROM, "")
    came = came if came in words.PAINT_BACK else "shortlist"
    visit, room, bar = room_page(came, words.PAINT_TITLE)
    code = st.query_params.get(PAINT, "")
    paint = live.known_paints(visit.desk, [code]).get(code)
    named = f'{escape(paint["name"])} <span class="g-num">{escape(code)}</span>' if paint else ""
    ranked = _ranked(visit, room)
    with bar:
        st.html(f'<p class="g-soft">{named}</p>', width="stretch")
        _on_wall(room, ranked, code)
        _look_up(visit, room, came, code)
        st.page_link(f"pages/{came}.py", label=words.PAINT_BACK[came], query_params={ROOM: room.id}, width="content")
    if not code:
        show_note(words.PAINT_NONE)
        return
    try:
        view = examined(visit.desk, room, code, ranked.staying if ranked else ())
    except GivensError as error:
        show_error(error)
        return
    st.html(_page(view))
    with st.container(key="paint-round", horizontal=True):
        with st.container(key="paint-neighbours"):
            show_neighbours(visit, room, came, code)
        if ranked is not None:
            with st.container(key="paint-day"):
                _through_the_day(visit, room, ranked, code)


def _through_the_day(visit: Visit, room: StoredRoom, ranked: live.LiveRanking, code: str) -> None:
    """Show the paint hour by hour above what stays, and lead to the page of the room's light."""
    st.html(f'<h3 class="p-section">{words.PAINT_DAY}</h3>')
    try:
        view = day_view(visit.desk, room, ranked, also=code)
    except GivensError as error:
        show_error(error)
        return
    row = next(one for one in view["paints"] if one["code"] == code)
    said = "".join(f"<p>{escape(text)}</p>" for text in row["says"])
    assumed = escape(" ".join(view["assumed"]))
    st.html(f'{day_of(view, row)}{said}<p class="g-soft">{escape(view["summary"])}. {assumed}</p>')
    query = {ROOM: room.id, PAINT: code}
    st.page_link("pages/light.py", label=words.PAINT_DAY_MORE, query_params=query, width="content")


def _ranked(visit: Visit, room: StoredRoom) -> live.LiveRanking | None:
    """Return the ranked deck; None, and why it is told, where the paint has to be shown without the room."""
    try:
        ranked = live.ranked(visit.desk, room)
    except GivensError as error:
        show_error(error)
        return None
    if ranked is None:
        show_note(words.PAINT_ALONE)
    return ranked


def _on_wall(room: StoredRoom, ranked: live.LiveRanking | None, code: str) -> None:
    """Lead to the wall where the paint is one that can be tried there."""
    roles = ranked.roles if ranked else {}
    role = next((one for one, found in roles.items() if any(paint["code"] == code for paint in found["paints"])), "")
    if role and st.button(words.SEE_ON_WALL, key="see-on-wall"):
        looking_at(room).try_paint(role, code)
        st.switch_page("pages/wall.py", query_params={ROOM: room.id})


def _look_up(visit: Visit, room: StoredRoom, came: str, code: str) -> None:
    """Look for any paint of the deck by a few letters."""
    with st.popover(words.PAINT_OTHER):
        text = st.text_input(words.PAINT_SEARCH, max_chars=60, key="paint-search", live=True)
        try:
            found = live.found_paints(visit.desk, text, after=code)
        except GivensError as error:
            show_error(error)
            return
        if not found:
            show_note(words.PAINT_NOT_FOUND.format(text=text))
        for number, paint in enumerate(found):
            with st.container(key=f"found-{number}", horizontal=True, vertical_alignment="center", gap="small"):
                st.html(chip(paint["hex"]), width="content")
                label = f"{paint['name']} {paint['code']}"
                query = paint_query(room, paint["code"], came)
                st.page_link(PAGE, label=label, query_params=query, width="content")


def _page(view: Json) -> str:
    pairs = "".join(_pair(view, pair) for pair in view["pairs"])
    rows = "".join(
        _row(row["term"], f"<strong>{escape(row['bold'])}</strong> {escape(row['text'])}") for row in view["means"]
    )
    details = "".join(_row(row["term"], escape(row["text"])) for row in view["details"])
    advice = f'<p class="p-advice">{escape(view["advice"])}</p>' if view["advice"] else ""
    return (
        f'<div class="p-head"><h2>{escape(view["headline"])}</h2>'
        f"<p>{escape(view['lede'])}</p></div>"
        f'<div class="p-zones"><section><h3>{words.PAINT_LEANS}</h3><div class="p-pairs">{pairs}</div>'
        f"{_strip(view)}</section>"
        f'<section><h3>{words.PAINT_MEANS}</h3><dl class="p-list">{rows}</dl>{advice}'
        f'<details class="p-details"><summary>{words.PAINT_DETAILS}</summary><dl class="p-list">{details}</dl>'
        f"</details></section></div>"
    )


def _row(term: str, said: str) -> str:
    return f"<div><dt>{escape(term)}</dt><dd>{said}</dd></div>"


def _pair(view: Json, pair: Mapping[str, Any]) -> str:
    own, label = escape(view["name"] or view["code"]), escape(pair["label"])
    colours = "".join(f'<span style="background:{colour}"></span>' for colour in pair["hexes"])
    return (
        f'<figure><div class="p-ground g-on-{view["ground"]}"><div class="p-swatches" role="img" '
        f'aria-label="{own}, {label}">{colours}</div><p aria-hidden="true"><span>{own}</span><span>{label}</span></p>'
        f"</div><figcaption><strong>{escape(pair['bold'])}</strong> {escape(pair['text'])}</figcaption></figure>"
    )


def _strip(view: Json) -> str:
    strip = view["strip"]
    if not strip["hexes"]:
        return f'<p class="p-no-strip g-soft">{escape(strip["said"])}</p>'
    steps = "".join(f'<span style="background:{colour}"></span>' for colour in strip["hexes"])
    said = ", ".join(escape(strip[part]) for part in ("from", "said", "to"))
    return (
        f'<div class="p-ground p-strip g-on-{view["ground"]}"><div class="p-swatches" role="img" aria-label="{said}">'
        f'{steps}</div><p aria-hidden="true"><span>{escape(strip["from"])}</span><span>{escape(strip["said"])}</span>'
        f"<span>{escape(strip['to'])}</span></p></div>"
    )


main()
