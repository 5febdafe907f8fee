"""The scheme: kept, let go, taken back, shared; and what a new edition of the deck does to it."""

from __future__ import annotations

import html
from pathlib import Path
from typing import Any

from matcher.service import client, live, sharing
from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, save_document
from matcher.service.edition import update_deck
from tests.ui.page_alone import page, press, text_of, visit, widget
from ui import words


def test_the_scheme_marks_what_was_chosen_and_another_way_can_be_taken_back(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = page("scheme", room=sample_room)
    assert words.SCHEME_PINNED not in text_of(test)
    press(test, words.SCHEME_FOLLOWS)
    assert text_of(test).count(words.SCHEME_PINNED) == 2
    assert set(load_room(desk, user, sample_room).document["pins"]) == {"walls", "trim"}
    press(test, words.SCHEME_UNDO)
    assert words.SCHEME_PINNED not in text_of(test)
    assert not load_room(desk, user, sample_room).document["pins"]


def test_paints_are_kept_let_go_and_refused_where_they_stand(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)

    def document() -> dict[str, Any]:
        return load_room(desk, user, sample_room).document

    ranked = live.ranked(desk, load_room(desk, user, sample_room))
    assert ranked is not None
    walls = ranked.scheme["paints"][0]
    before = document()
    test = page("scheme", room=sample_room)
    test.button(key="keep-walls").click().run()
    assert document()["pins"] == {"walls": walls["code"]}
    test.button(key="let-go-walls").click().run()
    assert not document().get("pins")
    test.button(key="another-walls").click().run()
    assert document()["wishes"]["avoid"] == [walls["code"]]
    assert f"{walls['code']} · LRV" not in text_of(test)
    press(test, words.SCHEME_UNDO)
    assert document()["wishes"] == before["wishes"]
    # A white for the trim, and a darker paint for a role that was not to be painted: one press each.
    white = next(step for step in ranked.scheme["ladder"] if step["step"] == "stark")["paint"]
    test.button(key="white-take-stark").click().run()
    assert document()["pins"] == {"trim": white["code"]}
    assert test.button(key="white-take-stark").disabled
    test.button(key="companion-take-darker").click().run()
    assert set(document()["pins"]) == {"trim", "island"}
    assert document()["wishes"]["roles"] == ["walls", "trim", "island"]
    said = text_of(test)
    assert words.TAKES_SIZES in said  # of an island nothing is known
    assert f"/handover/{sample_room}/client.pdf" in said
    assert not test.exception


def test_wishes_that_fight_are_named_and_one_press_ends_it(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    light = {"walls": [80.0, 100.0], "trim": [80.0, 100.0]}
    apart = [{"between": ["walls", "trim"], "at_least": 30.0}]
    wishes = {**room.document["wishes"], "lrv_of": light, "contrast": apart}
    save_document(desk, user, sample_room, {**room.document, "wishes": wishes}, revision=room.revision)
    test = page("scheme", room=sample_room)
    assert "cannot all be kept" in text_of(test)
    test.button(key="give-up-0-0").click().run()
    assert not test.exception
    assert "cannot all be kept" not in text_of(test)
    left = load_room(desk, user, sample_room).document["wishes"]
    assert len(left.get("lrv_of", {})) + len(left.get("contrast", ())) == 2


def test_sharing_makes_the_link_if_there_is_none(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = press(page("scheme", room=sample_room), words.SHARE_WITH_LINK)
    assert len(client.links(desk, user, sample_room)) == 1
    said = text_of(test)
    assert words.LINK_REACH["here"] in said
    assert html.escape(words.LINK_CODE) in said
    others = widget(test.multiselect, words.SHARE_OTHERS)
    others.select(others.options[1])
    widget(test.checkbox, words.SHARE_DOCUMENT).check()
    press(test, words.SHARE_AGAIN)
    assert len(client.links(desk, user, sample_room)) == 1
    assert len(client.shares(desk, user, sample_room)) == 2
    # Who comes back finds chosen what was shared, and not that it was changed since.
    later = page("scheme", room=sample_room)
    assert widget(later.multiselect, words.SHARE_OTHERS).value == [others.options[1]]
    assert widget(later.checkbox, words.SHARE_DOCUMENT).value
    said = text_of(later)
    assert words.SHARED_NOW.partition("}. ")[2] in said
    # The document was made then, and is kept as it was; the client finds it below the suggestion.
    latest, first = client.shares(desk, user, sample_room)
    assert "client.pdf" not in first.pictures
    assert f"/handover/{sample_room}/{latest.id}/client.pdf" in said
    token = client.make_link(desk, user, sample_room)
    assert f"/{latest.id}/client.pdf" in text_of(visit(desk, token))
    assert client.shared_picture(desk, token, latest.id, "client.pdf").startswith(b"%PDF-")


def test_a_clash_of_a_chosen_paint_is_told_to_the_consultant_and_to_the_client(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    # A paint that fights is on no list: it is chosen from the whole deck, as somebody may by heart.
    ranked = live.ranked(desk, room, top=0)
    assert ranked is not None
    role, clashing = next(
        (role, paint) for role, listed in ranked.roles.items() for paint in listed["paints"] if paint["clashes"]
    )
    save_document(desk, user, sample_room, {**room.document, "pins": {role: clashing["code"]}}, revision=room.revision)
    title = clashing["clashes"][0]["title"]
    token = client.make_link(desk, user, sample_room)
    scheme = page("scheme", room=sample_room)
    assert title in text_of(scheme)
    press(scheme, words.SHARE)
    assert title in text_of(visit(desk, token))


def test_a_new_edition_is_told_and_decided_room_by_room(desk: Desk, sample_room: str, tmp_path: Path) -> None:
    """An edition that drops a paint the client was shown."""
    user = local_user(desk)
    assert words.EDITION_STEPS[0][0] in text_of(page("edition"))
    room = load_room(desk, user, sample_room)
    ranked = live.ranked(desk, room)
    assert ranked is not None
    shared = sharing.share_scheme(desk, user, room, ranked, remark="By the window.", pictures=False)
    dropped = ranked.scheme["paints"][0]["code"]
    deck = live.deck_of(desk)
    rows = [f"{c},{n},{x[0]},{x[1]},{x[2]}" for c, n, x in zip(deck.codes, deck.names, deck.lab, strict=True)]
    new = tmp_path / "autumn.csv"
    new.write_text("\n".join(["code,name,L,a,b", *(row for row in rows if not row.startswith(f"{dropped},"))]))
    update_deck(desk, new, processes=1)
    assert words.EDITION_NOTICE["one"] in text_of(page())
    test = page("edition")
    said = text_of(test)
    assert f"The client was shown {dropped}, which is gone" in said
    # The command keeps the file, so that the page can go over to it.
    assert words.EDITION_SEND_AGAIN not in said
    assert words.EDITION_OVER.format(name="autumn") in [one.label for one in test.button]
    ways = (words.EDITION_WAYS["leave"], words.EDITION_SEEN)
    while left := [one.label for one in test.button if one.label in ways]:
        press(test, left[0])
    # What was decided stays in sight, to be undone, until the page is opened again.
    assert words.EDITION_DECIDED["leave"] in text_of(test)
    assert words.EDITION_ALL_DECIDED in text_of(page("edition"))
    assert words.EDITION_NOTICE["one"] not in text_of(page())
    after = load_room(desk, user, sample_room)
    assert after.share is not None
    assert after.share.id == shared
    assert after.document == room.document
