"""Words for neighbours: the trade's, each traced to a number, and a sentence for every kind of fact."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import get_args

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.description.partners import Partner, Without
from matcher.description.push import Claim, Push, PushKind
from matcher.description.step import SEEN, Step, steps
from matcher.harmony.undertone import undertone
from matcher.report.neighbour_words import (
    partner_numbers,
    partner_phrase,
    push_numbers,
    push_sentence,
    step_phrase,
)
from matcher.report.sentences import (
    AREA_EFFECT,
    AREA_SOURCE,
    NO_PARTNER,
    NO_PUSH,
    PUSH_CAUTION,
    PUSHES,
    STEP_SEEN,
)

GREIGE = [76.0, 1.0, 6.0]
# What no sentence holds: the numbers stand beside it.
SCALES = re.compile(r"\d|°|dE|LRV|chroma|CIELAB|a\*|b\*")
PUSH = Push(
    "oak floor", "pushes", "will", "blue", "violet", np.array([0, -0.6, -1.6]), np.array([0, -1.2, -3.2]), (1.2, 2.4)
)


def said(here: list[float], other: list[float]) -> str:
    return step_phrase(step(here, other))


def step(here: list[float], other: list[float]) -> Step:
    return steps(here, float(lrv(np.array(here))), [other], [float(lrv(np.array(other)))])[0]


@pytest.mark.parametrize(
    ("here", "other", "words"),
    [
        (GREIGE, [68.0, -2.0, 8.0], "clearly darker, greener, a little cooler; you would see it across the room"),
        # LRV 53 and 49 (CIE 015:2018).
        ([77.9, 0.0, 5.0], [75.4, 0.0, 5.0], "a shade darker, the same undertone; you would see it only side by side"),
        (GREIGE, [76.2, 1.0, 6.0], "as good as the same colour; nobody would see the difference"),
        (GREIGE, [76.0, 1.0, 6.9], "as good as the same colour; hardly anybody would see the difference"),
        (GREIGE, [84.0, 1.0, 6.0], "clearly lighter, the same undertone; you would see it across the room"),
        ([76.0, 0.0, 3.0], [76.0, 0.0, 7.0], "warmer; you would see it where two walls meet"),
        ([50.0, 30.0, 40.0], [50.0, 25.2, 33.6], "a little greener; you would see it only side by side"),
    ],
)
def test_a_neighbour_in_words(here: list[float], other: list[float], words: str) -> None:
    assert said(here, other) == words


def test_what_the_models_call_warmer_is_said_to_be() -> None:
    """The lists of warmer and cooler paints go by the published models: no line in them may leave the word out."""
    rng = np.random.default_rng(5)
    for here, other in rng.uniform([20, -8, -8], [95, 8, 8], (150, 2, 3)):
        found = step(here.tolist(), other.tolist())
        words = step_phrase(found)
        assert ("warmer" in words) == (found.warm_side > 0 and "as good as" not in words)
        assert ("cooler" in words) == (found.warm_side < 0 and "as good as" not in words)
        assert not SCALES.search(words)


def test_every_fact_has_its_words() -> None:
    assert {word for _, word in SEEN} == set(STEP_SEEN)
    assert set(PUSHES) == {f"{kind} {claim}" for kind in get_args(PushKind) for claim in get_args(Claim)}
    assert set(NO_PARTNER) == set(get_args(Without))
    for text in (*STEP_SEEN.values(), *PUSHES.values(), *NO_PARTNER.values(), NO_PUSH, PUSH_CAUTION, AREA_EFFECT):
        assert not SCALES.search(text)


def test_the_numbers_stand_behind_the_words() -> None:
    assert push_sentence(PUSH) == "The oak floor will push it towards blue."
    assert push_numbers(PUSH) == "a*b* moved by 1.7 to 3.4, 1.2 to 2.4 times what just shows"


@pytest.mark.parametrize(
    ("kind", "claim", "words"),
    [
        ("pushes", "may", "The oak floor may push it towards blue."),
        ("brings-out", "will", "The oak floor will bring out the violet in it."),
        ("quietens", "may", "The oak floor may take some of the violet out of it."),
        ("pushes", None, ""),
    ],
)
def test_a_push_in_words(kind: PushKind, claim: Claim | None, words: str) -> None:
    assert push_sentence(replace(PUSH, kind=kind, claim=claim)) == words


def test_a_partner_is_no_larger_in_words_than_in_numbers() -> None:
    own, others = undertone([76.0, 2.0, -2.5]), undertone([74.0, -3.0, 3.0])
    shift = np.zeros((2, 3))
    faint = Partner(0, shift, shift, (0.1, 0.2), (0.2, 0.4))
    assert partner_phrase(faint, own, others) == (
        "each brings out the other: the violet here, the yellow-green there; mostly their difference shows; the eye "
        "adds very little"
    )
    assert "enough to notice" in partner_phrase(replace(faint, gain_partner=(0.6, 1.2)), own, others)
    assert partner_numbers(faint) == "this by 0.10 to 0.20 of what just shows, the partner by 0.20 to 0.40"


def test_the_size_of_a_wall_is_cited_and_has_no_number() -> None:
    """CIE 208:2014 and Xiao et al. 2003 agree on the direction; the formulas in print are tentative."""
    assert "lighter and stronger" in AREA_EFFECT
    assert "CIE 208:2014" in AREA_SOURCE
    assert "2003" in AREA_SOURCE
