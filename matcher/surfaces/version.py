"""Which version of measuring this is: a hash, so that nobody has to remember to raise a number.

A number that is raised by hand is forgotten one day, and rooms are then ranked by what an older program measured,
without a sign. A hash of the source errs on the other side: a remark changed measures a room again, which takes a
second and says that nothing moved. Libraries that decode and compute count as source.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from functools import cache
from importlib.metadata import version
from pathlib import Path

import matcher

# All that measuring imports (tests/surfaces/test_kept.py follows the imports), relative to the package.
SOURCES = (
    "calibration",
    "colorimetry",
    "description",
    "errors.py",
    "exchange",
    "harmony",
    "instrument",
    "opening.py",
    "photo",
    "raw_header.py",
    "recall.py",
    "room",
    "structure",
    "surfaces",
    "workers",
)
LIBRARIES = ("numpy", "scipy", "opencv-python-headless", "colour-science", "Pillow", "pillow-heif", "rawpy")


@cache
def measurement_version() -> str:
    """Return the hash (hex, 64 letters) of all that a measurement goes through."""
    return hash_of_source(SOURCES, LIBRARIES)


def hash_of_source(parts: Sequence[str], libraries: Sequence[str]) -> str:
    """Return a hash (hex, 64 letters) of packages and modules of ours, data in them included, and of the versions of
    ``libraries``.
    """
    root = Path(matcher.__file__).parent
    found = hashlib.sha256()
    for name in parts:
        place = root / name
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if path.is_dir() or path.parent.name == "__pycache__":
                continue
            found.update(f"{path.relative_to(root).as_posix()}\0".encode())
            found.update(hashlib.sha256(path.read_bytes()).digest())
    for library in libraries:
        found.update(f"{library} {version(library)}\0".encode())
    return found.hexdigest()
