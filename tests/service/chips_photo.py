"""A photo of a worktop with three cards and a strip of five chips of the demo deck on it, drawn from their colours."""

from __future__ import annotations

import csv
import hashlib
import io
from functools import cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from matcher.paints.reading import DEMO_DECK, deck_bytes
from matcher.photo.colour_space import srgb
from matcher.room.contents import ReferenceKind
from matcher.service.deck_in_use import keep_in_use
from matcher.service.desk import Desk
from matcher.store import decks
from tests.calibration.scenes import NOISE, Scene, corners, smoothstep_s

SIZE = (1200, 900)
WORKTOP_LAB = (58.5, -9.5, 3.0)  # beside demo-79 (58.74 -2.48 2.19): greener
WORKTOP = [[40, 60], [1160, 60], [1160, 860], [40, 860]]
STRIP = [(250.0, 560.0), (930.0, 500.0), (960.0, 690.0), (235.0, 800.0)]
STRIP_CODES = ("demo-76", "demo-77", "demo-78", "demo-79", "demo-80")
# As the demo deck has them (matcher/paints/data/demo_deck.csv).
STRIP_LABS = (
    (83.25, -2.07, 1.62),
    (75.83, -2.72, 2.06),
    (67.59, -2.56, 2.23),
    (58.74, -2.48, 2.19),
    (47.0, -2.5, 2.41),
)
CARDS: dict[ReferenceKind, tuple[float, tuple[int, int]]] = {
    "white card": (0.86, (300, 200)),
    "grey card": (0.18, (440, 200)),
    "black card": (0.04, (580, 200)),
}
CARD_SIDE = 120


def chip_areas() -> list[NDArray[np.float32]]:
    """Where each chip lies on the strip, whole, by OpenCV's perspective transform."""
    to_photo = cv2.getPerspectiveTransform(
        np.array([[0, 0], [5, 0], [5, 1], [0, 1]], dtype=np.float32), np.array(STRIP, dtype=np.float32)
    )
    flat = [[[i, 0], [i + 1, 0], [i + 1, 1], [i, 1]] for i in range(5)]
    return list(cv2.perspectiveTransform(np.array(flat, dtype=np.float32), to_photo))


@cache
def chips_jpeg() -> bytes:
    """Return the photo."""
    scene = Scene(SIZE[1], SIZE[0])
    scene.paint((0, 0, *SIZE), (40.0, 2.0, 6.0))
    scene.paint((40, 60, 1160, 860), WORKTOP_LAB)
    for kind, (reflectance, (left, top)) in CARDS.items():
        scene.lay((kind, reflectance), (left, top, left + CARD_SIDE, top + CARD_SIDE))
    for area, lab in zip(chip_areas(), STRIP_LABS, strict=True):
        inside = np.zeros((SIZE[1], SIZE[0]), dtype=np.uint8)
        cv2.fillConvexPoly(inside, area.round().astype(np.int32), 1)
        scene.paint(inside.astype(bool), lab)
    pixels = scene.develop(curve=smoothstep_s(0.3), space=srgb(), noise=NOISE, seed=5)
    stream = io.BytesIO()
    Image.fromarray(pixels).save(stream, "JPEG", quality=92)
    return stream.getvalue()


def marked_entry(file: str) -> dict[str, Any]:
    """Return the photo's entry of a room document: cards and worktop outlined, the strip not yet."""
    return {
        "file": file,
        "references": [
            {
                "kind": kind,
                "reflectance": reflectance,
                "outline": corners((left + 15, top + 15, left + CARD_SIDE - 15, top + CARD_SIDE - 15)),
                "on": "worktop",
            }
            for kind, (reflectance, (left, top)) in CARDS.items()
        ],
        "surfaces": [{"name": "worktop", "material": "stone", "outlines": [WORKTOP]}],
    }


def moved_deck() -> bytes:
    """Return the demo deck (CSV) with the chips' codes on colours 9 lighter where they are dark, 9 darker elsewhere."""
    rows = csv.DictReader(io.StringIO(deck_bytes(DEMO_DECK).decode()))
    stream = io.StringIO()
    written = csv.DictWriter(stream, ["code", "name", "L", "a", "b"], extrasaction="ignore")
    written.writeheader()
    for row in rows:
        step = 0 if row["code"] not in STRIP_CODES else 9 if float(row["L"]) < 50 else -9
        written.writerow({**row, "L": float(row["L"]) + step})
    return stream.getvalue().encode()


def put_moved_in_use(desk: Desk) -> None:
    """Put that deck in use."""
    old, data = keep_in_use(desk), moved_deck()
    sha = hashlib.sha256(data).hexdigest()
    decks.keep_deck(desk.store, decks.KeptDeck(sha, "moved.csv", len(old), data))
    decks.put_in_use(desk.store, sha, by="", instead_of=old.sha256)
