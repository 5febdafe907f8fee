"""What a browser may send to the marking tool, and what becomes of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.errors import RequestError
from matcher.room import contents
from ui.marking import events, words
from ui.marking.component import script

SIZE = (1600, 1200)
SQUARE = [[10, 10], [200, 10], [200.5, 150.25], [10, 150]]
SURFACE = {"id": "m1", "kind": "surface", "name": "worktop", "material": "stone", "polygon": SQUARE}
CARD = {"id": "m2", "kind": "card", "name": "card 1", "reference": "grey card", "reflectance": 0.18, "polygon": SQUARE}
AREA = {"id": "m3", "kind": "area", "name": "area 1", "role": "walls", "polygon": SQUARE}


def changed(*marks: Any, base_revision: Any = 3) -> dict[str, Any]:
    return {"serial": 1, "base_revision": base_revision, "marks": list(marks)}


def test_marks_come_through_and_back() -> None:
    event = events.parse_marks_changed(changed(SURFACE, {**CARD, "on": "worktop"}, AREA), SIZE)
    assert event.base_revision == 3
    assert [mark.kind for mark in event.marks] == ["surface", "card", "area"]
    assert event.marks[0].polygon[2] == (200.5, 150.25)
    assert event.marks[1].on == "worktop"
    again = events.parse_marks_changed(changed(*(mark.as_data() for mark in event.marks)), SIZE)
    assert again == event


def test_what_does_not_belong_to_a_kind_is_dropped() -> None:
    (mark,) = events.parse_marks_changed(
        changed({**SURFACE, "role": "walls", "reflectance": 9, "colour": "x"}), SIZE
    ).marks
    assert mark.as_data() == {**SURFACE, "polygon": tuple((float(x), float(y)) for x, y in SQUARE)}


CHIP = {"id": "m4", "kind": "card", "name": "x", "reference": "paint chip", "polygon": SQUARE}


def test_a_chip_has_a_paint_once_it_is_chosen_and_other_cards_have_none() -> None:
    marks = events.parse_marks_changed(
        changed(CHIP, {**CHIP, "id": "m5", "paint": "AB\u00a012"}, {**CARD, "paint": "12"}, {**SURFACE, "paint": "12"}),
        SIZE,
    ).marks
    assert [mark.paint for mark in marks] == [None, "AB\u00a012", None, None]
    assert "paint" not in marks[0].as_data()


@pytest.mark.parametrize("paint", ["", " ", "a\nb", "x" * 201, "\ud800", 12, ["12"]])
def test_a_code_of_a_paint_is_a_short_text(paint: Any) -> None:
    with pytest.raises(RequestError, match="code of a paint"):
        events.parse_marks_changed(changed({**CHIP, "paint": paint}), SIZE)


def test_a_strip_is_counted() -> None:
    raw = {"serial": 2, "polygon": SQUARE, "count": 5}
    event = events.parse_strip_counted(raw, SIZE)
    assert event == events.StripCounted(tuple((float(x), float(y)) for x, y in SQUARE), 5, 2)
    for spoilt in ({"count": 5.5}, {"count": -1}, {"polygon": [[1, 2], [1700, 3]]}, {"polygon": None}):
        with pytest.raises(RequestError):
            events.parse_strip_counted({**raw, **spoilt}, SIZE)


def test_another_photo_is_chosen_and_cards_are_refused() -> None:
    assert events.parse_photo_chosen({"serial": 1, "sha": "ab12"}) == events.PhotoChosen("ab12")
    assert events.parse_cards_refused({"serial": 1, "sets": ["found0"]}) == events.CardsRefused(("found0",))
    for raw in ({}, {"sha": 12}, {"sha": "x" * 81}):
        with pytest.raises(RequestError):
            events.parse_photo_chosen(raw)
    for raw in ({}, {"sets": "found0"}, {"sets": [None]}, {"sets": ["x"] * 501}):
        with pytest.raises(RequestError):
            events.parse_cards_refused(raw)


def test_a_pixel_beyond_the_edge_is_put_on_it() -> None:
    (mark,) = events.parse_marks_changed(
        changed({**SURFACE, "polygon": [[-0.4, 0], [1600.9, 0], [1600, 1201]]}), SIZE
    ).marks
    assert mark.polygon == ((0.0, 0.0), (1600.0, 0.0), (1600.0, 1200.0))


@pytest.mark.parametrize(
    ("spoilt", "said"),
    [
        ({"kind": "window"}, "none of surface, card, area, hole"),
        ({"material": "marble"}, "none of stone"),
        ({"name": " "}, "no short text"),
        ({"name": "x" * 81}, "no short text"),
        ({"name": "a\x00b"}, "no short text"),
        ({"polygon": SQUARE[:2]}, "2 points"),
        ({"polygon": [*SQUARE, [1700, 5]]}, "outside the photo"),
        ({"polygon": [*SQUARE, [float("nan"), 5]]}, "no number"),
        ({"polygon": [*SQUARE, [True, 5]]}, "no number"),
        ({"polygon": [*SQUARE, [5]]}, "no two numbers"),
        ({"polygon": [[1, 1]] * 2001}, "2000 at most"),
        ({"id": None}, "no short text"),
    ],
)
def test_a_spoilt_mark_is_refused_with_the_reason(spoilt: dict[str, Any], said: str) -> None:
    with pytest.raises(RequestError, match=re.escape(said)):
        events.parse_marks_changed(changed({**SURFACE, **spoilt}), SIZE)


def test_two_marks_with_one_id_are_refused() -> None:
    with pytest.raises(RequestError, match="same id"):
        events.parse_marks_changed(changed(SURFACE, SURFACE), SIZE)


@pytest.mark.parametrize("reflectance", [0, -0.1, 1.01, "0.18", float("inf")])
def test_a_card_reflects_between_nothing_and_everything(reflectance: Any) -> None:
    with pytest.raises(RequestError):
        events.parse_marks_changed(changed({**CARD, "reflectance": reflectance}), SIZE)


def test_strokes() -> None:
    raw = {"serial": 4, "include": [[[1, 2], [3, 4]], []], "exclude": [], "tolerance": 0.25, "target": None}
    event = events.parse_stroke_drawn(raw, SIZE)
    assert event == events.StrokeDrawn((((1.0, 2.0), (3.0, 4.0)),), (), 0.25, None, 4)
    with pytest.raises(RequestError, match="between 0 and 1"):
        events.parse_stroke_drawn({**raw, "tolerance": 1.5}, SIZE)


json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)
fields = dict.fromkeys(
    ("id", "kind", "name", "material", "role", "reference", "reflectance", "paint", "on", "polygon"), json
)
nearly = st.fixed_dictionaries({}, optional=fields).map(lambda spoilt: {**SURFACE, **spoilt}) | json


@given(json | st.fixed_dictionaries({"marks": st.lists(nearly, max_size=3) | json, "base_revision": json}))
def test_wild_marks_raise_nothing_but_the_typed_error(raw: Any) -> None:
    try:
        event = events.parse_marks_changed(raw, SIZE)
    except RequestError:
        return
    assert all(0 <= x <= 1600 and 0 <= y <= 1200 for mark in event.marks for x, y in mark.polygon)


@given(
    json | st.fixed_dictionaries({"include": json, "exclude": json, "tolerance": json, "target": json, "serial": json})
)
def test_wild_strokes_raise_nothing_but_the_typed_error(raw: Any) -> None:
    for parse in (
        lambda: events.parse_stroke_drawn(raw, SIZE),
        lambda: events.parse_mark_selected(raw),
        lambda: events.parse_photo_chosen(raw),
        lambda: events.parse_cards_refused(raw),
    ):
        try:
            parse()
        except RequestError:
            continue


def test_the_choices_are_those_of_the_room_file() -> None:
    assert tuple(words.MATERIALS) == get_args(contents.Material)
    assert tuple(words.ROLES) == get_args(contents.Role)
    assert tuple(words.REFERENCES) == get_args(contents.ReferenceKind)
    assert set(words.KINDS) == set(get_args(events.Kind)) == set(words.WORDS["new_kinds"])
    assert set(words.REFLECTANCES) == set(words.REFERENCES)


def test_the_script_asks_for_every_word_there_is_and_for_no_other() -> None:
    asked = set(re.findall(r"\b(?:m\.words|w)\.(\w+)", script()))
    assert asked == set(words.WORDS)


def test_the_script_holds_no_sentence_and_no_address() -> None:
    code = re.sub(r"//.*", "", script())
    assert not re.search(r"https?:|data:", code)
    assert not re.findall(r"\"[A-Z][a-z]+ [a-z]+[^\"]*\"", code)


def test_every_file_of_the_script_is_read() -> None:
    folder = Path(words.__file__).parent / "script"
    for path in folder.glob("*.js"):
        assert path.read_text(encoding="utf-8") in script()
