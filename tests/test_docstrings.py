"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

HERE = Path(__file__).parents[1]
MODULES = [
    ".".join(path.relative_to(HERE).with_suffix("").parts)
    for path in sorted((HERE / "matcher").rglob("*.py"))
    if ">>>" in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("name", MODULES)
def test_docstring_examples(name: str) -> None:
    result = doctest.testmod(import_module(name))
    assert result.attempted > 0
    assert result.failed == 0
