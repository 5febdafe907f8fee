"""What the scheme comes to: wishes that fight, what it takes to paint, what was checked, and why these paints."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import scheme_facts
from matcher.service.scheme_choices import without_wish
from ui import words
from ui.scheme_ways import section_head
from ui.state import ROOM
from ui.swatches import chip, clashes, in_numbers, reasons
from ui.taking import take

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def show_conflicts(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Say which wishes or choices fight and what is enough to give up, each with the press that does it."""
    for place, conflict in enumerate(scheme_facts.conflicts(ranked)):
        with st.container(key=f"conflict-{place}"):
            st.html(f'<p role="status">{escape(conflict.text)}</p>')
            with st.container(key=f"conflict-acts-{place}", horizontal=True):
                for number, wish in enumerate(conflict.ways):
                    label = words.GIVE_UP.format(wish=wish["message"])
                    if st.button(label, key=f"give-up-{place}-{number}"):
                        said = words.GAVE_UP.format(wish=wish["message"])
                        take(visit, room, without_wish(room.document, wish), said)
                st.page_link("pages/brief.py", label=words.TO_WISHES, query_params={ROOM: room.id}, width="content")


def show_takes(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show what the scheme takes to paint: areas, coats, litres and tins, as far as the brief tells sizes."""
    schedule = scheme_facts.to_paint(visit.desk, room, ranked)
    st.html(section_head(words.TAKES, words.TAKES_NOTE))
    head = "".join(f'<th scope="col">{title}</th>' for title in words.TAKES_COLUMNS)
    rows = "".join(_takes_row(row) for row in schedule["rows"])
    st.html(f'<table class="s-takes"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>')
    with st.container(key="takes-on", horizontal=True, vertical_alignment="center"):
        if len(schedule["quantities"]) < len(schedule["rows"]):
            st.html(f'<p class="g-small g-soft">{words.TAKES_SIZES}</p>', width="content")
            st.page_link("pages/brief.py", label=words.TO_SIZES, query_params={ROOM: room.id}, width="content")
        st.html(
            f'<p class="s-file"><a href="/handover/{room.id}/{scheme_facts.SCHEDULE_FILE}">'
            f"{words.HANDOVER_SCHEDULE}</a></p>",
            width="content",
        )


def _takes_row(row: Json) -> str:
    cells = (row["area"], row["coats_text"], row["litres_text"], row["tins_text"])
    labelled = "".join(
        f'<td data-of="{title}">{escape(cell)}</td>' for title, cell in zip(words.TAKES_COLUMNS[1:], cells, strict=True)
    )
    return (
        f'<tr><th scope="row">{chip(row["hex"])}{escape(row["surface"])} '
        f'<span class="g-soft">{escape(row["name"])}</span></th>{labelled}</tr>'
    )


def show_checked(ranked: LiveRanking) -> None:
    """Show what was checked between the paints, and what rules for people with low vision make of each pair."""
    checks = ranked.scheme["checks"]
    if checks:
        lines = "".join(_check(check) for check in checks)
        st.html(
            f'{section_head(words.SCHEME_CHECKED)}<ul class="s-checks">{lines}</ul>'
            f"{in_numbers(check['numbers'] for check in checks)}"
        )
    pairs = scheme_facts.low_vision_pairs(ranked)
    if pairs:
        with st.expander(words.SCHEME_CONTRAST):
            listed = "".join(
                f"<div><h3>{escape(pair['title'])}</h3><p>{escape(pair['text'])}.</p>{in_numbers(pair['numbers'])}</div>"
                for pair in pairs
            )
            st.html(f'<p class="g-soft">{scheme_facts.LOW_VISION_NOTE}</p><div class="s-pairs">{listed}</div>')


def _check(check: Json) -> str:
    kind, word = ("holds", words.HOLDS) if check["passes"] else ("look", words.LOOK_AGAIN)
    return f'<li class="{kind}"><strong>{word}</strong><span>{escape(check["text"])}.</span></li>'


def show_why(scheme: Json) -> None:
    """Show why each paint: what speaks for it, and all that speaks against it."""
    st.html(section_head(words.SCHEME_WHY, scheme["intro"]))
    columns = "".join(
        f"<div><h3>{escape(paint['role'])}: {escape(paint['name'])}</h3>"
        f"{clashes(paint['clashes'])}{reasons(paint['reasons'])}</div>"
        for paint in scheme["paints"]
    )
    st.html(f'<div class="s-why">{columns}</div>')
