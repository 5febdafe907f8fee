"""A colour with its spread: what the swatch shows is the edge of the 90 % region."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy.stats import chi2

from matcher.colorimetry.spaces import hex_to_lab, labs_to_hex
from matcher.ranking.called import UNCALLED
from matcher.ranking.shortlist import Clash, Reason
from matcher.report.doubt import spread_hexes
from matcher.report.reader import advice_view, role_view
from matcher.report.sentences import ADVICE_STANDS, UNCERTAIN_LEAN
from matcher.report.spread import spread_drawing
from matcher.report.trade_words import doubt_phrase
from matcher.report.wording import clash_sentence, reason_sentence


def test_the_six_lie_on_the_edge_of_the_region() -> None:
    """Mahalanobis distance squared of each is the 90 % quantile of chi-squared of 3 degrees (independent: scipy)."""
    lab = np.array([60.0, 4.0, 10.0])
    covariance = np.array([[16.0, 2, 1], [2, 6, 0], [1, 0, 4]])
    (beside,) = spread_hexes(lab[None], covariance[None])
    away = np.array([hex_to_lab(text) for text in beside]) - lab
    distance = np.einsum("ij,jk,ik->i", away, np.linalg.inv(covariance), away)
    np.testing.assert_allclose(distance, chi2.ppf(0.9, 3), rtol=0.12)  # hex keeps 8 bits
    assert np.all(np.diff(away[:, 0]) > -0.5)


def test_the_drawing_holds_the_colours_in_order_on_neutral_grey() -> None:
    beside = labs_to_hex(np.array([[level, 0.0, 5.0] for level in (40, 45, 50, 60, 65, 70)]))
    drawing = spread_drawing("tile & grout", {"hex": "#a0a090", "spread": beside})
    assert re.findall(r'fill="(#[0-9a-f]{6})"', drawing.svg) == ["#b9b9b9", *beside, "#a0a090"]
    assert "tile &amp; grout" in drawing.svg
    assert "tile & grout" in drawing.alt


@pytest.mark.parametrize(
    ("half_width", "own_card", "said"),
    [
        (2.0, True, "sure"),
        (6.0, False, "fairly sure"),
        (20.0, False, "rough, lay a card on it"),
        (20.0, True, "rough, measure again"),
    ],
)
def test_how_sure_is_said_plainly(half_width: float, own_card: bool, said: str) -> None:
    assert doubt_phrase(half_width, own_card=own_card) == said


def test_no_lean_is_named_where_it_is_too_uncertain() -> None:
    values = (
        ("family", "yellow"),
        ("hue_deg", 90.0),
        ("chroma", 8.0),
        ("surface_family", UNCALLED),
        ("surface_hue_deg", 340.0),
        ("surface_chroma", 2.0),
        ("part", "field"),
        ("agreement", -0.4),
    )
    for kind, favours in (("undertone-agrees", True), ("undertone-opposes", False), ("quiet-partner", True)):
        said = reason_sentence(Reason(kind, favours, values, ("worktop",), 0.5))
        assert UNCERTAIN_LEAN in said
        assert UNCALLED not in said.replace(UNCERTAIN_LEAN, "")
    clash = Clash("worktop", "undertone", 0.5, 0.55, (("cause", "undertone"), *values[3:6]))
    assert UNCERTAIN_LEAN in clash_sentence(clash)
    assert "340" not in clash_sentence(clash)


def test_advice_that_stands_says_so() -> None:
    board = {"kind": "sample board", "message": "Paint a board"}
    view = advice_view({"stands": True, "next": None, "photo": None, "actions": [board]})
    assert view["says"] == f"{ADVICE_STANDS}."
    assert (view["first"], view["photo"], view["why"]) == (None, None, "")


def test_ties_at_the_head_of_a_list_are_said() -> None:
    paint = {"code": "a", "name": "A", "reasons": [], "facts": [], "clashes": [], "score": 0.8, "stability": 1.0}
    terms = dict.fromkeys(("harmony", "undertone", "contrast", "light", "wishes"), 0.5)
    first = {**paint, "terms": terms, "tied_with": ["b"]}
    second = {**first, "code": "b", "name": "B", "tied_with": ["a"]}
    view = role_view("walls", [first, second])
    assert "The scores of the first two are equal on this evidence" in view["intro"]
    assert "Its score is equal, on this evidence, to that of B." in view["paints"][0]["stability"]
    alone = role_view("walls", [{**first, "tied_with": []}])
    assert "equal" not in alone["intro"] + alone["paints"][0]["stability"]
