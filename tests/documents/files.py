"""What the documented commands name: a small room with a photo, and a deck whose codes the demo deck has too."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

# Invented paints.
DECK = "code,name,L,a,b\n" + "".join(
    f"demo-{number},Nonce {number},{30 + 3 * number},{number % 5 - 2},{number % 7}\n" for number in range(1, 21)
)
_ROOM = """[room]
name = "Hall"
facing = "N"
lamps_k = 2700
[wishes]
roles = ["walls", "trim"]
[[photos]]
file = "photo.png"
[[photos.references]]
kind = "grey card"
reflectance = 0.18
outline = [[20, 20], [100, 20], [100, 180], [20, 180]]
[[photos.surfaces]]
name = "walls"
material = "paint"
outline = [[140, 20], [240, 20], [240, 280], [140, 280]]
[[photos.areas]]
role = "walls"
outlines = [[[130, 10], [390, 10], [390, 290], [130, 290]]]
[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]
"""


def write_files(folder: Path) -> None:
    """Write room, photo, both editions of the deck, a passphrase and a backup of a store that holds nothing."""
    from matcher.service import backup
    from matcher.service.desk import open_desk
    from matcher.settings import Settings

    (folder / "room.toml").write_text(_ROOM, encoding="utf-8")
    (folder / "deck.csv").write_text(DECK, encoding="utf-8")
    (folder / "new.csv").write_text(DECK.replace("demo-7,", "later-7,"), encoding="utf-8")
    (folder / "word.txt").write_text("a passphrase of several words\n", encoding="utf-8")
    # An even wall beside a grey card, with some noise.
    pixels = np.random.default_rng(3).normal(170, 3, (300, 400, 3))
    pixels[:, :120] -= 52
    Image.fromarray(np.clip(np.rint(pixels), 0, 255).astype(np.uint8)).save(folder / "photo.png")
    empty = Settings(folder=folder / "store")
    open_desk(empty).store.close()
    backup(empty, folder / "kept.zip")
