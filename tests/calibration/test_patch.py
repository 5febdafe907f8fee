"""One card in a picture: its statistics against the numbers it was made of, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from matcher.calibration.patch import LEVELS, Patch, read_patch
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import plain_table
from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference
from tests.calibration.made_patch import PIXELS, made
from tests.calibration.scenes import GREY, WARM_LIGHT, WHITE, Box, Scene, as_photo, corners

PLAIN_TABLE = plain_table(srgb(), LEVELS)
CARD = (40, 40, 100, 90)


def flat(linear: ArrayLike, *, noise: float = 0.0, seed: int = 0) -> Photo:
    """A photo of one linear RGB."""
    encoded = srgb_encode(np.broadcast_to(np.asarray(linear, dtype=float), (140, 160, 3)))
    grain = np.random.default_rng(seed).normal(0, noise, encoded.shape) if noise else 0.0
    return as_photo((np.clip(encoded + grain, 0, 1) * 255).round().astype(np.uint8), srgb())


def reference(box: Box = CARD) -> Reference:
    return Reference(kind="grey card", reflectance=0.18, outline=corners(box))


def read(photo: Photo, box: Box = CARD) -> Patch:
    return read_patch(photo, reference(box), "card")


@pytest.mark.parametrize("linear", [(0.18, 0.18, 0.18), (0.3, 0.2, 0.1), (0.02, 0.03, 0.05)])
def test_a_flat_patch_gives_back_its_linear_value_through_noise(linear: tuple[float, float, float]) -> None:
    """Half a level of quantisation at the darkest value is 2 %; noise averages out over 2,000 pixels."""
    found = read(flat(linear, noise=0.02, seed=1)).linear(PLAIN_TABLE)
    np.testing.assert_allclose(found, linear, rtol=0.02)


@pytest.mark.parametrize("linear", [(0.18, 0.18, 0.18), (0.4, 0.2, 0.05)])
def test_noise_and_centre_are_as_made(linear: tuple[float, float, float]) -> None:
    """Noise is that of each channel: that they differ by the light's colour is none."""
    patch = read(flat(linear, noise=0.02, seed=2))
    assert patch.noise == pytest.approx(0.02, rel=0.1)
    np.testing.assert_allclose(patch.centre, [70, 65], atol=1.5)


def test_dust_on_the_card_does_not_move_it() -> None:
    pixels = flat((0.18, 0.18, 0.18), noise=0.01).pixels.astype(np.uint8)
    pixels[44:50, 50:56] = 15
    np.testing.assert_allclose(read(as_photo(pixels, srgb())).linear(PLAIN_TABLE), 0.18, rtol=0.01)


def test_an_outline_that_leaves_one_line_of_pixels_is_read() -> None:
    patch = read(flat((0.18, 0.18, 0.18), noise=0.02, seed=3), (10, 50, 150, 52))
    np.testing.assert_allclose(patch.linear(PLAIN_TABLE), 0.18, rtol=0.05)
    assert patch.slope[1] == 0


def test_the_slope_of_light_across_a_card_is_read() -> None:
    scene = Scene(140, 160)
    scene.fall_off(across=0.6)
    card = scene.lay(GREY, CARD)
    patch = read_patch(scene.shoot(), card, "card")
    assert patch.slope[0] == pytest.approx(-0.6 / 160, rel=0.1)
    assert abs(patch.slope[1]) < 0.1 * 0.6 / 160


def test_a_clipped_white_card_is_left_aside() -> None:
    scene = Scene(140, 320, level=1.3)
    scene.lay(WHITE, (20, 40, 80, 100))
    scene.lay(GREY, (80, 40, 140, 100))
    both = calibrate(scene.shoot(), scene.cards, "photo")
    alone = calibrate(scene.shoot(), scene.cards[1:], "photo")
    assert [f.check for f in both.findings if f.check == "clipped patch"] == ["clipped patch"]
    np.testing.assert_allclose(both.lights[0].cones, alone.lights[0].cones)
    assert both.curve.evidence == 0


