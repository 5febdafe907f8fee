"""Sharing with the client: their answer, the link, what they get to see, a preview, and what was shared so far."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import streamlit as st

from matcher.errors import GivensError
from matcher.service import client, desk, sharing
from ui import words
from ui.client_link import has_link, make_link, show_link
from ui.messages import show_error
from ui.shared_page import headline, other_ways, paint_board, section, to_keep, what_next
from ui.swatches import chip, paints_named

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking
    from matcher.service.painted_room import PaintedRoom
    from matcher.service.records import Answer, Share, StoredRoom
    from ui.state import Visit


def show_answers(visit: Visit, room: StoredRoom) -> None:
    """Show what the client said, the latest first, above all else; from then on it has been seen."""
    if not room.answers:
        return
    last = room.answers[-1]
    st.html(f'<h2 class="s-head">{words.ANSWERS}</h2>{_answer(last, room.share)}')
    if len(room.answers) > 1:
        with st.expander(words.ANSWER_EARLIER.format(count=len(room.answers) - 1)):
            st.html("".join(_answer(answer, room.share) for answer in reversed(room.answers[:-1])))
    desk.note_seen(visit.desk, visit.user, room, "answer")


def show_share_card(visit: Visit, room: StoredRoom, ranked: LiveRanking, picture: PaintedRoom) -> None:
    """Show what is shared and how; ``picture`` is the room in the scheme."""
    shows = picture.picture is not None
    st.html(f'<h2 class="s-head">{words.SHARE_TITLE}</h2>')
    if has_link(visit, room):
        show_link(visit, room, about="scheme")
    st.html(f'<p class="s-ask">{words.SHARE_WHAT}</p>')
    st.checkbox(words.SHARE_SCHEME, value=True, disabled=True, key="share-scheme")
    pictures = st.checkbox(words.SHARE_PICTURES, shows, disabled=not shows, key=f"share-pictures-{shows}")
    if not shows:
        roles = sharing.listed([paint["role"].lower() for paint in ranked.scheme["paints"]])
        st.html(f'<p class="g-small g-soft">{escape(words.SHARE_NO_PICTURES.format(roles=roles))}</p>')
    document = st.checkbox(words.SHARE_DOCUMENT, _last(room, "document"), key=f"share-document-{room.id}")
    titles = [other["title"] for other in ranked.scheme["alternatives"]]
    alternatives: list[str] = []
    if titles:
        # What was shared last is what is chosen to be shared again.
        last = [other["title"] for other in room.share.content.get("alternatives", ())] if room.share else []
        alternatives = st.multiselect(
            words.SHARE_OTHERS,
            titles,
            [title for title in titles if title in last],
            key=f"share-others-{room.id}",
            max_selections=sharing.MOST_ALTERNATIVES,
        )
    remark = st.text_area(words.REMARK, room.remark, max_chars=4000, key=f"remark-{room.id}")
    if remark != room.remark:
        # What is typed is kept whether it is shared or not.
        desk.save_remark(visit.desk, visit.user, room.id, remark)
    linked = has_link(visit, room)
    label = words.SHARE_AGAIN if room.shared and linked else words.SHARE if linked else words.SHARE_WITH_LINK
    if st.button(label, type="primary", key="share", width="stretch"):
        try:
            sharing.share_scheme(
                visit.desk, visit.user, room, ranked,
                remark=remark, pictures=pictures, alternatives=alternatives, document=document,
            )  # fmt: skip
        except GivensError as error:
            show_error(error)
        else:
            if not linked:
                make_link(visit, room)
            st.toast(words.SHARED)
            st.rerun()
    content = sharing.to_share(ranked, remark, alternatives=alternatives, document=document)
    if pictures and shows:
        content = sharing.about_picture(content, picture)
    if room.share is not None:
        since = words.SHARED_NOW if sharing.is_as_shared(content, room.share.content) else words.SHARED_SINCE
        st.html(f'<p class="g-small" role="status">{since.format(when=room.share.created)}</p>')
    _preview(room, content, picture if pictures and shows else None)
    _versions(visit, room)


def _last(room: StoredRoom, key: str) -> bool:
    """Tell whether what was shared last had it, which is what is chosen to be shared again."""
    return room.share is not None and bool(room.share.content.get(key))


def scheme_address(room: StoredRoom, paints: list[dict[str, Any]]) -> str:
    """Return the guarded address of the room's picture in these paints."""
    # A picture is kept by the browser for a while: of a code that is another colour now it is another one.
    colours = "".join(paint["hex"][1:] for paint in paints)
    asked = {**sharing.codes_of(paints), "revision": room.revision, "colours": colours}
    return f"/in-scheme/{room.id}?" + urlencode(asked)


