"""Clashes: where, how badly and how sure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from matcher.ranking.clashes import lightness_clashes, nearer_step
from matcher.ranking.givens import gather
from matcher.surfaces.surface import Surface
from tests.ranking.asking import shortlist
from tests.ranking.conftest import MakeDeck, MakeSurface


def test_the_nearer_of_two_steps_is_in_lightness_and_half_in_colour(make_surface: MakeSurface) -> None:
    """By brute force, with colours that part along a* as well as along b*."""
    rng = np.random.default_rng(5)
    for _ in range(60):
        main, vein = rng.uniform((40, -20, -20), (80, 20, 20), (2, 3))
        givens = gather([make_surface("stone", (0.6, *main), (0.4, *vein))])
        paint = rng.uniform((40, -20, -20), (80, 20, 20))
        steps = [paint - (0.6 * main + 0.4 * vein), paint - main]
        nearer = min(steps, key=lambda step: abs(step[0]) + 0.5 * np.linalg.norm(step[1:]))
        np.testing.assert_allclose(nearer_step(paint, givens, 0), nearer)


def _with_doubt(surface: Surface, variances: tuple[float, float, float]) -> Surface:
    return replace(surface, covariance=np.diag(variances))


@pytest.mark.parametrize(
    ("paint", "sd", "distance", "expected_sd"),
    [
        # A step in lightness has the doubt of L* alone; the middle of what parts two is 7.
        ((66.0, 0.0, 0.0), (2.0, 1e-6, 1e-6), 6.0, 2.0),
        ((52.5, 0.0, 0.0), (0.4, 1e-6, 1e-6), 7.5, 0.4),
        # A step in colour half that of chroma, whichever way it goes; half way between a* and b* that of both.
        ((60.0, 16.0, 0.0), (1e-6, 2.0, 2.0), 8.0, 1.0),
        ((60.0, 0.0, 12.0), (1e-6, 3.0, 3.0), 6.0, 1.5),
        ((60.0, 9.0, 9.0), (1e-6, 1.0, 3.0), 4.5 * np.sqrt(2), 0.5 * np.sqrt(5)),
        ((60.0, 9.0, 9.0), (1e-6, 3.0, 1.0), 4.5 * np.sqrt(2), 0.5 * np.sqrt(5)),
        # Both at once: of what is not correlated, the variances add up.
        ((63.0, 9.0, 0.0), (1.2, 3.2, 3.2), 7.5, 2.0),
    ],
)
def test_the_chance_of_a_merge_is_that_of_a_normal_distribution(
    paint: tuple[float, ...], sd: tuple[float, ...], distance: float, expected_sd: float, make_surface: MakeSurface
) -> None:
    """By scipy, where the distance is a straight line."""
    a, b, c = (each**2 for each in sd)
    givens = gather([_with_doubt(make_surface("stone", (1.0, 60, 0, 0)), (a, b, c))])
    ((clash,),) = lightness_clashes("cabinets", np.array([paint]), np.zeros((1, 1)), givens)
    assert clash.probability == pytest.approx(norm.cdf((7 - distance) / expected_sd), abs=1e-3)


def test_a_vein_is_told_by_its_share_and_a_main_colour_is_not(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Of two fields only the share tells which is meant."""
    violet = make_deck((76, 1.5, -3))
    stated = []
    for rows, share in (
        (((0.7, 76, -0.2, 0.4), (0.3, 55, 14, 28)), 0.3),
        (((0.7, 55, 14, 28), (0.3, 76, -0.2, 0.4)), None),
    ):
        (one,) = shortlist("walls", [make_surface("floor", *rows)], violet).candidates
        (clash,) = [clash for clash in one.clashes if clash.kind != "lightness"]
        assert dict(clash.values).get("share") == (None if share is None else pytest.approx(share))
        stated.append(dict(clash.values).keys() - {"share"})
    names = (
        "cause",
        "agreement",
        "surface_family",
        "surface_lean",
        "surface_hue_deg",
        "surface_chroma",
        "paint_warmth",
    )
    assert stated == [{*names, "surface_warmth", "part"}] * 2


def test_a_given_without_any_warmth_is_no_side_of_a_warm_cool_clash(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """A white with a* and b* of nought beside a cream: a near miss of two whites, and neither warm nor cool."""
    tile = make_surface("tile", (1.0, 95, 0, 0))
    (one,) = shortlist("trim", [tile], make_deck((92, 0.5, 8))).candidates
    (clash,) = one.clashes
    values = dict(clash.values)
    assert (clash.kind, values["cause"]) == ("undertone", "near-miss white")
    assert values["surface_warmth"] == pytest.approx(0, abs=1e-12)