def test_only_clipped_cards_are_refused() -> None:
    scene = Scene(140, 160, level=1.4)
    scene.lay(WHITE, CARD)
    with pytest.raises(CardError, match="darker") as caught:
        calibrate(scene.shoot(), scene.cards, "kitchen.jpg")
    assert "kitchen.jpg" in str(caught.value)


def test_an_outline_on_something_coloured_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.paint(CARD, [50, -40, 35])
    with pytest.raises(CardError, match="not neutral"):
        calibrate(scene.shoot(), [card], "photo")


def test_a_card_under_a_strong_lamp_is_not_called_coloured() -> None:
    scene = Scene(140, 160)
    scene.light *= np.array([1.25, 1.0, 0.35])
    scene.lay(GREY, CARD)
    assert calibrate(scene.shoot(), scene.cards, "photo").cast.angle_deg > 10


def test_a_card_under_glare_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.light *= spot_of_glare(scene, CARD)
    with pytest.raises(CardError, match="not even"):
        calibrate(scene.shoot(), [card], "photo")


def test_a_card_half_in_shadow_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.light[:, 70:] *= 0.3
    with pytest.raises(CardError, match="not even"):
        calibrate(scene.shoot(), [card], "photo")


def spot_of_glare(scene: Scene, box: Box) -> Floats:
    """Light that rises smoothly to four times its level in the middle of a card."""
    rows, columns = np.mgrid[0 : scene.height, 0 : scene.width]
    left, top, right, bottom = box
    distance = np.hypot((columns - (left + right) / 2) / (right - left), (rows - (top + bottom) / 2) / (bottom - top))
    return np.asarray(1 + 3 * np.exp(-((distance / 0.3) ** 2)))[..., None]


def test_a_black_picture_is_refused() -> None:
    with pytest.raises(CardError, match="black"):
        read(as_photo(np.zeros((140, 160, 3), np.uint8), srgb()))


def test_a_tiny_outline_is_refused_with_the_pixels_it_covers() -> None:
    with pytest.raises(CardError, match=r"\d+ usable pixels"):
        read(flat((0.18, 0.18, 0.18)), (50, 50, 54, 54))


@pytest.mark.parametrize("box", [(400, 10, 460, 60), (10, 400, 60, 460), (-90, 10, -30, 60), (10, -90, 60, -30)])
def test_an_outline_outside_the_picture_covers_none_of_it(box: Box) -> None:
    with pytest.raises(CardError, match="covers only 0 usable pixels"):
        read(in_codes(grey_codes()), box)


@pytest.mark.parametrize(
    ("codes", "box", "what", "remedy"),
    [
        (120, (50, 50, 54, 54), "usable pixels", "from nearer"),
        (0, CARD, "black", "brighter"),
        (np.where(np.arange(140) % 20 < 8, 200, 120)[:, None, None], CARD, "not even", "correct it"),
    ],
)
def test_a_refusal_names_the_card_and_what_to_do(codes: ArrayLike, box: Box, what: str, remedy: str) -> None:
    with pytest.raises(CardError) as caught:
        read_patch(in_codes(np.broadcast_to(codes, (140, 160, 3))), reference(box), "references[3]")
    (problem,) = caught.value.problems
    assert problem.where == "references[3]"
    assert what in problem.what
    assert remedy in problem.remedy


def test_all_bad_cards_are_named_in_one_go() -> None:
    scene = Scene(140, 320)
    scene.light *= WARM_LIGHT
    green, glaring = scene.lay(GREY, (20, 40, 80, 100)), scene.lay(GREY, (200, 40, 260, 100))
    scene.paint((20, 40, 80, 100), [50, -45, 40])
    scene.light *= spot_of_glare(scene, (200, 40, 260, 100))
    with pytest.raises(CardError) as caught:
        calibrate(scene.shoot(), [green, glaring], "photo")
    assert len(caught.value.problems) == 2


