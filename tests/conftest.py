"""What tests of several packages share."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest

# One thread a library: the machine is shared, and the test suite's timing should not depend on its neighbours.
os.environ.setdefault("OMP_NUM_THREADS", "1")

_BROWSERS = Path(__file__).parent / "ui"

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
    """What waits for browsers and servers begins first: such a file is long, and one that is left to the end is waited
    for by a core with nothing to do. Else files keep their order, and so do the tests of each.
    """
    items.sort(key=lambda item: not item.path.is_relative_to(_BROWSERS))


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: garbage is not looked for in it again and again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def furnished_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sample kitchen on a desk, for copies (tests/first_start.py)."""
    # Most tests need no desk, nor what it brings with it.
    from tests.first_start import furnish_once

    folder = tmp_path_factory.mktemp("furnished") / "data"
    furnish_once(folder)
    return folder


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
