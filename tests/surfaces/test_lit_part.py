"""Material told from light where a surface is much lighter in one part than in another, beside its card or away."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.calibration.scenes import Scene
from tests.surfaces.conftest import CARD_SIDE, CARDS_LEFT, CARDS_TOP, HEIGHT, WIDTH, Measure

LILAC, TEAL = (77.0, 7.0, -2.0), (45.0, -20.0, -8.0)
WHITE_TILE, BLACK_TILE, GROUT = (90.0, 0.0, 2.0), (25.0, 0.0, 0.0), (70.0, 1.0, 4.0)
TILE = 84


def _checks(every: int) -> NDArray[np.intp]:
    """Tiles of one size, every so manieth of the second colour, and the one that the cards lie on as well."""
    rows, columns = np.mgrid[0:HEIGHT, 0:WIDTH]
    number = (rows // TILE) + (columns // TILE)
    return (number % every == 0).astype(np.intp)


def _around_the_cards() -> NDArray[np.intp]:
    """A tile of the second colour under the cards and two more, the rest of the first."""
    labels = np.zeros((HEIGHT, WIDTH), np.intp)
    for left in (CARDS_LEFT - 60, 20):
        labels[CARDS_TOP - 60 : CARDS_TOP + CARD_SIDE + 60, left : left + 3 * CARD_SIDE + 120] = 1
    labels[:, CARDS_LEFT + 3 * CARD_SIDE + 60 :] = 0
    return labels


@pytest.mark.parametrize("pair", [(LILAC, TEAL), (TEAL, LILAC), ((85.0, 3.0, 15.0), (40.0, 22.0, 26.0))])
def test_tiles_of_another_colour_than_beside_the_card_are_read_too(
    measure: Measure, pair: tuple[tuple[float, float, float], tuple[float, float, float]]
) -> None:
    labels = _around_the_cards()
    found = measure(labels, pair, material="tile")
    assert found.shares[0] > 0.6
    assert found.share(0) == pytest.approx(found.shares[0], abs=0.12)
    assert found.share(1) == pytest.approx(found.shares[1], abs=0.12)
    assert found.de00(0) < 2
    assert found.de00(1) < 2.5
    assert found.reading.left_out < 0.1


def test_white_and_black_tiles_all_over_are_two_materials(measure: Measure) -> None:
    found = measure(_checks(2), (WHITE_TILE, BLACK_TILE), material="tile")
    for label in (0, 1):
        assert found.share(label) == pytest.approx(found.shares[label], abs=0.12)
        assert found.de00(label) < 2.5


def _shadow(deep: float) -> object:
    def cast(scene: Scene) -> None:
        columns = np.arange(scene.width)
        # The sky still lights it, so it is bluer.
        inside = 1 / (1 + np.exp((columns - 84) / 1.0))
        scene.light *= 1 - inside[None, :, None] * (1 - deep * np.array([0.92, 1.0, 1.25]))

    return cast


def test_a_deep_shadow_is_still_set_aside(measure: Measure) -> None:
    found = measure(0, [LILAC], material="tile", light_on=_shadow(0.2))
    assert found.de00(0) < 1.5
    assert found.main.share > 0.9
    assert 0.08 < found.reading.left_out < 0.3
