"""What a place tells the one before it, held against every pair worked out one by one."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.ranking.neighbours import RULES
from matcher.scheme import message
from matcher.scheme.message import most_told
from matcher.scheme.task import Task
from matcher.scheme.web import Link, Rows


def _colours(count: int, seed: int) -> np.ndarray:
    """Muted and strong ones at random, every fifth of them twice."""
    rng = np.random.default_rng(seed)
    chroma, hue = rng.gamma(1.2, 5.0, count), rng.uniform(0, 2 * np.pi, count)
    lab = np.stack([rng.uniform(15, 100, count), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    lab[::5] = lab[1::5]
    return lab


def _contrast(first: Rows, second: Rows) -> np.ndarray:
    return np.where((first + second) % 3 == 0, -np.inf, 0.0)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("pair", RULES, ids="-".join)
def test_group_by_group_nothing_is_told_too_low(
    pair: tuple[str, str], turned: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever needs the most is told it exactly, whoever needs more than that is told no more."""
    monkeypatch.setattr(message, "_MANY_PAIRS", 0)
    monkeypatch.setattr(message, "_AT_ONCE", 999)
    monkeypatch.setattr(message, "_GROUPS_AT_ONCE", 9999)
    rng = np.random.default_rng(3)
    link = Task(dict.fromkeys(pair, np.zeros(700)), _colours(700, 4)).web().links[pair]
    link = link.turned() if turned else link
    rows, others = rng.choice(700, 400, replace=False), rng.choice(700, 500, replace=False)
    reaches = rng.uniform(0, 0.3, 500)
    most = (link.worth(rows[:, None], others[None, :]) + reaches).max(axis=1)
    enough = most + np.where(np.arange(400) % 2, 1e-6, -1e-6)
    told = most_told(link, rows, others, reaches, enough)
    np.testing.assert_array_equal(told[::2], most[::2])
    assert (told[1::2] <= most[1::2]).all()


def test_what_has_no_bounds_for_groups_is_told_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    """A wish between two places asks something else of a paint than its colour: here, its row."""
    monkeypatch.setattr(message, "_MANY_PAIRS", 0)
    count = 300
    wish = Link(0.0, (_contrast,), looks=np.arange(count, dtype=np.float32)[:, None])
    rule = Task(dict.fromkeys(("trim", "walls"), np.zeros(count)), _colours(count, 5)).web().links["trim", "walls"]
    every, reaches = np.arange(count), np.random.default_rng(6).uniform(0, 0.3, count)
    for link in (wish, rule.and_also(wish), wish.and_also(rule).turned()):
        most = (link.worth(every[:, None], every[None, :]) + reaches).max(axis=1)
        told = most_told(link, every, every, reaches, np.full(count, -np.inf))
        np.testing.assert_array_equal(told, most)


def test_paints_of_one_colour_are_looked_at_once() -> None:
    """Counted: pairs worked out, of a deck of one colour in two roles, grow no faster than the deck."""
    counted = []
    for count in (4_000, 40_000):
        pairs = 0
        link = (
            Task(dict.fromkeys(("trim", "walls"), np.zeros(count)), np.tile([70.0, 3.0, 12.0], (count, 1))).web().links
        )
        known = link["trim", "walls"]

        def worth(first: Rows, second: Rows, known: Link = known) -> np.ndarray:
            nonlocal pairs
            pairs += np.broadcast(first, second).size
            return known.worth(first, second)

        every = np.arange(count)
        told = most_told(
            Link(known.most, (worth,), known.caps, known.ceilings, known.covers, known.looks),
            every, every, np.zeros(count), np.full(count, -np.inf),
        )  # fmt: skip
        assert (told == told[0]).all()
        counted.append(pairs)
    assert counted[1] <= 10 * counted[0]
