"""``givens repaint`` as a user runs it: the picture, what is said about it, and every mistake in one message."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from matcher import service
from matcher.cli.app import app
from matcher.colorimetry.lrv import lrv
from matcher.errors import CardError, GivensError, RequestError
from matcher.room.archive import pack
from matcher.room.reading import read_document, read_room
from matcher.service.repainting import repaint_together
from matcher.surfaces.measure import measure_room
from tests.repaint.scene import CARD, GROUND, HOLE, PANEL, picture

OLD, NEW = (60.0, -8.0, 10.0), (85.0, 1.0, 6.0)


def outline(points: list[tuple[float, float]]) -> str:
    return json.dumps([list(point) for point in points])


ROOM = f"""
[room]
name = "Panel"

[[photos]]
file = "scene.png"
  [[photos.references]]
  kind = "grey card"
  reflectance = 0.18
  outline = {outline(CARD)}
  [[photos.surfaces]]
  name = "ground"
  material = "other"
  outline = [[10, 150], [50, 150], [50, 230], [10, 230]]
  [[photos.areas]]
  role = "cabinets"
  outlines = [{outline(PANEL)}]
  holes = [{outline(HOLE)}]

[[surfaces]]
name = "cabinets"
material = "paint"
lab = [{OLD[0]}, {OLD[1]}, {OLD[2]}]
"""


@pytest.fixture
def room(tmp_path: Path) -> Path:
    Image.fromarray(picture(OLD, noise=1.0)).save(tmp_path / "scene.png")
    path = tmp_path / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    return path


def opened(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)))


def test_the_same_inputs_give_the_same_bytes(room: Path) -> None:
    first, second = (service.repaint(room, "cabinets", lab=NEW) for _ in range(2))
    assert first.picture == second.picture
    assert first.result == second.result


def test_a_rooms_zip_is_repainted_as_its_room_file_is(room: Path) -> None:
    packed = room.with_name("room.zip")
    packed.write_bytes(pack(read_document(room), {"scene.png": room.with_name("scene.png")}, {}))
    assert service.repaint(packed, "cabinets", lab=NEW).picture == service.repaint(room, "cabinets", lab=NEW).picture


def test_the_picture_is_upright_srgb_and_nothing_private_is_in_it(room: Path) -> None:
    turned = Image.fromarray(np.rot90(picture(OLD)))
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = 6, "home of the client"
    turned.save(room.parent / "scene.jpg", exif=exif, quality=95, subsampling=0)
    room.write_text(ROOM.replace("scene.png", "scene.jpg"), encoding="utf-8")
    done = service.repaint(room, "cabinets", lab=NEW)
    assert done.result["size"] == [320, 240]
    assert opened(done.picture).shape == (240, 320, 3)
    assert b"home of the client" not in done.picture
    assert not Image.open(io.BytesIO(done.picture)).getexif()


def test_a_png_keeps_what_is_not_painted(room: Path) -> None:
    done = opened(service.repaint(room, "cabinets", lab=NEW, kind="PNG").picture)
    before = picture(OLD, noise=1.0)
    assert np.array_equal(done[:30], before[:30])
    assert np.array_equal(done[100:120, 150:165], before[100:120, 150:165])


def test_steps_of_the_app_give_the_same_picture(room: Path) -> None:
    measured = measure_room(read_room(room))
    prepared = service.prepare_repaint(measured, "cabinets")
    assert service.repaint_prepared(prepared, NEW).picture == service.repaint(room, "cabinets", lab=NEW).picture
    small = service.prepare_repaint(measured, "cabinets", longest_side=160)
    assert service.repaint_prepared(small, NEW).result["size"] == [160, 120]


def test_a_spectrum_in_the_deck_is_used_by_lamplight(room: Path) -> None:
    lamplit = replace(service.prepare_repaint(measure_room(read_room(room)), "cabinets"), lamp_share=1.0)
    grey = (61.654, 0.0, 0.0)  # of Y = 0.3, as the curves are by day or nearly
    level = np.full(36, 0.3)
    usual = service.repaint_prepared(lamplit, grey, kind="PNG").picture
    assert service.repaint_prepared(lamplit, grey, level, kind="PNG").picture == usual
    reddening = level + 0.3 * (np.arange(380, 731, 10) > 600)
    together = repaint_together([(lamplit, grey)], [reddening], kind="PNG").picture
    assert together == service.repaint_prepared(lamplit, grey, reddening, kind="PNG").picture
    redder = opened(together).astype(int) - opened(usual)
    assert redder[..., 0].max() > redder[..., 2].max() + 1


def test_a_measured_old_paint_is_told(room: Path) -> None:
    result = service.repaint(room, "cabinets", lab=NEW).result
    assert result["old_paint"]["measured"]
    assert result["old_paint"]["lab"] == pytest.approx(OLD, abs=0.02)
    assert result["paint"]["lab"] == list(NEW)
    unread = room.with_name("unread.toml")
    unread.write_text(ROOM.partition("[[surfaces]]")[0], encoding="utf-8")
    result = service.repaint(unread, "cabinets", lab=NEW).result
    assert not result["old_paint"]["measured"]
    assert any("was not measured" in check["message"] for check in result["checks"])
    low, high = result["old_paint"]["lrv_range"]
    assert low < float(lrv(OLD)) < high


def test_an_unmeasured_old_paint_is_said_where_only_the_picture_is_kept(room: Path, tmp_path: Path) -> None:
    room.write_text(ROOM.partition("[[surfaces]]")[0], encoding="utf-8")
    out = tmp_path / "panel.jpg"
    arguments = ["repaint", str(room), "--role", "cabinets", "--paint", "demo-2", "--out", str(out)]
    told = CliRunner().invoke(app, [*arguments, "--json", "-q"])
    assert told.exit_code == 0
    assert out.exists()
    assert "was not measured" in told.stderr
    darker, brighter = json.loads(told.stdout)["brightness_range"]
    assert darker < 0.8
    assert brighter > 1.2
    assert "an unmeasured LRV between" in CliRunner().invoke(app, [*arguments, "-q"]).stdout


@pytest.mark.parametrize(("material", "is_paint"), [("paint", True), ("timber", True), ("tile", False)])
def test_an_outlined_surface_on_the_area_is_the_old_paint(room: Path, material: str, is_paint: bool) -> None:
    """Tile lies in a wall's area where nobody drew a hole round it; it is not what is painted."""
    corners = "[[74, 60], [130, 60], [130, 170], [74, 170]]"  # the card is believed beside it
    on_the_panel = f'[[photos.surfaces]]\nname = "doors"\nmaterial = "{material}"\noutline = {corners}'
    text = ROOM.partition("[[surfaces]]")[0].replace("  [[photos.areas]]", f"{on_the_panel}\n  [[photos.areas]]")
    text = text.replace("  reflectance = 0.18", '  reflectance = 0.18\n  on = "doors"')
    room.write_text(text, encoding="utf-8")
    old = service.repaint(room, "cabinets", lab=NEW).result["old_paint"]
    assert old["measured"] == is_paint


