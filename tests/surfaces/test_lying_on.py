"""A card is believed to lie on a surface only where it does; what no surface can be is no reading."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher import service
from matcher.colorimetry.difference import delta_e_2000
from matcher.errors import SurfaceError
from matcher.photo.colour_space import srgb
from matcher.room.contents import PhotoEntry
from matcher.room.reading import read_room
from matcher.surfaces.lying_on import with_believed_cards
from matcher.surfaces.measure import measure_room
from matcher.surfaces.possible import possible_colours
from matcher.surfaces.shading import fit_shading
from matcher.surfaces.surface import SurfaceColour
from tests.calibration.scenes import GREY, Scene, corners, plain

CARD = (300, 100, 320, 120)  # 20 pixels a side
LEFT, TOP, RIGHT, BOTTOM = CARD


def _entry(*outlines: tuple[int, int, int, int], cards: tuple[tuple[int, int, int, int], ...] = (CARD,)) -> PhotoEntry:
    kinds = ("grey card", "white card", "black card")
    return PhotoEntry.model_validate(
        {
            "file": "a.jpg",
            "references": [
                {"kind": kind, "reflectance": 0.5, "outline": corners(card), "on": "tile"}
                for kind, card in zip(kinds, cards, strict=False)
            ],
            "surfaces": [{"name": "tile", "material": "tile", "outlines": [corners(each) for each in outlines]}],
        }
    )


@pytest.mark.parametrize(
    ("outlines", "lies_there"),
    [
        pytest.param([(200, 50, 400, 200)], True, id="inside"),
        pytest.param([(200, 110, 400, 200)], True, id="half inside"),
        pytest.param([(310, 90, 315, 130)], True, id="crossing without a corner inside"),
        pytest.param([(LEFT + 2, TOP + 2, RIGHT - 2, BOTTOM - 2)], True, id="a surface no larger than the card"),
        pytest.param([(RIGHT, 50, 400, 200)], True, id="touching"),
        pytest.param([(RIGHT + 15, 50, 400, 200)], True, id="beside, rim and shadow left free"),
        pytest.param([(RIGHT + 20, 50, 400, 200)], False, id="with room for another card between"),
        pytest.param([(RIGHT + 300, 50, 700, 200)], False, id="far away"),
        pytest.param([(100, 50, LEFT - 40, 200), (RIGHT + 40, 50, 500, 200)], True, id="left out between two outlines"),
        pytest.param([(100, 50, 200, 200), (RIGHT + 100, 50, 500, 200)], False, id="far off between two outlines"),
    ],
)
def test_a_card_is_believed_inside_or_against_the_outlines(
    outlines: list[tuple[int, int, int, int]], lies_there: bool
) -> None:
    believed, findings = with_believed_cards(_entry(*outlines))
    assert [reference.on for reference in believed.references] == ["tile" if lies_there else None]
    assert [finding.check for finding in findings] == ([] if lies_there else ["card elsewhere"])


def test_three_cards_side_by_side_count_as_one() -> None:
    three = [(LEFT + 21 * i, TOP, RIGHT + 21 * i, BOTTOM) for i in range(3)]
    entry = _entry((200, 50, LEFT - 2, 200), cards=tuple(three))
    assert with_believed_cards(entry) == (entry, ())
    apart = _entry((200, 50, LEFT - 2, 200), cards=(three[0], (700, 100, 720, 120)))
    believed, (finding,) = with_believed_cards(apart)
    assert [reference.on for reference in believed.references] == ["tile", None]
    assert dict(finding.values) == {"cards": "white card", "surfaces": "tile"}


def test_a_card_on_what_is_not_outlined_in_the_photo_lies_elsewhere() -> None:
    entry = _entry((200, 50, 400, 200))
    moved = entry.references[0].model_copy(update={"on": "floor"})
    believed, (finding,) = with_believed_cards(entry.model_copy(update={"references": (moved,)}))
    assert believed.references[0].on is None
    assert (finding.check, finding.level) == ("card on nothing", "note")


# Real photos of charts were marked so: every patch an outline of a dozen pixels, one card far from all of them, said to
# lie on each. The shading of a dozen pixels carried over to the card made LRV of hundreds and of thousands of millions.
SMALL = {"tan": (66.0, 18.0, 17.0), "green": (55.0, -40.0, 33.0), "pale": (82.0, 1.5, 11.0)}
FAR = (360, 260, 380, 280)


def _far_card(folder: Path, seed: int) -> Path:
    """Three small patches with a blemish each, and one card far from them, said to lie on each."""
    scene = Scene(300, 400)
    rng = np.random.default_rng(seed)
    places = {name: (20, 20 + 40 * row, 32, 32 + 40 * row) for row, name in enumerate(SMALL)}
    for name, (left, top, right, bottom) in places.items():
        scene.paint((left - 6, top - 6, right + 6, bottom + 6), SMALL[name])
        slope = rng.normal(0, 0.03, 2)
        rows, columns = np.mgrid[0:300, 0:400]
        own = np.zeros((300, 400), bool)
        own[top - 6 : bottom + 6, left - 6 : right + 6] = True
        gradient = np.exp(slope[0] * (columns - left - 6) + slope[1] * (rows - top - 6))
        scene.light *= np.where(own, gradient, 1.0)[..., None]
    for name in SMALL:
        scene.lay(GREY, FAR, on=name)
    Image.fromarray(scene.develop(curve=plain, space=srgb(), noise=0.01, seed=seed)).save(folder / "chart.png")
    lines = ['[room]\nname = "Chart"\n[[photos]]\nfile = "chart.png"']
    for card in scene.cards:
        lines += ["[[photos.references]]", f'kind = "{card.kind}"\nreflectance = {card.reflectance}']
        lines += [f'on = "{card.on}"\noutline = {[list(p) for p in card.outline]}']
    for name, place in places.items():
        outline = [list(point) for point in corners(place)]
        lines += ["[[photos.surfaces]]", f'name = "{name}"\nmaterial = "other"\noutline = {outline}']
    path = folder / "room.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


@pytest.mark.parametrize("seed", range(4))
def test_a_card_far_from_its_surface_gives_no_nonsense(tmp_path: Path, seed: int) -> None:
    surfaces = measure_room(read_room(_far_card(tmp_path, seed))).surfaces
    assert [surface.name for surface in surfaces] == list(SMALL)
    for surface in surfaces:
        assert not surface.has_own_card
        assert float(delta_e_2000(surface.lab, np.array(SMALL[surface.name]))) < 8


def test_a_card_far_from_its_surface_is_said_once_with_what_to_do(tmp_path: Path) -> None:
    result = service.surfaces(_far_card(tmp_path, 0))
    (said,) = [warning for warning in result["warnings"] if "said to lie on" in warning.lower()]
    assert "tan, green, pale" in said
    assert "grey card" in said
    assert "correct the outlines" in said


def test_shading_is_not_carried_further_than_it_was_seen() -> None:
    """Light that bends across a dozen pixels would be e to the hundredth power of itself a picture away."""
    rows, columns = (each.ravel().astype(float) for each in np.mgrid[0:12, 0:12])
    positions = np.stack([columns, rows], axis=1)
    light = 0.02 * (columns - 5.5) ** 2
    shading = fit_shading(np.repeat(light[:, None], 3, axis=1), positions, np.random.default_rng(0))
    inside, far = np.array([3.0, 4.0]), np.array([500.0, 300.0])
    np.testing.assert_array_equal(shading.nearest_seen(inside), inside)
    np.testing.assert_allclose(shading.nearest_seen(far), [11.0, 11.0])
    seen = shading.at(positions)
    assert shading.at(shading.nearest_seen(far)[None])[0] == pytest.approx(seen[-1])


def _colour(lightness: float, *, sd: float = 1.0, share: float = 1.0) -> SurfaceColour:
    return SurfaceColour(np.array([lightness, 0.0, 0.0]), np.eye(3) * sd**2, share, "field")


def test_what_no_surface_can_be_is_refused_at_the_door() -> None:
    for lab in (_colour(np.nan), _colour(np.inf), _colour(241.0), _colour(241.0, sd=60.0), _colour(5e4, sd=1e5)):
        with pytest.raises(SurfaceError, match=r"a\.jpg: tile"):
            possible_colours([lab], "a.jpg: tile")


def test_a_white_that_its_doubt_allows_passes_and_a_glint_is_left_out() -> None:
    white = _colour(101.0, sd=1.5)
    assert possible_colours([white], "a.jpg: tile") == (white,)
    main, glint, second = _colour(80.0, share=0.6), _colour(180.0, share=0.1), _colour(60.0, share=0.3)
    kept = possible_colours([main, glint, second], "a.jpg: tile")
    assert [float(colour.lab[0]) for colour in kept] == [80.0, 60.0]
    assert [colour.share for colour in kept] == pytest.approx([2 / 3, 1 / 3])
