"""What patches of one place say of the curve: the errors that are reckoned with, one after the other, and no others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import block_diag
from scipy.sparse.csgraph import connected_components

from matcher.calibration.curve_evidence import CARD_SD, CurveEvidence, adjacent, places, shared_slope
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import TONES, linear_table
from matcher.colorimetry.spaces import Floats
from tests.calibration.made_patches import PIXELS, STRAIGHT, made, straight_space

PLAIN = np.zeros(5)
ONE_GREY = np.eye(5) + np.array(
    [[i + j == 4 and 1 in (i, j) for j in range(5)] for i in range(5)]
)  # the 2nd and the 4th


def at(x: float, y: float = 0.0, extent: float = 40.0, on: str | None = None) -> Patch:
    return made(0.2, centre=np.array([x, y]), extent=extent, on=on)


def test_near_is_within_three_widths_of_the_larger_patch() -> None:
    for near, far in ((at(619), at(621)), (at(596, 70), at(597, 71))):  # the latter 118.8 and 120.2 apart
        assert adjacent(at(500), near)
        assert not adjacent(at(500), far)
    assert adjacent(at(500, extent=40), at(619, extent=10))
    assert adjacent(at(500, extent=10), at(619, extent=40))


def test_loose_patches_are_grouped_as_the_parts_of_a_graph_are() -> None:
    """By scipy, over who lies near whom; patches with a surface of their own go by that."""
    rng = np.random.default_rng(5)
    for _ in range(20):
        loose = [at(*rng.uniform(0, 700, 2)) for _ in range(9)]
        near = [[adjacent(a, b) for b in loose] for a in loose]
        count, label = connected_components(np.array(near))
        patches = [loose[0], at(0, 0, on="floor"), *loose[1:], at(900, 900, on="floor"), at(0, 0, on="worktop")]
        index = [0, *range(2, 10)]
        expected = [[index[i] for i in np.flatnonzero(label == part)] for part in range(count)]
        found = places(patches)
        assert sorted(found) == sorted([*expected, [1, 10], [11]])


def test_a_slope_is_the_mean_weighed_by_how_well_each_is_known() -> None:
    """By inverse variances, as least squares has it; beside that doubt it has some in proportion to itself."""
    sds = np.array([1e-3, 2e-3, 5e-4])
    slopes = np.array([[1e-3, 2e-3], [3e-3, -1e-3], [2e-3, 0.0]])
    found, sd = shared_slope([made(0.2, slope=s, slope_sd=float(e)) for s, e in zip(slopes, sds, strict=True)])
    np.testing.assert_allclose(found, np.average(slopes, axis=0, weights=sds**-2.0), rtol=1e-12)
    flat, flat_sd = shared_slope([made(0.2, slope_sd=float(e)) for e in sds])
    np.testing.assert_array_equal(flat, 0)
    assert flat_sd == pytest.approx((sds**-2.0).sum() ** -0.5)
    own = np.sqrt(sd**2 - flat_sd**2) / np.linalg.norm(found)
    assert own == pytest.approx(0.3)  # assumption
    assert shared_slope([made(0.2, slope_sd=0.0)])[1] == pytest.approx(1e-9)


def laid(
    reflectance: float,
    level: Floats,
    x: float,
    y: float,
    noise: float = 0.0,
    level_sd: float = 0.0,
    colour_sd: float = 0.0,
) -> Patch:
    """A card whose light is exp(``level``) (3,) of a white's 0.9."""
    return made(
        0.9 * reflectance * np.exp(level), reflectance, centre=np.array([x, y]), noise=noise, slope_sd=1e-3,
        level_sd=level_sd, colour_sd=colour_sd,
    )  # fmt: skip


def cards(levels: Floats) -> list[list[Patch]]:
    """Two places, levels (5, 3): white, grey and black card; and again a grey, of 1.5 % more, with a chip."""
    return [
        [laid(0.85, levels[0], 0, 0), laid(0.18, levels[1], 50, 0, noise=0.4), laid(0.05, levels[2], 100, 30)],
        [laid(0.1827, levels[3], 900, 400), laid(0.6, levels[4], 960, 380, level_sd=0.05, colour_sd=0.06)],
    ]


