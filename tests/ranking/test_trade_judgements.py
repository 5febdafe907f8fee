"""Does the ranking side with the trade? Common practice, no published source; when each row was written: SOURCES.md."""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from matcher.paints.deck import Deck
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores

TABLE = Path(__file__).with_name("trade_judgements.csv")
with TABLE.open(encoding="utf-8", newline="") as file:
    JUDGEMENTS = list(csv.DictReader(file))

MakeSurface = Callable[..., Surface]
MakeDeck = Callable[..., Deck]
Row = dict[str, str]


def _numbers(text: str) -> list[float]:
    return [float(part) for part in text.split(",")]


def _rows(text: str) -> list[list[float]]:
    """ "share:L,a,b;share:L,a,b" as rows of share, L, a, b."""
    return [[float(share), *_numbers(lab)] for share, lab in (part.split(":") for part in text.split(";"))]


def _givens(judgement: Row) -> list[tuple[str, list[list[float]]]]:
    names, colours = judgement["surface_name"].split("|"), judgement["surface_colours"].split("|")
    return [(name, _rows(text)) for name, text in zip(names, colours, strict=True)]


def _better_wins(
    judgement: Row,
    givens: Sequence[tuple[str, list[list[float]]]],
    make_surface: MakeSurface,
    make_deck: MakeDeck,
    worse_lighter_by: float = 0.0,
) -> bool:
    better, worse = _numbers(judgement["better_lab"]), _numbers(judgement["worse_lab"])
    worse[0] = min(worse[0] + worse_lighter_by, 99.0)
    surfaces = [make_surface(name, *rows) for name, rows in givens]
    score = scores(judgement["role"], surfaces, make_deck(better, worse)).score
    return bool(score[0] > score[1])


def test_there_are_at_least_forty() -> None:
    assert len(JUDGEMENTS) >= 40


def test_no_row_is_told_twice() -> None:
    told = [tuple(row[key] for key in row if key not in ("id", "why")) for row in JUDGEMENTS]
    assert len(set(told)) == len(told) == len({row["id"] for row in JUDGEMENTS})


@pytest.mark.parametrize("judgement", JUDGEMENTS, ids=lambda row: row["id"])
def test_the_better_paint_scores_higher(judgement: Row, make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    assert _better_wins(judgement, _givens(judgement), make_surface, make_deck), judgement["why"]


def test_lightness_does_not_swamp_undertone(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """With the worse paint made 10 L* lighter or darker, nine in ten judgements still stand."""
    kept = [
        _better_wins(judgement, _givens(judgement), make_surface, make_deck, worse_lighter_by=step)
        for judgement in JUDGEMENTS
        for step in (-10, 10)
    ]
    assert sum(kept) >= 0.9 * len(kept)


def test_a_reading_two_units_off_seldom_turns_a_verdict(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Every given moved by 2 CIEDE2000 (scikit-image's) in a random direction: 98 of 100 verdicts stand."""
    rng = np.random.default_rng(17)
    kept = []
    for judgement in JUDGEMENTS:
        moved = []
        for name, rows in _givens(judgement):
            main, away = np.array(rows[0][1:]), rng.normal(size=3)
            away *= 2 / deltaE_ciede2000(main, main + away / 10) / 10
            moved.append((name, [[share, *(np.array(lab) + away)] for share, *lab in rows]))
        kept.append(_better_wins(judgement, moved, make_surface, make_deck))
    assert sum(kept) >= 0.98 * len(kept)
