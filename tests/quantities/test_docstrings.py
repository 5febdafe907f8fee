"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from matcher.quantities import film, hiding, sheen, spreading, tins, units
from matcher.report import amounts, csv_text, schedule
from matcher.room import country


@pytest.mark.parametrize(
    "module",
    [amounts, country, csv_text, film, hiding, schedule, sheen, spreading, tins, units],
    ids=lambda module: module.__name__,
)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