def in_codes(codes: ArrayLike, *, scale: float = 1.0) -> Photo:
    """A photo of file values (H, W, 3), decoded at ``scale``."""
    pixels = np.asarray(codes).astype(np.uint8)
    photo = as_photo(pixels, srgb())
    return replace(photo, full_size=(round(pixels.shape[1] / scale), round(pixels.shape[0] / scale)), scale=scale)


def grey_codes(code: int = 120, size: tuple[int, int] = (140, 160)) -> NDArray[np.int64]:
    return np.full((*size, 3), code)


@pytest.mark.parametrize("scale", [1.0, 0.5, 0.25])
def test_places_and_sizes_are_told_in_full_size_pixels(scale: float) -> None:
    """However small the photo was decoded: where the card lies, its width, what lies beside it, the slope across it."""
    rows, columns = np.indices((280, 320)) / scale
    codes = grey_codes(90, (280, 320))
    left, top, right, bottom = (round(each / scale) for each in (80, 80, 200, 180))
    inside = (columns >= left) & (columns < right) & (rows >= top) & (rows < bottom)
    # Falling by a fifth across: of the logarithm of the encoded value, and light is about its 2.2th power.
    codes[inside] = np.round(200 * np.exp(-0.2 * (columns[inside] - left) / (right - left)))[:, None]
    patch = read(in_codes(codes, scale=scale), (left, top, right, bottom))
    np.testing.assert_allclose(patch.centre, [140 / scale, 130 / scale], atol=0.55 / scale)
    assert patch.extent == pytest.approx(np.sqrt(120 * 100) / scale, rel=0.15)  # its rim is left out
    assert patch.extent < np.sqrt(120 * 100) / scale
    assert patch.slope[0] == pytest.approx(-0.2 * 2.2 / (120 / scale), rel=0.03)
    assert abs(patch.slope[1]) < 0.01 * abs(patch.slope[0])
    assert patch.spread < 0.01  # nothing is left beside the slope
    assert patch.beside.tolist() == [90, 90, 90]


def test_a_slope_is_known_as_a_regression_knows_it() -> None:
    """Standard error of a slope of N values with noise s along a side w: s sqrt(12 / N) / w (least squares, uniform
    design), both directions together; noise of an encoded value is 2.2 / value of it in the logarithm of light.
    """
    rng = np.random.default_rng(4)
    patch = read(in_codes(grey_codes(120) + np.round(rng.normal(0, 4, (140, 160, 1)))))
    pixels = patch.quadrants[:, 0].sum()
    noise = 2.2 * 4 / 120
    across, down = 60 * 0.9, 50 * 0.9  # what its rim leaves
    expected = noise * np.sqrt(12 / pixels) * np.hypot(1 / across, 1 / down)
    assert patch.slope_sd == pytest.approx(expected, rel=0.1)
    assert np.linalg.norm(patch.slope) < 3 * patch.slope_sd
    assert patch.spread < 3 * noise / np.sqrt(pixels / 16)
    assert patch.noise == pytest.approx(4 / 255, rel=0.1)


@pytest.mark.parametrize("across", [True, False])
def test_what_no_slope_explains_is_its_spread(across: bool) -> None:
    """Light exp(k x^2), x from -1 to 1: quarters have means of 7/12 k and 1/12 k, two each, so they spread by k / 4."""
    rows, columns = np.indices((160, 160))
    x = ((columns if across else rows) - 79.5) / 50
    codes = np.round(180 * np.exp(0.2 * x**2 / 2.2))[..., None].repeat(3, axis=2)
    patch = read(in_codes(codes), (25, 25, 135, 135))  # its rim of a twentieth all round is left out
    assert patch.spread == pytest.approx(0.2 / 4, rel=0.08)
    assert np.abs(patch.slope).max() * 100 < 0.01


@pytest.mark.parametrize("turned", [0.0, 0.5, 2.0])
def test_foreshortening_is_the_short_side_over_the_long_one(turned: float) -> None:
    turn = np.array([[np.cos(turned), -np.sin(turned)], [np.sin(turned), np.cos(turned)]])
    points = (np.array([[-50, -20], [50, -20], [50, 20], [-50, 20]]) @ turn.T + 80).tolist()
    card = Reference(kind="grey card", reflectance=0.18, outline=tuple((float(x), float(y)) for x, y in points))
    assert read_patch(in_codes(grey_codes(size=(160, 160))), card, "card").foreshortening == pytest.approx(
        0.4, abs=1e-3
    )