def test_a_card_on_the_area_stays_a_card(room: Path) -> None:
    on_it = [(100.0, 140.0), (120.0, 140.0), (120.0, 160.0), (100.0, 160.0)]
    shown = picture(OLD)
    shown[141:159, 101:119] = 118
    Image.fromarray(shown).save(room.parent / "scene.png")
    card = f'  [[photos.references]]\n  kind = "grey card"\n  reflectance = 0.18\n  outline = {outline(on_it)}\n'
    room.write_text(ROOM.replace("  [[photos.surfaces]]", f"{card}  [[photos.surfaces]]", 1), encoding="utf-8")
    done = opened(service.repaint(room, "cabinets", lab=NEW, kind="PNG").picture)
    assert np.array_equal(done[144:157, 104:117], shown[144:157, 104:117])
    assert (done[144:157, 84:96] != shown[144:157, 84:96]).any(axis=2).all()


def test_the_command_writes_the_file_and_says_so(room: Path, tmp_path: Path) -> None:
    out = tmp_path / "new" / "panel.jpg"
    arguments = ["repaint", str(room), "--role", "cabinets", "--paint", "demo-2", "--out", str(out)]
    done = CliRunner().invoke(app, arguments)
    assert done.exit_code == 0
    assert str(out) in done.stdout
    assert "Repainting" in done.stderr
    assert opened(out.read_bytes()).shape == (240, 320, 3)
    told = CliRunner().invoke(app, [*arguments, "--json", "-q"])
    result = json.loads(told.stdout)
    assert told.stderr == ""
    assert result["format"] == "givens-repaint/1"
    assert (result["paint"]["code"], result["role"], result["file"]) == ("demo-2", "cabinets", str(out))
    assert [path.name for path in out.parent.iterdir()] == ["panel.jpg"]


