"""What the doubt of a colour comes from: the parts are the whole, also after readings were combined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz
from matcher.room.reading import read_room
from matcher.surfaces.combining import combine
from matcher.surfaces.doubt import COLOUR_SHAPE, lab_covariances, reflectance_lab
from matcher.surfaces.measure import measure_room
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import Cause, SurfaceColour

CURVE_SD = [0.02, 0.01, 0.01, 0.01, 0.005]
SAMPLE = Path(__file__).parents[2] / "sample_photos"


def reading(lab: Sequence[float], causes: Mapping[Cause, Floats]) -> SurfaceReading:
    """A reading of one colour whose doubt is these causes."""
    colour = SurfaceColour(np.array(lab), np.sum(list(causes.values()), axis=0), 1.0, "field", causes)
    return SurfaceReading(
        "floor", "tile", (colour,), 1000.0, 10000.0, whole_room=False, own_card=True, colour_drift=0.0
    )


def test_each_cause_of_a_weighted_mean_is_what_sampling_says() -> None:
    """JCGM 100:2008 (GUM) 5.1.2: a linear function of independent inputs has the variance sum of c_i^2 u_i^2.

    Here the function is the combination itself, and each cause is drawn and combined by itself.
    """
    random = np.random.default_rng(4)

    def spread() -> Floats:
        root = random.normal(size=(3, 3))
        return np.asarray(root @ root.T + 0.1 * np.eye(3))

    one: dict[Cause, Floats] = {"level": spread(), "colour": spread()}
    two: dict[Cause, Floats] = {"level": spread(), "colour": spread()}
    found = combine([reading([50, 2, 3], one), reading([50, 2, 3], two)], 1.0).colours[0]
    np.testing.assert_allclose(sum(found.causes.values()), found.covariance, atol=1e-12)
    for cause in one:
        errors = [random.multivariate_normal(np.zeros(3), causes[cause], 4000) for causes in (one, two)]
        moved = []
        for first, second in zip(*errors, strict=True):
            pair = [reading((50 + e[0], 2 + e[1], 3 + e[2]), c) for e, c in ((first, one), (second, two))]
            moved.append(combine(pair, 1.0).colours[0].lab)
        sampled = np.cov(np.array(moved).T)
        np.testing.assert_allclose(sampled, found.causes[cause], atol=0.08 * np.trace(found.causes[cause]))


def test_what_two_photos_have_in_common_does_not_shrink() -> None:
    """JCGM 100:2008 (GUM) 5.2.2, note 1: wholly correlated inputs add as they are, u = |sum of c_i u_i|.

    Two equal readings of which light is the half: their mean halves the variance of light and keeps the camera's.
    """
    camera = np.diag([0.5, 2.0, 2.0])
    causes: dict[Cause, Floats] = {"level": np.diag([3.0, 0.1, 0.1]), "camera and lamp": camera}
    found = combine([reading([50, 2, 3], causes), reading([50, 2, 3], causes)], 1.0).colours[0]
    np.testing.assert_allclose(found.causes["camera and lamp"], camera, atol=1e-9)
    np.testing.assert_allclose(found.causes["level"], causes["level"] / 2, atol=1e-9)
    np.testing.assert_allclose(sum(found.causes.values()), found.covariance, atol=1e-9)


def test_linear_propagation_agrees_with_sampling() -> None:
    """JCGM 100:2008 (GUM) against JCGM 101:2008: the covariance by derivatives is that of colours drawn through the
    conversion, where the doubt is small. Level and colour of light and the curve are drawn as logarithms of cones.
    """
    random = np.random.default_rng(9)
    lab = np.array([[74.0, 1.0, 7.0], [45.0, 14.0, 26.0], [90.0, -1.0, 4.0]])
    cones = np.log(lab_to_xyz(lab) @ BRADFORD.T / (BRADFORD @ WHITE_D65))
    level_sd, colour_sd = 0.02, 0.015
    curve = ToneCurve(np.zeros(5), np.diag(CURVE_SD) ** 2, 0)
    shift = random.normal(size=(3, 5, 3))
    stated = lab_covariances(
        cones,
        level_sd=np.full(3, level_sd),
        colour_sd=colour_sd * COLOUR_SHAPE,
        curve=curve,
        curve_shift=shift,
        camera_sd=(1.0, 0.1),
        chroma_sd=0.1,
        sheen=0.01,
    )
    # A level is stated wider than its sigma, so that the interval reaches as far as its longer side.
    wider = (np.exp(1.645 * level_sd) - 1) / (1.645 * level_sd)
    drawn: dict[Cause, Floats] = {
        "level": wider * level_sd * random.normal(size=(60000, 1, 1)) * np.ones(3),
        "colour": colour_sd * random.normal(size=(60000, 1, 3)) * np.sqrt([1, 0.2, 1]),
        "tone curve": np.einsum("ds,gsc->dgc", random.normal(size=(60000, 5)) * CURVE_SD, shift),
    }
    for cause, moved in drawn.items():
        found = reflectance_lab(cones + moved)
        for place in range(3):
            np.testing.assert_allclose(
                np.cov(found[:, place].T), stated[cause][place], atol=0.03 * np.trace(stated[cause][place])
            )


def test_the_camera_s_own_chroma_is_doubted_along_the_chroma() -> None:
    """Colours whose chroma is drawn with a factor of one sigma 0.1: GUM 5.1.2 by sampling."""
    lab = np.array([[60.0, 12.0, -16.0]])
    cones = np.log(lab_to_xyz(lab) @ BRADFORD.T / (BRADFORD @ WHITE_D65))
    light = {"level_sd": np.zeros(1), "colour_sd": np.zeros(3), "sheen": 0.0}
    curve, still = ToneCurve(np.zeros(5), np.eye(5), 0), np.zeros((1, 5, 3))
    doubts = [
        lab_covariances(cones, **light, curve=curve, curve_shift=still, camera_sd=(0.0, 0.0), chroma_sd=sd)
        for sd in (0.1, 0.0)
    ]
    drawn = lab * (1 + 0.1 * np.random.default_rng(2).normal(size=(60000, 1)) * [0, 1, 1])
    sampled = np.cov(drawn.T)
    stated = doubts[0]["camera and lamp"][0] - doubts[1]["camera and lamp"][0]
    np.testing.assert_allclose(stated, sampled, atol=0.03 * np.trace(sampled))


def test_every_measured_colour_is_split_whole() -> None:
    """The causes of each colour of a sample room sum to its covariance and none is negative."""
    for surface in measure_room(read_room(SAMPLE / "kitchen" / "kitchen_daylight.toml")).surfaces:
        for colour in surface.colours:
            np.testing.assert_allclose(sum(colour.causes.values()), colour.covariance, rtol=1e-9, atol=1e-9)
            assert all(np.linalg.eigvalsh(part).min() > -1e-9 for part in colour.causes.values())
