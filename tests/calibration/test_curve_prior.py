"""What is believed of a tone curve that no scale of greys shows: white beside the card, and the lamp's colour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from matcher.calibration.curve_prior import NOT_PLAIN, Belief, beliefs, bounded, curve_without_scale, mixed
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import TONES, ToneCurve, linear_table, smooth_covariance
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats, srgb_decode, srgb_encode
from matcher.photo.colour_space import srgb
from tests.calibration.curve_shapes import nearest_strengths
from tests.calibration.made_patches import made, straight_space
from tests.calibration.scenes import GREY, WARM_LIGHT, Curve, Scene, plain, smoothstep_s
from tests.calibration.test_tone_curve import read_as

# L* 95 is Munsell value 9.5, the white end of the scale (ASTM D1535: Y = 87.6 there and by CIE 015:2018 alike).
_WHITE_PAINT, _DARK_PAINT = [95.0, 0, 1], [55.0, 0, 4]
# A full smoothstep: the project's own S of strength 0.4 lies close to 0.65 of it.
_STRONG = 0.65


def believed(
    paint: list[float], curve: Curve, *, warm: bool = False, level: float = 0.75, borrowed: ToneCurve | None = None
) -> ToneCurve:
    """The curve of a photo with one grey card on a painted board."""
    scene = Scene(200, 240, level=level)
    scene.paint((0, 0, 240, 200), paint)
    if warm:
        scene.light *= WARM_LIGHT
    scene.lay(GREY, (90, 70, 150, 130))
    return calibrate(scene.shoot(curve=curve), scene.cards, "photo", believed=borrowed).curve


def test_white_paint_that_would_be_lighter_than_white_shows_the_curve() -> None:
    assert float(lrv(np.array(_WHITE_PAINT))) == pytest.approx(87.6, abs=0.1)
    found = believed(_WHITE_PAINT, smoothstep_s(_STRONG))
    assert -0.5 < found.strength[2] < -0.15
    assert found.evidence == 0


def test_white_paint_in_a_plain_file_changes_next_to_nothing() -> None:
    assert believed(_WHITE_PAINT, plain).strength[2] > -0.06


def test_a_darker_board_shows_nothing_of_the_curve() -> None:
    without = believed(_DARK_PAINT, plain)
    assert believed(_DARK_PAINT, smoothstep_s(_STRONG)).strength[2] == pytest.approx(without.strength[2], abs=1e-3)


def test_white_brings_the_reading_nearer() -> None:
    """The strongest S, over reflectances from 0.07 to 0.7 beside the card: two thirds as far off at most."""
    shown, unknown = (
        np.abs(read_as(linear_table(believed(paint, smoothstep_s(_STRONG)).strength, srgb(), 256), _STRONG)).max()
        for paint in (_WHITE_PAINT, _DARK_PAINT)
    )
    assert shown < 0.66 * unknown


def test_a_clipped_board_says_nothing() -> None:
    clipped = believed(_WHITE_PAINT, plain, level=1.4)
    assert clipped.strength[2] == pytest.approx(believed(_DARK_PAINT, plain).strength[2], abs=1e-3)


def test_lamp_light_left_in_the_card_leans_the_belief() -> None:
    """And the doubt still holds the plain curve."""
    by_lamp, by_day = (believed(_DARK_PAINT, plain, warm=warm) for warm in (True, False))
    assert by_lamp.strength[2] < by_day.strength[2] - 0.1
    assert -by_lamp.strength[2] < 1.645 * np.sqrt(by_lamp.covariance[2, 2])


@pytest.mark.parametrize("strength", [0.0, 0.3, 0.5])
@pytest.mark.parametrize("warm", [True, False])
def test_the_doubt_holds_plain_and_curved_files(strength: float, warm: bool) -> None:
    """The S of other strengths than the project's own shape, read as reflectances beside the card."""
    curve = believed(_DARK_PAINT, smoothstep_s(strength), warm=warm)
    error = read_as(linear_table(curve.strength, srgb(), 256), strength)
    step = 0.01
    by_strength = np.stack(
        [
            (read_as(linear_table(curve.strength + step * axis, srgb(), 256), strength) - error) / step
            for axis in np.eye(5)
        ]
    )
    stated = np.sqrt(np.einsum("ij,ik,kj->j", by_strength, curve.covariance, by_strength))
    assert (np.abs(error) < 2 * stated + 0.01).all()


def test_what_another_photo_tells_is_bounded_by_white_too() -> None:
    borrowed = ToneCurve(np.zeros(5), smooth_covariance(0.15, 0.3), 0)
    bounded = believed(_WHITE_PAINT, smoothstep_s(_STRONG), borrowed=borrowed)
    assert bounded.strength[2] < -0.05
    assert np.trace(bounded.covariance) < 0.8 * np.trace(borrowed.covariance)