@pytest.mark.parametrize("times", [1, 5])
@pytest.mark.parametrize("centre", [(110, 60), (240, 90)])
def test_beside_a_card_is_what_it_lies_on_and_not_its_own_rim(times: int, centre: tuple[int, int]) -> None:
    """A ring from a quarter more than the card's size to nearly twice it, in small pictures and in large ones."""
    codes = np.zeros((150, 320, 3), int)
    codes[:] = (250, 10, 10)
    x, y = centre
    for grown, colour in ((1.85, (90, 70, 50)), (1.2, (5, 5, 5)), (1.0, (120, 120, 120))):
        across, down = round(40 * grown), round(20 * grown)
        codes[y - down : y + down, x - across : x + across] = colour
    box = (times * (x - 40), times * (y - 20), times * (x + 40), times * (y + 20))

    def beside() -> Floats:
        return read(in_codes(codes.repeat(times, axis=0).repeat(times, axis=1)), box).beside

    assert beside().tolist() == [90, 70, 50]
    ring = codes[..., 0] == 90
    codes[ring] = (254, 70, 50)
    assert beside().tolist() == [254, 70, 50]
    codes[ring] = (255, 70, 50)
    assert np.isnan(beside()).all()
    assert beside().shape == (3,)


def test_beside_a_card_that_fills_the_picture_is_nothing() -> None:
    found = read(in_codes(grey_codes(size=(80, 80))), (0, 0, 80, 80)).beside
    assert np.isnan(found).all()
    assert found.shape == (3,)


def test_beside_a_large_card_a_part_of_the_pixels_is_enough() -> None:
    codes = np.where(np.indices((900, 1000)).sum(axis=0)[..., None] % 2, (90, 70, 50), (92, 72, 52))
    codes[250:650, 300:700] = 120
    found = read(in_codes(codes), (300, 250, 700, 650))
    np.testing.assert_allclose(found.beside, [91, 71, 51], atol=1)
    # And of the card itself, all over it: some two thousand are read, and quarters alike.
    quarters = found.quadrants[:, 0].sum(axis=1)
    assert 1600 <= quarters.sum() <= 5000
    np.testing.assert_allclose(quarters, quarters.mean(), rtol=0.1)
    np.testing.assert_allclose(found.centre, [500, 450], atol=2)
    assert found.extent == pytest.approx(400, rel=0.15)


@pytest.mark.parametrize("edge", [(-20, -20, 40, 40), (120, 100, 190, 170)])
def test_a_card_that_the_picture_s_edge_cuts_is_read_as_far_as_it_goes(edge: Box) -> None:
    patch = read(in_codes(grey_codes()), edge)
    left, top, right, bottom = np.clip(edge, 0, [160, 140, 160, 140])
    np.testing.assert_allclose(patch.centre, [(left + right) / 2, (top + bottom) / 2], atol=3)
    # A rim of 0.06 of its width is left out all round (assumption), there as well; to a pixel on either side.
    assert patch.extent == pytest.approx(0.88 * np.sqrt((right - left) * (bottom - top)), abs=2)


def test_each_quarter_holds_its_own_pixels() -> None:
    codes = grey_codes(100)
    codes[:65, 70:] += (0, 1, 0)
    codes[65:, :70] += (0, 0, 2)
    codes[65:, 70:] += (1, 1, 1)
    patch = read(in_codes(codes))
    table = np.arange(LEVELS, dtype=float)
    expected = [[100, 100, 100], [100, 101, 100], [100, 100, 102], [101, 101, 101]]
    np.testing.assert_allclose(patch.linear_quadrants(table), expected, atol=0.12)  # the lines between them
    assert patch.histograms.sum(axis=1).tolist() == [patch.quadrants[:, channel].sum() for channel in range(3)]
    np.testing.assert_allclose(patch.linear(table), np.mean(expected, axis=0), atol=0.1)