def known_errors(groups: Sequence[Sequence[Patch]], same: Floats) -> Floats:
    """The covariance (3 N, 3 N) of the logarithms of what N patches claim: independent causes, added as squares (JCGM
    100:2008, 5.1.2), of the sizes that the module states as its assumptions. ``same`` (N, N) is 1 for one card.
    """
    members = [patch for group in groups for patch in group]
    causes: list[Floats] = [np.kron(same, 0.02**2 + 0.04**2 * np.eye(3))]
    for patch in members:
        value = patch.linear(STRAIGHT)
        read = (
            2.2 * np.hypot(0.3 / 255, patch.noise / np.sqrt(PIXELS)) / value
        )  # of a file value, as a display shows it
        own = 0.015**2 + read**2 + (0.002 / patch.reflectance) ** 2 + patch.colour_sd**2
        causes.append(_only(members, patch, np.diag(own) + patch.level_sd**2))
    by_place = []
    for group in groups:
        centres = np.array([patch.centre for patch in group])
        away = centres - centres.mean(axis=0)
        slope_sd = 1e-3 / np.sqrt(len(group))
        level = 10.0**2 * np.kron(np.ones((len(group), len(group))), np.eye(3))  # of a place: free
        by_place.append(level + slope_sd**2 * np.kron(away @ away.T, np.ones((3, 3))))
    return np.asarray(sum(causes) + block_diag(*by_place))


def _only(members: Sequence[Patch], one: Patch, covariance: Floats) -> Floats:
    return np.kron(np.diag([float(patch is one) for patch in members]), covariance)


def squares(departures: Floats, covariance: Floats) -> float:
    return float(departures @ np.linalg.solve(covariance, departures))


def test_departures_are_weighed_by_the_errors_that_are_known() -> None:
    """Whitened, their squares are those of Mahalanobis' distance; the jacobian is the difference quotient."""
    rng = np.random.default_rng(11)
    for _ in range(4):
        levels = 0.05 * rng.standard_normal((5, 3)) - 0.1
        evidence = CurveEvidence(cards(levels), straight_space())
        found, jacobian = evidence.departure(PLAIN)
        expected = squares((levels + np.log(0.9)).ravel(), known_errors(cards(levels), ONE_GREY))
        assert float(found @ found) == pytest.approx(expected, rel=1e-6)
        for step in 1e-4 * np.eye(5):
            np.testing.assert_allclose(evidence.departure(step)[0] - found, jacobian @ step, atol=3e-6)
    assert pytest.approx(np.hypot(0.02, 0.04)) == CARD_SD


def test_evidence_counts_ratios_within_places() -> None:
    assert CurveEvidence(cards(np.zeros((5, 3))), straight_space()).evidence == 3


@pytest.mark.parametrize("size", [0.01, 0.1, 0.2])
def test_excess_is_chi_square_over_its_freedom(size: float) -> None:
    """Reduced chi-square (NIST/SEMATECH e-Handbook 1.3.5): as many numbers as there are ratios in three channels, less
    two that the curve spends; never below 1.
    """
    rng = np.random.default_rng(2)
    for _ in range(4):
        levels = size * rng.standard_normal((5, 3))
        found = CurveEvidence(cards(levels), straight_space()).excess(PLAIN)
        chi_square = squares((levels + np.log(0.9)).ravel(), known_errors(cards(levels), ONE_GREY))
        assert found == pytest.approx(max(1.0, chi_square / (3 * 3 - 2)), rel=1e-6)


def test_a_card_laid_down_often_says_one_thing() -> None:
    """The same three cards at four places, each time off alike: then what they say is three means, with the freedom of
    three cards, and not that of twelve patches.
    """
    rng = np.random.default_rng(3)
    off = 0.15 * rng.standard_normal((3, 3))
    at_places = [
        [
            laid(r * slight, level, 1000 * place + 50 * i, 0)
            for i, (r, level) in enumerate(zip((0.8, 0.3, 0.1), off, strict=True))
        ]
        for place, slight in enumerate((1.0, 1.008, 0.995, 1.0))
    ]
    covariance = known_errors(at_places, np.kron(np.ones((4, 4)), np.eye(3)))
    pool = np.kron(np.full((1, 4), 0.25), np.eye(9))
    departures = np.tile(off.ravel() + np.log(0.9), 4)
    of_cards = squares(pool @ departures, pool @ covariance @ pool.T) / (3 * 2 - 2)
    assert of_cards > 1.2 * squares(departures, covariance) / (3 * 8 - 2) > 1
    assert CurveEvidence(at_places, straight_space()).excess(PLAIN) == pytest.approx(of_cards, rel=1e-6)


