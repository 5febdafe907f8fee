"""Cards drawn at known places into made rooms: where they are proposed, as what, and that tiles are not."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.photo.card_proposal import CardProposal, propose_cards
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo

Floats = NDArray[np.float64]
Quad = tuple[tuple[float, float], ...]

GREY, WHITE, BLACK = 0.18, 0.86, 0.04  # reflectances of the usual cards
# Linear gains of strong casts, as of a warm lamp under a daylight white balance, a shade, a fluorescent tube.
CASTS = {"none": (1, 1, 1), "warm": (1.25, 0.9, 0.38), "cool": (0.8, 0.95, 1.2), "greenish": (0.9, 1.1, 0.75)}


@cache
def _bare_kitchen() -> tuple[Floats, Floats]:
    """A plain wall, a wall of 120 pale green tiles, a speckled worktop, boards; and the camera's noise."""
    rng = np.random.default_rng(2)
    linear = np.full((900, 1200, 3), (0.6, 0.57, 0.5))
    for row in range(6):
        for column in range(20):
            y, x = 200 + row * 40, column * 60
            linear[y + 2 : y + 39, x + 2 : x + 59] = np.array((0.42, 0.5, 0.45)) * rng.uniform(0.93, 1.07)
    speckle = cv2.GaussianBlur(rng.normal(0, 1, (160, 1200)), (0, 0), 1.5)
    linear[440:600] = np.array((0.25, 0.22, 0.2)) * np.exp(speckle * 1.6)[..., None]
    grain = cv2.GaussianBlur(rng.normal(0, 1, (300, 1200)), (0, 0), sigmaX=40, sigmaY=1.5)
    linear[600:] = np.array((0.45, 0.28, 0.15)) * np.exp(grain * 3)[..., None]
    # In single precision, as all that is drawn: thousands of times finer than eight bits.
    return linear.astype(np.float32), rng.normal(0, 1.2, linear.shape).astype(np.float32)


