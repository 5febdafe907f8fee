"""The matrix fitted to a chart: found again where it is known, quiet on noise, and of use on other spectra."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color
from scipy.stats import multivariate_t, norm

from matcher.calibration.camera_prior import weights_prior
from matcher.calibration.colour_matrix import _camera_sd, _Chart, _corrections, _difference_scale, fit_matrix
from matcher.calibration.correction import corrected, stray_light, unknown_camera_sd
from matcher.calibration.light import brightened, cone_matrix
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.chart import GREYS, chart_lab, chart_xyz
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz
from matcher.photo.colour_space import srgb
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration import spectral_camera
from tests.calibration.spectral_camera import NIKON, SIGMA, camera, grey_card, spectra, true_lab

LAMPS = ("A", "FL2", "FL11", "LED-B1", "LED-B3", "LED-V1")
KNOWN = np.array([[1.08, -0.1, 0.02], [-0.05, 1.09, -0.04], [0.03, 0.06, 0.91]])
MUTED_CHROMA = 20.0


def seen(reflectances: Floats, name: str, light: str) -> Floats:
    """Cone responses relative to a perfect white, as a grey card leaves them."""
    shot = camera(name)
    white = cone_matrix(srgb()) @ shot.linear_rgb(grey_card(), light)[0] / spectral_camera.CARD_REFLECTANCE
    return np.asarray(shot.linear_rgb(reflectances, light) @ cone_matrix(srgb()).T / white)


def true_chart() -> Floats:
    """Relative cones of the chart's spectra under D65."""
    return relative_cones(lab_to_xyz(true_lab(spectral_camera.chart())))


