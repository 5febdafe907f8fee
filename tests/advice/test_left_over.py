"""What an action leaves of a doubt."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.advice.advice import ACTIONS, ActionKind
from matcher.advice.left_over import THREE_CARDS_CURVE, left_over
from matcher.calibration.tone_curve import SCENE_SD, ToneCurve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz
from matcher.surfaces.combining import make_surface
from matcher.surfaces.doubt import COLOUR_SHAPE, OTHER_CARD_COLOUR, OTHER_CARD_LEVEL, lab_covariances
from matcher.surfaces.surface import SurfaceColour

LAB = np.array([62.0, 9.0, 21.0])
FLOOR = make_surface(
    "floor",
    "timber",
    (SurfaceColour(LAB, np.eye(3), 1.0, "board"),),
    visibility=1.0,
    source="photo",
    has_own_card=False,
)


@pytest.fixture(scope="module")
def far_from_its_card() -> SurfaceColour:
    """A timber read by a card on another surface, with a curve nothing is known of."""
    cones = np.log(BRADFORD @ lab_to_xyz(LAB) / (BRADFORD @ WHITE_D65))
    shift = np.array([[[0.6, 0.5, 0.4], [0.2, 0.2, 0.1], [0.3, 0.2, 0.2], [0.2, 0.1, 0.1], [0.1, 0.1, 0.0]]])
    causes = lab_covariances(
        cones[None],
        level_sd=np.array([OTHER_CARD_LEVEL]),
        colour_sd=OTHER_CARD_COLOUR * COLOUR_SHAPE,
        curve=ToneCurve(np.zeros(5), SCENE_SD**2 * np.eye(5), 0),
        curve_shift=shift,
        camera_sd=(1.4, 0.1),
        chroma_sd=0.1,
        sheen=0.01,
    )
    split = {cause: several[0] for cause, several in causes.items()}
    return SurfaceColour(LAB, np.sum(list(split.values()), axis=0), 1.0, "board", split)


@pytest.mark.parametrize("kind", ACTIONS)
def test_nothing_is_known_worse_afterwards(far_from_its_card: SurfaceColour, kind: ActionKind) -> None:
    """A further independent reading takes off in every direction: now minus afterwards has no negative variance."""
    left = left_over(far_from_its_card, kind, FLOOR)
    assert np.linalg.eigvalsh(far_from_its_card.covariance - left).min() > -1e-6
    assert np.linalg.eigvalsh(left).min() > -1e-9


def test_more_thorough_actions_leave_less(far_from_its_card: SurfaceColour) -> None:
    """Three cards tell what one does and the curve besides, chips and charts the camera too; an instrument all."""
    card, three, chips, chart, instrument = (
        np.trace(left_over(far_from_its_card, kind, FLOOR))
        for kind in ("grey card", "three cards", "paint chips", "chart", "instrument")
    )
    assert instrument < min(chips, chart)
    assert max(chips, chart) < three < card < np.trace(far_from_its_card.covariance)


def test_an_instrument_weighs_in_as_an_independent_reading(far_from_its_card: SurfaceColour) -> None:
    """(C^-1 + R^-1)^-1, as independent readings weigh. Bevington & Robinson 2003, eq. 4.19 (number from memory)."""
    expected = np.linalg.inv(np.linalg.inv(far_from_its_card.covariance) + 4 * np.eye(3))
    np.testing.assert_allclose(left_over(far_from_its_card, "instrument", FLOOR), expected, atol=1e-6)


def test_what_two_photos_share_stays(far_from_its_card: SurfaceColour) -> None:
    """However many cards are laid, the camera under that lamp sees what it sees, and the curve only where shown."""
    causes = far_from_its_card.causes
    shared = causes["camera and lamp"] + causes["sheen"] + causes["texture"]
    with_card = left_over(far_from_its_card, "grey card", FLOOR)
    assert np.linalg.eigvalsh(with_card - shared - causes["tone curve"]).min() > -1e-6
    three = left_over(far_from_its_card, "three cards", FLOOR)
    assert np.linalg.eigvalsh(three - shared).min() > -1e-6
    removed = np.trace(with_card) - np.trace(three)
    assert 0.8 * np.trace(causes["tone curve"]) < removed <= np.trace(causes["tone curve"]) / (1 - THREE_CARDS_CURVE)
