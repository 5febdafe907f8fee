"""Each page by itself, without a browser: nothing there yet, the usual case, one mistake."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

import pytest
from PIL import Image
from streamlit.testing.v1 import AppTest

from matcher.handover import words as handover_words
from matcher.quantities.cautions import House, cautions_for
from matcher.report.cautions import caution_words
from matcher.report.sentences import CLIENT_CHECKS
from matcher.service import access, client, live, sharing
from matcher.service.access import local_user
from matcher.service.desk import Desk, delete_room, list_rooms, load_room, new_room, save_document
from matcher.service.edition import update_deck
from matcher.service.live import deck_of
from matcher.service.records import RoleAnswer
from tests.ui.sent_cookies import COOKIES
from tests.ui.unread_walls import take_reading_off
from ui import words
from ui.choosing.component import Handed
from ui.cookies import LINK_COOKIE

APP = Path(__file__).parents[2] / "ui" / "app.py"
STEPS = tuple(words.STEPS)


def visit(desk: Desk, token: str) -> AppTest:
    """Run the householder's page as a browser sees it that has opened a private link: by its id and a cookie."""
    opened = client.opened_link(desk, token)
    named = opened.id if opened else "0" * 32
    COOKIES[LINK_COOKIE + named] = token
    return page("client", visit=named)


def page(name: str = "", **query: str) -> AppTest:
    """Run one page of the app with a query in its address."""
    test = AppTest.from_file(str(APP), default_timeout=60)
    for key, value in query.items():
        test.query_params[key] = value
    if name:
        # The first run would be that of the page without a name; switching needs none of it.
        test.switch_page(f"pages/{name}.py")
    test.run()
    assert not test.exception, [one.message for one in test.exception]
    return test


def press(test: AppTest, label: str) -> AppTest:
    """Press the first button of that label."""
    next(one for one in test.button if one.label == label).click().run()
    assert not test.exception, [one.message for one in test.exception]
    return test


def text_of(test: AppTest) -> str:
    """Return everything a page says."""
    parts = [element.value for element in (*test.title, *test.header, *test.subheader, *test.markdown, *test.caption)]
    parts += [str(element.proto.label) for element in (*test.get("page_link"), *test.get("expander"))]
    parts += [str(element.proto.body) for element in test.get("html")]
    return "\n".join(str(part) for part in parts)


def test_the_first_page_shows_the_sample_room_and_says_how_to_set_a_passphrase(desk: Desk) -> None:
    said = text_of(page())
    assert "Hazel Close kitchen" in said
    assert "givens user add" in said


def test_without_rooms_the_first_page_says_how_to_begin(desk: Desk, sample_room: str) -> None:
    delete_room(desk, local_user(desk), sample_room)
    test = page()
    assert words.NO_ROOMS in text_of(test)
    press(test, words.NEW_ROOM)
    press(test, words.NEW_ROOM_BEGIN)
    assert words.NEW_ROOM_NAMELESS in text_of(test)
    assert list_rooms(desk, local_user(desk)) == ()
    next(one for one in test.text_input if one.label == words.NEW_ROOM_NAME).input("Attic study")
    press(test, words.NEW_ROOM_BEGIN)
    assert [room.name for room in list_rooms(desk, local_user(desk))] == ["Attic study"]


def test_the_first_page_says_what_this_does_until_it_is_put_away(desk: Desk, sample_room: str) -> None:
    test = page()
    said = text_of(test)
    assert words.PROMISE in said
    assert words.TRY_SAMPLE in said
    assert words.SAMPLE_ROOM in said
    press(test, words.HOW_HIDE)
    assert words.PROMISE not in text_of(test)
    # Also in another session.
    test = page()
    assert words.PROMISE not in text_of(test)
    press(test, words.HOW_SHOW)
    assert words.PROMISE in text_of(test)


def test_a_card_leads_to_the_next_thing_to_do(desk: Desk, sample_room: str) -> None:
    test = page()
    links = {str(link.proto.label): link.proto for link in test.get("page_link")}
    link = links[words.NEXT_THING["choose"].format(role="walls")]
    assert (link.page, link.query_string) == ("shortlist", f"room={sample_room}")
    assert words.STANDING["linked"].split("{")[0] not in text_of(test)
    hall = new_room(desk, local_user(desk), "Hall <b>")
    client.make_link(desk, local_user(desk), hall)
    test = page()
    assert "Link made today, nothing in yet" in text_of(test)
    next(one for one in test.get("button_group")).set_value("client").run()
    said = text_of(test)
    assert "Hazel" not in said
    assert "Hall" in said


