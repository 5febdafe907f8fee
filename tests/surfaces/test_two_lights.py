"""Two lights of different colour are found by how the light drifts across surfaces, remarked on and doubted for."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from matcher.room.reading import read_room
from matcher.surfaces.measure import PhotoMeasurement, measure_room
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import SurfaceColour
from matcher.surfaces.two_lights import colour_drift, mixed_light, with_drift_doubt

SAMPLES = Path(__file__).parents[2] / "sample_photos"


def _reading(drift: float, *, own_card: bool = False) -> SurfaceReading:
    covariance = np.diag([1.0, 1.0, 1.0])
    colour = SurfaceColour(
        np.array([60.0, 3.0, 12.0]), covariance, 1.0, "field", {"level": covariance / 2, "colour": covariance / 2}
    )
    return SurfaceReading(
        "wall", "paint", (colour,), 100.0, 1000.0, whole_room=True, own_card=own_card, colour_drift=drift
    )


def _said(photo: PhotoMeasurement) -> set[str]:
    """Levels at which the surfaces' drift is spoken of (the pixels' own check has another value's name)."""
    return {f.level for f in photo.findings if f.check == "mixed light" and dict(f.values).keys() == {"across"}}


def test_window_and_lamp_together_are_said() -> None:
    """Truth: the lights the pictures were rendered with (dusk at the window and a table lamp)."""
    (evening,) = measure_room(read_room(SAMPLES / "sitting" / "sitting_evening.toml")).photos
    assert _said(evening) == {"warn"}


@pytest.mark.parametrize("room", ["kitchen/kitchen_daylight.toml", "kitchen/kitchen_lamp.toml"])
def test_one_light_is_no_two(room: str) -> None:
    assert not any(_said(photo) for photo in measure_room(read_room(SAMPLES / room)).photos)


def test_two_surfaces_are_too_few_to_tell() -> None:
    assert colour_drift([_reading(0.5), _reading(0.6)]) == 0.0
    assert colour_drift([_reading(0.5), _reading(0.6), _reading(0.1)]) == 0.5
    assert mixed_light(0.1) == ()


def test_doubt_grows_by_the_drift_where_no_card_lies() -> None:
    """JCGM 101 (Monte Carlo): what is added is the spread of colours drawn under so doubtful a light."""
    drift = 0.16
    narrow, own = with_drift_doubt([_reading(drift), _reading(drift, own_card=True)], drift)
    np.testing.assert_array_equal(own.colours[0].covariance, np.eye(3))
    colour = narrow.colours[0]
    rng = np.random.default_rng(4)
    sd = drift - 0.10
    logs = sd * rng.normal(size=(40_000, 1)) + sd * rng.normal(size=(40_000, 3)) * np.sqrt([1, 0.2, 1])
    drawn = xyz_to_lab((lab_to_xyz(colour.lab) @ BRADFORD.T * np.exp(logs)) @ np.linalg.inv(BRADFORD).T)
    added = colour.covariance - np.eye(3)
    np.testing.assert_allclose(added, np.cov(drawn.T), atol=0.06 * np.trace(added))
    np.testing.assert_allclose(sum(colour.causes.values()), colour.covariance, atol=1e-9)


def test_little_drift_changes_nothing() -> None:
    before = [_reading(0.05), _reading(0.08)]
    assert with_drift_doubt(before, 0.08) == before