def test_quarters_without_pixels_tell_nothing() -> None:
    whole = made([[10] * 3, [20] * 3, [30] * 3, [40] * 3])
    table = np.arange(LEVELS, dtype=float)
    counts = whole.quadrants.copy()
    counts[1] = 0
    counts[2, :, 30] = 1
    found = replace(whole, quadrants=counts)
    assert found.linear_quadrants(table).tolist() == [[10] * 3, [30] * 3, [40] * 3]
    # Under several tables at once, one mean each.
    np.testing.assert_allclose(whole.linear(np.stack([table, 2 * table])), [[25] * 3, [50] * 3])


@pytest.mark.parametrize(("share", "usable"), [(0.0, True), (0.015, True), (0.04, False), (0.2, False)])
@pytest.mark.parametrize(("code", "white"), [(254, True), (253, False)])
def test_clipped_is_the_share_of_pixels_with_a_channel_at_white(
    share: float, usable: bool, code: int, white: bool
) -> None:
    rng = np.random.default_rng(6)
    codes = grey_codes(200)
    codes[..., 1] = np.where(rng.random((140, 160)) < share, code, 200)
    patch = read(in_codes(codes))
    assert patch.clipped == pytest.approx(share if white else 0.0, abs=0.012)
    assert patch.usable is (usable or not white)


@pytest.mark.parametrize(("value", "piled"), [(240, True), (230, False)])
def test_a_bright_channel_without_the_noise_of_the_others_is_clipped(value: int, piled: bool) -> None:
    """Below the largest value: a grain as the other channels have would show in it too."""
    rng = np.random.default_rng(7)
    codes = grey_codes(200) + np.round(rng.normal(0, 3, (140, 160, 3))).astype(int)
    codes[..., 0] = value
    assert read(in_codes(codes)).clipped == (1.0 if piled else 0.0)
    codes[::10, :, 0] -= 1  # where a program's rounding leaves a step of it
    assert read(in_codes(codes)).clipped == pytest.approx(0.9 if piled else 0.0, abs=0.02)
    codes[..., 0] += np.round(rng.normal(0, 2, (140, 160))).astype(int)
    assert read(in_codes(codes)).clipped < 0.02
    calm = grey_codes(200)
    calm[..., 0] = value
    assert read(in_codes(calm)).clipped == 0


@pytest.mark.parametrize(("share", "blackened"), [(0.15, False), (0.4, True)])
def test_only_a_black_card_may_be_black_and_tells_nothing_then(share: float, blackened: bool) -> None:
    rng = np.random.default_rng(8)
    codes = np.where(rng.random((140, 160, 1)) < share, 1, 2) * np.ones(3, int)
    card = reference().model_copy(update={"kind": "black card", "reflectance": 0.04})
    patch = read_patch(in_codes(codes), card, "card")
    assert patch.black == pytest.approx(share, abs=0.03)
    assert patch.blackened is blackened
    assert patch.usable is not blackened
    if blackened:
        with pytest.raises(CardError, match="black in the photo"):
            read(in_codes(codes))
    else:
        assert read(in_codes(codes)).black == 0


@pytest.mark.parametrize(("share", "sunk"), [(0.05, False), (0.2, True)])
def test_a_channel_at_black_for_many_pixels_is_sunk(share: float, sunk: bool) -> None:
    """As of a colour that the picture's space does not hold."""
    whole = made((120, 120, 0))
    counts = whole.quadrants.copy()
    for dark in (0, 1):
        counts[:, 2] = 0
        counts[:, 2, dark], counts[:, 2, 2] = round(share * PIXELS), round((1 - share) * PIXELS)
        assert replace(whole, quadrants=counts).sunk is sunk