def test_rooms_are_leafed_through_and_sought(desk: Desk, sample_room: str) -> None:
    for number in range(13):
        new_room(desk, local_user(desk), f"Élan Row {number}")
    test = page()
    assert "Hazel" not in text_of(test)
    assert words.ROOMS_SHOWN.format(first=1, last=12, count=14) in text_of(test)
    press(test, words.ROOMS_EARLIER)
    assert "Hazel" in text_of(test)
    test.text_input(key="rooms-like").input("élan row 1").run()
    said = text_of(test)
    assert "Élan Row 12" in said
    assert "Élan Row 9" not in said
    test.text_input(key="rooms-like").input("nothing of the kind").run()
    assert words.NO_ROOMS_FOUND.format(like="nothing of the kind") in text_of(test)


def test_with_an_account_nobody_gets_past_the_sign_in(desk: Desk, sample_room: str) -> None:
    access.add_user(desk, "Ada", "a long enough phrase")
    said = text_of(page())
    assert words.SIGN_IN_FIRST in said
    assert "Hazel" not in said


@pytest.mark.parametrize("step", [*STEPS, "paint"])
def test_a_page_of_a_room_that_is_not_there_says_so(desk: Desk, step: str) -> None:
    said = text_of(page(step, room="0" * 32))
    assert "room" in said.lower()
    assert "Hazel" not in said


@pytest.mark.parametrize("step", STEPS)
def test_a_page_of_an_empty_room_says_what_comes_first(desk: Desk, step: str) -> None:
    room = new_room(desk, local_user(desk), "Empty study")
    said = text_of(page(step, room=room))
    assert "Empty study" in said
    expected = {
        "brief": words.BRIEF_TITLE,
        "photos": words.NO_PHOTOS,
        "mark": words.MARK_NO_PHOTOS,
        "shortlist": words.SHORTLIST_NOTHING,
        "wall": words.WALL_NOTHING,
        "scheme": words.SCHEME_NOTHING,
    }
    for text in [expected[step]] if isinstance(expected[step], str) else expected[step]:
        assert text in said


def test_the_marked_room_shows_its_colours_with_their_doubt(desk: Desk, sample_room: str) -> None:
    said = text_of(page("mark", room=sample_room))
    for surface in ("Worktop", "Floor", "Tile", "Cabinets"):
        assert surface in said
    assert "±" in said


