"""The room's own light: what stays and the paints chosen, hour by hour through a day and by lamps."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices
from matcher.service.room_light import day_view, usual_day
from ui import words
from ui.day_strips import beside, moments_in_numbers, strips
from ui.header import room_page
from ui.messages import show_error
from ui.nothing_yet import need_ranked
from ui.paint_link import PAINT
from ui.saving import save
from ui.state import ROOM, Visit

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom

Json = dict[str, Any]
_NOON = "12:00"


def main() -> None:
    """Show the room's light."""
    visit, room, bar = room_page("light", words.LIGHT_PAGE)
    with bar:
        sky = st.segmented_control(
            words.LIGHT_SKY,
            tuple(words.LIGHT_SKIES),
            default="clear",
            required=True,
            format_func=words.LIGHT_SKIES.__getitem__,
            key="light-sky",
            label_visibility="collapsed",
        )
        st.html("<i></i>", width="stretch")
        _day(visit, room)
    ranked = need_ranked(visit, room, words.SHORTLIST_NOTHING)
    asked = st.query_params.get(PAINT, "")
    try:
        view = day_view(visit.desk, room, ranked, overcast=sky == "overcast", also=asked)
    except GivensError as error:
        show_error(error)
        return
    with st.container(key="light-paints"):
        paint = _paint(view, asked)
    with st.container(key="light-zones", horizontal=True):
        with st.container(key="light-main"):
            place = _moment(view, paint)
        with st.container(key="light-side"):
            _large(view, paint, place)
    _said(view, paint, room)


def _day(visit: Visit, room: StoredRoom) -> None:
    """Show the day, which is kept with the room."""
    about = room.document.get("room", {})
    said = about.get("date")
    present = date.fromisoformat(said) if said else usual_day()
    picked = st.date_input(
        words.LIGHT_DAY,
        present,
        min_value=choices.DAYS[0],
        max_value=choices.DAYS[1],
        format="YYYY-MM-DD",
        key=f"light-day-{room.revision}",
        label_visibility="collapsed",
        width=150,
    )
    if isinstance(picked, date) and picked != present:
        document = {**room.document, "room": {**about, "date": picked.isoformat()}}
        if save(visit, room, document):
            st.rerun()


def _paint(view: Json, asked: str) -> Json:
    """Ask which paint is shown large."""
    rows: dict[str, Json] = {row["code"]: row for row in view["paints"]}
    codes = list(rows)

    def label(code: str) -> str:
        title = rows[code]["title"]
        return words.LIGHT_PAINT.format(role=title, name=rows[code]["name"]) if title else str(rows[code]["name"])

    chosen = st.segmented_control(
        words.LIGHT_WHICH,
        codes,
        default=asked if asked in rows else codes[0],
        required=True,
        format_func=label,
        key="light-paint",
        label_visibility="collapsed",
    )
    return rows[chosen]


def _moment(view: Json, paint: Json) -> int:
    """Draw the strips and, below them, the slider through the day; return the column it stands at."""
    columns = view["columns"]
    labels = [column["label"] for column in columns]
    kept = st.session_state.get("light-at", _NOON)
    place = labels.index(kept) if kept in labels else labels.index(_NOON)
    st.html(strips(view, paint, place))
    with st.container(key="light-slider"):
        st.select_slider(
            words.LIGHT_SLIDER,
            labels,
            value=labels[place],
            key="light-at",
            label_visibility="collapsed",
        )
    st.html(
        f'<p class="l-now" role="status"><strong>{escape(columns[place]["words"])}</strong> '
        f'<span class="g-soft">{escape(view["summary"])}.</span></p>'
    )
    return place


def _large(view: Json, paint: Json, place: int) -> None:
    says = "".join(f"<li>{escape(text)}</li>" for text in paint["says"])
    st.html(
        f'<div class="g-card">{beside(view, paint, place)}<h2>{escape(paint["name"])}</h2>'
        f'<p class="g-soft g-num">{escape(paint["code"])}</p><ul class="l-says">{says}</ul></div>'
    )


def _said(view: Json, paint: Json, room: StoredRoom) -> None:
    """Say what the light means for the room, what was assumed, and how far this is to be trusted."""
    lines = "".join(f"<li>{escape(text)}</li>" for text in view["room"])
    told = f"<ul>{lines}</ul>" if lines else ""
    st.html(f"<div class='l-said'>{told}<p class='g-soft'>{escape(view['basis'])} {escape(view['drawn'])}</p></div>")
    if view["assumed"]:
        with st.container(key="light-assumed", horizontal=True, vertical_alignment="center"):
            st.html(f'<p class="g-soft">{escape(" ".join(view["assumed"]))}</p>', width="stretch")
            if view["unsaid"]:
                st.page_link(
                    "pages/brief.py", label=words.LIGHT_TO_BRIEF, query_params={ROOM: room.id}, width="content"
                )
    with st.expander(words.IN_NUMBERS):
        st.html(moments_in_numbers(view, paint))


main()
