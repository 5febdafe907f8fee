"""One ranked room for all tests of the report."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from matcher import service


@pytest.fixture(scope="session")
def result(room_path: Path) -> dict[str, Any]:
    """The result of the instrument-measured room with the demo deck."""
    return service.shortlist(room_path).result