def surfaces() -> Floats:
    """Relative cones of colours of rooms: L* 25 to 90, C*ab 0 to 30, all hues."""
    light, chroma, hue = (
        axis.ravel() for axis in np.meshgrid(np.linspace(25, 90, 6), [0.0, 10.0, 30.0], np.arange(0, 2 * np.pi, 0.5))
    )
    return relative_cones(lab_to_xyz(np.stack([light, chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)))


def far_off(seen: Floats, true: Floats, correction: Floats) -> Floats:
    """CIEDE2000 between what is made of ``seen`` and ``true``, relative cones both."""
    return delta_e_2000(reflectance_lab(corrected(np.log(seen), correction)), reflectance_lab(np.log(true)))


def test_a_known_matrix_is_found_again() -> None:
    true = relative_cones(chart_xyz())
    back = np.linalg.inv(KNOWN).T
    found = fit_matrix(true @ back, true)
    assert found is not None
    assert np.median(far_off(surfaces() @ back, surfaces(), found.correction)) < 0.2
    assert far_off(surfaces() @ back, surfaces(), found.correction).max() < 0.6
    np.testing.assert_allclose(found.correction.sum(axis=1), 1, atol=1e-12)
    # Beyond the other patches roots do not go on in a straight line, as this camera does: cyan is off by 1.02, no
    # other by more than 0.7.
    assert delta_e_2000(chart_lab() + found.left_out, chart_lab()).max() < 1.2
    assert np.median(np.linalg.norm(found.left_out, axis=1)) < 0.3


def test_one_wrong_patch_does_not_pull_the_others() -> None:
    true = relative_cones(chart_xyz())
    read = true.copy()
    read[14] = read[14, [2, 1, 0]]
    found = fit_matrix(read, true)
    assert found is not None
    assert far_off(surfaces(), surfaces(), found.correction).max() < 1


def test_a_perfect_camera_is_left_alone_and_believed_more() -> None:
    true = relative_cones(chart_xyz())
    found = fit_matrix(true, true)
    assert found is not None
    off = far_off(surfaces(), surfaces(), found.correction)
    assert np.median(off) < 0.1
    assert off.max() < 0.6  # the lean to other cameras
    assert np.abs(stray_light(found.correction)).max() < 1e-3
    assert found.camera_sd[0] < unknown_camera_sd(0.0)[0]
    assert found.camera_sd[1] < unknown_camera_sd(0.0)[1]


@pytest.mark.parametrize("stray", [(0.02, 0.02, 0.02), (0.03, 0.04, 0.08), (0.0, 0.0, 0.0)])
def test_stray_light_is_told_from_the_light_it_adds_to_the_greys(stray: tuple[float, float, float]) -> None:
    """Veiling glare is one amount of light over all of a picture (ISO 9358:1994), so it brightens dark cards most."""
    true = relative_cones(chart_xyz())
    greys = true[[i for i in GREYS if i != 23]]
    seen = (true + stray) / np.exp(np.log((greys + stray) / greys).mean(axis=0))  # balanced by the greys together
    found = fit_matrix(seen, true, greys)
    assert found is not None
    np.testing.assert_allclose(stray_light(found.correction), stray, atol=0.004)
    assert far_off((surfaces() + stray) / (1 + np.array(stray)), surfaces(), found.correction).max() < 0.7
    np.testing.assert_allclose(
        np.exp(brightened(greys, np.array(stray))), (greys + stray) / (greys * (1 + np.array(stray)))
    )


def test_patches_left_out_come_nearer_by_what_is_known_of_cameras() -> None:
    """Two cameras that are not among those simulated (tests.benchmarks.chart); fitted without it they miss both."""
    off = []
    for name in (NIKON, SIGMA):
        for light in ("D65", "D50", *LAMPS):
            found = fit_matrix(seen(spectral_camera.chart(), name, light), true_chart())
            assert found is not None
            truth = true_lab(spectral_camera.chart())
            off.append(delta_e_2000(truth + found.left_out, truth))
    assert np.median(off) < 1.2
    assert np.quantile(off, 0.9) < 3.3


def test_too_few_patches_fit_nothing() -> None:
    assert fit_matrix(relative_cones(chart_xyz())[:11], relative_cones(chart_xyz())[:11]) is None


@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_it_helps_on_spectra_that_are_on_no_chart(name: str) -> None:
    """Muted colour evaluation samples of CIE 224:2017, under lamps; the chart is the mean of 30 (BabelColor 2012)."""
    samples = spectra("evaluation samples")
    truth = true_lab(samples)
    muted = np.hypot(truth[:, 1], truth[:, 2]) < MUTED_CHROMA
    plain, better = [], []
    for light in LAMPS:
        found = fit_matrix(seen(spectral_camera.chart(), name, light), true_chart())
        assert found is not None
        read = np.log(np.maximum(seen(samples, name, light), 1e-4))
        plain.append(delta_e_2000(reflectance_lab(read), truth)[muted])
        better.append(delta_e_2000(reflectance_lab(corrected(read, found.correction)), truth)[muted])
    assert np.median(better) < 0.95 * np.median(plain)  # measured: 0.91 and 0.72
    assert np.quantile(better, 0.9) < 0.9 * np.quantile(plain, 0.9)


@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_the_cameras_error_that_is_stated_covers_other_spectra(name: str) -> None:
    """Chroma errors of muted samples within 1.645 sigma: 90 % of a normal distribution, lamps of all kinds together."""
    samples = spectra("all")
    truth = true_lab(samples)
    chroma = np.hypot(truth[:, 1], truth[:, 2])
    inside = []
    for light in ("D65", "D50", *LAMPS):
        found = fit_matrix(seen(spectral_camera.chart(), name, light), true_chart())
        assert found is not None
        read = np.log(np.maximum(seen(samples, name, light), 1e-4))
        off = (reflectance_lab(corrected(read, found.correction)) - truth)[:, 1:]
        sd = np.hypot(found.camera_sd[0] + found.camera_sd[1] * chroma, 0.7)  # texture, which is stated beside it
        inside.append((np.abs(off) < 1.645 * sd[:, None])[chroma < MUTED_CHROMA])
    assert 0.75 < np.mean(np.concatenate(inside)) < 0.97


def test_white_is_white_after_it() -> None:
    found = fit_matrix(seen(spectral_camera.chart(), SIGMA, "LED-B1"), true_chart())
    assert found is not None
    np.testing.assert_allclose(
        reflectance_lab(corrected(np.zeros((1, 3)), found.correction)), [[100.0, 0, 0]], atol=1e-9
    )
    assert WHITE_D65[1] == 1


def test_small_differences_are_scaled_as_cie94_has_it() -> None:
    """CIE 116-1995 with its weights of 0.045 and 0.015 chroma, by coloraide; against the first of two colours."""
    rng = np.random.default_rng(94)
    labs = np.column_stack([rng.uniform(10, 95, 40), rng.uniform(-60, 60, (40, 2))])
    off = 1e-3 * rng.standard_normal((40, 3))
    scaled = np.linalg.norm(_difference_scale(labs) @ off[..., None], axis=(1, 2))
    theirs = [
        Color("lab-d65", list(lab)).delta_e(Color("lab-d65", list(lab + by)), method="94")
        for lab, by in zip(labs, off, strict=True)
    ]
    np.testing.assert_allclose(scaled, theirs, rtol=1e-3)


@pytest.mark.parametrize(("base", "slope"), [(0.6, 0.03), (1.5, 0.02), (0.4, 0.12)])
def test_the_cameras_error_is_the_likeliest_of_all(base: float, slope: float) -> None:
    """Student's t of five degrees in a and b by scipy, the logarithms of both numbers normal about the unknown camera's
    by 0.7; patches of spectra that are on no chart miss by 1.4 times that. No neighbour on the grid is likelier.
    """
    rng = np.random.default_rng(4)
    chroma, hue = rng.uniform(8, 60, 24), rng.uniform(0, 2 * np.pi, 24)
    chroma[20:] = 4.0  # greys: they are left out, however far off they are
    lab = np.column_stack([rng.uniform(20, 90, 24), chroma * np.cos(hue), chroma * np.sin(hue)])
    left_out = rng.standard_normal((24, 3)) * (base + slope * chroma)[:, None]
    left_out[20:] = 9.0
    expected = unknown_camera_sd(1.0)

    def unlikely(logs: Floats) -> float:
        sd = np.exp(logs[0]) + np.exp(logs[1]) * chroma[:20]
        told = sum(
            multivariate_t.logpdf(off, shape=one**2 * np.eye(2), df=5)
            for off, one in zip(left_out[:20, 1:], sd, strict=True)
        )
        return -float(told + norm.logpdf(logs, np.log(expected), 0.7).sum())

    found = np.log(np.array(_camera_sd(left_out, lab)) / 1.4)
    steps = np.array([np.log(10), np.log(20)]) / 23  # of a grid of 24 numbers over a decade, and over twenty times
    around = [unlikely(found + steps * (i, j)) for i in (-1, 0, 1) for j in (-1, 0, 1)]
    assert unlikely(found) == pytest.approx(min(around), abs=1e-9)


def own_corrections(free: Floats) -> Floats:
    """A correction (3, 7) whose rows sum to 1, from what each response takes of everything but itself (18,)."""
    whole = np.zeros((3, 7))
    whole[np.eye(3, 7) == 0] = free
    return np.asarray(whole + np.diag(1 - whole.sum(axis=1)) @ np.eye(3, 7))


def improbable(numbers: Floats, seen: Floats, true: Floats, told_by: Floats, bent: Floats) -> float:
    """What is to be smallest, of 18 weights and the curve's share on luminance: squares of differences by CIE94 over
    0.6, muted patches weighing most and straight lines from two sigmas on (Huber 1964); and what is known of cameras.
    """
    correction = own_corrections(numbers[:18])
    stray = -correction[:, 6]
    light = np.log((told_by + stray) / ((1 + stray) * told_by)).mean(axis=0)
    after = reflectance_lab(corrected(np.log(seen) + numbers[18] * bent + light, correction))
    lab = reflectance_lab(np.log(true))
    size = np.linalg.norm(_difference_scale(lab) @ (after - lab)[..., None], axis=(1, 2)) / 0.6
    huber = np.where(size < 2, size**2, 4 * size - 4)
    muted = 1 / (1 + np.hypot(lab[:, 1], lab[:, 2]) / 60)
    mean, covariance = weights_prior()
    others = (np.eye(3, 7) == 0).ravel()
    off = numbers[:18] - mean.ravel()[others]
    known = off @ np.linalg.solve(covariance[np.ix_(others, others)], off) + (numbers[18] / 0.5) ** 2
    return float(muted @ huber + known)


@pytest.mark.parametrize(("share", "size"), [(0.2, 0.3), (0.7, 0.3), (1.2, 0.01)])
def test_the_fit_is_the_most_probable_of_all_about_it(share: float, size: float) -> None:
    """No weight, nor the share, lies more than a tenth of its own sigma from where it would be likeliest; where
    patches bend little, what is believed of the share has its say.
    """
    rng = np.random.default_rng(12)
    true, greys = relative_cones(chart_xyz()), relative_cones(chart_xyz())[18:23]
    bent = size * rng.standard_normal((24, 3))
    seen = true @ np.linalg.inv(KNOWN).T * np.exp(0.02 * rng.standard_normal((24, 3)) - share * bent) + 0.01
    seen[3] *= [1.3, 1.0, 0.8]
    found = fit_matrix(seen, true, greys, bent)
    assert found is not None
    assert 0.05 < found.on_luminance < 0.95
    assert size < 0.1 or found.on_luminance == pytest.approx(share, abs=0.15)
    here = np.append(found.correction[np.eye(3, 7) == 0], found.on_luminance)
    cost = improbable(here, seen, true, greys, bent)
    step = 1e-3
    for axis in step * np.eye(19):
        more, less = (improbable(here + by, seen, true, greys, bent) for by in (axis, -axis))
        curvature, gradient = (more + less - 2 * cost) / step**2, (more - less) / (2 * step)
        assert curvature > 0
        assert abs(gradient) / np.sqrt(curvature) < 0.1 * np.sqrt(2)


def test_the_share_of_the_curve_on_luminance_stays_between_its_ends() -> None:
    true, bent = relative_cones(chart_xyz()), 0.3 * np.random.default_rng(13).standard_normal((24, 3))
    for put, end in ((1.6, 1.0), (-0.6, 0.0)):
        held = fit_matrix(true * np.exp(-put * bent), true, true[18:23], bent)
        assert held is not None
        assert held.on_luminance == pytest.approx(end, abs=1e-6)
    without = fit_matrix(true * np.exp(-0.1 * bent), true)
    assert without is not None
    assert without.on_luminance == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("put", "end"), [(1.1, 1.0), (-0.6, 0.0)])
