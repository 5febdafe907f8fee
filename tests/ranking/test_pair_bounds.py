"""What two paints can be worth together at the most, as a search is told before it works it out: never too little."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.ranking.neighbours import RULES, Looked, looked_fit, most_fit, most_kin, most_looked_fit, pair_fit


@pytest.mark.parametrize("pair", RULES, ids="-".join)
def test_no_pair_is_worth_more_than_its_bounds(pair: tuple[str, str]) -> None:
    """Random colours, muted and strong, each beside others at random and beside near copies of itself."""
    rng = np.random.default_rng(8)
    chroma, hue = rng.gamma(1.2, 4.0, 4000), rng.uniform(0, 2 * np.pi, 4000)
    first = np.stack([rng.uniform(15, 100, 4000), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    near = first + rng.normal(0, 0.5, first.shape)
    second = np.concatenate([rng.permutation(first), near, near + np.array([3.0, 0, 0])])
    one, other = (Looked.at(lab.astype(np.float32)) for lab in (np.tile(first, (3, 1)), second))
    fit = looked_fit(pair[0], one, pair[1], other)
    np.testing.assert_array_equal(fit, pair_fit(pair[0], one.lab, pair[1], other.lab))
    ceiling = most_looked_fit(pair, one, other)
    assert (ceiling >= fit).all()
    both = Looked.at(np.concatenate([one.lab, other.lab]))
    caps = most_fit(*pair, both)
    if caps is not None:
        assert (np.minimum(caps[0][: len(fit)], caps[1][len(fit) :]) >= fit).all()
        # They say something: of muted paints that nothing is worth the most there is.
        assert (caps[1] < 1).mean() > 0.2


def test_the_lightest_walls_have_no_trim_that_is_lighter() -> None:
    """Nothing of the deck is: the same paint on both is worth 0.85, and from 10 LRV points on it is no matter."""
    level = np.linspace(60, 97, 38)
    looked = Looked.at(np.stack([level, 0 * level, 0 * level], axis=1))
    caps = most_fit("trim", "walls", looked)
    assert caps is not None
    lifted = looked.lrv[-1] - looked.lrv
    np.testing.assert_allclose(caps[1][lifted < 2], 0.85, atol=1e-4)
    np.testing.assert_allclose(caps[1][lifted > 10], 0.85, atol=1e-4)
    tinted = Looked.at(np.stack([level, 0 * level, 0 * level + 8], axis=1))
    both = most_fit("trim", "walls", tinted)
    assert both is not None
    np.testing.assert_allclose(both[1][lifted < 2], 0.85, atol=1e-4)
    np.testing.assert_allclose(both[1][lifted > 10], 1, atol=1e-4)


def test_what_has_next_to_no_lean_is_at_best_no_matter() -> None:
    """0.85 and 0.3 of how far it is seen, by the root of that as the paint that is asked of; 1 at the most."""
    level = np.linspace(20, 60, 41)
    looked = Looked.at(np.stack([level, 0 * level, np.linspace(0, 12, 41)], axis=1))
    gate = looked.tint.gate
    assert gate.min() < 0.05 < 0.6 < gate.max()
    caps = most_fit("cabinets", "walls", looked)
    assert caps is not None
    for found, seen in zip(caps, (np.sqrt(gate), gate), strict=True):
        np.testing.assert_allclose(found, np.minimum(0.85 + 0.3 * seen, 1), atol=2e-5)


def test_kin_are_worth_the_most_as_far_as_both_are_seen() -> None:
    """0.85 where there is no opinion and half of the agreement (0.6 at the most): in proportion to how far the given is
    seen, by the root of how far the paint is; hues far apart agree beside a real colour alone.
    """
    apart = np.linspace(0, 148, 38)
    seen, none = np.ones(38), np.zeros(38)
    np.testing.assert_allclose(most_kin(apart, seen, seen, seen), 1.15)
    np.testing.assert_allclose(most_kin(apart, 0.25 * seen, 0.5 * seen, seen), 0.85 + 0.3 * 0.5 * 0.5)
    np.testing.assert_allclose(most_kin(apart, none, seen, seen), 0.85)
    muted = most_kin(apart, seen, seen, none)
    assert (float(muted[0]), float(muted[-1])) == pytest.approx((1.15, 0.85))
    assert (np.diff(muted) <= 0).all()
    np.testing.assert_allclose(most_kin(apart, seen, seen, 0.5 * seen), (muted + 1.15) / 2)
