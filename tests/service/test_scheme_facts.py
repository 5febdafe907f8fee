"""Wishes and choices that fight, as a page tells them: what is said, and what a press gives up."""

from __future__ import annotations

from typing import Any

from matcher.service.live import LiveRanking
from matcher.service.scheme_choices import without_wish
from matcher.service.scheme_facts import conflicts

FIGHT = {"rule": "undertones-kin", "roles": ["trim", "walls"], "value": -0.6, "passes": False}


def _ranked(pinned: list[str], *, checks: list[dict[str, Any]], **more: Any) -> LiveRanking:
    paints = [{"id": role, "pinned": role in pinned} for role in ("walls", "trim")]
    scheme = {"paints": paints, "given_up": "These cannot all be kept."}
    return LiveRanking({}, scheme, {"scheme": {"checks": checks, **more}}, (), (), dict)


def test_two_choices_that_fight_are_told_and_letting_one_go_is_enough() -> None:
    (found,) = conflicts(_ranked(["walls", "trim"], checks=[FIGHT]))
    assert "trim and walls" in found.text
    draft = {"pins": {"walls": "demo-1", "trim": "demo-2"}, "wishes": {}}
    assert [without_wish(draft, way)["pins"] for way in found.ways] == [{"walls": "demo-1"}, {"trim": "demo-2"}]
    assert [way["message"] for way in found.ways] == ["the paint chosen for the trim", "the paint chosen for the walls"]


def test_what_was_not_chosen_and_what_is_only_advice_is_no_fight() -> None:
    assert conflicts(_ranked(["walls"], checks=[FIGHT])) == ()
    assert conflicts(_ranked(["walls", "trim"], checks=[{**FIGHT, "passes": True}])) == ()
    assert conflicts(_ranked(["walls", "trim"], checks=[{**FIGHT, "rule": "contrast-bs8300"}])) == ()


def test_wishes_that_cannot_all_be_kept_come_first() -> None:
    wish = {"kind": "most-paints", "roles": ["walls", "trim"], "values": {"most": 1}, "message": "a single paint"}
    first, second = conflicts(_ranked(["walls", "trim"], checks=[FIGHT], wishes={"fight": [wish], "given_up": [wish]}))
    assert (first.text, first.ways) == ("These cannot all be kept.", (wish,))
    assert "trim and walls" in second.text
