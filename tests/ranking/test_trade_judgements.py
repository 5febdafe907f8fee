"""Does the ranking side with the trade? Common practice, no published source: the table was written beforehand."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from matcher.paints.deck import Deck
from matcher.ranking.rank import prepare, score_role, setting
from matcher.surfaces.model import Surface

TABLE = Path(__file__).with_name("trade_judgements.csv")
with TABLE.open(encoding="utf-8", newline="") as file:
    JUDGEMENTS = list(csv.DictReader(file))


def _numbers(text: str) -> list[float]:
    return [float(part) for part in text.split(",")]


def _rows(text: str) -> list[list[float]]:
    """ "share:L,a,b;share:L,a,b" as rows of share, L, a, b."""
    return [[float(share), *_numbers(lab)] for share, lab in (part.split(":") for part in text.split(";"))]


def test_there_are_at_least_forty() -> None:
    assert len(JUDGEMENTS) >= 40


@pytest.mark.parametrize("judgement", JUDGEMENTS, ids=lambda row: row["id"])
def test_the_better_paint_scores_higher(
    judgement: dict[str, str], make_surface: Callable[..., Surface], make_deck: Callable[..., Deck]
) -> None:
    surface = make_surface(judgement["surface_name"], *_rows(judgement["surface_colours"]))
    deck = make_deck(_numbers(judgement["better_lab"]), _numbers(judgement["worse_lab"]))
    better, worse = score_role(judgement["role"], prepare([surface], deck), setting()).score
    assert better > worse, judgement["why"]


def test_lightness_does_not_swamp_undertone(
    make_surface: Callable[..., Surface], make_deck: Callable[..., Deck]
) -> None:
    """With the worse paint made 10 L* lighter or darker, nine in ten judgements still stand."""
    kept = []
    for judgement in JUDGEMENTS:
        surface = make_surface(judgement["surface_name"], *_rows(judgement["surface_colours"]))
        for step in (-10, 10):
            worse = _numbers(judgement["worse_lab"])
            worse[0] = min(worse[0] + step, 99.0)
            prepared = prepare([surface], make_deck(_numbers(judgement["better_lab"]), worse))
            score = score_role(judgement["role"], prepared, setting()).score
            kept.append(score[0] > score[1])
    assert sum(kept) >= 0.9 * len(kept)
