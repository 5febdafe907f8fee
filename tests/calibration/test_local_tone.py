"""Local tone mapping is suspected where it was done, and not where light, one curve or noise explain the cards.

Truth: what was done to the picture. The local tone mapping is OpenCV's contrast limited adaptive histogram
equalisation (Zuiderveld 1994) of lightness, and a base layer of a bilateral filter compressed (Durand & Dorsey 2002).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.calibration.local_tone import local_tone_findings
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.spaces import srgb_decode, srgb_encode
from matcher.photo.decoded import Finding, Photo
from matcher.photo.pixels import as_eight_bits
from matcher.photo.reading import read_photo
from matcher.room.contents import PhotoEntry, RoomFile
from matcher.room.reading import read_room
from tests.calibration.made_patch import PIXELS, made
from tests.calibration.scenes import GREY, Scene, plain, smoothstep_s

SAMPLES = Path(__file__).parents[2] / "sample_photos"
Pixels = NDArray[np.uint8]


def _found(photo: Photo, entry_references: object) -> list[Finding]:
    calibration = calibrate(photo, entry_references, "photo")  # type: ignore[arg-type]  # lists and tuples alike
    return [finding for finding in calibration.findings if finding.check in ("cards disagree", "uneven card")]


def _with_cards() -> list[tuple[RoomFile, PhotoEntry]]:
    rooms = [read_room(path) for path in sorted(SAMPLES.glob("*/*.toml"))]
    return [(room, entry) for room in rooms for entry in room.photos if entry.references]


@pytest.mark.parametrize(("room", "entry"), _with_cards(), ids=lambda value: getattr(value, "file", ""))
def test_the_sample_photos_have_none(room: RoomFile, entry: PhotoEntry) -> None:
    """They are rendered with one tone curve for the whole picture, under windows and pendants."""
    assert _found(read_photo(room.path_of(entry)), entry.references) == []


def _adaptive_equalisation(pixels: Pixels) -> Pixels:
    lab = cv2.cvtColor(pixels, cv2.COLOR_RGB2LAB)
    lightness = cv2.createCLAHE(2.0, (8, 8)).apply(np.ascontiguousarray(lab[..., 0]))
    return np.asarray(cv2.cvtColor(np.dstack([lightness, lab[..., 1:]]), cv2.COLOR_LAB2RGB))


def _compressed_base(pixels: Pixels) -> Pixels:
    linear = srgb_decode(pixels / 255)
    luminance = np.log2(np.maximum(linear @ [0.2126, 0.7152, 0.0722], 1e-3)).astype(np.float32)
    height, width = luminance.shape
    small = cv2.resize(luminance, (width // 4, height // 4), interpolation=cv2.INTER_AREA)
    base = cv2.resize(cv2.bilateralFilter(small, -1, 1.0, 12.0), (width, height), interpolation=cv2.INTER_LINEAR)
    gain = 2 ** (-0.4 * (base - np.median(base)))
    return np.asarray((srgb_encode(np.clip(linear * gain[..., None], 0, 1)) * 255).round().astype(np.uint8))


@pytest.mark.parametrize("mapping", [_adaptive_equalisation, _compressed_base])
def test_local_tone_mapping_shows_where_cards_lie_at_several_places(mapping: Callable[[Pixels], Pixels]) -> None:
    """At one place alone no sign is left: real cameras' curves do to three cards what local mapping does (the family of
    tone_curve.py holds both), so only places that contradict each other tell.
    """
    room, entry = next((room, entry) for room, entry in _with_cards() if entry.file.endswith("corner_mixed.jpg"))
    photo = read_photo(room.path_of(entry))
    mapped = replace(photo, pixels=mapping(as_eight_bits(photo.pixels)))
    found = _found(mapped, entry.references)
    assert found
    disagreeing = [finding for finding in found if finding.check == "cards disagree"]
    assert disagreeing
    assert all(float(finding.values[0][1]) > 0.1 for finding in disagreeing)


def _three_cards() -> Scene:
    scene = Scene(300, 400, level=0.8)
    scene.lay_three(120, 120, 45, on="worktop")
    return scene


@pytest.mark.parametrize("curve", [plain, smoothstep_s(0.4)])
def test_one_curve_and_sloping_light_explain_the_cards(curve: Callable[..., object]) -> None:
    scene = _three_cards()
    scene.fall_off(0.9, 0.4)
    assert _found(scene.shoot(curve=curve), scene.cards) == []  # type: ignore[arg-type]  # scenes.Curve


def test_cards_far_apart_on_one_surface_may_lie_in_different_light() -> None:
    scene = Scene(300, 400)
    scene.lay(GREY, (20, 120, 60, 160), on="worktop")
    scene.lay(GREY, (340, 120, 380, 160), on="worktop")
    scene.fall_off(1.5)
    assert _found(scene.shoot(), scene.cards) == []


def test_a_card_that_is_not_what_it_is_marked_as() -> None:
    scene = Scene(300, 400)
    scene.lay(GREY, (100, 120, 150, 170), on="worktop")
    marked = scene.lay(("grey card", 0.27), (160, 120, 210, 170), on="worktop")
    scene.cards[-1] = marked.model_copy(update={"reflectance": 0.18})
    (finding,) = _found(scene.shoot(), scene.cards)
    assert (finding.check, finding.level, finding.subject) == ("cards disagree", "warn", "worktop")
    # What is left once the curve that the two ratios of one reflectance leave free has been taken out.
    assert finding.values[0][1] == pytest.approx(0.5, abs=0.1)


@pytest.mark.parametrize(("depth", "level"), [(0.25, "note"), (0.4, "warn")])
def test_a_shadows_soft_edge_on_a_card(depth: float, level: str) -> None:
    scene = Scene(300, 400)
    scene.lay(GREY, (100, 80, 220, 200), on="worktop")
    columns = np.arange(400)
    scene.light *= (1 - depth / (1 + np.exp((columns - 150) / 6.0)))[None, :, None]
    (finding,) = _found(scene.shoot(), scene.cards)
    assert (finding.check, finding.level) == ("uneven card", level)


TABLE = np.arange(LEVELS) / (LEVELS - 1)  # file values that are light


def _told(*patches: Patch) -> list[tuple[str, str, float, str]]:
    return [(f.check, f.level, float(dict(f.values)["amount"]), f.subject) for f in local_tone_findings(patches, TABLE)]


def _at(x: float, code: int, **facts: Any) -> Patch:
    return made((code, code, code), centre=np.array([x, 50.0]), slope_sd=0.0, **facts)


def test_cards_disagree_by_the_ratio_of_the_lights_they_tell() -> None:
    assert _told(_at(0, 100, on="floor"), _at(50, 120, on="floor")) == [("cards disagree", "warn", 0.2, "floor")]
    assert _told(_at(0, 120), _at(50, 100)) == [("cards disagree", "warn", 0.2, "grey card")]
    # Of another reflectance and as much lighter: one light.
    assert _told(_at(0, 100), _at(50, 150, reflectance=0.27)) == []
    # Too far apart for one light to be expected, or black: nothing is said.
    assert _told(_at(0, 100, on="floor"), _at(500, 120, on="floor")) == []
    assert _told(_at(0, 100), _at(50, 120, reflectance=0.05)) == []
    assert _told(_at(0, 100), _at(50, 120, clipped=0.5)) == []


@pytest.mark.parametrize("slopes", [(0.004, 0.004), (0.002, 0.006)])
def test_what_the_slope_between_them_explains_is_no_disagreement(slopes: tuple[float, float]) -> None:
    """Between two slopes their mean, 0.004 over 50 pixels, makes exp(0.2) = 1.22 of the light."""
    left, right = (np.array([slope, 0.0]) for slope in slopes)
    assert _told(_at(0, 100, slope=left), _at(50, 122, slope=right)) == []
    (found,) = _told(_at(0, 122, slope=left), _at(50, 100, slope=right))
    assert found[2] == pytest.approx(np.exp(np.log(1.22) + 0.2) - 1, abs=1e-3)


def test_nor_is_what_doubt_about_the_slope_leaves_open() -> None:
    """The mean of two slopes, each good to s, is good to s / sqrt 2; over 50 pixels twice that is taken off."""
    doubt = 0.001
    left, right = (replace(_at(x, code), slope_sd=doubt) for x, code in ((0, 100), (50, 130)))
    (found,) = _told(left, right)
    assert found[2] == pytest.approx(1.3 * np.exp(-2 * 50 * doubt / np.sqrt(2)) - 1, abs=1e-3)


def test_slopes_that_differ_across_neighbours_make_them_uneven() -> None:
    """By their difference over a card's width, here 40 and 60 pixels, less twice its doubt."""
    left = _at(0, 100, on="floor", slope=np.array([0.0, 0.0044]))
    right = _at(50, 100, on="floor", slope=np.array([0.0033, 0.0]), extent=60.0)
    (found,) = _told(left, right)
    assert (*found[:2], found[3]) == ("uneven card", "warn", "floor")
    assert found[2] == pytest.approx(np.expm1(0.0055 * 50), abs=1e-3)
    doubtful = replace(left, slope_sd=0.0005), replace(right, slope_sd=0.0005)
    assert _told(*doubtful) == []


