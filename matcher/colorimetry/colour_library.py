"""colour-science, which carries the CIE tables: it takes a second to import, so it is loaded when first asked for."""

from __future__ import annotations

import warnings
from functools import cache
from importlib import import_module
from types import ModuleType


@cache
def colour_library() -> ModuleType:
    """Import colour-science without its notice that the plotting library, which we do not use, is absent."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message='"Matplotlib" related API features', category=Warning)
        return import_module("colour")
