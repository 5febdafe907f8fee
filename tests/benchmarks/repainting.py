"""How close a repainted photo comes to the room truly repainted: ``python -m tests.benchmarks.repainting [FOLDER]``.

Pictures of one scene (same room, camera, light, exposure; rendered, sample_photos/README.md) that differ in one role's
paint make two pairs, one each way. The first is repainted to the paint of the second and compared with it: dE00 between
the two sRGB pictures, both smoothed a little to leave noise out, mean over the area. Beside it, in the same run:

- ratio: linear sRGB times new over old reflectance, the old one taken from the truth;
- cards: the card's light times the new colour times the area's brightness over its own mean.

Without FOLDER the pairs in sample_photos are measured with their room files ("ours"), and as a room of that one photo
whose old paint nothing read ("unread"). With FOLDER every pair in it, as a room of that one photo: with the old paint
read by an instrument, and without. Times are processor time.

Of each picture it is told beside this how bright the truth is over it (luminance on the screen, medians of the area),
"!" where that lies outside what is stated, which should happen one time in ten; and whether a paint that is said to be
lighter or darker than the old one came out so. The plain kitchen's pair is shown a second time through an S curve.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import (
    Floats,
    lab_to_xyz,
    linear_srgb_to_xyz,
    srgb_decode,
    srgb_encode,
    xyz_to_lab,
    xyz_to_linear_srgb,
)
from matcher.photo.reading import read_photo
from matcher.repaint.apply import apply
from matcher.repaint.area_mask import area_coverage
from matcher.repaint.doubt import picture_doubt
from matcher.repaint.prepare import Prepared, prepare
from matcher.room.contents import Area, RoomFile
from matcher.room.reading import read_room
from matcher.surfaces.measure import measure_room

SAMPLES = Path(__file__).parents[2] / "sample_photos"
_SMOOTHING = 1.5  # pixels
_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # IEC 61966-2-1
# What programs add as contrast, u + k (3 u^2 - 2 u^3 - u) of the file value (curve_prior.py), k as phones have it.
_CONTRAST = 0.5
_DECODE = srgb_decode(np.linspace(0, 1, 256)).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Pair:
    """``before`` and ``after`` are truth files; ``role`` is what was painted, from ``old`` to ``new`` CIELAB."""

    before: Path
    after: Path
    role: str
    old: tuple[float, float, float]
    new: tuple[float, float, float]

    @property
    def title(self) -> str:
        """Room and pictures."""
        names = [path.name.removesuffix(".truth.json") for path in (self.before, self.after)]
        return f"{self.before.parent.name}: {names[0]} -> {names[1].removeprefix(names[0] + '_')}"


def pairs_in(folder: Path) -> list[Pair]:
    """Return every pair of one scene in ``folder`` and below, by name."""
    scenes: dict[str, list[tuple[Path, dict[str, Any]]]] = {}
    for path in sorted(folder.rglob("*.truth.json")):
        raw = json.loads(path.read_text(encoding="utf-8"))
        if raw.get("areas"):
            scenes.setdefault(raw["scene"], []).append(
                (path, {area["role"]: tuple(area["lab"]) for area in raw["areas"]})
            )
    found = []
    for pictures in scenes.values():
        for (before, old), (after, new) in permutations(pictures, 2):
            changed = [role for role in old if old[role] != new.get(role)]
            if len(changed) == 1:
                found.append(Pair(before, after, changed[0], old[changed[0]], new[changed[0]]))
    return found


def room_of(pair: Pair, *, old_known: bool) -> RoomFile:
    """Return a room of the one photo, its cards, surfaces and areas; ``old_known`` adds a reading of the old paint."""
    raw = json.loads(pair.before.read_text(encoding="utf-8"))
    surfaces = [{k: s[k] for k in ("name", "material", "outlines")} for s in raw["surfaces"] if s["name"] != pair.role]
    photo = {
        "file": raw["file"],
        "whole_room": True,
        "references": [
            {"kind": c["kind"], "reflectance": c["Y"], "outline": c["outline"], "on": c["on"]} for c in raw["cards"]
        ],
        "surfaces": surfaces,
        "areas": [{k: area[k] for k in ("role", "outlines", "holes")} for area in raw["areas"]],
    }
    read = [{"name": pair.role, "material": "paint", "lab": pair.old}] if old_known else []
    content = {"room": {"name": pair.title}, "photos": [photo], "surfaces": read}
    return RoomFile.model_validate(content, context={"folder": pair.before.parent})


def prepared_of(room: RoomFile, role: str) -> tuple[Prepared, float]:
    """Return the whole-room photo of ``room`` prepared for ``role``, and the processor time that took, in seconds."""
    measurement = measure_room(room)
    photo = next(p for p in measurement.photos if p.photo_entry.whole_room)
    assert photo.calibration is not None
    start = time.process_time()
    prepared = prepare(
        photo.photo,
        photo.calibration,
        [area for area in photo.photo_entry.areas if area.role == role],
        outlined=photo.photo_entry.surfaces,
        measured={surface.name: surface for surface in measurement.surfaces},
        cards=[np.asarray(card.outline, dtype=float) for card in photo.photo_entry.references],
    )
    return prepared, time.process_time() - start


@dataclass(frozen=True, slots=True)
class Truth:
    """What a repainted picture is held against."""

    area: NDArray[np.bool_]
    before: NDArray[np.uint8]
    after: NDArray[np.uint8]
    card: tuple[float, list[list[float]]]

    def brighter(self, picture: NDArray[np.uint8]) -> float:
        """Return how much brighter the truth is on the screen than ``picture``, as a factor."""
        after, shown = (float(np.median(_DECODE[each[self.area]] @ _LUMINANCE)) for each in (self.after, picture))
        return after / max(shown, 1e-4)

    def off(self, picture: NDArray[np.uint8]) -> float:
        """Return the mean dE00 between ``picture`` (sRGB) and the truth over the area."""
        return float(delta_e_2000(_lab(picture)[self.area], _lab(self.after)[self.area]).mean())


def truth_of(pair: Pair) -> Truth:
    """Return the pictures of a pair and the area painted."""
    raw = json.loads(pair.before.read_text(encoding="utf-8"))
    before, after = (
        read_photo(path.parent / json.loads(path.read_text(encoding="utf-8"))["file"], longest_side=100_000).pixels
        for path in (pair.before, pair.after)
    )
    areas = [
        Area(role=a["role"], outlines=a["outlines"], holes=a["holes"]) for a in raw["areas"] if a["role"] == pair.role
    ]
    card = next(c for c in raw["cards"] if c["kind"] == "grey card")
    return Truth(area_coverage(areas, before.shape[:2], 1.0) > 0.5, before, after, (card["Y"], card["outline"]))


def ratio_way(pair: Pair, truth: Truth) -> NDArray[np.uint8]:
    """Return the picture by the ratio of reflectances."""
    ratio = _linear(pair.new) / np.maximum(_linear(pair.old), 1e-3)
    return _painted(truth, _DECODE[truth.before[truth.area]] * ratio)


def card_way(pair: Pair, truth: Truth) -> NDArray[np.uint8]:
    """Return the picture by the card's light, the new colour and normalised shading."""
    reflectance, outline = truth.card
    mask = np.zeros(truth.area.shape, np.uint8)
    cv2.fillPoly(mask, [np.round(np.asarray(outline) - 0.5).astype(np.int32)], 1)
    inner = cv2.erode(mask, np.ones((3, 3), np.uint8)) > 0
    light = _DECODE[truth.before[inner]].mean(axis=0) / reflectance
    seen = linear_srgb_to_xyz(_DECODE[truth.before[truth.area]])[:, 1:2]
    return _painted(truth, light * _linear(pair.new) * seen / seen.mean())


