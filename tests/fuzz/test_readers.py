"""A short, seeded part of ``python -m tests.fuzz.readers``, which is run for longer by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.readers import fuzz, readers

NAMES = (
    "room", "document", "draft", "brief", "marks", "zip", "csv", "cgats", "cxf", "readings", "reading files",
    "settings", "passphrase",
)  # fmt: skip


def test_every_reader_has_its_turn(tmp_path: Path) -> None:
    assert tuple(readers(tmp_path)) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_wild_texts_are_read_or_refused_in_words(tmp_path: Path, name: str) -> None:
    counted = fuzz(readers(tmp_path)[name], iter(range(40)), tmp_path, name)
    assert counted.broken == []
    assert counted.read + counted.refused == 40
