"""Whole rooms from files: orientation, errors with names, several photos, the sample kitchen against its truth."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import ExifTags, Image

from matcher import service
from matcher.colorimetry.difference import delta_e_2000
from matcher.errors import CardError, SurfaceError
from matcher.photo.colour_space import srgb
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.output import to_json
from matcher.room.reading import read_room
from matcher.surfaces.measure import RoomMeasurement, measure_room
from matcher.surfaces.surface import Surface
from tests.benchmarks.truth import TrueColour, TrueSurface, room_text, truths_in
from tests.calibration.scenes import GREY, WARM_LIGHT, Scene, plain

KITCHEN = Path(__file__).parents[2] / "sample_photos" / "kitchen"
TILE, WALL = (64.0, -9.0, 2.0), (82.0, 1.5, 11.0)
HEAD = '[room]\nname = "Drawn room"\n'

WriteRoom = Callable[..., Path]


def two_surfaces() -> Scene:
    """Tile left, wall right, a grey card on each."""
    scene = Scene(300, 400)
    scene.light *= WARM_LIGHT
    scene.paint((0, 0, 200, 300), TILE)
    scene.paint((200, 0, 400, 300), WALL)
    scene.lay(GREY, (80, 120, 130, 170), on="tile")
    scene.lay(GREY, (280, 120, 330, 170), on="wall")
    return scene


def entry(scene: Scene, file: str, surfaces: dict[str, tuple[str, list[list[int]]]]) -> str:
    """One [[photos]] table."""
    lines = ["[[photos]]", f'file = "{file}"']
    for card in scene.cards:
        lines += ["[[photos.references]]", f'kind = "{card.kind}"', f"reflectance = {card.reflectance}"]
        lines += [f"outline = {[list(p) for p in card.outline]}", f'on = "{card.on}"' if card.on in surfaces else ""]
    for name, (material, outline) in surfaces.items():
        lines += ["[[photos.surfaces]]", f'name = "{name}"', f'material = "{material}"', f"outline = {outline}"]
    return "\n".join(lines) + "\n"


BOTH: dict[str, tuple[str, list[list[int]]]] = {
    "tile": ("tile", [[2, 2], [196, 2], [196, 298], [2, 298]]),
    "wall": ("paint", [[204, 2], [398, 2], [398, 298], [204, 298]]),
}


def pixels(scene: Scene, seed: int = 0) -> NDArray[np.uint8]:
    return scene.develop(curve=plain, space=srgb(), noise=0.006, seed=seed)


def measured(folder: Path, text: str) -> RoomMeasurement:
    path = folder / "room.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return measure_room(read_room(path))


def test_a_photo_stored_on_its_side_measures_as_the_upright_one(tmp_path: Path) -> None:
    """Exif 2.32 orientation 6: the camera was turned; outlines count in the upright picture."""
    scene = two_surfaces()
    scene.light /= WARM_LIGHT
    image = Image.fromarray(pixels(scene))
    image.save(tmp_path / "upright.png")
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    image.rotate(90, expand=True).save(tmp_path / "turned.png", exif=exif)
    found = [measured(tmp_path, entry(scene, f"{name}.png", BOTH)).surfaces for name in ("upright", "turned")]
    for first, second, truth in zip(*found, (TILE, WALL), strict=True):
        np.testing.assert_array_equal(first.colours[0].lab, second.colours[0].lab)
        assert float(delta_e_2000(first.colours[0].lab, np.array(truth))) < 2.5


def test_surfaces_without_usable_pixels_are_all_named(tmp_path: Path) -> None:
    scene = two_surfaces()
    picture = pixels(scene)
    picture[:100, :100], picture[200:, 300:] = 255, 0
    Image.fromarray(picture).save(tmp_path / "room.png")
    lost = {
        "skylight": ("other", [[5, 5], [90, 5], [90, 90], [5, 90]]),
        "oven": ("metal", [[310, 210], [390, 210], [390, 290], [310, 290]]),
    }
    with pytest.raises(SurfaceError) as caught:
        measured(tmp_path, entry(scene, "room.png", lost))
    text = str(caught.value)
    assert len(caught.value.problems) == 2
    assert "room.png: skylight" in text
    assert "room.png: oven" in text


def test_bad_cards_of_several_photos_are_named_together(tmp_path: Path) -> None:
    scene = two_surfaces()
    picture = pixels(scene)
    picture[120:170, 80:130] = (40, 140, 60)
    for name in ("first.png", "second.png"):
        Image.fromarray(picture).save(tmp_path / name)
    with pytest.raises(CardError) as caught:
        measured(tmp_path, entry(scene, "first.png", BOTH) + entry(scene, "second.png", BOTH))
    assert [p.where.split(":")[0] for p in caught.value.problems] == ["first.png", "second.png"]


def test_a_surface_without_its_own_card_is_doubted_more(tmp_path: Path) -> None:
    scene = two_surfaces()
    Image.fromarray(pixels(scene)).save(tmp_path / "room.png")
    with_card = measured(tmp_path, entry(scene, "room.png", BOTH)).surfaces[1]
    del scene.cards[1]
    without = measured(tmp_path, entry(scene, "room.png", BOTH)).surfaces[1]
    assert with_card.has_own_card
    assert not without.has_own_card
    assert _lrv_sd(without) > 1.5 * _lrv_sd(with_card)


def test_two_photos_are_surer_than_one(tmp_path: Path) -> None:
    scene = two_surfaces()
    for seed in (1, 2):
        Image.fromarray(pixels(scene, seed)).save(tmp_path / f"{seed}.png")
    one = measured(tmp_path, entry(scene, "1.png", BOTH)).surfaces
    two = measured(tmp_path, entry(scene, "1.png", BOTH) + entry(scene, "2.png", BOTH)).surfaces
    assert [s.name for s in two] == ["tile", "wall"]
    for single, both in zip(one, two, strict=True):
        assert np.trace(both.colours[0].covariance) < np.trace(single.colours[0].covariance)


def test_the_same_room_gives_the_same_bytes() -> None:
    room = KITCHEN / "kitchen_daylight.toml"
    assert to_json(service.surfaces(room)) == to_json(service.surfaces(room))


def _lrv_sd(surface: Surface) -> float:
    return lrv_sd(surface.colours[0].lab, surface.colours[0].covariance)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, TrueSurface, Surface]]:
    """Every surface of the rendered kitchen that has its own card, each photo a room of its own."""
    folder = tmp_path_factory.mktemp("kitchen")
    rows = []
    for truth in truths_in(KITCHEN):
        if not truth.cards:
            continue
        path = folder / f"{truth.path.stem}.toml"
        path.write_text(room_text(truth), encoding="utf-8")
        found = {surface.name: surface for surface in measure_room(read_room(path)).surfaces}
        rows += [
            (truth.path.stem, surface, found[surface.name])
            for surface in truth.surfaces
            if truth.layout(surface.name) != "elsewhere"
        ]
    return rows


def test_the_kitchen_s_lrv_lies_in_the_stated_interval_four_times_in_five(
    kitchen: list[tuple[str, TrueSurface, Surface]],
) -> None:
    """Truth: the reflectances the pictures were rendered with. Interval: 90 %, of the main colour."""
    outside = []
    for photo, truth, found in kitchen:
        main = found.colours[0]
        error = 100 * _y(main.lab[0]) - _main(truth, found).lrv
        if abs(error) > NINETY_PERCENT * _lrv_sd(found):
            outside.append(f"{photo} {truth.name} {error:+.1f} against {NINETY_PERCENT * _lrv_sd(found):.1f}")
    assert len(kitchen) >= 8
    assert len(outside) <= 0.2 * len(kitchen), outside


def test_the_kitchen_s_main_colours(kitchen: list[tuple[str, TrueSurface, Surface]]) -> None:
    """Within dE00 3.5 at the median: the project's own limit for a card on the surface under lamps."""
    de00 = [float(delta_e_2000(found.colours[0].lab, np.array(_main(truth, found).lab))) for _, truth, found in kitchen]
    assert np.median(de00) <= 3.5


# Assumption: colours whose true shares are closer than the project's own limit for shares may change places.
_SAME_SHARE = 0.10


def _main(truth: TrueSurface, found: Surface) -> TrueColour:
    """Return the true main colour; of several with nearly the same share the one that was found."""
    largest = [c for c in truth.colours if c.share >= truth.colours[0].share - _SAME_SHARE]
    return min(largest, key=lambda c: float(delta_e_2000(np.array(c.lab), found.colours[0].lab)))


def _y(lightness: float) -> float:
    """CIE 015:2018: Y of L* above 8."""
    return ((lightness + 16) / 116) ** 3