def _kitchen(cards: dict[Quad, float], cast: str, *, side: int = 1200) -> Photo:
    """The kitchen with ``cards`` painted over what is there."""
    bare, noise = _bare_kitchen()
    linear = bare.copy()
    for quad, reflectance in cards.items():
        mask = np.zeros((900, 1200), np.uint8)
        cv2.fillConvexPoly(mask, np.array(quad).round().astype(np.int32), 1)
        linear[mask > 0] = reflectance
    linear *= (np.linspace(0.6, 1.0, 1200)[None, :, None] * np.array(CASTS[cast]) * 0.75).astype(np.float32)
    encoded = np.clip(
        np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-6) ** (1 / 2.4) - 0.055), 0, 1
    )
    pixels = np.clip(encoded * 255 + noise, 0, 255)
    pixels = cv2.GaussianBlur(pixels, (0, 0), 0.7).round().astype(np.uint8)
    return Photo(Path("made.png"), pixels, (side, side * 3 // 4), 1200 / side, srgb(), ())


def _slab(x: float, y: float, width: float = 62, height: float = 36, lean: float = 9) -> Quad:
    """A card lying in perspective, its top left corner at (x, y)."""
    return ((x, y), (x + width, y + 3), (x + width - lean, y + height), (x - lean, y + height - 3))


def _iou(proposal: CardProposal, quad: Quad, factor: float = 1.0) -> float:
    a = np.array(proposal.outline, np.float32)
    b = (np.array(quad) * factor).astype(np.float32)
    common, _ = cv2.intersectConvexConvex(a, b)
    return float(common / (cv2.contourArea(a) + cv2.contourArea(b) - common))


@pytest.mark.parametrize("cast", CASTS)
@pytest.mark.parametrize("place", [(700, 500), (500, 700), (300, 90)])
def test_single_grey_card_is_among_the_first_three(cast: str, place: tuple[int, int]) -> None:
    quad = _slab(*place)
    proposals = propose_cards(_kitchen({quad: GREY}, cast))
    assert max(_iou(proposal, quad) for proposal in proposals[:3]) > 0.5


@pytest.mark.parametrize("cast", CASTS)
def test_white_grey_and_black_side_by_side_are_one_group_and_named(cast: str) -> None:
    quads = {_slab(500, 690): "white card", _slab(566, 693): "grey card", _slab(632, 696): "black card"}
    levels = {"white card": WHITE, "grey card": GREY, "black card": BLACK}
    proposals = propose_cards(_kitchen({quad: levels[kind] for quad, kind in quads.items()}, cast))[:3]
    assert len({proposal.group for proposal in proposals}) == 1
    assert proposals[0].group is not None
    for quad, kind in quads.items():
        best = max(proposals, key=lambda proposal: _iou(proposal, quad))
        assert _iou(best, quad) > 0.5
        assert best.kind == kind


@pytest.mark.parametrize("cast", CASTS)
def test_a_tiled_wall_without_a_card_is_proposed_without_confidence(cast: str) -> None:
    assert all(proposal.confidence < 0.2 for proposal in propose_cards(_kitchen({}, cast)))


def test_confidence_falls_along_the_list_and_is_a_fraction() -> None:
    confidences = [proposal.confidence for proposal in propose_cards(_kitchen({_slab(500, 700): GREY}, "none"))]
    assert confidences == sorted(confidences, reverse=True)
    assert all(0 <= confidence <= 1 for confidence in confidences)


def test_outline_is_in_the_frame_of_the_full_size_photo() -> None:
    quad = _slab(500, 700)
    small, large = _kitchen({quad: GREY}, "none"), _kitchen({quad: GREY}, "none", side=4800)
    assert max(_iou(proposal, quad) for proposal in propose_cards(small)[:3]) > 0.5
    assert max(_iou(proposal, quad, 4) for proposal in propose_cards(large)[:3]) > 0.5


def test_an_empty_picture_gives_no_proposal() -> None:
    pixels = np.full((300, 400, 3), 128, np.uint8)
    assert propose_cards(Photo(Path("made.png"), pixels, (400, 300), 1.0, srgb(), ())) == ()


def test_a_few_tiles_are_told_from_a_card_by_the_same_colour_beyond_their_grout() -> None:
    encoded = np.full((300, 400, 3), 90.0)
    for x in (100, 164):
        for y in (80, 144):
            encoded[y : y + 60, x : x + 60] = 170
    encoded[90:130, 290:350] = 120
    pixels = (encoded + np.random.default_rng(4).normal(0, 1, encoded.shape)).round().astype(np.uint8)
    proposals = propose_cards(Photo(Path("made.png"), pixels, (400, 300), 1.0, srgb(), ()))
    card = ((290, 90), (350, 90), (350, 130), (290, 130))
    assert _iou(proposals[0], card) > 0.5
    assert len(proposals) == 5
    assert all(proposal.confidence < proposals[0].confidence / 3 for proposal in proposals[1:])


def _set_of(x: float, y: float, width: float, height: float) -> dict[Quad, float]:
    levels = (WHITE, GREY, BLACK)
    return {_slab(x + (width + 3) * i, y + 3 * i, width, height): level for i, level in enumerate(levels)}


@pytest.mark.parametrize("cast", CASTS)
def test_a_white_card_that_its_wall_hides_is_found_beside_the_other_two(cast: str) -> None:
    """White on a wall hardly darker than it: so small a step is no border, but the set shows its place."""
    cards = {**_set_of(300, 90, 62, 46)}
    wall = ((0, 0), (1199, 0), (1199, 190), (0, 190))
    found = [p for p in propose_cards(_kitchen({wall: 0.74, **cards}, cast))[:3] if p.group is not None]
    assert {p.kind for p in found} == {"white card", "grey card", "black card"}
    for quad, level in cards.items():
        best = max(found, key=lambda proposal: _iou(proposal, quad))
        assert _iou(best, quad) > 0.5
        assert best.kind == {WHITE: "white card", GREY: "grey card", BLACK: "black card"}[level]


@pytest.mark.parametrize("side", [800, 1200, 2400])
def test_three_cards_far_off_are_seen_at_a_slant(side: int) -> None:
    """Each four times as long as high, as on a hearth from across the room."""
    cards = _set_of(500, 690, 76, 19)
    proposals = propose_cards(_kitchen(cards, "none", side=side))[:3]
    assert len({proposal.group for proposal in proposals}) == 1
    for quad in cards:
        assert max(_iou(proposal, quad, side / 1200) for proposal in proposals) > 0.4


def test_what_is_long_and_thin_is_no_card_by_itself() -> None:
    quad = _slab(500, 690, 76, 19)
    assert all(_iou(proposal, quad) < 0.4 for proposal in propose_cards(_kitchen({quad: GREY}, "none")))


def test_two_cards_on_a_plain_wall_are_not_made_three() -> None:
    """Beyond them the wall is even and as light as a white card would be, but it does not end where a card would."""
    grey, black = _slab(566, 60), _slab(632, 63)
    found = propose_cards(_kitchen({grey: GREY, black: BLACK}, "none"))
    assert all(proposal.kind != "white card" or proposal.group is None for proposal in found)