def as_points(belief: Belief) -> Floats:
    """Ten strengths (10, 5) that have the mean and covariance of one belief exactly."""
    root = np.sqrt(5) * np.linalg.cholesky(belief.covariance).T
    return np.concatenate([belief.mean + root, belief.mean - root])


def test_a_mixture_has_mean_and_scatter_of_points_that_stand_for_what_it_mixes() -> None:
    kinds = [replace(each, chance=2 * each.chance) for each in beliefs(0.7)]
    points = np.concatenate([as_points(each) for each in kinds])
    weights = np.repeat([each.chance for each in kinds], 10)
    mean, covariance = mixed(kinds)
    np.testing.assert_allclose(mean, np.average(points, axis=0, weights=weights), atol=1e-12)
    np.testing.assert_allclose(covariance, np.cov(points.T, aweights=weights, ddof=0), atol=1e-12)


def test_the_chance_of_a_plain_file_is_what_the_others_leave() -> None:
    for not_plain in (0.05, 0.3, 0.6):
        kinds = beliefs(not_plain)
        np.testing.assert_array_equal(kinds[0].mean, 0)
        assert kinds[0].chance == pytest.approx(1 - not_plain)
        assert sum(each.chance for each in kinds[1:]) == pytest.approx(not_plain)


def test_contrast_that_is_believed_in_is_that_of_the_smooth_step() -> None:
    """u + k (3 u^2 - 2 u^3 - u) in file values, k of 0.5 at the mean and 0.3 about it; light to 4 and 9 %."""
    added = beliefs(NOT_PLAIN)[2]
    spread = added.covariance - smooth_covariance(0.05, 0.25)
    direction = spread[2] / np.sqrt(spread[2, 2])
    np.testing.assert_allclose(direction / 0.3, added.mean / -0.5, atol=1e-9)  # darker by more contrast at the middle
    values = np.linspace(0, 1, 1024)
    seen = (values > 0.08) & (values < 0.97)
    for k, miss in ((0.4, 0.04), (0.6, 0.09)):
        light = srgb_decode(np.interp(values, smoothstep_s(k)(values), values))
        off = np.log(linear_table(added.mean * k / 0.5, srgb(), 1024)[seen] / light[seen])
        assert np.ptp(off) / 2 < miss
    # So are its numbers, one by one, those of the curve that comes nearest in light (least squares).
    linear = np.linspace(0, 1, 4001)
    nearest, _ = nearest_strengths(linear, smoothstep_s(0.4)(srgb_encode(linear)))
    np.testing.assert_allclose(added.mean / 0.5, nearest / 0.4, atol=0.06)


def test_a_veil_that_is_believed_in_is_light_over_all_of_the_picture() -> None:
    """d ln(u - v) / d ln u = u / (u - v): one sigma to either side of the mean is a v of about 0.004 and 0.03; at the
    darkest tone, where 0.03 is more than there is, the mean is that of 0.006.
    """
    veiled = beliefs(NOT_PLAIN)[3]
    sd = np.sqrt(np.diag(veiled.covariance - smooth_covariance(0.12, 0.25)))
    light = srgb_decode(TONES)
    thin, thick = (np.log(light[1:] / (light[1:] - v)) for v in (0.004, 0.03))
    np.testing.assert_allclose(veiled.mean[1:] - sd[1:], thin, atol=0.035)
    np.testing.assert_allclose(veiled.mean[1:] + sd[1:], thick, atol=0.06)
    assert veiled.mean[0] == pytest.approx(np.log(light[0] / (light[0] - 0.006)), abs=0.1)


def doubted(not_plain: float) -> tuple[Floats, Floats]:
    """What is believed at that chance; and its scatter about that, though at a chance of 0.3 at least (assumption)."""
    mean, _ = mixed(beliefs(not_plain))
    points = np.concatenate([as_points(each) for each in beliefs(max(not_plain, 0.3))]) - mean
    weights = np.repeat([each.chance for each in beliefs(max(not_plain, 0.3))], 10)
    return mean, (points.T * weights) @ points / 10


@pytest.mark.parametrize(
    ("warmth", "not_plain"),
    # Assumptions: near neutral the standard alone, by lamp light half taken out contrast, by all of it none again.
    [(-0.5, 0.05), (0.0, 0.05), (0.25, 0.05), (0.435, 0.325), (0.62, 0.6), (1.1, 0.6), (1.17, 0.325), (1.3, 0.05)],
)
def test_lamp_light_left_in_cards_tells_the_kind_of_curve(warmth: float, not_plain: float) -> None:
    red = 0.1 * np.exp(warmth / 2)
    patches = [made((red, 0.1, 0.01 / red)), made((red, 0.1, 0.01 / red), on="floor")]
    found = curve_without_scale(patches, straight_space())
    mean, covariance = doubted(not_plain)
    np.testing.assert_allclose(found.strength, mean, atol=2e-5)
    np.testing.assert_allclose(found.covariance, covariance, atol=2e-5)
    assert found.evidence == 0
    if not_plain == 0.05:
        np.testing.assert_allclose(curve_without_scale([], straight_space()).covariance, covariance, atol=1e-12)


