"""The heaviest files there are, through a householder's link: ``python -m tests.soak.heavy``.

Sends every file that means harm and the largest honest ones of 40 MB or less to a running server, one after the other,
and prints what came of each, how long it took, and the most memory that the server and its workers held together
meanwhile. Exit 1 where that was more than 600 MB or 10 s.
"""

from __future__ import annotations

import io
import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from matcher.service import access, client
from matcher.service.desk import new_room
from matcher.settings import Settings
from tests.photo.bombs import BOMBS
from tests.soak.memory import Most
from tests.soak.visitor import Visitor
from tests.ui.givens_server import beside, serve_givens

_MOST_MB, _MOST_S = 600, 10
_MOST_BYTES = Settings().upload_limit_mb * 1_000_000


def main() -> int:
    """Print a line a file; 1 where one was too much."""
    too_much = 0
    with tempfile.TemporaryDirectory() as name, serve_givens(Path(name) / "data") as server:
        desk = beside(server)
        user = access.add_user(desk, "Ada", "seven blue doors")
        householder = Visitor(server.address)
        rooms = (client.make_link(desk, user, new_room(desk, user, f"Room {number}")) for number in range(100))
        for number, (file, data) in enumerate(_files()):
            if number % 20 == 0:  # a room takes so many
                visit = householder.open_link(next(rooms))
                householder.page("client", f"visit={visit}")
                householder.leave()
            watch, start = Most(server.process.pid), time.perf_counter()
            status, body = householder.send(f"/client-photos/{visit}", data, file)
            taken, peak = time.perf_counter() - start, watch.stop()
            said = "kept" if status == 200 else " ".join(json.loads(body)["problems"])
            bad = taken > _MOST_S or peak > _MOST_MB
            too_much += bad
            size = f"{len(data) / 1e6:7.2f} MB {taken:6.2f} s {peak:5.0f} MB"
            print(f"{'TOO MUCH ' if bad else ''}{file:<30}{size}  {said[:120]}")
        desk.store.close()
    print(f"{too_much} too much (more than {_MOST_MB} MB or {_MOST_S} s)")
    return 1 if too_much else 0


def _files() -> Iterator[tuple[str, bytes]]:
    for name, make in {**BOMBS, **_HONEST}.items():
        data = make()
        if len(data) <= _MOST_BYTES:
            yield name, data
        else:
            print(f"{name} is {len(data) / 1e6:.0f} MB, which no sender may send")


def _noise(width: int, height: int, bits: int = 8) -> np.ndarray[tuple[int, int, int], np.dtype[np.uint8 | np.uint16]]:
    """A room's worth of light and shade with grain in it, so that nothing packs to nothing."""
    dice = np.random.default_rng(1)
    small = dice.integers(60, 200, (30, 40, 3)).astype(np.float32)
    smooth = cv2.resize(small, (width, height), interpolation=cv2.INTER_CUBIC)
    grain = cv2.resize(dice.integers(-6, 7, (600, 800, 3)).astype(np.float32), (width, height))
    picture = np.clip(smooth + grain, 0, 255)
    return (picture * 257).astype(np.uint16) if bits == 16 else picture.astype(np.uint8)


def _saved(width: int, height: int, kind: str, **options: object) -> bytes:
    stream = io.BytesIO()
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    Image.fromarray(_noise(width, height)).save(stream, kind, **options)  # type: ignore[arg-type]
    return stream.getvalue()


def _sixteen_bits(width: int, height: int, suffix: str) -> bytes:
    done, data = cv2.imencode(suffix, _noise(width, height, 16))
    assert done
    return data.tobytes()


_HONEST: dict[str, Callable[[], bytes]] = {
    "108 megapixels.jpg": lambda: _saved(12_000, 9_000, "JPEG", quality=85),
    "80 megapixels, progressive.jpg": lambda: _saved(10_000, 8_000, "JPEG", quality=80, progressive=True),
    "48 megapixels.heic": lambda: _saved(8_000, 6_000, "HEIF", quality=60),
    "60 megapixels.heic": lambda: _saved(9_000, 6_650, "HEIF", quality=40),
    "48 megapixels.webp": lambda: _saved(8_000, 6_000, "WEBP", quality=80, method=0),
    "40 megapixels.png": lambda: _saved(7_300, 5_500, "PNG", compress_level=1),
    "12 megapixels.tif": lambda: _saved(4_000, 3_000, "TIFF", compression="tiff_lzw"),
    "8 megapixels of 16 bits.png": lambda: _sixteen_bits(3_200, 2_400, ".png"),
    "7 megapixels of 16 bits.tif": lambda: _sixteen_bits(3_000, 2_200, ".tif"),
}


if __name__ == "__main__":
    sys.exit(main())
