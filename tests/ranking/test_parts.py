"""A large deck ranked a part at a time is the same deck, to the last digit."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from matcher.paints.deck import Deck
from matcher.ranking import judge, parts
from matcher.ranking.parts import in_parts
from matcher.ranking.question import Setting, ask
from matcher.ranking.score import score, score_alone
from matcher.surfaces.surface import Surface


def test_parts_come_back_in_one_whatever_their_size(
    kitchen: tuple[Surface, ...], random_deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    setting = Setting(facing="N", pins={"trim": 3})
    whole = score(ask(["walls"], kitchen, random_deck, setting), "walls")
    monkeypatch.setattr(judge, "_PAINTS_AT_ONCE", 50)
    monkeypatch.setattr(parts.in_parts, "__defaults__", (7,))
    asked = ask(["walls"], kitchen, random_deck, setting)
    told = score(asked, "walls")
    np.testing.assert_array_equal(score_alone(asked, "walls"), whole.score)
    for one in fields(whole):
        if one.name != "by_itself":
            np.testing.assert_array_equal(getattr(told, one.name), getattr(whole, one.name))
    np.testing.assert_array_equal(told.by_itself.beside["trim"], whole.by_itself.beside["trim"])
    np.testing.assert_array_equal(told.by_itself.light_cost.cold, whole.by_itself.light_cost.cold)
    assert told.by_itself.role == "walls"


def test_each_part_is_asked_for_once() -> None:
    seen: list[slice] = []

    def work(part: slice) -> tuple[np.ndarray, str]:
        seen.append(part)
        return np.arange(10)[part], "same"

    numbers, word = in_parts(10, work, 4)
    np.testing.assert_array_equal(numbers, np.arange(10))
    assert word == "same"
    assert seen == [slice(0, 4), slice(4, 8), slice(8, 12)]
