"""Scores under drawn surfaces: at the measured colours they are the ranking's own."""

from __future__ import annotations

import numpy as np

from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.clashes import worst_severity
from matcher.ranking.drawn_scores import Undrawn, drawn_clashes, drawn_scores, judge_surface
from matcher.ranking.rank import Prepared, prepare, score_role, setting
from matcher.ranking.stability import draw_surfaces
from matcher.surfaces.model import Surface
from matcher.surfaces.symmetric_root import symmetric_root
from tests.ranking.conftest import MakeSurface


def test_without_doubt_every_draw_is_the_ranking_itself(
    kitchen: tuple[Surface, ...], random_deck: Deck, make_surface: MakeSurface
) -> None:
    """Two ways to one number: the tables of the whole deck, and surface by surface through the draws."""
    certain = [
        make_surface(s.name, *([c.share, *c.lab.tolist()] for c in s.colours), visibility=s.visibility, sd=0.0)
        for s in kitchen
    ]
    ready = prepare(certain, random_deck)
    drawn = draw_surfaces(ready.givens, 3, 0)
    asked = setting(neighbours={"trim": np.array([95.0, 0.0, 2.0])})
    for role in weights.ROLES:
        table = score_role(role, ready, asked)
        undrawn = Undrawn(role, table, ready.pairs.apart)
        judged = [
            judge_surface(ready.paints, ready.givens, place, drawn.lab[:, ready.givens.columns(place)], mean)
            for place, mean in enumerate(drawn.surface_lab.swapaxes(0, 1))
        ]
        scores = drawn_scores(undrawn, judged, ready.givens)
        np.testing.assert_allclose(scores, np.repeat(table.score[:, None], 3, axis=1), atol=2e-5)
        # A clash too slight for a line counts in a draw, so that a draw just past that edge does not jump.
        clash = worst_severity(role, ready.pairs.accord, table.separation, ready.givens)
        assert np.abs(drawn_clashes(undrawn, judged, ready.givens)[:, 0] - clash).max() <= 0.05 + 1e-5


def test_the_root_is_a_root_and_takes_like_colours_one_way() -> None:
    """R R = C, R symmetric: unlike a root by eigenvectors it has no sign or order to choose."""
    one = np.array([[4.0, 1, 0.2], [1, 1, 0], [0.2, 0, 2]])
    near = one + 1e-6
    np.testing.assert_allclose(symmetric_root(one) @ symmetric_root(one), one, atol=1e-12)
    np.testing.assert_allclose(symmetric_root(one), symmetric_root(one).T, atol=1e-12)
    np.testing.assert_allclose(symmetric_root(near), symmetric_root(one), atol=1e-5)


def test_the_share_of_each_colour_moves_the_mean(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    """The mean of a surface moves as its colours do, each by its share."""
    ready: Prepared = prepare(kitchen, random_deck)
    drawn = draw_surfaces(ready.givens, 50, 1)
    for place, surface in enumerate(ready.givens.surfaces):
        columns = ready.givens.columns(place)
        moved = drawn.lab[:, columns] - ready.givens.lab[columns]
        shares = np.array([c.share for c in sorted(surface.colours, key=lambda c: -c.share)])
        np.testing.assert_allclose(
            drawn.surface_lab[:, place] - surface.lab, np.einsum("dki,k->di", moved, shares), atol=1e-3
        )