def _linear(lab: Sequence[float]) -> Floats:
    return xyz_to_linear_srgb(lab_to_xyz(np.asarray(lab, dtype=float)))


def _painted(truth: Truth, linear: Floats) -> NDArray[np.uint8]:
    picture = truth.before.copy()
    picture[truth.area] = np.rint(srgb_encode(np.clip(linear, 0, 1)) * 255)
    return picture


def _lab(picture: NDArray[np.uint8]) -> Floats:
    smooth = cv2.GaussianBlur(picture.astype(np.float32) / 255, (0, 0), _SMOOTHING)
    return xyz_to_lab(linear_srgb_to_xyz(srgb_decode(smooth)))


@dataclass(frozen=True, slots=True)
class Told:
    """How a pair went: ``offs`` in dE00 and times by column, ``brighter`` the truth over each picture of ours and
    ``held`` whether that was stated; ``turned`` counts paints said to be lighter or darker that came out the other way.
    """

    offs: tuple[float, ...]
    brighter: tuple[float, ...]
    held: tuple[bool, ...]
    turned: int


def main(arguments: Sequence[str]) -> None:
    """Print a line a pair, then medians and worst."""
    told = list(_rows_of_samples() if not arguments else _rows_alone(Path(arguments[0])))
    table, held = np.array([row.offs for row in told]), np.array([row.held for row in told])
    print(f"{f'{len(told)} pairs, median':<86} " + " ".join(f"{value:7.2f}" for value in np.nanmedian(table, axis=0)))
    print(f"{'worst':<86} " + " ".join(f"{value:7.2f}" for value in np.nanmax(table, axis=0)))
    print("as bright as stated: " + ", ".join(f"{n} of {len(told)}" for n in held.sum(axis=0)) + " (read, unread)")
    print(f"lighter or darker the wrong way: {sum(row.turned for row in told)}")


