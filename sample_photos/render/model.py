"""What a room is to the renderer: materials, surfaces, views, lights, cards. Plain data, no rendering."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

import numpy as np
from geometry import Builder
from maps import LabelMap, plain


@dataclass(frozen=True)
class Material:
    """One uniform material: CIELAB D65/2 of its 45:0 reflectance, and how it shines.

    shine: "matt" (Lambertian), "coat" (Lambertian under a dielectric coat, n = 1.5), "metal" (Lab is its F0),
    "window" (daylight comes through), or "lamp" (emits; one-sided).
    """

    lab: tuple[float, float, float]
    shine: str = "matt"
    rough: float = 0.3
    flat: float | None = None  # spectrally flat reflectance instead of lab
    part: str = "field"
    group: str = ""  # light group of a lamp
    power: float = 1.0


def read_materials(path: Path) -> dict[str, Material]:
    """Materials by name from a CSV of name, L, a, b, shine, rough, part."""
    rows = csv.DictReader(line for line in path.read_text().splitlines() if not line.startswith("#"))
    return {
        r["name"]: Material(
            (float(r["L"]), float(r["a"]), float(r["b"])), r["shine"], float(r["rough"]), part=r["part"]
        )
        for r in rows
    }


NO_PAINTS: Mapping[str, tuple[float, float, float]] = MappingProxyType({})


@dataclass(frozen=True)
class View:
    """A camera: position and target in metres, horizontal field of view in degrees, picture size in pixels."""

    eye: tuple[float, float, float]
    target: tuple[float, float, float]
    fov: float = 60.0
    size: tuple[int, int] = (1200, 900)
    roll: float = 0.0

    def frame(self) -> np.ndarray:
        """Rows: right, down, forward unit vectors."""
        forward = np.subtract(self.target, self.eye)
        forward = forward / np.linalg.norm(forward)
        right = np.cross(forward, (0, 0, 1.0))
        right /= np.linalg.norm(right)
        down = np.cross(forward, right)
        c, s = np.cos(np.radians(self.roll)), np.sin(np.radians(self.roll))
        return np.stack([c * right + s * down, c * down - s * right, forward])

    def project(self, points: np.ndarray) -> np.ndarray:
        """World points (n, 3) to pixels (n, 2), x right, y down, (0, 0) the corner of the first pixel."""
        q = (np.asarray(points, float) - self.eye) @ self.frame().T
        focal = self.size[0] / 2 / np.tan(np.radians(self.fov) / 2)
        return q[:, :2] / q[:, 2:] * focal + np.array(self.size) / 2


@dataclass(frozen=True)
class Card:
    """A neutral card: its corners in the world (4, 3), Y, and the surface that it lies on."""

    corners: np.ndarray
    reflectance: float
    on: str | None
    kind: str


@dataclass
class Room:
    """Everything that a picture of the room needs; `cards` holds one list per set of cards."""

    name: str
    title: str
    build: Builder = field(default_factory=Builder)
    materials: dict[str, Material] = field(default_factory=dict)
    maps: dict[str, LabelMap] = field(default_factory=dict)
    views: dict[str, View] = field(default_factory=dict)
    cards: list[Card] = field(default_factory=list)

    def number(self, material: str) -> int:
        """Material's number, as the maps use it."""
        return list(self.materials).index(material)

    def colour(self, name: str, lab: tuple[float, float, float], shine: str = "matt", rough: float = 0.3) -> None:
        """A material and a surface of one colour, of the same name."""
        self.materials[name] = Material(lab, shine, rough)
        self.maps[name] = plain(self.number(name))

    def card(self, centre: tuple[float, float, float], across: tuple[float, float, float],
             along: tuple[float, float, float], reflectance: float, on: str | None) -> None:  # fmt: skip
        """Lay a 1.2 mm card; across and along are its half edges, their cross product faces the viewer."""
        c, a, b = (np.array(x, float) for x in (centre, across, along))
        n = np.cross(a, b)
        n /= np.linalg.norm(n)
        name = f"card {reflectance}"
        if name not in self.materials:
            self.materials[name] = Material((0, 0, 0), "matt", flat=reflectance)
            self.maps[name] = plain(self.number(name))
        low = np.array([c - a - b, c + a - b, c + a + b, c - a + b]) + n * 0.0002
        high = low + n * 0.0012
        with self.build.thing(f"card {len(self.cards)}"):
            self.build.quad(high, name)
            for i in range(4):
                j = (i + 1) % 4
                self.build.quad([low[i], low[j], high[j], high[i]], name)
        kind = {0.18: "grey card", 0.86: "white card", 0.04: "black card"}[reflectance]
        self.cards.append(Card(high, reflectance, on, kind))

    def trio(self, centre: tuple[float, float, float], across: tuple[float, float, float],
             along: tuple[float, float, float], on: str | None) -> None:  # fmt: skip
        """White, grey and black card side by side along `across`, 2 mm apart."""
        step = np.array(across, float) * (2 + 0.002 / np.linalg.norm(across))
        for k, y in ((-1, 0.86), (0, 0.18), (1, 0.04)):
            self.card(tuple(np.array(centre) + k * step), across, along, y, on)
