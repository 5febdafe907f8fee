"""What two paints can be worth together at the most, as a search is told before it works it out: never too little."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.ranking.neighbours import RULES, Looked, looked_fit, most_fit, most_looked_fit, pair_fit


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
