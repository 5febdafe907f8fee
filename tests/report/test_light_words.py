"""What the light does to one colour, in words: an undertone that changes is told as far as the colour does."""

from __future__ import annotations

from typing import Any

import pytest

from matcher.report.light_words import colour_sentences

DAY = {
    "hours": [
        {"hour": 12.0, "kind": "sky", "lux": 900.0},
        {"hour": 20.0, "kind": "lamps", "lux": 100.0},
    ],
}


def looked_at(keeps: float) -> dict[str, Any]:
    lab = [76.0, 3.0, -3.0]
    return {
        "hours": [{"hour": 12.0, "lab": lab, "keeps": 1.0}, {"hour": 20.0, "lab": lab, "keeps": keeps}],
        "lamps": [{"lab": lab}],
        "flips": [{"from": "purple", "to": "red-purple", "hour": 20.0}],
        "keeps": keeps,
    }


@pytest.mark.parametrize(
    ("keeps", "last"),
    [
        (0.97, "It stands between violet and mauve, so its name changes and the colour hardly."),
        (0.7, "From violet to mauve by the lamps."),
    ],
)
def test_a_name_that_changes_where_the_colour_hardly_does(keeps: float, last: str) -> None:
    said = colour_sentences(DAY, looked_at(keeps))
    assert said[-1] == last
    assert sum("mauve" in text for text in said) == 1
