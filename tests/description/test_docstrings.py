"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from matcher.description import body_word, depth, plain_word
from matcher.ranking import light


@pytest.mark.parametrize("module", [body_word, depth, plain_word, light], ids=lambda module: module.__name__)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
