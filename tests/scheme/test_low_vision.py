"""Contrast for people with low vision by pairs of a room's parts, each rule by its name, doubt shown."""

from __future__ import annotations

from typing import Any

import pytest

from matcher.harmony.visual_contrast import PROJECTING, RULES
from matcher.report.low_vision import contrast_entries, contrasts_of, low_vision_view
from matcher.report.sentences import LOW_VISION_NOTE, LOW_VISION_NUMBERS, LOW_VISION_RULES
from matcher.scheme.low_vision import PairContrast, Part, contrasts, parts_of


def _by_rule(found: tuple[PairContrast, ...], first: str, second: str) -> dict[str, PairContrast]:
    return {one.rule.name: one for one in found if (one.first.name, one.second.name) == (first, second)}


def test_a_door_beside_a_wall_by_published_values() -> None:
    """AS 1428.1, figure B.1: beside LRV 20, a contrast of 30 % takes 7 or 41. Approved Document M: 30 points."""
    for door, meets in ((7.0, True), (41.0, True), (8.0, False), (40.0, False)):
        found = _by_rule(contrasts(parts_of({"walls": 20.0, "door": door}, [])), "door", "walls")
        assert set(found) == {rule.name for rule in RULES}
        assert found["bowman-sapolinski"].verdict == ("meets" if meets else "misses")
        assert found["lrv-points"].verdict == "misses"
    apart = _by_rule(contrasts(parts_of({"walls": 20.0, "door": 50.0}, [])), "door", "walls")
    assert (apart["lrv-points"].value, apart["lrv-points"].verdict) == (30.0, "meets")


def test_a_handle_is_asked_for_half_the_points() -> None:
    """Approved Document M: for door furniture that projects, 15 points are considered adequate."""
    found = contrasts(parts_of({"door": 40.0}, [Part("Door handle", 25.0), Part("larder door", 10.0)]))
    by_rule = {one.rule.name: one.verdict for one in found}
    assert by_rule["lrv-points-projecting"] == "meets"
    assert by_rule["lrv-points"] == "misses"
    assert not PROJECTING.passes(40, 26)
    # No other pair is let off.
    assert all(one.second.name == "Door handle" for one in found)


def test_parts_are_paints_before_what_was_measured() -> None:
    measured = [Part("oak floor", 22.0, 1.0), Part("Walls", 60.0), Part("door", 30.0), Part("worktop", 40.0)]
    parts = parts_of({"walls": 75.0, "trim": 88.0}, measured)
    assert {name: part.lrv for name, part in parts.items()} == {
        "walls": 75.0,
        "trim": 88.0,
        "floor": 22.0,
        "door": 30.0,
    }
    pairs = dict.fromkeys((one.first.name, one.second.name) for one in contrasts(parts))
    assert list(pairs) == [("walls", "oak floor"), ("walls", "trim"), ("door", "walls"), ("door", "trim")]


def test_a_floor_known_roughly_leaves_it_open() -> None:
    sure, rough = (contrasts(parts_of({"walls": 60.0}, [Part("floor", 31.0, sd)])) for sd in (0.1, 3.0))
    assert _by_rule(sure, "walls", "floor")["lrv-points"].verdict == "misses"
    assert _by_rule(rough, "walls", "floor")["lrv-points"].verdict == "open"


def test_a_doubt_that_spans_the_other_part_is_open_too() -> None:
    """At both ends of its doubt this floor stands out, in the middle it does not."""
    found = _by_rule(contrasts(parts_of({"walls": 50.0}, [Part("floor", 50.0, 25.0)])), "walls", "floor")
    assert found["lrv-points"].verdict == "open"


RESULT: dict[str, Any] = {
    "scheme": {"roles": {"walls": {"lrv": 74.6}, "door": {"lrv": 12.0}}},
    "surfaces": [{"name": "floor", "lrv": 44.0, "lrv_sd": 2.0}, {"name": "handle", "lrv": 60.0, "lrv_sd": 0.5}],
}


def test_in_words_each_rule_is_named_and_none_is_a_verdict() -> None:
    views = low_vision_view(contrasts_of(RESULT))
    assert [view["title"] for view in views] == ["Walls and floor", "Door and walls", "Door and handle"]
    floor, door, handle = views
    assert floor["text"] == (
        "Too little by US advisory text and DIN 32975; too close to tell from these photos by BS 8300-2 with Approved "
        "Document M and AS 1428.1"
    )
    assert door["text"].startswith("Stand out enough by BS 8300-2 with Approved Document M, US advisory text")
    assert "Approved Document M for what projects" in handle["text"]
    assert floor["numbers"][0] == "Walls and floor: LRV 74.6 and 44.0"
    assert any("30.6 points apart (asked for: 30)" in line for line in floor["numbers"])
    said = " ".join(view["text"] for view in views) + LOW_VISION_NOTE
    assert "compl" not in said.casefold()
    assert "Local code and a licensed professional decide" in LOW_VISION_NOTE


def test_every_rule_has_words_with_its_threshold() -> None:
    assert set(LOW_VISION_RULES) == set(LOW_VISION_NUMBERS) == {rule.name for rule in (*RULES, PROJECTING)}
    for rule in (*RULES, PROJECTING):
        assert f"asked for: {rule.threshold:g}" in LOW_VISION_NUMBERS[rule.name]
        assert not rule.lighter_at_least or f"LRV {rule.lighter_at_least:g} or more" in LOW_VISION_NUMBERS[rule.name]


def test_plain_data_name_rule_threshold_and_source() -> None:
    entry = next(one for one in contrast_entries(contrasts_of(RESULT)) if one["rule"] == "lrv-points")
    assert entry["parts"] == ["walls", "floor"]
    assert (entry["value"], entry["threshold"], entry["unit"], entry["verdict"]) == (
        pytest.approx(30.6), 30.0, "points", "open",
    )  # fmt: skip
    assert "BS 8300-2" in entry["source"]
