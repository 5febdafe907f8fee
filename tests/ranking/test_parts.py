"""A large deck ranked a part at a time is the same deck, to the last digit."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import partial

import numpy as np
import pytest

from matcher.paints.deck import Deck
from matcher.ranking import judge, paint_columns
from matcher.ranking import score as scoring
from matcher.ranking.parts import in_parts
from matcher.ranking.question import Setting, ask
from matcher.ranking.score import score, score_alone
from matcher.surfaces.surface import Surface


def test_parts_come_back_in_one_whatever_their_size(
    kitchen: tuple[Surface, ...], random_deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    setting = Setting(facing="N", pins={"trim": 3})
    whole = score(ask(["walls"], kitchen, random_deck, setting), "walls")
    monkeypatch.setattr(judge, "_PAINTS_AT_ONCE", 500)
    for module in (paint_columns, scoring):
        monkeypatch.setattr(module, "in_parts", partial(in_parts, rows=97))
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


@dataclass(frozen=True)
class _Told:
    """What work may return: columns of any width and kind, in pairs, by name and in what holds them."""

    numbers: np.ndarray
    colours: np.ndarray
    pair: tuple[np.ndarray, str]
    named: dict[str, np.ndarray]
    word: str
    none: None = None


@pytest.mark.parametrize("rows", [1, 3, 4, 9, 10, 11])
def test_columns_come_back_whole_wherever_they_stand(rows: int) -> None:
    """Each part tells which rows it was; one row too many or too few would show."""

    def work(part: slice) -> _Told:
        every = np.arange(10)[part]
        return _Told(
            every * 1.0, np.stack([every, every + 10, every + 20], axis=1).astype(np.float32), (every % 2 == 0, "same"),
            {"square": every**2, "negative": -every}, f"from {part.start}",
        )  # fmt: skip

    told, every = in_parts(10, work, rows), np.arange(10)
    assert isinstance(told, _Told)
    assert isinstance(told.pair, tuple)
    assert list(told.named) == ["square", "negative"]
    for found, expected in (
        (told.numbers, every * 1.0),
        (told.colours, np.stack([every, every + 10, every + 20], axis=1).astype(np.float32)),
        (told.pair[0], every % 2 == 0),
        (told.named["square"], every**2),
        (told.named["negative"], -every),
    ):
        np.testing.assert_array_equal(found, expected)
        assert found.dtype == expected.dtype
    # All else is that of the first part.
    assert (told.pair[1], told.word, told.none) == ("same", "from 0", None)