def test_two_cards_leave_one_number_to_miss() -> None:
    pair = [laid(0.8, np.full(3, 0.3), 0, 0), laid(0.2, np.array([-0.3, 0.0, 0.3]), 40, 0)]
    evidence = CurveEvidence([pair], straight_space())
    (found, _), freedom = evidence.departure(PLAIN), 3 - 2
    assert evidence.excess(PLAIN) == pytest.approx(float(found @ found) / freedom)
    # Of one card laid down twice only its patches tell, of two cards laid down alike at two places what both say.
    twice = [laid(0.2, np.full(3, 0.3), 0, 0), laid(0.2005, np.array([-0.3, 0.0, 0.3]), 40, 0)]
    (found, _) = CurveEvidence([twice], straight_space()).departure(PLAIN)
    assert CurveEvidence([twice], straight_space()).excess(PLAIN) == pytest.approx(float(found @ found))
    again = [replace(patch, centre=patch.centre + 2000) for patch in pair]
    covariance = known_errors([pair, again], np.kron(np.ones((2, 2)), np.eye(2)))
    pool = np.kron(np.full((1, 2), 0.5), np.eye(6))
    off = np.log([patch.linear(STRAIGHT) / patch.reflectance for patch in pair]).ravel()
    of_cards = squares(off, pool @ covariance @ pool.T)
    assert CurveEvidence([pair, again], straight_space()).excess(PLAIN) == pytest.approx(of_cards, rel=1e-6)


def test_a_tinted_patch_is_held_against_its_tint() -> None:
    light, tint = np.array([0.9, 0.8, 0.6]), np.array([0.8, 0.7, 0.5])
    group = [made(tint * light, 0.7, tint=tint), made(0.2 * light, 0.2, centre=np.array([40.0, 0.0]))]
    level = np.log(light)
    alike = [made(0.7 * light, 0.7), made(0.2 * light, 0.2, centre=np.array([40.0, 0.0]))]
    for patches in (group, alike):
        departure, _ = CurveEvidence([patches], straight_space()).departure(PLAIN)
        assert departure @ departure == pytest.approx(squares(np.tile(level, 2), known_errors([patches], np.eye(2))))
        assert np.abs(departure).max() < 0.1


def sloped(strength: Floats, values: Sequence[int], slopes: Floats, centres: Floats, sds: Floats) -> list[Patch]:
    """Cards at whole file values whose reflectances are such that only the light's slope is left between them.

    Inside a patch the slope is seen under the plain encoding: light changes exp(strength) times as fast, with the
    strength running straight between the tones.
    """
    table = linear_table(strength, straight_space(), LEVELS)
    stretch = np.exp(np.interp(np.array(values) / 255, TONES, strength))
    slope = np.average(stretch[:, None] * slopes, axis=0, weights=sds**-2.0)
    level = np.exp((centres - centres.mean(axis=0)) @ slope)
    return [
        made(value / 255, float(table[value] / lit), slope=s, centre=c, slope_sd=float(sd))
        for value, lit, s, c, sd in zip(values, level, slopes, centres, sds, strict=True)
    ]


@pytest.mark.parametrize("strength", [PLAIN, np.full(5, 0.4), np.array([0.5, -0.3, 0.2, 0.0, 0.3])])
def test_light_that_slopes_as_patches_see_it_departs_from_nothing(strength: Floats) -> None:
    slopes = 1e-3 * np.array([[1.0, 0.5], [2.0, 0.0], [0.5, -0.5]])
    centres, sds = np.array([[0.0, 0.0], [60.0, 10.0], [120.0, 50.0]]), np.array([1e-4, 2e-4, 1.5e-4])
    group = sloped(strength, (50, 120, 200), slopes, centres, sds)
    other = sloped(strength, (80, 150), 1.5 * slopes[:2], centres[:2] + 500, sds[:2])
    departure, _ = CurveEvidence([group, other], straight_space()).departure(strength)
    np.testing.assert_allclose(departure, 0, atol=1e-9)
    flat = [made(p.linear(np.arange(256) / 255), p.reflectance, centre=p.centre, slope_sd=1e-4) for p in group]
    assert np.abs(CurveEvidence([flat], straight_space()).departure(strength)[0]).max() > 0.1
