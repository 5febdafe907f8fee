"""Surfaces and decks to rank: invented."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.surfaces.surface import Surface, SurfaceColour

MakeSurface = Callable[..., Surface]
MakeDeck = Callable[..., Deck]


@pytest.fixture(scope="session")
def make_surface() -> MakeSurface:
    """Build a surface from (share, L, a, b) rows."""

    def make(name: str, *rows: Sequence[float], visibility: float = 1.0, sd: float = 0.7) -> Surface:
        colours = tuple(SurfaceColour(np.array(row[1:], float), np.eye(3) * sd**2, row[0], "field") for row in rows)
        share = np.array([row[0] for row in rows])
        mean = (share[:, None] * np.array([row[1:] for row in rows])).sum(axis=0) / share.sum()
        return Surface(name, "stone", colours, mean, np.eye(3) * sd**2, visibility, "instrument", True)

    return make


@pytest.fixture(scope="session")
def make_deck() -> MakeDeck:
    """Build a deck from CIELAB rows."""

    def make(*labs: Sequence[float]) -> Deck:
        lab = np.array(labs, dtype=float)
        codes = tuple(f"p{row}" for row in range(len(lab)))
        blank = ("",) * len(lab)
        return Deck("invented", "", codes, codes, blank, lab, lrv(lab), np.zeros(len(lab), bool), None)

    return make


@pytest.fixture(scope="session")
def random_deck(make_deck: MakeDeck) -> Deck:
    """600 paints, half of them near-neutral, as a fan deck is."""
    rng = np.random.default_rng(11)
    lightness = rng.beta(3, 1.5, 600) * 78 + 18
    angle, chroma = rng.uniform(0, 2 * np.pi, 600), rng.gamma(1.5, 6, 600)
    return make_deck(*np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle) + 3], axis=1))


@pytest.fixture(scope="session")
def kitchen(make_surface: MakeSurface) -> tuple[Surface, ...]:
    """An oak floor, a veined marble, a white tile."""
    return (
        make_surface("floor", (0.6, 55, 14, 28), (0.4, 47, 14, 25), visibility=0.5),
        make_surface("worktop", (0.9, 87, 0, 1), (0.1, 68, 1, 6), visibility=0.3),
        make_surface("tile", (1.0, 92, 0, 2), visibility=0.2),
    )
