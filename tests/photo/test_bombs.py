"""Small files that mean harm cost a worker, at most, and yield one message: never the memory or the time of a server.

What they took before lengths were checked and workers limited, in the process that asked: 3.9 GB (false picture
length), 2.5 GB (both WebP), 1.6 GB (black PNG), more than 40 s (scans).
"""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from matcher.errors import PhotoError
from matcher.photo import reading
from matcher.photo.memory_need import hard_limit, memory_for
from matcher.photo.reading import read_photo
from matcher.room.photo_size import upright_size
from tests.photo.bombs import BOMBS, write_bombs
from tests.photo.conftest import Save, quadrants
from tests.workers import jobs

ROOT = Path(__file__).parents[2]
# A server at rest takes some 200 MB; beside it a worker has to stay below 600 MB in all.
_MOST_MB, _MOST_S = 400, 10
_READ = {"frames.webp", "header.jpg"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("bombs")
    write_bombs(path)
    return path


@pytest.fixture(scope="module")
def outcomes(folder: Path) -> dict[str, dict[str, Any]]:
    """What became of each, in a process of its own that did nothing else."""
    command = [sys.executable, "-m", "tests.photo.bombs", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return {entry["file"]: entry for entry in map(json.loads, done.stdout.splitlines())}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_takes_neither_memory_nor_time(outcomes: dict[str, dict[str, Any]], name: str) -> None:
    outcome = outcomes[name]
    assert outcome["peak_mb"] < _MOST_MB
    assert outcome["seconds"] < _MOST_S
    if name not in _READ:
        assert outcome["refused"]
        (message,) = outcome["said"]
        assert name in message
        assert "\n" not in message
        assert "break down" not in message


def test_what_is_read_of_them_is_the_picture(outcomes: dict[str, dict[str, Any]]) -> None:
    assert outcomes["frames.webp"]["said"] == ["[1000 1000    3]"]
    assert outcomes["header.jpg"]["said"] == ["[100 100   3]"]


def test_the_size_of_a_bomb_is_asked_for_as_safely(folder: Path) -> None:
    sizes = [upright_size(folder / name) for name in BOMBS]
    assert len(sizes) == len(BOMBS)


def _lost(save: Save, monkeypatch: pytest.MonkeyPatch, job: Any) -> str:
    path = save(quadrants(), "photo.jpg")
    monkeypatch.setattr(reading, "photo_from_file", job)
    with pytest.raises(PhotoError) as caught:
        read_photo(path)
    (problem,) = caught.value.problems
    assert problem.where == str(path)
    assert problem.remedy
    return problem.what


def test_a_crash_is_one_message(save: Save, monkeypatch: pytest.MonkeyPatch) -> None:
    assert _lost(save, monkeypatch, jobs.crashing) == "made its decoder break down (SIGSEGV)"


def test_too_much_memory_is_one_message(save: Save, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "350 MB of memory" in _lost(save, monkeypatch, jobs.filling)


def test_too_much_time_is_one_message(save: Save, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "seconds_for", lambda size: 1.0)
    assert _lost(save, monkeypatch, jobs.endless) == "takes more than 1 seconds to decode"


def test_a_crash_leaves_the_neighbours_photo_alone(save: Save) -> None:
    path = save(quadrants(1600, 1200), "photo.png")
    with ThreadPoolExecutor(4) as threads:
        photos = [threads.submit(read_photo, path) for _ in range(6)]
        lost = threads.submit(reading.in_worker, path, jobs.killed, 0.0, signal.SIGABRT)
        assert {photo.result().full_size for photo in photos} == {(1600, 1200)}
        with pytest.raises(PhotoError):
            lost.result()


def test_more_is_granted_to_larger_files_only() -> None:
    assert memory_for(0) == memory_for(40_000_000) == 350_000_000
    assert memory_for(100_000_000) == 830_000_000
    assert memory_for(10**12) == 2_000_000_000
    assert hard_limit(memory_for(0)) == 385_000_000


def test_changed_files_are_read_or_refused() -> None:
    """A few seconds of what ``python -m tests.fuzz.photos`` does for as long as it is told."""
    command = [sys.executable, "-m", "tests.fuzz.photos", "3", "3"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert len(re.findall(r"[1-9]\d* read, [1-9]\d* refused", done.stdout)) >= 6
