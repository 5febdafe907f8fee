"""What each kind of reference has to say of itself: one reflectance, one a step, or nothing."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from matcher.room.contents import PAPER_REFLECTANCE, Reference
from matcher.room.wording import problem_of

SQUARE = ((10.0, 10.0), (40.0, 10.0), (40.0, 30.0), (10.0, 30.0))


def message(**keys: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        Reference(outline=SQUARE, **keys)
    (error,) = caught.value.errors()
    return str(problem_of(error))


@pytest.mark.parametrize("kind", ["grey card", "white card", "black card", "grey scale"])
def test_cards_state_what_they_reflect(kind: str) -> None:
    assert message(kind=kind).startswith("reflectance: is missing")


def test_a_chart_and_paper_are_known() -> None:
    assert Reference(kind="chart 24", outline=SQUARE).plain_reflectance is None
    assert Reference(kind="white paper", outline=SQUARE).plain_reflectance == PAPER_REFLECTANCE
    assert Reference(kind="white paper", reflectance=0.9, outline=SQUARE).plain_reflectance == 0.9


def test_a_grey_scale_has_a_reflectance_for_each_step() -> None:
    assert Reference(kind="grey scale", reflectances=(0.9, 0.4, 0.1), outline=SQUARE).reflectances == (0.9, 0.4, 0.1)
    assert "2 to 40" in message(kind="grey scale", reflectances=(0.9,))
    assert "2 to 40" in message(kind="grey scale", reflectances=(0.5,) * 41)
    assert "0 leaves nothing" in message(kind="grey scale", reflectances=(0.9, 0.0))
    assert "not between 0 and 1" in message(kind="grey scale", reflectances=(0.9, 18.0))


@pytest.mark.parametrize("kind", ["grey card", "chart 24", "white paper"])
def test_nothing_else_has_several(kind: str) -> None:
    assert "are for a grey scale" in message(kind=kind, reflectance=0.5, reflectances=(0.9, 0.4))
