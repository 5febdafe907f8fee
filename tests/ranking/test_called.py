"""Undertones that may be called by name, and paints that cannot be told apart."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from matcher.harmony.tint import tint_boundary
from matcher.paints.deck import Deck
from matcher.ranking.called import CALLED_FROM, UNCALLED, undertone_certainty
from matcher.ranking.givens import gather
from matcher.ranking.shortlist import Clash, Reason
from matcher.ranking.stability import tied
from tests.ranking.asking import shortlist
from tests.ranking.conftest import MakeDeck, MakeSurface


def test_a_sure_colour_is_called_and_a_blurred_grey_is_not() -> None:
    strong, faint = [55.0, 16.0, 30.0], [80.0, 0.6, 1.6]
    sure, blurred, narrow = undertone_certainty(
        [strong, faint, faint], np.array([0.5, 5, 0.1])[:, None, None] * np.eye(3)
    )
    assert sure > 0.99
    assert blurred < CALLED_FROM < narrow


def test_across_the_hue_it_is_a_normal_distribution_far_from_grey() -> None:
    """Far from grey, where hue alone can turn, within 36 degrees of a*, b* = (20, 0): |b / 20| < tan 36 degrees, and
    of (0, 20) likewise; by the normal distribution (independent: scipy) 2 Phi(20 tan 36 / sigma) - 1 of the draws.
    """
    for sigma in (8.0, 14.5):
        covariance = np.array([np.diag([0.0, 1e-9, sigma**2]), np.diag([0.0, sigma**2, 1e-9])])
        expected = 2 * norm.cdf(20 * np.tan(np.radians(36)) / sigma) - 1
        np.testing.assert_allclose(undertone_certainty([[60.0, 20, 0], [60, 0, 20]], covariance), expected, atol=0.01)


def test_a_neutral_stays_neutral_until_its_tint_could_be_seen() -> None:
    edge = float(tint_boundary(90.0, 80.0))
    tight, loose = (undertone_certainty([[80.0, 0.0, 0.1]], sd**2 * np.eye(3)[None])[0] for sd in (edge / 20, 3 * edge))
    assert tight > 0.99
    assert loose < 0.5


def test_how_sure_a_grey_and_a_lean_are_is_a_normal_distribution_along_its_hue() -> None:
    """Where b* alone is in doubt: a grey holds until a tint is just visible to either side (ISCC-NBS boundary), a lean
    from half of that on to its own side; by scipy.
    """
    yellow, blue = float(tint_boundary(90.0, 80.0)), float(tint_boundary(270.0, 80.0))
    doubt = np.diag([0.0, 0, 1.0])[None]
    for sd in (0.6 * blue, 1.5 * blue):
        (grey,) = undertone_certainty([[80.0, 0, 0.1]], sd**2 * doubt)
        assert grey == pytest.approx(norm.cdf((yellow - 0.1) / sd) - norm.cdf((-blue - 0.1) / sd), abs=0.015)
    for seen, sd in ((0.8, 0.3 * yellow), (1.2, yellow)):
        (lean,) = undertone_certainty([[80.0, 0, seen * yellow]], sd**2 * doubt)
        assert lean == pytest.approx(norm.sf((0.5 - seen) * yellow / sd), abs=0.015)


def test_an_uncertain_lean_is_not_named_in_reasons_or_clashes(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    paints = make_deck([80, 0.5, 8], [80, 5, 3], [88, 0, 1], [70, -6, 4])
    for sd, called in ((0.3, True), (6.0, False)):
        surfaces = [make_surface("worktop", (1.0, 78, 2.4, 7.5), sd=sd)]
        assert (gather(surfaces).called[0] != UNCALLED) == called
        listed = shortlist("walls", surfaces, paints, top=4).candidates
        facts: list[Reason | Clash] = []
        for one in listed:
            facts += [*one.reasons, *one.clashes]
        found = [
            dict(fact.values)["surface_family"]
            for fact in facts
            if "surface_family" in dict(fact.values)
            and fact.kind in ("undertone-agrees", "undertone-opposes", "undertone")
        ]
        assert found
        assert (UNCALLED in found) != called


def test_candidates_are_tied_while_the_first_does_not_lead_in_nearly_every_draw() -> None:
    random = np.random.default_rng(3)
    noise = random.normal(0, 0.02, (4, 400))
    scores = np.array([0.8, 0.79, 0.6, 0.599])[:, None] + noise
    assert tied(scores) == [0, 0, 2, 2]
    assert tied(np.array([[0.8, 0.8], [0.7, 0.7], [0.7, 0.7]])) == [0, 1, 1]


def test_ties_are_mutual_and_go_when_the_doubt_does(make_surface: MakeSurface, random_deck: Deck) -> None:
    surfaces = [make_surface("floor", (1.0, 55, 14, 28), sd=6.0), make_surface("tile", (1.0, 80, -3, 6), sd=6.0)]
    listed = shortlist("walls", surfaces, random_deck).candidates
    tied_with = {candidate.paint: set(candidate.tied_with) for candidate in listed}
    assert any(tied_with.values())
    assert all(row in tied_with[other] for row, others in tied_with.items() for other in others)
    certain = [make_surface("floor", (1.0, 55, 14, 28), sd=0.0), make_surface("tile", (1.0, 80, -3, 6), sd=0.0)]
    scores = [(c.score, c.tied_with) for c in shortlist("walls", certain, random_deck).candidates]
    assert all(not ties for score, ties in scores if [s for s, _ in scores].count(score) == 1)


@pytest.mark.parametrize("draws", [1, 500])
def test_any_number_of_draws_will_do(make_surface: MakeSurface, random_deck: Deck, draws: int) -> None:
    assert len(shortlist("walls", [make_surface("floor", (1.0, 55, 14, 28))], random_deck, draws=draws).candidates) == 8