def test_with_a_share_at_its_end_the_rest_is_what_it_is_where_the_curve_lies_there(put: float, end: float) -> None:
    true, bent = relative_cones(chart_xyz()), 0.3 * np.random.default_rng(13).standard_normal((24, 3))
    seen = true @ np.linalg.inv(KNOWN).T * np.exp(-put * bent)
    held, there = fit_matrix(seen, true, true[18:23], bent), fit_matrix(seen * np.exp(end * bent), true, true[18:23])
    assert held is not None
    assert there is not None
    assert held.on_luminance == end
    np.testing.assert_allclose(held.correction, there.correction, atol=1e-4)
    np.testing.assert_allclose(held.left_out, there.left_out, atol=1e-4)


def test_the_light_moves_with_stray_light_as_its_slope_says() -> None:
    """The slope against the change itself, by a small step of each response's stray light."""
    greys = relative_cones(chart_xyz())[18:23]
    free = np.zeros((2, 3, 7))
    free[..., -1] = [[-0.01, -0.03, -0.08], [0.0, -0.05, 0.01]]
    chart = _Chart(seen=np.zeros((1, 3)), lab=np.zeros((1, 3)), told_by=greys, bent=np.zeros((1, 3)))
    more, less = (
        chart.relit(_corrections(free + step * np.eye(7)[-1]), np.zeros(2)) for step in (1e-6, -1e-6)
    )  # each response's light depends on its own stray light alone
    np.testing.assert_allclose(chart.relighting(_corrections(free))[:, 0], (more - less) / 2e-6, rtol=1e-6)


