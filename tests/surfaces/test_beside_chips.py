"""Chips of known colour beside a surface: drawn from measured spectra through a real camera, read from pixels.

Spectra, illuminants and camera sensitivities: tests/calibration/spectral_camera.py names their sources.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import NDArray
from scipy.stats import chi2

from matcher.calibration.photo_calibration import PhotoCalibration, calibrate
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats, lab_to_xyz, srgb_encode
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.report.doubt import lrv_sd
from matcher.report.result import check_entry
from matcher.room.contents import OutlinedSurface, Reference
from matcher.surfaces.beside_chips import CONTRADICTS, USUAL, ChipEvidence, chip_evidence, evidence_of, points_of
from matcher.surfaces.card_noise import noise_left
from matcher.surfaces.reading import SurfaceReading, read_surface
from tests.benchmarks import chips as benchmark
from tests.calibration.scenes import Curve, as_photo, corners, plain, smoothstep_s
from tests.calibration.spectral_camera import NIKON, camera, grey_card, spectra, true_lab

SIDE, CHIP = 300, 50
LIGHT = "LED-B1"
LEVEL = 0.45
OUTLINE = corners((3, 3, SIDE - 3, SIDE - 3))


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """A surface with a card and chips on it; ``paints`` is what the deck says of the chips."""

    photo: Photo
    references: tuple[Reference, ...]
    paints: Mapping[str, Floats]

    def calibrated(self) -> PhotoCalibration:
        return calibrate(self.photo, self.references, "photo", paints=self.paints)

    def read(self) -> tuple[SurfaceReading, ChipEvidence]:
        calibration = self.calibrated()
        chips = chip_evidence(calibration, self.photo.colour_space)
        reading = read_surface(
            self.photo,
            calibration,
            OutlinedSurface(name="worktop", material="other", outline=OUTLINE),
            cards=[np.asarray(each.outline) for each in self.references],
            noise_left=noise_left(self.photo, self.references, calibration.noise),
            whole_room=False,
            where="photo",
            chips=chips if calibration.chips else None,
        )
        return reading, chips


def shoot(
    surface: int,
    chips: Sequence[int],
    *,
    card: bool = True,
    curve: Curve = plain,
    codes: Mapping[int, int] = MappingProxyType({}),
) -> Shot:
    """Photograph spectra: ``chips`` lie on ``surface``; ``codes`` says where another chip's code is given for one."""
    shot, everything = camera(NIKON), spectra("all")
    linear = np.broadcast_to(shot.linear_rgb(everything[[surface]], LIGHT)[0], (SIDE, SIDE, 3)).copy()
    references, paints = [], {}
    truth = true_lab(everything)
    if card:
        box = (40, 40, 40 + CHIP, 40 + CHIP)
        _fill(linear, box, shot.linear_rgb(grey_card(), LIGHT)[0])
        references.append(Reference(kind="grey card", reflectance=0.18, outline=corners(box), on="worktop"))
    for place, chip in enumerate(chips):
        left, top = 40 + CHIP * (1 + place % 3), 40 + CHIP * (place // 3)
        box = (left, top, left + CHIP, top + CHIP)
        _fill(linear, box, shot.linear_rgb(everything[[chip]], LIGHT)[0])
        code = str(codes.get(chip, chip))
        paints[code] = truth[int(code)]
        references.append(Reference(kind="paint chip", paint=code, outline=corners(box), on="worktop"))
    grain = np.random.default_rng(1).normal(0, 0.006, linear.shape)
    values = curve(srgb_encode(np.clip(LEVEL * linear, 0, 1))) + grain
    pixels = (np.clip(values, 0, 1) * 255).round().astype(np.uint8)
    return Shot(as_photo(pixels, srgb()), tuple(references), paints)


def _fill(linear: Floats, box: tuple[int, int, int, int], colour: Floats) -> None:
    left, top, right, bottom = box
    linear[top:bottom, left:right] = colour


def near(surface: int, count: int, *, least: float = 0.5) -> list[int]:
    """Return the spectra nearest in colour to one, but not the same."""
    truth = true_lab(spectra("all"))
    away = delta_e_2000(truth, truth[surface])
    away[away < least] = np.inf
    return [int(each) for each in np.argsort(away)[:count]]


def off(reading: SurfaceReading, surface: int) -> float:
    return float(delta_e_2000(reading.colours[0].lab, true_lab(spectra("all"))[surface]))


def some_muted(count: int) -> NDArray[np.intp]:
    """Return spectra of C* 8 to 35, as homes are made of: every so manieth of all."""
    truth = true_lab(spectra("all"))
    chroma = np.hypot(truth[:, 1], truth[:, 2])
    fits = np.flatnonzero((chroma > 8) & (chroma < 35) & (truth[:, 0] > 25) & (truth[:, 0] < 85))
    return fits[:: max(1, len(fits) // count)][:count]


def test_three_chips_near_in_colour_take_a_third_and_more_off_what_a_card_alone_leaves() -> None:
    """A grey card leaves what the lamp's spectrum and the camera do to single colours; chips take most of it out."""
    surfaces = some_muted(10)
    alone = [off(shoot(s, []).read()[0], s) for s in surfaces]
    told = [off(shoot(s, near(s, 3)).read()[0], s) for s in surfaces]
    assert np.median(told) < 0.65 * np.median(alone)


def test_chips_tell_a_tone_curve_that_one_grey_cannot() -> None:
    """An S of graphics on top of the encoding (not the family the project fits with), a grey card and three chips."""
    surfaces = some_muted(8)
    curve = smoothstep_s(0.6)
    alone, told, inside = [], [], []
    truth = lrv(true_lab(spectra("all")))
    for s in surfaces:
        without, _ = shoot(s, [], curve=curve).read()
        reading, _ = shoot(s, near(s, 3), curve=curve).read()
        main = reading.colours[0]
        alone.append(abs(float(lrv(without.colours[0].lab)) - truth[s]))
        told.append(abs(float(lrv(main.lab)) - truth[s]))
        inside.append(told[-1] < 1.645 * lrv_sd(main.lab, main.covariance))
    assert np.median(told) < 0.5 * np.median(alone)
    assert np.mean(inside) >= 0.75


def test_chips_stand_in_for_a_card() -> None:
    surfaces = some_muted(6)
    readings = [shoot(s, near(s, 4), card=False).read()[0] for s in surfaces]
    assert all(reading.own_card for reading in readings)
    assert np.median([off(reading, s) for reading, s in zip(readings, surfaces, strict=True)]) < 4.0


def test_doubt_shrinks_and_its_causes_still_add_up_to_it() -> None:
    surface = int(some_muted(4)[2])
    before, _ = shoot(surface, []).read()
    after, _ = shoot(surface, near(surface, 3)).read()
    main = after.colours[0]
    np.testing.assert_allclose(sum(main.causes.values()), main.covariance, atol=1e-6)
    assert np.trace(main.covariance) < np.trace(before.colours[0].covariance)
    assert np.linalg.eigvalsh(main.covariance).min() > 0


def apart_by_coloraide(one: int, other: int) -> float:
    """CIEDE2000 of coloraide (MIT) between two of the measured spectra."""
    first, second = (Color("lab-d65", true_lab(spectra("all"))[row].tolist()) for row in (one, other))
    return float(first.delta_e(second, method="2000"))


def test_a_wrong_code_is_named_and_left_out() -> None:
    """One of four chips is given the code of a paint dE 25 or more away."""
    surface = int(some_muted(4)[1])
    chips = near(surface, 4)
    truth = true_lab(spectra("all"))
    wrong = int(np.flatnonzero(delta_e_2000(truth, truth[chips[1]]) > 25)[0])
    sound, _ = shoot(surface, [chips[0], *chips[2:]]).read()
    reading, evidence = shoot(surface, chips, codes={chips[1]: wrong}).read()
    (finding,) = evidence.findings
    assert (finding.check, finding.subject) == ("chip contradicts", str(wrong))
    assert check_entry(finding)["values"]["de00"] == pytest.approx(apart_by_coloraide(wrong, chips[1]), abs=3)
    assert str(wrong) not in evidence.codes
    assert off(reading, surface) == pytest.approx(off(sound, surface), abs=0.5)


def test_two_chips_without_a_card_that_contradict_each_other_are_both_named() -> None:
    surface = int(some_muted(4)[1])
    chips = near(surface, 2)
    truth = true_lab(spectra("all"))
    wrong = int(np.flatnonzero(delta_e_2000(truth, truth[chips[1]]) > 25)[0])
    _, evidence = shoot(surface, chips, card=False, codes={chips[1]: wrong}).read()
    (finding,) = evidence.findings
    assert finding.check == "chips contradict"
    assert check_entry(finding)["values"]["de00"] > 5
    assert set(finding.subject.split(", ")) == {str(chips[0]), str(wrong)}


def test_the_right_codes_contradict_nothing() -> None:
    assert not [f for s in some_muted(6) for f in shoot(int(s), near(int(s), 4)).read()[1].findings]


def test_the_comparison_names_the_nearest_chip_and_which_way_it_lies() -> None:
    """The surface is one spectrum, the chips one clearly lighter and one far off; the truth is their own CIELAB."""
    truth = true_lab(spectra("all"))
    grey = np.hypot(truth[:, 1], truth[:, 2]) < 12
    darker = int(np.flatnonzero(grey & (abs(truth[:, 0] - 50) < 4))[0])
    lighter = int(np.flatnonzero(grey & (abs(truth[:, 0] - 62) < 4))[0])
    far = int(np.flatnonzero(abs(truth[:, 0] - 30) < 6)[0])
    reading, _ = shoot(darker, [far, lighter]).read()
    nearest = reading.nearest_chip
    assert nearest is not None
    assert nearest.code == str(lighter)
    assert nearest.lighter < 0
    expected = float(delta_e_2000(truth[darker], truth[lighter]))
    assert abs(nearest.de00 - expected) < max(nearest.de00_doubt, 1.5)


def test_a_chip_of_the_surface_s_own_colour_cannot_be_told_from_it() -> None:
    surface = int(some_muted(4)[2])
    nearest = shoot(surface, [surface, near(surface, 1, least=8.0)[0]]).read()[0].nearest_chip
    assert nearest is not None
    assert nearest.code == str(surface)
    assert nearest.de00 < max(nearest.de00_doubt, 1.0)
    assert (nearest.lighter, nearest.warmer, nearest.greener) == (0.0, 0.0, 0.0)


def test_a_chip_that_cannot_serve_is_left_out_and_the_rest_is_measured() -> None:
    surface = int(some_muted(4)[0])
    shot = shoot(surface, near(surface, 3))
    code = str(shot.references[2].paint)
    unknown = {key: lab for key, lab in shot.paints.items() if key != code}
    calibration = calibrate(shot.photo, shot.references, "photo", paints=unknown)
    (finding,) = [f for f in calibration.findings if f.check == "chip left out"]
    assert finding.subject == code
    assert len(calibration.chips) == 2


def test_a_card_that_cannot_serve_is_named_by_its_place_in_the_room_file() -> None:
    surface = int(some_muted(4)[0])
    shot = shoot(surface, near(surface, 2))
    card, *chips = shot.references
    tiny = card.model_copy(update={"outline": corners((40, 40, 42, 42))})
    with pytest.raises(CardError) as caught:
        calibrate(shot.photo, [*chips, tiny], "photo", paints=shot.paints)
    assert [each.where for each in caught.value.problems] == ["photo: references[2] (grey card)"]


def test_a_photo_of_nothing_but_unknown_chips_is_refused_with_their_codes() -> None:
    surface = int(some_muted(4)[0])
    shot = shoot(surface, near(surface, 2), card=False)
    with pytest.raises(CardError) as caught:
        calibrate(shot.photo, shot.references, "photo", paints={})
    assert [each.what for each in caught.value.problems] == [
        f"the deck has no paint {reference.paint!r}" for reference in shot.references
    ]


def test_what_chips_take_off_is_what_least_squares_over_draws_takes_off() -> None:
    """Draws of what chips and a surface are missed by, from the stated covariances: numpy's least squares of the one on
    the others gives the same correction, and leaves the same spread.
    """
    surface, *chips = (int(i) for i in some_muted(5)[:4])
    truth = true_lab(spectra("all"))
    calibration = benchmark.calibrated(NIKON, LIGHT)
    place = calibration.lights[0]
    cones = np.log(relative_cones(lab_to_xyz(truth)))
    seen = points_of(cones[chips], np.zeros((3, 5, 3)), place)
    evidence = evidence_of(["a", "b", "c"], seen.lab - 0.3, seen, np.full(3, 0.02), calibration)
    point = points_of(cones[[surface]], np.zeros((1, 5, 3)), place)
    before = benchmark.causes_of(cones[[surface]], calibration)
    lab, left = evidence.corrected(point, before)
    whole = np.zeros((12, 12))
    whole[:3, :3] = sum(before.values())[0]
    whole[3:, 3:] = evidence.covariance
    whole[:3, 3:] = evidence.shared_with(point)[0]
    whole[3:, :3] = whole[:3, 3:].T
    draws = np.random.default_rng(0).multivariate_normal(np.zeros(12), whole, size=200_000)
    slope = np.linalg.lstsq(draws[:, 3:], draws[:, :3], rcond=None)[0]
    np.testing.assert_allclose(point.lab[0] - lab[0], np.full(9, 0.3) @ slope, atol=0.02)
    spread = np.cov((draws[:, :3] - draws[:, 3:] @ slope).T)
    np.testing.assert_allclose(sum(left.values())[0], evidence.excess * spread, atol=0.03 * np.trace(spread))


def test_by_numbers_chips_do_what_a_chart_does() -> None:
    """Two cameras, a warm LED and a fluorescent lamp, all muted spectra: three chips against a chart of 24 patches."""
    lights = ("LED-B1", "FL11")
    three, card = (
        np.concatenate([benchmark.with_chips(NIKON, light, count).error for light in lights]) for count in (3, 0)
    )
    chart = np.concatenate([benchmark.with_chart(NIKON, light).error for light in lights])
    assert np.median(three) < 0.75 * np.median(card)
    assert np.median(three) < 1.15 * np.median(chart)
    assert np.quantile(three, 0.9) < 1.15 * np.quantile(chart, 0.9)


def test_what_contradicts_and_what_is_usual_are_quantiles_of_chi_squared() -> None:
    """Of three degrees of freedom, by scipy."""
    assert pytest.approx(chi2.ppf([0.5, 0.999], 3), rel=1e-7) == [USUAL, CONTRADICTS]
