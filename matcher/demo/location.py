"""Where the sample room is: inside an installed package, or beside it in a working copy."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import as_file, files
from pathlib import Path

from matcher.errors import Problem, RequestError

# pyproject.toml copies the room file and its photos here when the wheel is built.
_PACKAGED = ("matcher.demo", "kitchen")
_ROOM_FILE = "kitchen_daylight.toml"


@contextmanager
def demo_room() -> Iterator[Path]:
    """Give the path of the sample kitchen's room file, its photos beside it."""
    packaged = files(_PACKAGED[0]) / _PACKAGED[1]
    if packaged.is_dir():
        with as_file(packaged) as folder:
            yield folder / _ROOM_FILE
        return
    working_copy = Path(__file__).parents[2] / "sample_photos" / "kitchen" / _ROOM_FILE
    if not working_copy.is_file():
        raise RequestError(Problem("demo", "the sample room is missing here", "Install the package again"))
    yield working_copy