def _preview(room: StoredRoom, content: dict[str, Any], picture: PaintedRoom | None) -> None:
    own, others = "", {}
    if picture is not None:
        own = f'<img class="g-photo" src="{escape(scheme_address(room, content["paints"]))}" alt="">'
        others = {
            place: scheme_address(room, other["paints"])
            for place, other in enumerate(content["alternatives"])
            if sharing.looks_otherwise(other["paints"], content["paints"], picture)
        }
    boards = "".join(paint_board(paint, content) for paint in content["paints"])
    ways = other_ways(content, others)
    more = section(words.CLIENT_OTHERS) + f'<div class="c-others">{ways}</div>' if ways else ""
    keep = to_keep(f"/handover/{room.id}/{sharing.DOCUMENT}") if content.get("document") else ""
    head = headline(content, room=room.name, pictured=picture is not None)
    with st.container(key="preview"):
        st.html(f'<h2 class="s-head">{words.SHARE_PREVIEW}</h2>')
        st.html(
            f'<div class="c-preview" role="region" tabindex="0" aria-label="{words.SHARE_PREVIEW}"><div>{own}'
            f"{head}{section(words.CLIENT_SCHEME)}{boards}{more}"
            f"{what_next(content)}{keep}</div></div>".replace("<h1>", '<p class="c-title">').replace("</h1>", "</p>")
        )


def _answer(answer: Answer, share: Share | None) -> str:
    """Return an answer, role by role, each beside its swatch while that is what the client sees."""
    current = share if share is not None and answer.share in (share.id, None) else None
    paints = {client.role_of(paint): paint for paint in current.content["paints"]} if current else {}
    rows = "".join(
        _answer_row(
            paints[part.role]["role"] if part.role in paints else part.role,
            words.CHOICE_WORDS[part.choice], part.note, paints.get(part.role, {}).get("hex"),
        )
        for part in answer.parts
    )  # fmt: skip
    whole = _answer_row(words.ANSWER_WHOLE, words.WHOLE_WORDS[answer.choice], answer.note, None)
    older = "" if current else f" {words.ANSWER_OLDER}"
    return (
        f'<div class="s-answer"><p class="g-small g-soft">{answer.created:%d %b, %H:%M}.{older}</p>{rows}{whole}</div>'
    )


def _answer_row(title: str, choice: str, note: str, colour: str | None) -> str:
    said = f"<strong>{escape(choice)}</strong>" + (f"<br>“{escape(note)}”" if note else "")
    beside = chip(colour) if colour else "<span></span>"
    return f'<div class="s-said">{beside}<span>{escape(title)}</span><span>{said}</span></div>'


def _versions(visit: Visit, room: StoredRoom) -> None:
    shares = client.shares(visit.desk, visit.user, room.id)
    if not shares:
        return
    with st.expander(words.SHARE_VERSIONS.format(count=len(shares))):
        st.html("".join(_version(room, share, now=share is shares[0]) for share in shares))


def _version(room: StoredRoom, share: Share, *, now: bool) -> str:
    paints = share.content.get("paints", ())
    about = [words.SHARE_SHOWN] if now else []
    about += [words.SHARE_WITH_PICTURES] if set(share.pictures) - {sharing.DOCUMENT} else []
    document = ""
    if sharing.DOCUMENT in share.pictures:
        about.append(words.SHARE_WITH_DOCUMENT)
        address = f"/handover/{room.id}/{share.id}/{sharing.DOCUMENT}"
        document = f'<p><a href="{address}">{words.SHARE_OPEN_DOCUMENT}</a></p>'
    about += [other["title"] for other in share.content.get("alternatives", ())]
    chips = "".join(chip(paint["hex"]) for paint in paints)
    remark = share.content.get("remark", "")
    return (
        f'<div class="s-version"><p><strong>{words.SHARE_VERSION.format(when=share.created)}</strong> '
        f'<span class="g-soft">{escape(", ".join(about))}</span></p><p>{chips} {escape(paints_named(paints))}</p>'
        + (f'<p class="g-soft">“{escape(remark)}”</p>' if remark else "")
        + f"{document}</div>"
    )
