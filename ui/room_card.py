"""A room in the list as a card: its picture, its name, how far it is, what is new, and the one next thing to do."""

from __future__ import annotations

from datetime import datetime
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import choices
from ui import words
from ui.state import ROOM

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.room_list import RoomCard, Standing


def show_card(card: RoomCard) -> None:
    """Draw the card; its name opens the room, its button what is next in it.

    As few elements as it can be: the browser takes as long for each as for all that one of them says, and there are
    many cards. ui/looks/rooms.css puts their parts into their places.
    """
    with st.container(key=f"room-{card.id}", gap=None):
        # Where the work is: on the photos, if there are any.
        page = "mark" if card.picture else "brief"
        st.page_link(f"pages/{page}.py", label=card.name, query_params={ROOM: card.id})
        told = f'<p class="g-standing">{standing(card.standing)}</p><p class="g-about">{_about(card)}</p>'
        st.html(_picture(card) + _progress(card) + told)
        role = choices.ROLES.get(card.next.about, card.next.about).lower()
        query = {ROOM: card.id}
        if card.next.action == "mark photo":
            query["photo"] = card.next.about
        label = words.NEXT_THING[card.next.action].format(role=role)
        st.page_link(f"pages/{card.next.step}.py", label=label, query_params=query, width="content")


def standing(told: Standing) -> str:
    """Return what there is to say of a room, HTML: news stand out by weight and a mark."""
    values = told.values
    if told.kind == "news":
        return f"<strong>{words.NEWS}</strong>{_news(values)}"
    if told.kind == "unfit":
        return f"<strong>{_will_not_do(values['poor'])}</strong>"
    if told.kind == "holds":
        parts = [_counted(values["photos"], "photo"), _counted(values["surfaces"], "surface")]
        return escape(", ".join(part for part in parts if part)) or words.NO_PICTURE
    shown = {**values, "when": day(values["when"])} if "when" in values else dict(values)
    if "answer" in shown:
        shown["answer"] = words.CHOICE_WORDS[shown["answer"]]
    return escape(words.STANDING[told.kind].format(**shown))


def day(when: datetime, *, today: datetime | None = None) -> str:
    """Return a day as it is said: today, yesterday, 21 Nov, and with the year where it is another one."""
    here, now = when.astimezone(), (today or datetime.now()).astimezone()
    ago = (now.date() - here.date()).days
    if ago in (0, 1):
        return ("today", "yesterday")[ago]
    return f"{here.day} {here:%b}" if here.year == now.year else f"{here.day} {here:%b %Y}"


def _news(values: Mapping[str, Any]) -> str:
    parts = [_counted(values["photos"], "photo")]
    if values["poor"]:
        parts.append(_will_not_do(values["poor"]))
    if values["answer"]:
        parts.append(f"“{words.CHOICE_WORDS[values['answer']]}”")
    said = ", ".join(part for part in parts if part)
    return f": {escape(said)}" if said else ""


def _will_not_do(count: int) -> str:
    return f"{_counted(count, 'photo')} will not do"


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}{'s' * (count != 1)}" if count else ""


def _about(card: RoomCard) -> str:
    changed = day(card.updated)
    return f'<span class="g-tag">{words.SAMPLE_ROOM}</span>' if card.sample else escape(changed)


def _picture(card: RoomCard) -> str:
    if card.picture is None:
        return f'<span class="g-room-picture empty">{words.NO_PICTURE}</span>'
    # Beside its name, which says whose picture it is.
    address = f"/pictures/{card.id}/{card.picture}?small=1"
    return f'<img class="g-room-picture" src="{escape(address)}" alt="" loading="lazy">'


def _progress(card: RoomCard) -> str:
    """Return six bars, a step each, with the step the room stands at; hidden words say all of it."""
    bars = "".join(f'<span class="{state.replace(" ", "-")}"></span>' for state in card.states.values())
    said = "; ".join(f"{words.STEPS[step]}: {words.STEP_STATES[state]}" for step, state in card.states.items())
    return (
        f'<p class="g-progress"><span class="bars" aria-hidden="true">{bars}</span>'
        f'<span class="g-soft" aria-hidden="true">{words.STEPS[card.at]}</span>'
        f'<span class="g-hidden">{said}</span></p>'
    )