@pytest.mark.parametrize("paint", [[], ["--paint", "demo-2", "--lab", "50", "0", "0"]], ids=["neither", "both"])
def test_one_paint_and_no_more(room: Path, tmp_path: Path, paint: list[str]) -> None:
    out = tmp_path / "panel.jpg"
    done = CliRunner().invoke(app, ["repaint", str(room), "--role", "cabinets", *paint, "--out", str(out)])
    assert done.exit_code == 2
    assert "one of --paint CODE or --lab" in done.stderr
    assert not out.exists()


AREAS = ROOM[ROOM.index("  [[photos.areas]]") : ROOM.index("[[surfaces]]")]
WITHOUT_AREAS = ROOM.replace(AREAS, "")
MISTAKES = {
    "no such role": (ROOM, {"role": "walls", "lab": NEW}, RequestError, ("'walls'", "Outlined are: cabinets")),
    "no areas": (WITHOUT_AREAS, {"lab": NEW}, RequestError, ("[[photos.areas]]",)),
    "two photos, none whole": (
        ROOM + '\n[[photos]]\nfile = "scene.png"\n' + AREAS,
        {"lab": NEW},
        RequestError,
        ("2 photos", "whole_room = true"),
    ),
    "unknown code": (ROOM, {"code": "demo-999"}, RequestError, ("'demo-999'",)),
    "impossible lab": (ROOM, {"lab": (150.0, 0.0, 0.0)}, RequestError, ("no surface colour",)),
    "over the photo": (ROOM, {"lab": NEW, "out": "scene.png"}, RequestError, ("scene.png", "would be lost")),
    "both": (ROOM, {"code": "demo-2", "lab": NEW}, RequestError, ("one of the two",)),
}


@pytest.mark.parametrize(("text", "asked", "error", "words"), MISTAKES.values(), ids=MISTAKES.keys())
def test_mistakes_are_named_with_what_to_do(
    room: Path, text: str, asked: dict[str, object], error: type[GivensError], words: tuple[str, ...]
) -> None:
    room.write_text(text, encoding="utf-8")
    if "out" in asked:
        asked = {**asked, "out": room.parent / str(asked["out"])}
    with pytest.raises(error) as raised:
        service.repaint(room, **{"role": "cabinets", **asked})  # type: ignore[arg-type]
    assert len(raised.value.problems) == 1
    for word in words:
        assert word in str(raised.value.problems[0])


def test_without_a_card_there_is_no_light_to_paint_in(room: Path) -> None:
    before, _, after = ROOM.partition("  [[photos.references]]")
    text = before + after[after.index("  [[photos.areas]]") :]
    room.write_text(text, encoding="utf-8")
    with pytest.raises(CardError) as raised:
        service.repaint(room, "cabinets", lab=NEW)
    assert "no card tells the light" in str(raised.value)


def test_other_files_than_pictures_are_refused_before_any_work(room: Path, tmp_path: Path) -> None:
    out = tmp_path / "panel.gif"
    with pytest.raises(RequestError) as raised:
        service.picture_kind(out)
    assert ".jpg or .png" in str(raised.value)
    assert service.picture_kind(Path("A.PNG")) == "PNG"


def test_the_ground_is_not_the_panel() -> None:
    """The scene's two paints differ, or the tests above would prove nothing."""
    assert np.linalg.norm(np.subtract(GROUND, OLD)) > 10
