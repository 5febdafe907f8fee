"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from matcher.instrument import agreement, ou_luo, tint, visual_contrast


@pytest.mark.parametrize("module", [agreement, ou_luo, tint, visual_contrast], ids=lambda module: module.__name__)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