def _rows_of_samples() -> Iterator[Told]:
    print(_header())
    for pair in pairs_in(SAMPLES):
        file = json.loads(pair.before.read_text(encoding="utf-8"))["file"]
        for path in sorted(pair.before.parent.glob("*.toml")):
            room = read_room(path)
            if any(entry.file == file for entry in room.photos):
                yield _row(pair, [room, room_of(pair, old_known=False)])
    with tempfile.TemporaryDirectory() as folder:
        for pair in [through_s_curve(pair, Path(folder)) for pair in pairs_in(SAMPLES / "kitchen")]:
            yield _row(pair, [room_of(pair, old_known=known) for known in (True, False)])


def _rows_alone(folder: Path) -> Iterator[Told]:
    print(_header())
    for pair in pairs_in(folder):
        yield _row(pair, [room_of(pair, old_known=True), room_of(pair, old_known=False)])


def through_s_curve(pair: Pair, folder: Path) -> Pair:
    """Return a pair whose pictures have contrast added, written into ``folder``."""
    u = np.arange(256) / 255
    table = np.rint(255 * (u + _CONTRAST * (3 * u**2 - 2 * u**3 - u))).astype(np.uint8)
    moved = []
    for path in (pair.before, pair.after):
        raw = json.loads(path.read_text(encoding="utf-8"))
        name = f"s_{path.name.removesuffix('.truth.json')}.png"
        Image.fromarray(table[np.asarray(Image.open(path.parent / raw["file"]))]).save(folder / name)
        moved.append(folder / f"s_{path.name}")
        moved[-1].write_text(json.dumps({**raw, "file": name}), encoding="utf-8")
    return replace(pair, before=moved[0], after=moved[1])


def _header() -> str:
    columns = ("ratio", "cards", "ours", "unread", "prep s", "appl s")
    return f"{'pair':<56} {'old L a b':>14} {'new L a b':>14} " + " ".join(f"{column:>7}" for column in columns)


def _row(pair: Pair, rooms: Sequence[RoomFile]) -> Told:
    truth = truth_of(pair)
    off, brighter, held, turned = [], [], [], 0
    for room in rooms:
        prepared, preparing = prepared_of(room, pair.role)
        start = time.process_time()
        picture = apply(prepared, pair.new)
        applying = time.process_time() - start
        off.append(truth.off(picture))
        doubt = picture_doubt(prepared, pair.new)
        brighter.append(truth.brighter(picture))
        held.append(doubt.darker <= brighter[-1] <= doubt.brighter)
        old, new = float(lrv(pair.old)), float(lrv(pair.new))
        turned += (new > doubt.old_high and new < old) or (new < doubt.old_low and new > old)
    row = (truth.off(ratio_way(pair, truth)), truth.off(card_way(pair, truth)), *off, preparing, applying)
    told = " ".join(f"{factor:.2f}{' ' if stated else '!'}" for factor, stated in zip(brighter, held, strict=True))
    print(
        f"{pair.title:<56} {_text(pair.old):>14} {_text(pair.new):>14} "
        + " ".join(f"{value:7.2f}" for value in row)
        + f"   {told}",
        flush=True,
    )
    return Told(row, tuple(brighter), tuple(held), turned)


def _text(lab: Sequence[float]) -> str:
    return " ".join(f"{part:4.0f}" for part in lab)


if __name__ == "__main__":
    main(sys.argv[1:])