@pytest.mark.parametrize("tint", [0, 60])
def test_what_differs_from_the_rest_is_left_out_up_to_a_quarter_of_the_card(tint: int) -> None:
    """Three robust sigmas, 1.4826 times the median deviation (Rousseeuw & Croux 1993), in every channel about its own
    median: the light may have any colour.
    """
    rng = np.random.default_rng(9)
    noisy = 120 + np.round(rng.normal(0, 4, (140, 160, 3))).astype(int) + (tint, 0, -tint)
    kept = read(in_codes(noisy)).quadrants.sum() / 3
    total = read(in_codes(grey_codes(120))).quadrants.sum() / 3
    assert kept / total == pytest.approx(0.9973**3, abs=0.012)  # of a normal distribution in three channels
    for channel in range(3):
        spotted = noisy.copy()
        spotted[60:70, 40:100, channel] += 30
        found = read(in_codes(spotted)).linear(np.arange(LEVELS))
        np.testing.assert_allclose(found, [120 + tint, 120, 120 - tint], atol=0.5)
    spotted[60:80, 40:100, 1] += 60
    with pytest.raises(CardError, match="the patch is not even"):
        read(in_codes(spotted))


def test_what_a_tinted_patch_reflects_is_its_responses_over_white_s() -> None:
    """White's linear RGB is 1, 1, 1: a sensor that answers M to light answers M t where white answers M 1."""
    tint, responses = np.array([0.5, 0.4, 0.3]), np.array([[0.6, 0.4, 0.1], [0.2, 1.0, -0.1], [0.0, 0.3, 1.4]])
    found = made((120, 120, 120), tint=tint).reflected(responses)
    np.testing.assert_allclose(found, (responses @ tint) / (responses @ np.ones(3)))
    assert made((120, 120, 120), reflectance=0.3).reflected(responses).tolist() == [0.3, 0.3, 0.3]


def test_a_reflectance_told_beside_the_reference_goes_before_its_own() -> None:
    assert read_patch(in_codes(grey_codes()), reference(), "card", reflectance=0.33).reflectance == 0.33
    assert read(in_codes(grey_codes())).reflectance == 0.18


def test_how_much_of_an_uneven_card_differs_is_told() -> None:
    """Of 44 rows that the card's rim leaves, 20 are lighter."""
    codes = grey_codes()
    codes[60:80] += 40
    with pytest.raises(
        CardError, match=r"not even \(4[4-6] % of it differs from the rest, which itself varies by 0 %\)"
    ):
        read(in_codes(codes))


def test_a_card_burnt_out_in_part_is_clipped_and_not_called_uneven() -> None:
    codes = grey_codes(200)
    codes[60:80] = 255
    assert not read(in_codes(codes)).usable


@pytest.mark.parametrize(("step", "counts"), [(3, True), (4, False)])
def test_where_there_is_no_noise_rounding_sets_what_belongs_to_the_card(step: int, counts: bool) -> None:
    """One file value is a sigma then, and three are the card's own."""
    codes = grey_codes(120)
    codes[60:65, 40:100] += step
    found = read(in_codes(codes)).linear(np.arange(LEVELS))[0]
    assert bool(found > 120) is counts


@pytest.mark.parametrize("times", [1, 5])
def test_beside_a_card_seen_askew_is_what_lies_round_it(times: int) -> None:
    """The ring follows the outline's own shape, a triangle's here, and holds nothing else: most of it, left, is 90."""
    codes = np.full((200, 300, 3), 200, np.uint8)
    points = np.array([[80.0, 60.0], [220.0, 60.0], [150.0, 110.0]])
    middle = points.mean(axis=0)
    for grown, code in ((1.9, 90), (1.25, 200), (1.0, 120)):
        cv2.fillPoly(codes, [np.round(middle + grown * (points - middle)).astype(np.int32)], (code, code, code))
    codes[(codes == 90) & (np.arange(300) > 190)[:, None]] = 100
    card = reference().model_copy(update={"outline": tuple((float(x), float(y)) for x, y in times * points)})
    large = codes.repeat(times, axis=0).repeat(times, axis=1)
    assert read_patch(in_codes(large), card, "card").beside.tolist() == [90, 90, 90]