@pytest.mark.parametrize("noise", [0.0, 0.1])
def test_a_bend_is_what_noise_does_not_explain(noise: float) -> None:
    """Noise of a pixel's value v is 2.2 times as large in the logarithm of light (any display's encoding) and averages
    out over the sixteenth of a card's pixels, three channels each; a range is about four sigmas.
    """
    value, pixels = 100 / 255, 4 * PIXELS
    by_noise = 2.2 * noise / value / np.sqrt(3 * pixels / 16)
    (found,) = _told(_at(0, 100, noise=noise, spread=float(np.hypot(0.04, by_noise))))
    assert (*found[:2], found[3]) == ("uneven card", "note", "grey card")
    assert found[2] == pytest.approx(np.expm1(4 * 0.04), abs=1e-3)
    (plain_to_see,) = _told(_at(0, 100, noise=noise, spread=0.08))
    assert plain_to_see[1] == "warn"
    assert _told(_at(0, 100, noise=noise, spread=0.9 * float(np.hypot(0.032, by_noise)))) == []


def test_a_small_card_cannot_tell_a_bend() -> None:
    """Fewer than 800 pixels: a sixteenth of them is a few."""
    small = _at(0, 100, spread=0.2)
    assert _told(replace(small, quadrants=small.quadrants / 4)) == []
