"""The shortlist, and one paint looked at closely."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qsl

import pytest

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, new_room, save_document
from tests.ui.page_alone import page, press, shows, text_of
from tests.ui.unread_walls import take_reading_off
from ui import words


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
