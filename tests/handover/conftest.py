"""Rooms that are handed over: small ones, measured with an instrument, their pictures drawn."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher import service
from matcher.handover.contents import Contents, Letterhead, PaintedRole, PictureFile, RoomPictures
from matcher.service.handover import contents_of

FULL = """
[room]
name = "Orchard House, kitchen and scullery of the long-suffering family Featherstonehaugh-Cholmondeley"
kind = "kitchen"
facing = "N"
latitude = 47.3
lamps_k = 2700
country = "GB"
built = 1931
[wishes]
roles = ["walls", "trim", "ceiling", "cabinets", "island", "accent", "door"]
[sizes]
units = "metres"
length = 4.2
width = 3.1
height = 2.4
openings = 4.5
trim = 14.0
cabinets = 9.0
island = 4.0
accent = 6.0
door = 3.4
[[surfaces]]
name = "worktop of honed limestone from the old dairy"
material = "stone"
colours = [{share = 0.6, lab = [86, 0, 1]}, {share = 0.2, lab = [64, -0.5, -2]}, {share = 0.2, lab = [54, -0.5, -2]}]
""" + "".join(
    f'[[surfaces]]\nname = "{name}"\nmaterial = "{material}"\nlab = {lab}\n'
    for name, material, lab in (
        ("kitchen floor of reclaimed oak boards", "timber", [55.0, 14.0, 28.0]),
        ("tile behind the cooker and the sink", "tile", [72.0, -4.0, 8.0]),
        ("brick chimney breast", "brick", [48.0, 20.0, 22.0]),
        ("slate hearth", "stone", [32.0, -1.0, -3.0]),
        ("beams", "timber", [38.0, 9.0, 16.0]),
        ("curtains", "textile", [62.0, 6.0, 14.0]),
        ("stove", "metal", [20.0, 0.0, 0.0]),
    )
)


def contents_from(text: str, folder: Path) -> Contents:
    """Return what is handed over of a room file's text, without pictures."""
    path = folder / "room.toml"
    path.write_text(text, encoding="utf-8")
    return contents_of(service.rank(path), letterhead=Letterhead("Example Colour Practice"))


@pytest.fixture(scope="session")
def ranked(room_path: Path) -> service.Ranked:
    """Two surfaces measured with an instrument, four roles, no picture, no size."""
    return service.rank(room_path)


@pytest.fixture(scope="session")
def plain(ranked: service.Ranked) -> Contents:
    """What is handed over of the room that is ranked."""
    return contents_of(ranked, letterhead=Letterhead("Example Colour Practice"))


@pytest.fixture(scope="session")
def full(tmp_path_factory: pytest.TempPathFactory) -> Contents:
    """Every role there is, eight things that stay, long names, sizes, light, and pictures 3 wide and 2 high."""
    return replace(contents_from(FULL, tmp_path_factory.mktemp("full")), pictures=drawn_pictures(900, 600))


@pytest.fixture(scope="session")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Contents]:
    """Return what is handed over of another room file's text."""
    return lambda text: contents_from(text, tmp_path_factory.mktemp("elsewhere"))


def drawn_pictures(width: int, height: int) -> RoomPictures:
    """Return two pictures of nothing, the walls painted in one."""
    shades = np.linspace(60, 220, width, dtype=np.uint8)
    files = []
    for tint in ((1.0, 0.95, 0.9), (0.9, 1.0, 0.92)):
        pixels = np.clip(shades[None, :, None] * np.array(tint), 0, 255).astype(np.uint8).repeat(height, axis=0)
        stream = io.BytesIO()
        Image.fromarray(pixels).save(stream, "JPEG", quality=90)
        files.append(PictureFile(stream.getvalue(), width, height))
    return RoomPictures(files[0], files[1], (PaintedRole("walls", 0.1, 0.12),), ("cabinets",), ("trim", "ceiling"))
