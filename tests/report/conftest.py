"""One ranked room for all tests of the report."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from matcher import service


@pytest.fixture(scope="session")
def answer(room_path: Path) -> service.Answer:
    """The instrument-measured room with the demo deck, ranked."""
    return service.shortlist(room_path)


@pytest.fixture(scope="session")
def result(answer: service.Answer) -> dict[str, Any]:
    """The content of its result.json."""
    return answer.result


@pytest.fixture(scope="session")
def advice(answer: service.Answer) -> dict[str, Any]:
    """What would settle it."""
    return answer.advice
