"""One surface, or one card, that cannot be used keeps nothing else from being read, and is named with what to do."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from typer.testing import CliRunner

from matcher import service
from matcher.cli.app import app
from matcher.colorimetry.difference import delta_e_2000
from matcher.errors import CardError, SurfaceError
from matcher.photo.colour_space import srgb
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.warnings import measurement_warnings
from matcher.room.reading import read_room
from matcher.surfaces.measure import RoomMeasurement, measure_room
from tests.calibration.scenes import BLACK, GREY, WHITE, Card, Scene, corners, plain, smoothstep_s

TILE, WALL = (64.0, -9.0, 2.0), (82.0, 1.5, 11.0)
PLACES = {
    "tile": (2, 2, 196, 298),
    "wall": (204, 2, 398, 298),
    "skylight": (5, 5, 90, 90),
    "oven": (310, 210, 390, 290),
    "whole": (2, 2, 398, 298),
}

FOUR = ("tile", "wall", "skylight", "oven")


def _scene() -> Scene:
    scene = Scene(300, 400)
    scene.paint((0, 0, 200, 300), TILE)
    scene.paint((200, 0, 400, 300), WALL)
    scene.lay(GREY, (80, 120, 130, 170), on="tile")
    return scene


def _pixels(scene: Scene) -> NDArray[np.uint8]:
    picture = scene.develop(curve=plain, space=srgb(), noise=0.006, seed=1)
    picture[:100, :100], picture[200:, 300:] = 255, 0
    return picture


def _entry(folder: Path, file: str, scene: Scene, pixels: NDArray[np.uint8], surfaces: Sequence[str]) -> str:
    Image.fromarray(pixels).save(folder / file)
    lines = ["[[photos]]", f'file = "{file}"']
    for card in scene.cards:
        lines += ["[[photos.references]]", f'kind = "{card.kind}"\nreflectance = {card.reflectance}']
        lines += [f"outline = {[list(p) for p in card.outline]}", f'on = "{card.on}"' if card.on in surfaces else ""]
    for name in surfaces:
        outline = [list(p) for p in corners(PLACES[name])]
        lines += ["[[photos.surfaces]]", f'name = "{name}"\nmaterial = "paint"\noutline = {outline}']
    return "\n".join(lines) + "\n"


def _room(folder: Path, *entries: str) -> Path:
    path = folder / "room.toml"
    path.write_text('[room]\nname = "Drawn room"\n' + "".join(entries), encoding="utf-8")
    return path


def _unread(measurement: RoomMeasurement) -> dict[str, str]:
    return {each.name: f"{each.problem.what} {each.problem.remedy}" for each in measurement.unread}


def test_the_others_are_read_and_each_that_is_not_is_named(tmp_path: Path) -> None:
    scene = _scene()
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, _pixels(scene), FOUR))
    measurement = measure_room(read_room(path))
    assert [surface.name for surface in measurement.surfaces] == ["tile", "wall"]
    unread = _unread(measurement)
    assert set(unread) == {"skylight", "oven"}
    assert "burnt out" in unread["skylight"]
    assert "darker" in unread["skylight"]
    assert "black in the file" in unread["oven"]
    assert "more light" in unread["oven"]


def test_result_command_line_and_page_say_what_was_not_read(tmp_path: Path) -> None:
    scene = _scene()
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, _pixels(scene), FOUR))
    told = CliRunner().invoke(app, ["surface", str(path), "--json", "-q"])
    assert told.exit_code == 0
    unread = json.loads(told.stdout)["unread"]
    assert [(each["name"], each["photo"]) for each in unread] == [("skylight", "room.png"), ("oven", "room.png")]
    assert all(set(each) == {"name", "photo", "reason"} and each["reason"] for each in unread)
    shown = CliRunner().invoke(app, ["surface", str(path), "-q"])
    assert "oven: not read in room.png" in shown.stdout
    answer = service.shortlist(path)
    assert answer.result["unread"] == unread
    assert "Not read in room.png" in answer.page
    assert "Skylight" in answer.page


def test_where_all_is_read_nothing_is_said_of_it(tmp_path: Path) -> None:
    scene = _scene()
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, _pixels(scene), ["tile", "wall"]))
    answer = service.shortlist(path)
    assert "unread" not in answer.result
    assert "Not read" not in answer.page


def test_only_where_nothing_can_be_read_it_is_an_error(tmp_path: Path) -> None:
    scene = _scene()
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, _pixels(scene), ["skylight", "oven"]))
    with pytest.raises(SurfaceError) as caught:
        measure_room(read_room(path))
    assert len(caught.value.problems) == 2
    assert CliRunner().invoke(app, ["surface", str(path), "-q"]).exit_code == 1


def test_a_bad_card_in_one_photo_leaves_the_other_photo(tmp_path: Path) -> None:
    scene = _scene()
    sound, spoilt = _pixels(scene), _pixels(scene)
    spoilt[120:170, 80:130] = (40, 140, 60)
    entries = (
        _entry(tmp_path, "good.png", scene, sound, ["tile"]),
        _entry(tmp_path, "bad.png", scene, spoilt, ["tile", "wall"]),
    )
    path = _room(tmp_path, *entries)
    measurement = measure_room(read_room(path))
    assert [surface.name for surface in measurement.surfaces] == ["tile"]
    assert "no card in this photo can be used" in _unread(measurement)["wall"]
    warnings = service.surfaces(path)["warnings"]
    assert any("bad.png" in warning and "not neutral" in warning for warning in warnings)
    assert not any("no neutral card is outlined" in warning for warning in warnings)
    with pytest.raises(CardError):
        measure_room(read_room(_room(tmp_path, entries[1])))


# Outside sRGB: blue is below 0 there (IEC 61966-2-1), as of a strong yellow paint.
YELLOW = (82.0, 6.0, 98.0)


def test_a_colour_stronger_than_the_file_holds_is_read_with_a_wider_doubt(tmp_path: Path) -> None:
    scene = _scene()
    scene.paint((200, 0, 400, 300), YELLOW)
    scene.lay(GREY, (260, 120, 310, 170), on="wall")
    pixels = scene.develop(curve=plain, space=srgb(), noise=0.003, seed=1)
    assert np.median(pixels[250:, 250:, 2]) == 0
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, pixels, ["tile", "wall"]))
    measurement = measure_room(read_room(path))
    wall = next(surface for surface in measurement.surfaces if surface.name == "wall")
    true_lrv = 100 * ((YELLOW[0] + 16) / 116) ** 3
    lrv = 100 * ((wall.lab[0] + 16) / 116) ** 3
    assert abs(lrv - true_lrv) < NINETY_PERCENT * lrv_sd(wall.lab, wall.covariance)
    assert abs(lrv - true_lrv) < 4
    assert abs(wall.lab[2] - YELLOW[2]) < NINETY_PERCENT * np.sqrt(wall.covariance[2, 2])
    (said,) = [text for text in measurement_warnings(measurement) if "channel" in text]
    assert "wall" in said
    assert "exposure" not in said


@pytest.mark.parametrize("others", [[GREY], [WHITE, GREY]], ids=["grey", "white and grey"])
def test_a_black_card_that_the_camera_made_black_is_left_aside(tmp_path: Path, others: list[Card]) -> None:
    scene = Scene(300, 400)
    scene.paint((0, 0, 400, 300), TILE)
    for place, card in enumerate([*others, BLACK]):
        scene.lay(card, (100 + 50 * place, 120, 148 + 50 * place, 170), on="whole")
    pixels = scene.develop(curve=smoothstep_s(0.3), space=srgb(), noise=0.003, seed=1)
    black = scene.cards[-1]
    left, top = (int(each) for each in black.outline[0])
    pixels[top : top + 50, left : left + 48] = 0
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, pixels, ["whole"]))
    measurement = measure_room(read_room(path))
    assert float(delta_e_2000(measurement.surfaces[0].lab, np.array(TILE))) < 6
    assert [finding.check for finding in measurement.photos[0].findings].count("black patch") == 1


def test_a_black_card_alone_and_black_cannot_serve(tmp_path: Path) -> None:
    scene = Scene(300, 400)
    scene.lay(BLACK, (80, 120, 130, 170), on="tile")
    pixels = _pixels(scene)
    pixels[120:170, 80:130] = 0
    path = _room(tmp_path, _entry(tmp_path, "room.png", scene, pixels, ["tile"]))
    with pytest.raises(CardError, match="black in the photo"):
        measure_room(read_room(path))
