"""Folders made once and copied by every process that runs tests side by side with others."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest


def made_once(folders: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """Return the folder that ``make`` makes at the path it is given, or that another of these processes made."""
    own = folders.getbasetemp()
    if "PYTEST_XDIST_WORKER" not in os.environ:
        make(own / name)
        return own / name
    import fcntl  # Windows has none

    folder = own.parent / name
    with folder.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            begun = folder.with_suffix(".begun")
            # Of one that was killed meanwhile.
            shutil.rmtree(begun, ignore_errors=True)
            make(begun)
            begun.rename(folder)
    return folder
