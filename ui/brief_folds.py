"""The further questions of the brief, each group folded with what it says in its title: house, sizes, kept wishes."""

from __future__ import annotations

from datetime import date
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import brief_lines, choices, live
from ui import words
from ui.messages import show_problems
from ui.swatches import chip

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.keeping import Keeping
    from ui.state import Visit

Json = dict[str, Any]

# Roles whose own area is asked for where they are painted; walls and trim are always asked.
_OWN_SIZES = ("ceiling", "cabinets", "island", "accent", "door")


def ask_house(keeping: Keeping, room: StoredRoom) -> None:
    """Ask where and how old the house is, and the day whose light is shown."""
    about = room.document.get("room", {})
    with fold("house", room, words.HOUSE, brief_lines.house_line(room.document)):
        known = [None, *choices.COUNTRIES]
        country = about.get("country")
        st.selectbox(
            words.COUNTRY, known, known.index(country) if country in choices.COUNTRIES else 0,
            format_func=lambda code: choices.COUNTRIES[code] if code else words.NOT_KNOWN,
            help=words.COUNTRY_HELP, **keeping.field("country"),
        )  # fmt: skip
        number = keeping.clearable("built", about.get("built"))
        st.number_input(words.BUILT, step=1, format="%d", help=words.BUILT_HELP, **number)
        keeping.problems("built")
        day = date.fromisoformat(about["date"]) if "date" in about else None
        kept = keeping.clearable("date", day)
        st.date_input(words.DAY, min_value=choices.DAYS[0], max_value=choices.DAYS[1], format="YYYY-MM-DD", **kept)
        keeping.problems("date")


def ask_sizes(keeping: Keeping, room: StoredRoom) -> None:
    """Ask the sizes that litres and tins are reckoned from."""
    sizes = room.document.get("sizes", {})
    painted = room.document.get("wishes", {}).get("roles", ())
    with fold("sizes", room, words.SIZES, brief_lines.sizes_line(room.document)):
        units = sizes.get("units", "metres")
        length, area = words.LENGTH_UNIT[units], words.AREA_UNIT[units]
        st.radio(
            words.UNITS, list(words.UNIT_WORDS), list(words.UNIT_WORDS).index(units),
            format_func=words.UNIT_WORDS.__getitem__, horizontal=True, **keeping.field("units"),
        )  # fmt: skip
        with st.container(key="sizes-box"):
            _size(keeping, sizes, "length", words.SIZE_LENGTH.format(unit=length))
            _size(keeping, sizes, "width", words.SIZE_WIDTH.format(unit=length))
            _size(keeping, sizes, "height", words.SIZE_HEIGHT.format(unit=length))
            _size(keeping, sizes, "openings", words.SIZE_OPENINGS.format(unit=area))
            _size(keeping, sizes, "walls", words.SIZE_WALLS.format(unit=area), words.SIZE_WALLS_HELP)
            _size(keeping, sizes, "trim", words.SIZE_TRIM.format(unit=length))
            for role in _OWN_SIZES:
                if role in painted or role in sizes:
                    _size(keeping, sizes, role, words.SIZE_OWN.format(role=choices.ROLES[role], unit=area))
        show_problems(live.size_faults(room.document))


def _size(keeping: Keeping, sizes: Json, key: Any, label: str, help_text: str | None = None) -> None:
    present = sizes.get(key)
    with st.container(key=f"size-{key}", gap=None):
        number = keeping.clearable(key, None if present is None else float(present))
        st.number_input(label, step=0.1, help=help_text, **number)
        keeping.problems(key)


def ask_kept_wishes(visit: Visit, keeping: Keeping, room: StoredRoom) -> None:
    """Ask what the scheme has to keep, whatever it costs: no role is without what stands here."""
    wishes = room.document.get("wishes", {})
    roles = wishes.get("roles", ["walls", "trim"])
    with fold("wishes", room, words.KEPT_WISHES, brief_lines.wishes_line(room.document)):
        _ask_avoided(visit, keeping, wishes)
        st.multiselect(
            words.AVOID_FAMILIES, list(choices.FAMILIES), wishes.get("avoid_families", []),
            format_func=choices.FAMILIES.__getitem__, **keeping.field("avoid_families"),
        )  # fmt: skip
        most = wishes.get("most_paints")
        counts = [None, *sorted({*range(1, max(len(roles), 2)), *([most] if most else [])})]
        st.selectbox(
            words.MOST_PAINTS, counts, counts.index(most),
            format_func=lambda count: words.MOST_PAINTS_ANY if count is None else str(count),
            **keeping.field("most_paints"),
        )  # fmt: skip
        kept = wishes.get("lrv_of", {})
        for role in dict.fromkeys([*roles, *kept]):
            low, high = kept.get(role, (0, 100))
            label = words.KEPT_LRV.format(role=choices.ROLES[role])
            st.slider(
                label, 0, 100, (round(low), round(high)), help=words.KEPT_LRV_HELP, **keeping.field("lrv_of", role)
            )
            keeping.problems("lrv_of", role)
        _ask_contrasts(keeping, wishes.get("contrast", ()), roles)
        if room.document.get("rooms") or wishes.get("one_trim"):
            st.checkbox(words.ONE_TRIM, wishes.get("one_trim", False), **keeping.field("one_trim"))


def _ask_avoided(visit: Visit, keeping: Keeping, wishes: Json) -> None:
    """Ask for paints by code or name, and show those that were understood."""
    codes = wishes.get("avoid", [])
    st.text_input(words.AVOID, ", ".join(codes), placeholder=words.AVOID_EXAMPLE, **keeping.field("avoid"))
    keeping.problems("avoid")
    known = live.known_paints(visit.desk, codes)
    if known:
        chips = "".join(f"<li>{chip(paint['hex'])}{escape(paint['name'])}</li>" for paint in known.values())
        st.html(f'<ul class="b-avoided">{chips}</ul>')


def _ask_contrasts(keeping: Keeping, asked: list[Json], roles: list[str]) -> None:
    """Ask how far walls and each other role are to be apart; other pairs that a file asks for are shown too."""
    limits = {tuple(pair["between"]): (pair.get("at_least"), pair.get("at_most")) for pair in asked}
    offered = [("walls", role) for role in roles if role != "walls" and "walls" in roles]
    pairs = [pair for pair in offered if pair not in limits and pair[::-1] not in limits]
    for first, second in [*limits, *pairs]:
        present = limits.get((first, second))
        listed = list(dict.fromkeys([None, *choices.CONTRASTS, present]))
        title = words.APART_PAIR.format(first=choices.ROLES[first], second=choices.ROLES[second].lower())
        st.selectbox(
            title, listed, listed.index(present), format_func=_contrast, **keeping.field("contrast", first, second)
        )
        keeping.problems("contrast", first, second)


def _contrast(limits: tuple[float | None, float | None] | None) -> str:
    least, most = limits or (None, None)
    if least is not None and most is not None:
        return words.APART_BETWEEN.format(least=least, most=most)
    if least is not None:
        return words.APART_LEAST.format(least=least)
    return words.APART_ANY if most is None else words.APART_MOST.format(most=most)


def fold(name: str, room: StoredRoom, title: str, said: str) -> Any:
    """Return a fold that stays as it is, open or closed, while what it says in its title changes."""
    label = words.FOLD.format(title=title, said=said) if said else words.FOLD_NOTHING.format(title=title)
    return st.expander(label, key=f"fold-{name}-{room.id}", on_change="rerun")
