"""The step between two paints: the trade's verdicts, and CIEDE2000 of an independent library."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from matcher.colorimetry.lrv import lrv
from matcher.description.comparison import VISIBLE_DE00, compare_colours
from matcher.description.step import SEEN, Step, steps

# Common practice, no published source: what a consultant says of two chips, written before the code was tried on them.
TABLE = Path(__file__).with_name("neighbour_judgements.csv")
with TABLE.open(encoding="utf-8", newline="") as file:
    JUDGEMENTS = list(csv.DictReader(file))


def _lab(text: str) -> list[float]:
    return [float(part) for part in text.split(",")]


def step(here: list[float], other: list[float]) -> Step:
    return steps(here, float(lrv(np.array(here))), [other], [float(lrv(np.array(other)))])[0]


def _word(part: float, more: str, less: str) -> str:
    if abs(part) < VISIBLE_DE00:
        return ""
    return more if part > 0 else less


@pytest.mark.parametrize("row", JUDGEMENTS, ids=lambda row: row["id"])
def test_the_trade_says_the_same(row: dict[str, str]) -> None:
    found = step(_lab(row["here"]), _lab(row["other"]))
    assert (_word(found.lighter, "lighter", "darker") or "same") == row["lighter"], row["why"]
    for part, more, less, said in (
        (found.warmer, "warmer", "cooler", row["warm"]),
        (found.greener, "greener", "pinker", row["green"]),
    ):
        # An empty field is not judged; "none" says that there is no such difference.
        assert not said or (_word(part, more, less) or "none") == said, row["why"]
    assert found.seen == row["seen"], row["why"]


def test_the_difference_is_what_an_independent_library_finds() -> None:
    """scikit-image's CIEDE2000, the difference as a whole and the tint at one lightness."""
    rng = np.random.default_rng(6)
    here, others = rng.uniform([30, -10, -10], [90, 10, 10]), rng.uniform([30, -15, -15], [90, 15, 15], (50, 3))
    found = steps(here, 50.0, others, np.full(50, 50.0))
    assert [one.de00 for one in found] == pytest.approx(deltaE_ciede2000(np.tile(here, (50, 1)), others), abs=1e-6)
    level = np.column_stack([np.full(50, here[0]), others[:, 1:]])
    assert [one.tint for one in found] == pytest.approx(deltaE_ciede2000(np.tile(here, (50, 1)), level), abs=1e-6)


def test_the_words_never_contradict_the_comparison() -> None:
    rng = np.random.default_rng(8)
    for here, other in rng.uniform([15, -15, -15], [95, 15, 15], (120, 2, 3)):
        found, compared = step(here.tolist(), other.tolist()), compare_colours(here, other)
        if abs(found.warmer) >= VISIBLE_DE00:
            assert compared.warmer == ("b" if found.warmer > 0 else "a")
        if abs(found.greener) >= VISIBLE_DE00:
            assert compared.greener == ("b" if found.greener > 0 else "a")
        assert (found.seen not in ("nobody", "few")) == compared.visible


def test_there_and_back_are_the_same_step_turned_round() -> None:
    there, back = step([76.0, 1.0, 6.0], [70.0, -2.0, 8.0]), step([70.0, -2.0, 8.0], [76.0, 1.0, 6.0])
    assert there.de00 == pytest.approx(back.de00)
    assert (there.lrv, np.sign(there.lighter), np.sign(there.greener)) == (-back.lrv, -1, 1)
    assert (np.sign(back.lighter), np.sign(back.greener)) == (1, -1)


@pytest.mark.parametrize("here", [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [50.0, 0.0, 0.0], [30.0, 120.0, -120.0]])
def test_black_white_grey_and_what_no_paint_has(here: list[float]) -> None:
    same = step(here, here)
    assert (same.de00, same.seen, same.same_undertone) == (0.0, "nobody", True)
    assert all(np.isfinite([getattr(step(here, [60.0, 5.0, 5.0]), name) for name in ("de00", "warmer", "stronger")]))


def test_every_difference_has_a_word() -> None:
    assert [limit for limit, _ in SEEN] == sorted(limit for limit, _ in SEEN)
    assert step([50.0, 0.0, 0.0], [90.0, 40.0, 60.0]).seen == SEEN[-1][1]
