"""What any two colours of two patches can be worth together at the most: never too little."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.ranking.neighbours import RULES, Looked, looked_fit, most_looked_fit
from matcher.ranking.patches import Patches, most_between


@pytest.mark.parametrize("wide", [0.0, 1.0, 12.0])
@pytest.mark.parametrize("pair", RULES, ids="-".join)
def test_no_pair_of_two_patches_is_worth_more_than_their_bound(pair: tuple[str, str], wide: float) -> None:
    """Patches of five colours about as far apart, near greys and strong colours, held against all pairs."""
    rng = np.random.default_rng(11)
    chroma, hue = rng.gamma(1.2, 6.0, 60), rng.uniform(0, 2 * np.pi, 60)
    midst = np.stack([rng.uniform(15, 98, 60), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    lab = (midst[:, None] + rng.normal(0, wide, (60, 5, 3))).reshape(-1, 3)
    lab[:, 0] = lab[:, 0].clip(0, 100)
    looked = Looked.at(lab.astype(np.float32))
    patches = Patches.of(looked, np.arange(0, 300, 5))
    every = np.arange(300)
    one, other = looked.take(every[:, None]), looked.take(every[None, :])
    fit = looked_fit(pair[0], one, pair[1], other)
    most = fit.reshape(60, 5, 60, 5).max(axis=(1, 3))
    places = np.arange(60)
    bound = most_between(pair, patches.at(places[:, None]), patches.at(places[None, :]))
    assert (bound >= most).all()
    if wide == 0:
        # A patch of one colour is that colour.
        np.testing.assert_allclose(bound, most_looked_fit(pair, one, other)[::5, ::5], atol=5e-3)