def test_a_photo_with_a_grey_scale_can_be_marked_again(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    first, *others = room.document["photos"]
    scale = {"kind": "grey scale", "reflectances": [0.9, 0.4, 0.1], "outline": [[10, 10], [90, 10], [90, 40], [10, 40]]}
    document = {**room.document, "photos": [{**first, "references": [*first["references"], scale]}, *others]}
    save_document(desk, user, sample_room, document, revision=room.revision)
    assert words.COLOURS in text_of(page("mark", room=sample_room, photo=first["file"]))


def test_the_photos_show_their_verdicts(desk: Desk, sample_room: str) -> None:
    test = page("photos", room=sample_room)
    said = text_of(test)
    assert "tile_day.jpg" in said
    assert "Large enough" in said
    press(test, words.REMOVE)
    assert len(load_room(desk, local_user(desk), sample_room).photos) == 5, "asked first"
    assert words.REMOVE_MARKS.format(count=13) in text_of(test)
    press(test, words.REMOVE_NO)
    assert "goes too" not in text_of(test)
    press(test, words.REMOVE)
    press(test, words.REMOVE_YES)
    assert len(load_room(desk, local_user(desk), sample_room).photos) == 4


def shows(test: AppTest) -> dict[str, object]:
    """Return what the picture on the wall is made of: the query of its address."""
    found = re.findall(r'href="/repainted/[0-9a-f]+[?]([^"]+)"', text_of(test))
    asked = parse_qsl(html.unescape(found[0])) if found else []
    roles, codes = ([value for key, value in asked if key == name] for name in ("role", "code"))
    return {"paints": dict(zip(roles, codes, strict=True)), "guess": [v for key, v in asked if key == "guess"]}


def test_what_is_fine_of_a_photo_is_one_line_and_what_is_not_stands_out(desk: Desk, sample_room: str) -> None:
    bodies = [str(one.proto.body) for one in page("photos", room=sample_room).get("html")]
    whole, tile = (next(body for body in bodies if f">{name}" in body) for name in ("whole_day.jpg", "tile_day.jpg"))
    front, _, fold = whole.partition("<details")
    assert "burnt out" in front
    assert "Large enough" in fold
    assert words.PHOTO_ELSE in fold
    assert "g-poor" not in tile
    assert words.PHOTO_GOOD in tile


def test_one_photo_shows_the_whole_room(desk: Desk, sample_room: str) -> None:
    def whole() -> list[str]:
        photos = load_room(desk, local_user(desk), sample_room).document["photos"]
        return [entry["file"] for entry in photos if entry.get("whole_room")]

    assert whole() == ["whole_day.jpg"]
    test = page("photos", room=sample_room)
    press(test, words.WHOLE_ROOM_USE)
    assert whole() == ["worktop_day.jpg"]
    press(test, words.WHOLE_ROOM_DROP)
    assert whole() == []


@pytest.mark.parametrize(("step", "following"), [("brief", "photos"), ("photos", "mark")])
def test_the_next_step_is_at_the_end(desk: Desk, sample_room: str, step: str, following: str) -> None:
    last = page(step, room=sample_room).get("page_link")[-1].proto
    assert last.label == words.NEXT_STEP.format(step=words.STEPS[following])
    assert last.page == following


def test_the_wall_says_what_its_picture_does_not_show(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    take_reading_off(desk, user)
    room = load_room(desk, user, sample_room)
    wishes = {**room.document["wishes"], "roles": ["walls", "trim", "ceiling"]}
    save_document(desk, user, sample_room, {**room.document, "wishes": wishes}, revision=room.revision)
    test = page("wall", room=sample_room)
    said = text_of(test)
    # The brief's own roles first, each with its way; nothing is shown of them unasked.
    assert said.index(">Walls<") < said.index(">Trim<") < said.index(">Ceiling<") < said.index(">Cabinets<")
    assert said.splitlines().count(words.WALL_OUTLINE) == 2
    for word in (words.WALL_UNMEASURED, words.WALL_MEASURE, words.WALL_NOT_OUTLINED, words.WALL_OUTLINE):
        assert word in said
    assert words.WALL_ALSO in said
    assert words.WALL_NOTHING_SHOWN in said
    assert shows(test) == {"paints": {}, "guess": []}
    test.checkbox(key="guess-walls").check().run()
    assert not test.exception
    said = text_of(test)
    assert "A guess: it may come out" in said
    assert words.WALL_NOTE in said
    assert "does not show" in said
    assert shows(test)["guess"] == ["walls"]


def test_a_press_repaints_a_role_and_choices_stay(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("wall", room=sample_room)
    test.checkbox(key="guess-walls").check().run()
    test.checkbox(key="show-cabinets").check().run()
    before = shows(test)["paints"]
    assert isinstance(before, dict)
    assert set(before) == {"walls", "cabinets"}
    other = next(one for one in test.button if str(one.key).startswith("try-walls-") and one.key != "try-walls-0")
    other.click().run()
    after = shows(test)["paints"]
    assert isinstance(after, dict)
    assert after["walls"] != before["walls"]
    assert after["cabinets"] == before["cabinets"]
    # To another page and back, in one session.
    test.switch_page("pages/brief.py").run()
    test.switch_page("pages/wall.py").run()
    assert not test.exception
    assert shows(test)["paints"] == after
    test.checkbox(key="show-walls").uncheck().run()
    assert shows(test)["paints"] == {"cabinets": after["cabinets"]}


def test_what_is_shown_is_kept_as_the_scheme(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("wall", room=sample_room)
    assert test.button(key="wall-keep").disabled
    test.checkbox(key="guess-walls").check().run()
    test.button(key="try-walls-2").click().run()
    shown = shows(test)["paints"]
    test.button(key="wall-keep").click().run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["pins"] == shown
    # The page that follows is the scheme.
    assert words.STEPS["scheme"] in [title.value for title in test.title]


def test_eight_tiles_in_two_groups_one_looked_at_closely(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    said = text_of(test)
    assert said.count('class="g-tile-ground') == 8
    for heading, _ in words.GROUPS.values():
        assert heading in said
    names = [str(one.label) for one in test.button if str(one.key).startswith("look-walls-")]
    assert f"<h2>{names[0]}</h2>" in said
    next(one for one in test.button if one.label == names[3]).click().run()
    assert not test.exception
    assert f"<h2>{names[3]}</h2>" in text_of(test)
    assert {words.HOW_SCORED, words.WHERE_TITLE} <= {one.label for one in test.expander}


def test_a_paint_looked_at_is_tried_on_the_wall(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("shortlist", room=sample_room)
    wanted = [one for one in test.button if str(one.key).startswith("look-walls-")][4]
    wanted.click().run()
    test.button(key="see-on-wall").click().run()
    assert not test.exception
    test.switch_page("pages/wall.py").run()
    test.checkbox(key="guess-walls").check().run()
    paints = shows(test)["paints"]
    assert isinstance(paints, dict)
    assert paints["walls"] == str(wanted.key).removeprefix("look-walls-")


def test_a_paint_is_examined_from_its_tile_and_from_the_scheme(desk: Desk, sample_room: str) -> None:
    for came in ("shortlist", "scheme"):
        links = [link.proto for link in page(came, room=sample_room).get("page_link")]
        link = next(one for one in links if one.page == "paint")
        query = dict(parse_qsl(link.query_string))
        assert query["from"] == came
        test = page("paint", **query)
        said = text_of(test)
        assert query["paint"] in said
        assert said.count("<figure>") == 3
        assert "Munsell notation" in said[said.index("<details") :]
        assert "Munsell" not in said[: said.index("<details")]
        back = [one.proto for one in test.get("page_link") if one.proto.label == words.PAINT_BACK[came]]
        assert [one.page for one in back] == [came]
        press(test, words.SEE_ON_WALL)
        test.switch_page("pages/wall.py").run()
        assert query["paint"] in text_of(test)


def test_any_paint_of_the_deck_is_looked_up(desk: Desk, sample_room: str) -> None:
    test = page("paint", room=sample_room)
    assert words.PAINT_NONE in text_of(test)
    test.text_input(key="paint-search").input("huvilm").run()
    links = [one.proto for one in test.get("page_link") if one.proto.page == "paint"]
    assert [dict(parse_qsl(link.query_string))["paint"] for link in links] == ["demo-211"]
    test.text_input(key="paint-search").input("no such paint").run()
    assert not test.exception
    assert "No paint of the deck is called" in text_of(test)
    said = text_of(page("paint", room=sample_room, paint="demo-0"))
    assert "has no code" in html.unescape(said)
    # A name of the address that is no page leads back to the shortlist.
    test = page("paint", room=sample_room, paint="demo-211", **{"from": "elsewhere"})
    assert words.PAINT_BACK["shortlist"] in text_of(test)
    assert "A mid grey that turns violet or mauve." in text_of(test)
    # Where nothing is measured a paint stands alone.
    room = new_room(desk, local_user(desk), "Empty study")
    said = text_of(page("paint", room=room, paint="demo-211"))
    assert words.PAINT_ALONE in said
    assert said.count("<figure>") == 2


def test_the_wish_for_warm_or_cool_is_the_briefs(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    test.button_group(key="warmth").set_value("warm").run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["wishes"]["warmth"] == "warm"
    assert load_room(desk, local_user(desk), sample_room).document["wishes"]["roles"] == ["walls", "trim"]


def test_choosing_a_paint_pins_it_and_the_scheme_takes_it(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    button = next(one for one in test.button if one.label == words.PIN)
    code = str(button.key).removeprefix("pin-walls-")
    button.click().run()
    assert not test.exception
    room = load_room(desk, local_user(desk), sample_room)
    assert room.document["pins"] == {"walls": code}
    assert code in text_of(page("scheme", room=sample_room))


def test_a_filter_that_leaves_nothing_says_so(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    test.slider(key="filter-lrv").set_value((0, 1)).run()
    assert not test.exception
    assert "Widen the LRV" in text_of(test)


def test_a_filter_keeps_what_it_asks_for(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    test.slider(key="filter-lrv").set_value((30, 50)).run()
    shown = [int(lrv) for lrv in re.findall(r"<span>LRV ([0-9]+)</span>", text_of(test))]
    assert shown
    assert all(30 <= lrv <= 50 for lrv in shown)


def test_the_shortlist_names_what_could_not_be_read_and_says_what_to_do(desk: Desk, sample_room: str) -> None:
    assert words.UNREAD not in text_of(page("shortlist", room=sample_room))
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    window = {"name": "sky & light", "material": "other", "outlines": [[[5, 240], [150, 255], [150, 320], [5, 320]]]}
    photos = [
        {**photo, "surfaces": [*photo["surfaces"], window]} if photo["file"] == "whole_day.jpg" else photo
        for photo in room.document["photos"]
    ]
    save_document(desk, user, sample_room, {**room.document, "photos": photos}, revision=room.revision)
    said = text_of(page("shortlist", room=sample_room))
    assert words.UNREAD in said
    assert "<strong>Sky &amp; light</strong>: Not read in whole_day.jpg. " in said
    assert "burnt out" in said
    assert "darker" in said


def test_two_paints_compared_stand_side_by_side(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    keys = [one.key for one in test.checkbox if one.label == words.COMPARE]
    for key in keys[:2]:
        test.checkbox(key=key).check().run()
    assert not test.exception
    assert words.COMPARE_TITLE.format(count=2, most=4) in [one.label for one in test.button]
    assert "g-lanes" in text_of(test)
    assert "dE00" in text_of(test)
    for key in keys[2:4]:
        test.checkbox(key=key).check().run()
    # Four have room beside each other: a fifth waits until one goes.
    assert [test.checkbox(key=key).disabled for key in keys] == [False] * 4 + [True] * (len(keys) - 4)
    test.checkbox(key=keys[0]).uncheck().run()
    assert not test.checkbox(key=keys[-1]).disabled


def test_saving_over_somebody_elses_change_is_refused_and_shown(desk: Desk, sample_room: str) -> None:
    test = page("shortlist", room=sample_room)
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    # The page was drawn at this revision; here somebody saves meanwhile, in the moment between reading and writing.
    from ui import saving

    def stale(visit: object, _room: object, document: dict[str, object]) -> bool:
        save_document(desk, user, sample_room, room.document, revision=room.revision)
        return original(visit, room, document)  # type: ignore[arg-type]

    original = saving.save
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(saving, "save", stale)
        next(one for one in test.button if one.label == words.PIN).click().run()
    assert words.CONFLICT in text_of(test)
    assert not load_room(desk, user, sample_room).document.get("pins")


def test_the_client_sees_their_room_and_no_other_and_what_is_shared(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    new_room(desk, user, "Somebody else's hall")
    token = client.make_link(desk, user, sample_room)
    said = text_of(visit(desk, token))
    assert "Hazel Close kitchen" in said
    assert "Somebody else" not in said
    assert words.CLIENT_NOT_YET in said
    scheme = page("scheme", room=sample_room)
    scheme.text_area[0].input("Try the board by the window.")
    next(one for one in scheme.button if one.label == words.SHARE).click().run()
    test = visit(desk, token)
    said = text_of(test)
    assert "Try the board by the window." in said
    assert words.CLIENT_NOT_YET not in said
    assert all(title in said for title, _ in words.CLIENT_NEXT_STEPS)
    # No laboratory words: what a householder reads has no LRV, no dE00 and no degrees in it.
    shown = re.sub(r"<[^>]*>", " ", said)
    assert not re.search(r"LRV|dE00|CIELAB|\bhue\b|°|undertone", shown)


def test_the_clients_answer_reaches_the_consultant(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    token = client.make_link(desk, user, sample_room)
    scheme = page("scheme", room=sample_room)
    next(one for one in scheme.button if one.label == words.SHARE).click().run()
    test = visit(desk, token)
    # An empty answer says what is missing, and nothing is sent.
    press(test, words.CLIENT_SEND_ANSWER)
    assert words.CLIENT_MISSING.format(missing=f"Walls, Trim and {words.CLIENT_MISSING_WHOLE}") in text_of(test)
    assert load_room(desk, user, sample_room).answers == ()
    walls, trim, whole = (radio for radio in test.radio if radio.label != words.CLIENT_WARMTH)
    walls.set_value("not sure")
    whole.set_value("not sure")
    note = next(one for one in test.text_input if one.label == words.CLIENT_ROLE_NOTE.format(role="Walls"))
    note.input("Is it not too green?")
    press(test, words.CLIENT_SEND_ANSWER)
    # What was sent is echoed, and what was not said is not made up.
    said = text_of(test)
    assert words.CLIENT_ANSWERED in said
    assert "Is it not too green?" in said
    assert words.CLIENT_NO_ANSWER in said
    (answer,) = load_room(desk, user, sample_room).answers
    assert answer.parts == (RoleAnswer("walls", "not sure", "Is it not too green?"),)
    # It can be changed: what was sent stands in the form again.
    again = visit(desk, token)
    walls, trim, whole = (radio for radio in again.radio if radio.label != words.CLIENT_WARMTH)
    assert (walls.value, trim.value, whole.value) == ("not sure", None, "not sure")
    trim.set_value("like")
    press(again, words.CLIENT_SEND_CHANGE)
    # It stays new on every page until it is seen where it stands.
    for _ in range(2):
        assert words.NEWS_AT["answer"] in text_of(page("brief", room=sample_room))
    (summary,) = list_rooms(desk, user)
    assert (summary.stage, summary.news) == ("answered", ("answer",))
    said = text_of(page("scheme", room=sample_room))
    assert "Is it not too green?" in said
    assert words.ANSWER_EARLIER.format(count=1) in [one.label for one in page("scheme", room=sample_room).expander]
    assert list_rooms(desk, user)[0].news == ()
    assert words.NEWS_AT["answer"] not in text_of(page("brief", room=sample_room))


def test_what_may_be_painted_begins_with_the_consultants_brief(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    wishes = {**room.document["wishes"], "roles": ["trim", "door"]}
    save_document(desk, user, sample_room, {**room.document, "wishes": wishes}, revision=room.revision)
    token = client.make_link(desk, user, sample_room)
    test = visit(desk, token)
    assert [box.label for box in test.checkbox if box.value] == ["Trim", "Door"]
    assert next(one for one in test.radio if one.label == words.CLIENT_WARMTH).value is None
    # Sent as it was shown it says nothing: nobody wrote it.
    press(test, words.CLIENT_SEND_BRIEF)
    assert words.CLIENT_BRIEF_EMPTY in text_of(test)
    assert load_room(desk, user, sample_room).brief == {}
    assert words.FROM_CLIENT not in text_of(page("brief", room=sample_room))
    next(box for box in test.checkbox if box.label == "Ceiling").check()
    press(test, words.CLIENT_SEND_BRIEF)
    assert load_room(desk, user, sample_room).brief == {"may_be_painted": ["trim", "door", "ceiling"]}


def test_a_card_that_is_there_is_not_said_to_be_missing(desk: Desk) -> None:
    user = local_user(desk)
    room_id = new_room(desk, user, "Hall")
    token = client.make_link(desk, user, room_id)
    stream = BytesIO()
    # A plain grey picture with one edge: large enough, and no card is found in it.
    plain = Image.new("RGB", (1600, 1200), (150, 150, 150))
    plain.paste((90, 90, 90), (0, 0, 700, 1200))
    plain.save(stream, "JPEG", quality=95)
    client.add_client_photo(desk, token, stream.getvalue(), "floor.jpg")
    said = text_of(visit(desk, token))
    assert CLIENT_CHECKS["cards"] in said
    assert "no neutral card" not in said
    room = load_room(desk, user, room_id)
    card = {"kind": "grey card", "reflectance": 0.18, "outline": [[10, 10], [90, 10], [90, 90], [10, 90]]}
    photos = [{**room.document["photos"][0], "references": [card]}]
    save_document(desk, user, room_id, {**room.document, "photos": photos}, revision=room.revision)
    assert CLIENT_CHECKS["cards"] not in text_of(visit(desk, token))


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


def test_a_revoked_link_opens_nothing(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    token = client.make_link(desk, user, sample_room)
    (link,) = client.links(desk, user, sample_room)
    client.revoke_link(desk, user, link.id)
    said = text_of(visit(desk, token))
    assert words.CLIENT_GONE in said
    assert "Hazel" not in said


def widget(widgets: Sequence[Any], label: str) -> Any:
    """Return the one that asks for this."""
    return next(one for one in widgets if one.label == label)


def test_the_brief_saves_itself_field_by_field(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    before = load_room(desk, user, sample_room).document
    test = page("brief", room=sample_room)
    assert words.SAVES_ITSELF in text_of(test)
    widget(test.text_input, words.ROOM_NAME).input("Hazel Close kitchen, again").run()
    widget(test.multiselect, words.ROLES_TO_PAINT).select("ceiling").run()
    widget(test.selectbox, words.FACING).set_value("N").run()
    # On the equator.
    widget(test.number_input, words.LATITUDE).set_value(0.0).run()
    widget(test.radio, words.WARMTH).set_value("cool").run()
    widget(test.checkbox, words.LRV_ANY).uncheck().run()
    widget(test.slider, words.LRV_RANGE).set_value((50, 70)).run()
    assert not test.exception
    assert words.SAVED_AT.split("{")[0] in text_of(test)
    room = load_room(desk, user, sample_room)
    assert room.name == "Hazel Close kitchen, again"
    assert room.document == {
        **before,
        "room": {**before["room"], "name": room.name, "facing": "N", "latitude": 0.0},
        "wishes": {"warmth": "cool", "roles": ["walls", "trim", "ceiling"], "lrv": [50.0, 70.0]},
    }
    widget(test.selectbox, words.FACING).select_index(0).run()
    widget(test.checkbox, words.LRV_ANY).check().run()
    document = load_room(desk, user, sample_room).document
    assert "facing" not in document["room"]
    assert "lrv" not in document["wishes"]


def test_house_sizes_and_wishes_to_keep_save_themselves_and_are_said_in_their_folds(
    desk: Desk, sample_room: str
) -> None:
    user = local_user(desk)
    code, name = deck_of(desk).codes[3], deck_of(desk).names[5]
    test = page("brief", room=sample_room)
    widget(test.selectbox, words.COUNTRY).set_value("US").run()
    widget(test.number_input, words.BUILT).set_value(3000).run()
    assert "3000 is not between 1000 and 2100" in text_of(test)
    widget(test.number_input, words.BUILT).set_value(1950).run()
    widget(test.date_input, words.DAY).set_value(date(2026, 6, 21)).run()
    widget(test.number_input, words.SIZE_HEIGHT.format(unit="m")).set_value(None).run()
    assert "Height is missing beside length and width" in text_of(test)
    widget(test.number_input, words.SIZE_WALLS.format(unit="m²")).set_value(25.0).run()
    widget(test.text_input, words.AVOID).input(f"{code}, nothing of the kind").run()
    assert "“nothing of the kind” is no paint of this deck" in html.unescape(text_of(test))
    assert words.NOT_SAVED in text_of(test)
    assert widget(test.text_input, words.AVOID).value == f"{code}, nothing of the kind"
    widget(test.text_input, words.AVOID).input(f"{code}, {name}").run()
    widget(test.multiselect, words.AVOID_FAMILIES).select("red").run()
    widget(test.selectbox, words.MOST_PAINTS).set_value(1).run()
    widget(test.slider, words.KEPT_LRV.format(role="Trim")).set_value((70, 100)).run()
    widget(test.selectbox, words.APART_PAIR.format(first="Walls", second="trim")).set_value((None, 3.0)).run()
    assert not test.exception
    document = load_room(desk, user, sample_room).document
    assert document["room"] | {"country": "US", "built": 1950, "date": "2026-06-21"} == document["room"]
    assert "height" not in document["sizes"]
    assert document["wishes"] == {
        "warmth": "either", "roles": ["walls", "trim"], "avoid": [code, deck_of(desk).codes[5]],
        "avoid_families": ["red"], "most_paints": 1, "lrv_of": {"trim": [70.0, 100.0]},
        "contrast": [{"between": ["walls", "trim"], "at_most": 3.0}],
    }  # fmt: skip
    titles = [str(one.label) for one in test.expander]
    assert f"{words.HOUSE}: United States, built 1950, light of 2026-06-21" in titles
    assert f"{words.KEPT_WISHES}: paints not to use: 2; no pink paint; 3 more" in titles
    widget(test.slider, words.KEPT_LRV.format(role="Trim")).set_value((0, 100)).run()
    assert "lrv_of" not in load_room(desk, user, sample_room).document["wishes"]


def test_what_cannot_be_kept_of_the_brief_is_said_where_it_stands(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = page("brief", room=sample_room)
    widget(test.text_input, words.ROOM_NAME).input("  ").run()
    assert "a room needs one. Until then it is called “Hazel Close kitchen”" in text_of(test)
    assert words.NOT_SAVED in text_of(test)
    widget(test.multiselect, words.ROLES_TO_PAINT).set_value([]).run()
    assert "nothing is chosen" in text_of(test)
    room = load_room(desk, user, sample_room)
    assert (room.name, room.document["wishes"]["roles"]) == ("Hazel Close kitchen", ["walls", "trim"])
    widget(test.text_input, words.ROOM_NAME).input("Kitchen").run()
    widget(test.multiselect, words.ROLES_TO_PAINT).set_value(["walls"]).run()
    assert words.NOT_SAVED not in text_of(test)
    assert load_room(desk, user, sample_room).document["wishes"]["roles"] == ["walls"]


def test_the_brief_shows_what_somebody_else_saved_and_keeps_it(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = page("brief", room=sample_room)
    room = load_room(desk, user, sample_room)
    theirs = {**room.document, "wishes": {"warmth": "warm", "roles": ["cabinets"]}}
    save_document(desk, user, sample_room, theirs, revision=room.revision)
    widget(test.text_input, words.ROOM_NAME).input("Mine").run()
    document = load_room(desk, user, sample_room).document
    assert (document["room"]["name"], document["wishes"]) == ("Mine", theirs["wishes"])
    assert widget(test.multiselect, words.ROLES_TO_PAINT).value == ["cabinets"]
    assert widget(test.radio, words.WARMTH).value == "warm"


def test_the_doubts_stand_beside_the_colours(desk: Desk, sample_room: str) -> None:
    said = text_of(page("mark", room=sample_room))
    assert words.DOUBTS in said
    assert "would show the camera" in said


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


def _enter(test: AppTest, values: str, surface: str, **chosen: object) -> None:
    """Type a reading of a surface and ask what it says."""
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_SURFACE).set_value(surface).run()
    next(one for one in test.text_area if one.label == words.INSTRUMENT_VALUES).input(values)
    for box in test.selectbox:
        if box.label in chosen:
            box.set_value(chosen[box.label])
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    assert not test.exception


def _words_in_front(test: AppTest) -> None:
    """What a reading is good to is said in words, its figure stands in the fold."""
    bodies = [str(element.proto.body) for element in test.get("html")]
    (block,) = (body for body in bodies if "may be off by" in body)
    shown, _, folded = block.partition("<details>")
    assert "dE" not in shown
    assert re.search(r"dE00\s\d\.\d", folded)


def test_a_reading_is_shown_then_kept_then_removed(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("mark", room=sample_room)
    _enter(test, "55,2 14,1 27,9", "floor")
    said = text_of(test)
    assert words.INSTRUMENT_FOUND.format(55.2, 14.1, 27.9) in said
    assert "D65 was assumed" in said
    _words_in_front(test)
    assert not load_room(desk, local_user(desk), sample_room).document.get("surfaces")
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")).click().run()
    assert not test.exception
    (kept,) = load_room(desk, local_user(desk), sample_room).document["surfaces"]
    assert (kept["name"], kept["material"], kept["lab"]) == ("floor", "timber", [55.2, 14.1, 27.9])
    assert "Read with an instrument; its other" in text_of(test)
    _words_in_front(test)
    next(one for one in test.button if one.label == words.INSTRUMENT_REMOVE.format(surface="floor")).click().run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["surfaces"] == []


def test_a_reading_in_a_file_for_another_surface(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("mark", room=sample_room)
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_SURFACE).set_value(words.INSTRUMENT_OTHER).run()
    next(one for one in test.text_input if one.label == words.INSTRUMENT_NAME).input("sofa")
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_MATERIAL).set_value("textile")
    spectrum = "\n".join(f"{nm}\t0.18" for nm in range(400, 701, 10)).encode()
    # What choosing a file leaves: tests/ui/test_choosing_browser.py does it with a browser.
    test.session_state[f"reading-{sample_room}-file"] = Handed("sofa.txt", spectrum)
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="sofa")).click().run()
    assert not test.exception
    (kept,) = load_room(desk, local_user(desk), sample_room).document["surfaces"]
    # L* of Y = 18 is 49.496 (CIE 015:2018, eq. 8.3).
    assert kept == {"name": "sofa", "material": "textile", "lab": [49.5, 0.0, 0.0], "sd": 0.5}
    assert "Sofa" in text_of(test)


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ("oak, waxed", "no values were found"),
        ("Lab D50 55 14 28", "light D50 is written there"),
        ("", words.INSTRUMENT_ONE_OF_TWO),
    ],
)
def test_a_reading_that_cannot_be_read_is_said_and_nothing_kept(
    desk: Desk, sample_room: str, values: str, message: str
) -> None:
    test = page("mark", room=sample_room)
    _enter(test, values, "floor", **{words.INSTRUMENT_LIGHT: "D65"})
    assert message in text_of(test)
    assert not [one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")]


def test_a_room_without_photos_takes_readings(desk: Desk) -> None:
    room = new_room(desk, local_user(desk), "Hall")
    test = page("mark", room=room)
    next(one for one in test.text_input if one.label == words.INSTRUMENT_NAME).input("floor")
    next(one for one in test.text_area if one.label == words.INSTRUMENT_VALUES).input("L 55 a 14 b 28 D65/2")
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")).click().run()
    assert not test.exception
    assert "floor" in text_of(page("shortlist", room=room))


def test_the_light_goes_through_the_day_with_the_slider(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room)
    said = text_of(test)
    assert "12:00, " in said
    assert "lamps" in said
    for word in (words.LIGHT_WHITE, "Worktop", "Floor", "Tile", "Cabinets"):
        assert f"<span>{word}</span>" in said
    noon = re.findall(r'l-moment"><div role="img" aria-label="[^"]+" style="background:(#[0-9a-f]{6})', said)
    test.select_slider(key="light-at").set_value("21:00").run()
    assert not test.exception
    said = text_of(test)
    assert "21:00, lamps on" in said
    evening = re.findall(r'l-moment"><div role="img" aria-label="[^"]+" style="background:(#[0-9a-f]{6})', said)
    assert len(noon) == len(evening) == 1
    assert noon != evening
    test.button_group(key="light-sky").set_value("overcast").run()
    assert "grey sky" in text_of(test)


def test_the_day_chosen_is_kept_with_the_room(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room)
    assert "an equinox is shown" in text_of(test)
    test.date_input[0].set_value(date(2026, 12, 21)).run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["room"]["date"] == "2026-12-21"
    said = text_of(test)
    assert "2026-12-21" in said
    assert "an equinox is shown" not in said


def test_a_paint_of_the_shortlist_is_seen_through_the_day(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room, paint="demo-5")
    assert "<h2>Bagevolm</h2>" in text_of(test)
    link = next(one for one in page("shortlist", room=sample_room).get("page_link") if one.proto.page == "light")
    assert "paint=demo-" in link.proto.query_string


def test_the_light_of_an_empty_room_says_what_comes_first(desk: Desk) -> None:
    room = new_room(desk, local_user(desk), "Empty study")
    assert words.SHORTLIST_NOTHING[0] in text_of(page("light", room=room))


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


def test_the_client_is_told_of_one_kind_of_sample_board_everywhere() -> None:
    """On the phone, in the document and in the report's cautions."""
    steps = [" ".join(step) for step in words.CLIENT_NEXT_STEPS]
    document = [" ".join(step) for step in handover_words.HOW_STEPS]
    phone, sheet = (next(text for text in told if " cm" in text) for told in (steps, document))
    caution = next(caution_words(one).text for one in cautions_for(House()) if one.kind == "samples")
    for told in (phone, sheet, caution):
        assert "60 by 60 cm" in told
    assert "white edge" in phone
    assert "white edge" in sheet
