"""The job that is timed: a 12 megapixel photo with four surfaces and a card on each, and decks of invented paints.

Nothing here is meant to be believed as a room: only its size, its noise and its number of outlines count.
"""

from __future__ import annotations

import csv
from pathlib import Path

import cv2
import numpy as np

from matcher.colorimetry.spaces import Floats, lab_to_xyz, xyz_to_linear_srgb

SAMPLE = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "whole_day.jpg"
_WIDTH, _HEIGHT = 4000, 3000
# One-sigma of noise in file values and JPEG quality: as phones smooth indoors (2 to 3 MB), and as they leave it in
# fine detail by day (5 to 6 MB). Assumptions; 12 megapixel phone photos lie between the two.
SMOOTH, FINE = (4.0, 92), (8.0, 95)
_CARD = 260
# Name, material and the outline's corners (left, top, right, bottom) on a picture of 4000 x 3000.
_SURFACES = (
    ("worktop", "stone", (150, 1650, 1750, 2850)),
    ("floor", "timber", (2000, 1650, 3850, 2850)),
    ("tile", "tile", (150, 200, 1750, 1450)),
    ("cabinets", "paint", (2000, 200, 3850, 1450)),
)


def write_photo(folder: Path, texture: tuple[float, int] = SMOOTH) -> Path:
    """Write the JPEG: a sample photo enlarged, with fresh sensor noise and a grey card drawn on every surface."""
    noise, quality = texture
    rng = np.random.default_rng(12)
    image = cv2.imread(str(SAMPLE))
    assert image is not None, f"{SAMPLE} cannot be read"
    large = np.asarray(cv2.resize(image, (_WIDTH, _HEIGHT), interpolation=cv2.INTER_CUBIC), np.float32)
    for _, _, box in _SURFACES:
        left, top, right, bottom = _card(box)
        large[top - 12 : bottom + 12, left - 12 : right + 12] = 118
    large += rng.normal(0, noise, large.shape).astype(np.float32)
    path = folder / "large.jpg"
    encoded = np.clip(large, 0, 255).astype(np.uint8)
    cv2.imwrite(str(path), encoded, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return path


def write_room(folder: Path, photo: Path) -> Path:
    """Write the room file for :func:`write_photo`."""
    lines = ['[room]\nname = "large"\n[wishes]\nroles = ["walls", "trim"]\n[[photos]]', f'file = "{photo.name}"']
    for name, _, box in _SURFACES:
        lines += ["[[photos.references]]", 'kind = "grey card"', "reflectance = 0.18"]
        lines += [f"outline = {_corners(_card(box))}", f'on = "{name}"']
    for name, material, box in _SURFACES:
        lines.append(f'[[photos.surfaces]]\nname = "{name}"\nmaterial = "{material}"\noutline = {_corners(box)}')
    path = folder / "room.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def write_deck(folder: Path, size: int) -> Path:
    """Write a deck of ``size`` of :func:`colours`."""
    path = folder / f"deck_{size}.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(["code", "name", "L", "a", "b"])
        rows.writerows(
            [f"N{i}", f"Nonce {i}", *(round(float(v), 2) for v in lab)] for i, lab in enumerate(colours(size))
        )
    return path


def colours(size: int) -> Floats:
    """Return CIELAB (size, 3) of invented paints, mostly muted as fan decks are, all inside sRGB."""
    rng = np.random.default_rng(3)
    kept = np.empty((0, 3))
    while len(kept) < size:
        lab = _colours(rng, size)
        linear = xyz_to_linear_srgb(lab_to_xyz(lab))
        kept = np.concatenate([kept, lab[((linear > 0) & (linear < 1)).all(axis=1)]])
    return kept[:size]


def _colours(rng: np.random.Generator, size: int) -> Floats:
    hue = rng.uniform(0, 2 * np.pi, size)
    chroma = rng.gamma(1.6, 7.0, size)
    return np.stack([rng.uniform(25, 97, size), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)


def _card(box: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
    left, top, right, bottom = box
    x, y = (left + right - _CARD) // 2, (top + bottom - _CARD) // 2
    return x, y, x + _CARD, y + _CARD


def _corners(box: tuple[int, int, int, int]) -> list[list[int]]:
    left, top, right, bottom = box
    return [[left, top], [right, top], [right, bottom], [left, bottom]]
