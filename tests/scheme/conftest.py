"""A room and decks to choose schemes from: invented."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.surfaces.surface import Surface, SurfaceColour


@pytest.fixture(scope="session")
def kitchen() -> tuple[Surface, ...]:
    """An oak floor and a pale worktop."""
    doubt = np.eye(3) * 0.5
    floor, worktop = np.array([55.0, 14, 28]), np.array([86.0, 0, 1])
    return (
        Surface("floor", "timber", (SurfaceColour(floor, doubt, 1.0, "field"),), floor, doubt, 0.6, "photo", True),
        Surface("worktop", "stone", (SurfaceColour(worktop, doubt, 1.0, "field"),), worktop, doubt, 0.4, "photo", True),
    )


@pytest.fixture(scope="session")
def make_random_deck() -> Callable[[int, int], Deck]:
    """Build a deck of so many paints from a seed; half of them near-neutral, as a fan deck is."""

    def make(count: int, seed: int) -> Deck:
        rng = np.random.default_rng(seed)
        lightness = rng.beta(3, 1.5, count) * 78 + 18
        angle, chroma = rng.uniform(0, 2 * np.pi, count), rng.gamma(1.5, 6, count)
        lab = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle) + 3], axis=1)
        codes = tuple(f"p{row}" for row in range(count))
        return Deck("invented", "", codes, codes, ("",) * count, lab, lrv(lab), np.zeros(count, bool), None)

    return make