WHITE_AT = 0.9  # and a sigma of 0.06 of its logarithm: how light white is (assumption)


def leaves(belief: Belief, patches: list[Patch], count: int = 6000) -> tuple[Floats, Floats, Floats]:
    """Strengths drawn from a belief, and how likely each leaves what lies beside no lighter than white paint."""
    rng = np.random.default_rng(4)
    drawn = rng.multivariate_normal(belief.mean, belief.covariance, count)
    tables = linear_table(drawn, straight_space(), LEVELS)
    brightest = np.zeros(count)
    for patch in patches:
        card = patch.linear(tables)
        beside = tables[:, patch.beside.astype(int)]
        light = beside / card * patch.reflected(np.eye(3)) @ [0.2126, 0.7152, 0.0722]  # IEC 61966-2-1
        brightest = np.maximum(brightest, light)
    return drawn, ndtr(np.log(WHITE_AT / brightest) / 0.06), tables


BESIDE = [
    made((0.15, 0.16, 0.2), 0.18, beside=np.array([190.0, 200.0, 255 * 0.6])),
    made(0.5, 0.55, beside=np.array([240.0, 200.0, 250.0]), tint=np.array([0.5, 0.55, 0.6])),
]


@pytest.mark.parametrize("patches", [BESIDE[:1], BESIDE[1:], BESIDE, BESIDE[::-1]])
def test_what_white_leaves_of_a_belief_is_what_it_leaves_of_drawn_curves(patches: list[Patch]) -> None:
    belief = Belief(np.array([0.0, 0.1, 0.0, -0.1, 0.1]), smooth_covariance(0.4, 0.3), 0.6)
    drawn, allowed, _ = leaves(belief, patches)
    assert 0.05 < allowed.mean() < 0.95
    left = bounded(belief, patches, straight_space())
    mean = np.average(drawn, axis=0, weights=allowed)
    np.testing.assert_allclose(left.mean, mean, atol=0.03)
    np.testing.assert_allclose(left.covariance, np.cov(drawn.T, aweights=allowed, ddof=0), atol=0.035)
    assert left.chance == pytest.approx(0.6 * allowed.mean(), rel=0.08)
    assert np.abs(mean - belief.mean).max() > 0.06
    lent = curve_without_scale(patches, straight_space(), ToneCurve(belief.mean, belief.covariance, 4))
    np.testing.assert_array_equal(lent.strength, left.mean)
    np.testing.assert_array_equal(lent.covariance, left.covariance)
    assert lent.evidence == 0


def test_what_does_not_bound_leaves_a_belief_as_it_is() -> None:
    belief = Belief(np.array([0.0, 0.1, 0.0, -0.1, 0.1]), smooth_covariance(0.4, 0.3), 0.6)
    dark = made(0.15, beside=np.array([40.0, 40.0, 40.0]))
    left = bounded(belief, [dark], straight_space())  # by all samples alike, which have its mean and covariance
    np.testing.assert_allclose(left.mean, belief.mean, atol=1e-9)
    np.testing.assert_allclose(left.covariance, belief.covariance, atol=1e-8)
    assert left.chance == pytest.approx(0.6)
    for silent in (made(0.03, 0.04, beside=np.full(3, 200.0)), made(0.15, beside=np.array([200.0, np.nan, 200.0]))):
        assert bounded(belief, [silent], straight_space()) is belief
    lent = ToneCurve(belief.mean, belief.covariance, 4)
    assert curve_without_scale([made(0.15)], straight_space(), lent) is lent


def test_white_beside_a_card_weighs_the_kinds_of_curve() -> None:
    """Bayes' rule on curves drawn from each kind: chance beforehand times how likely white is white under them."""
    patch = made(0.145, beside=np.full(3, 230.0))  # 1.12 of white if the file were plain
    weights, strengths = [], []
    for kind in beliefs(0.05):
        drawn, allowed, _ = leaves(kind, [patch])
        strengths.append(drawn)
        weights.append(kind.chance * allowed)
    found = curve_without_scale([patch], straight_space())
    mean = np.average(np.concatenate(strengths), axis=0, weights=np.concatenate(weights))
    np.testing.assert_allclose(found.strength, mean, atol=0.03)
    again = [
        each * one.chance / other.chance for each, one, other in zip(weights, beliefs(0.3), beliefs(0.05), strict=True)
    ]
    off = np.concatenate(strengths) - found.strength
    chances = np.concatenate(again) / np.concatenate(again).sum()
    np.testing.assert_allclose(found.covariance, (off.T * chances) @ off, atol=0.04)
