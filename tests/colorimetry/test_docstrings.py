"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from matcher.colorimetry import difference, iscc_nbs, lrv, munsell, spaces


@pytest.mark.parametrize("module", [difference, iscc_nbs, lrv, munsell, spaces], ids=lambda module: module.__name__)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