def test_a_patch_is_left_out_where_its_error_is_told() -> None:
    """Fitted to the thirteen others, of fourteen: a few of them decide much of the fit."""
    true = relative_cones(chart_xyz())[[0, 2, 5, 6, 8, 10, 12, 13, 14, 16, 17, 18, 20, 22]]
    seen = true @ np.linalg.inv(KNOWN).T
    seen[1] *= [1.25, 1.0, 0.85]
    found = fit_matrix(seen, true)
    assert found is not None
    moved = []
    for patch in (1, 3, 5, 6, 10):
        others = np.arange(14) != patch
        without = fit_matrix(seen[others], true[others])
        assert without is not None
        truth = reflectance_lab(np.log(true[[patch]]))
        off, kept = (
            reflectance_lab(corrected(np.log(seen[[patch]]) + relit(fit.correction), fit.correction)) - truth
            for fit in (without, found)
        )
        np.testing.assert_allclose(found.left_out[[patch]], off, atol=2e-3)
        moved.append(np.abs(off - kept).max())
    assert min(moved) > 0.1
    assert max(moved) > 1


def relit(correction: Floats) -> Floats:
    """What stray light over a white card made of the light that it told, a logarithm (3,)."""
    return brightened(np.ones((1, 3)), stray_light(correction))[0]


def test_twelve_patches_are_enough() -> None:
    assert fit_matrix(relative_cones(chart_xyz())[6:18], relative_cones(chart_xyz())[6:18]) is not None
