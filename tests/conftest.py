"""What tests of several packages share."""

from __future__ import annotations

import ctypes
import gc
import os
import sys
from pathlib import Path

import pytest

from tests.made_once import made_once

# One thread a library: the machine is shared, and the test suite's timing should not depend on its neighbours.
os.environ.setdefault("OMP_NUM_THREADS", "1")
# A module that is imported, a page that is drawn, a photo that is read leave thousands of objects at once: at Python's
# 700 they are gone through again and again, for a tenth of the time.
gc.set_threshold(50_000, 20, 20)
# Pictures come and go by the thousand: memory that is kept for the next one need not be asked for, and emptied by the
# system, again (mallopt(3), GNU: nothing below 32 MB by itself, 256 MB kept; a twentieth of the time). In this process
# alone: what the tests start is as its users have it.
_MMAP_THRESHOLD, _TRIM_THRESHOLD = (-3, 32 << 20), (-1, 256 << 20)
_mallopt = getattr(ctypes.CDLL(None), "mallopt", None) if sys.platform == "linux" else None
if _mallopt is not None:
    for _bound in (_MMAP_THRESHOLD, _TRIM_THRESHOLD):
        _mallopt(*_bound)

_TESTS = Path(__file__).parent
# What takes longest begins first, as paths begin: journeys, what else waits for browsers and servers, then the others
# that take more than a few seconds.
_FIRST = (
    "ui/test_accessibility", "ui/consultant/", "ui/test_several_servers", "ui/test_marking_browser", "ui/",
    "service/test_edition", "calibration/test_chart", "calibration/test_scene_statistics", "photo/test_card_proposal",
    "store/test_photo_home", "outlining/", "photo/test_chart_grid", "surfaces/test_chart_on_surface",
)  # fmt: skip

# An invented room measured with an instrument: the whole job without a photo.
ROOM = """
[room]
name = "Test <kitchen> & scullery"
facing = "N"
lamps_k = 2700

[wishes]
lrv = [45, 80]
roles = ["walls", "trim", "cabinets", "door"]

[[surfaces]]
name = "worktop"
material = "stone"
colours = [{share = 0.8, lab = [86.0, 0.0, 1.0]}, {share = 0.2, lab = [64.0, -0.5, -2.0]}]

[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]
sd = 1.0
"""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files that take long begin first: one that is left to the end is waited for by cores with nothing to do. Else
    files keep their order, and so do the tests of each.
    """

    def place(item: pytest.Item) -> int:
        path = item.path.relative_to(_TESTS).as_posix()
        return next((place for place, start in enumerate(_FIRST) if path.startswith(start)), len(_FIRST))

    items.sort(key=place)


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: garbage is not looked for in it again and again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def furnished_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sample kitchen on a desk, for copies (tests/first_start.py)."""
    # Most tests need no desk, nor what it brings with it.
    from tests.first_start import furnish_once

    return made_once(tmp_path_factory, "furnished", furnish_once)


@pytest.fixture(scope="session")
def room_text() -> str:
    """The room file's text, to spoil."""
    return ROOM


@pytest.fixture(scope="session")
def room_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The room file on disk."""
    path = tmp_path_factory.mktemp("room") / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    return path
