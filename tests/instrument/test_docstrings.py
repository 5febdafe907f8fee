"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from matcher.exchange import conversion
from matcher.instrument import conditions, decimals, letters, spectra


@pytest.mark.parametrize(
    "module", [conversion, decimals, letters, conditions, spectra], ids=lambda module: module.__name__
)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
