"""A room file that is sound in every key, to be spoilt one key at a time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

GOOD = """
[room]
name = "Invented kitchen"
kind = "kitchen"
facing = "N"
latitude = 55.9
lamps_k = 2700

[wishes]
warmth = "warm"
lrv = [45, 80]
roles = ["walls", "trim", "cabinets"]

[pins]
trim = "demo-1"

[[photos]]
file = "whole.png"
whole_room = true
  [[photos.references]]
  kind = "grey card"
  reflectance = 0.18
  outline = [[10, 10], [40, 10], [40, 30], [10, 30]]
  on = "worktop"
  [[photos.surfaces]]
  name = "worktop"
  material = "stone"
  outline = [[0, 0], [200, 0], [200.0, 50.5], [0, 50]]
  [[photos.areas]]
  role = "walls"
  outlines = [[[0, 60], [200, 60], [200, 100], [0, 100]]]
  holes = [[[20, 70], [40, 70], [30, 90]]]

[[photos]]
file = "close.png"
  [[photos.surfaces]]
  name = "worktop"
  material = "stone"
  outlines = [[[0, 0], [20, 0], [20, 20]], [[40, 40], [60, 40], [60, 60]]]

[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 16.0, 30]
sd = 0.4

[[surfaces]]
name = "tile"
material = "tile"
colours = [{share = 0.7, lab = [80, 1, 4]}, {share = 0.3, lab = [60, 0, 2]}]
"""

Write = Callable[[str], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a room file beside its two photos, 200 x 100 and 100 x 100 pixels."""
    Image.new("RGB", (200, 100)).save(tmp_path / "whole.png")
    Image.new("RGB", (100, 100)).save(tmp_path / "close.png")

    def write_text(text: str) -> Path:
        path = tmp_path / "room.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write_text
