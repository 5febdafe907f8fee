"""Beside the rooms of a new edition: the deck in use, the new one, how far the ranking is, and going over to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import deck_in_use, edition_arrival, edition_page
from ui import words
from ui.messages import show_error, show_note, show_notes

if TYPE_CHECKING:
    from matcher.service.deck_in_use import DeckInUse
    from matcher.service.edition_page import EditionView, Ranking
    from ui.state import Visit

# What this session was asked ("over" to the new edition, "back" to the old one), and what went wrong.
_ASKED, _WRONG = "edition-asked", "edition-deck-wrong"
_LOOK_S = 1.0  # how often it is looked how far the ranking is


def show_deck(visit: Visit, deck: DeckInUse) -> None:
    """Show which deck is in use, since when and by whom, and the way back to the one before."""
    said = words.EDITION_DECK.format(name=deck.name, size=deck.size)
    since = ""
    if deck.since is not None:
        template = words.EDITION_SINCE_BY if deck.by else words.EDITION_SINCE
        since = f'<br><span class="g-soft">{escape(template.format(since=deck.since, by=deck.by))}</span>'
    with st.container(key="edition-now"):
        st.html(f"<h2>{words.EDITION_NOW}</h2><p>{escape(said)}{since}</p>")
        wrong = st.session_state.pop(_WRONG, None)
        if wrong is not None:
            show_error(wrong)
        before = deck.before
        if before is None:
            return
        name = before.file.rpartition(".")[0] or before.file
        if st.session_state.get(_ASKED) == "back":
            lines = [line.format(name=name) for line in words.EDITION_BACK_WHAT]
            _ask(lines, words.EDITION_BACK_YES, _put, (visit, before.sha, deck.sha))
        else:
            _button(words.EDITION_BACK_TO.format(name=name), "edition-back", _set_asked, ("back",))


def show_new(visit: Visit, deck: DeckInUse, view: EditionView) -> None:
    """Show the edition that was looked at last: what changes in the deck, the ranking, and the way over to it."""
    names = words.EDITION_FROM_TO.format(old=view.old, old_size=view.old_size, new=view.edition, size=view.size)
    counts = {"gone": view.gone, "renamed": view.renamed, "added": view.added, "moved": view.moved}
    facts = "".join(
        f"<div{' class=e-part' if kind == 'renamed' else ''}><dt>{escape(said)}</dt><dd>{counts[kind]:,}</dd></div>"
        for kind, said in words.EDITION_FACTS.items()
        if kind != "renamed" or view.renamed
    )
    with st.container(key="edition-new"):
        st.html(f'<h2>{words.EDITION}</h2><p>{escape(names)}</p><dl class="e-facts g-num">{facts}</dl>')
        show_notes(f"{note[:1].upper()}{note[1:]}." for note in view.notes)
        if view.ranking.standing in ("running", "stopping"):
            _progress(visit)
        elif view.ranking.standing != "done":
            _unfinished(visit, view)
        elif not view.in_use:
            _over(visit, deck, view)


@st.fragment(run_every=_LOOK_S)
def _progress(visit: Visit) -> None:
    """Show how far the ranking is, again and again; the page is drawn anew once it is over."""
    ranking = edition_page.ranking_of(visit.desk)
    if ranking is None or ranking.standing not in ("running", "stopping"):
        st.rerun()
    st.html(_how_far(ranking))
    if ranking.standing == "running":
        st.button(words.EDITION_STOP, key="edition-stop", on_click=edition_arrival.stop, args=(visit.desk,))


def _how_far(ranking: Ranking) -> str:
    step = ranking.step or words.EDITION_READY
    count = words.EDITION_COUNT.format(done=ranking.done, of=ranking.of) if ranking.of else ""
    by = words.EDITION_BEGUN_BY.format(by=ranking.by) if ranking.by else ""
    about = words.EDITION_STOPPING if ranking.standing == "stopping" else words.EDITION_GOES_ON
    said = ", ".join(escape(part) for part in (count, by) if part)
    return (
        f'<p class="e-step"><strong>{escape(step)}</strong><br><span class="g-num">{said}</span></p>'
        f'<progress class="e-far" aria-label="{escape(step)}" max="{max(ranking.of, 1)}" value="{ranking.done}">'
        f'</progress><p class="g-soft" role="status">{escape(about)}</p>'
    )


def _unfinished(visit: Visit, view: EditionView) -> None:
    ranking = view.ranking
    problem = f"{ranking.problem.rstrip('.')}."
    show_note(words.EDITION_STANDING[ranking.standing].format(problem=problem))
    if view.kept:
        _button(words.EDITION_GO_ON, "edition-go-on", _go_on, (visit, view.id))
    else:
        show_note(words.EDITION_SEND_AGAIN)


def _over(visit: Visit, deck: DeckInUse, view: EditionView) -> None:
    if not view.kept:
        show_note(words.EDITION_SEND_AGAIN)
    elif st.session_state.get(_ASKED) == "over":
        means = edition_page.going_over(visit.desk, view.id)
        first, shared, gone, back = words.EDITION_OVER_WHAT
        lines = [
            first.format(rooms=means.rooms, name=view.edition, changed=means.changed),
            shared,
            *([gone.format(gone=means.gone)] if means.gone else []),
            back.format(old=deck.name),
        ]
        _ask(lines, words.EDITION_OVER.format(name=view.edition), _put, (visit, view.sha, deck.sha))
    else:
        st.html(f'<p class="g-soft">{escape(words.EDITION_OVER_HELP.format(old=deck.name))}</p>')
        label = words.EDITION_OVER.format(name=view.edition)
        st.button(label, key="edition-over", type="primary", on_click=_set_asked, args=("over",))


def _ask(lines: Iterable[str], yes: str, act: Callable[..., None], given: tuple[object, ...]) -> None:
    """Say what will happen before it does."""
    said = "".join(f"<li>{escape(line)}</li>" for line in lines)
    st.html(f'<div role="status"><ul class="e-means">{said}</ul></div>')
    with st.container(key="edition-ask", horizontal=True):
        st.button(yes, key="edition-yes", type="primary", on_click=act, args=given)
        st.button(words.EDITION_NOT_YET, key="edition-no", on_click=_set_asked, args=("",))


def _button(label: str, key: str, act: Callable[..., None], given: tuple[object, ...]) -> None:
    st.button(label, key=key, on_click=act, args=given)


def _set_asked(what: str) -> None:
    st.session_state[_ASKED] = what


def _put(visit: Visit, sha: str, instead_of: str) -> None:
    _set_asked("")
    try:
        deck_in_use.put_in_use(visit.desk, visit.user, sha, instead_of=instead_of)
    except GivensError as error:
        st.session_state[_WRONG] = error


def _go_on(visit: Visit, edition: str) -> None:
    try:
        edition_arrival.go_on(visit.desk, visit.user, edition)
    except GivensError as error:
        st.session_state[_WRONG] = error
