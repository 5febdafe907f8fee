"""How long the whole job takes and how much memory: ``python -m tests.benchmarks.speed [ROUNDS]``.

The yardstick is ``cv2.imread`` of the same 12 megapixel JPEG in the same run, taken in turn with the job so that both
meet the same machine. Times are medians and best of several rounds, after imports and one round to warm up.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from matcher import service
from matcher.advice.settle import what_would_settle
from matcher.paints.deck import Deck
from matcher.photo.reading import read_photo
from matcher.ranking.question import ask
from matcher.ranking.rank import rank
from matcher.report.output import to_json
from matcher.room.reading import read_room
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Surface
from tests.benchmarks.large_job import FINE, SMOOTH, write_deck, write_photo, write_room

_ROUNDS = 9
_PAINTS, _MANY_PAINTS = 3_000, 100_000
_RATIO_TARGET, _RANKING_TARGET_S, _MEMORY_TARGET_MB = 2.0, 0.5, 450
_COLD_TARGET, _COLD_ROUNDS = 10.0, 5
_MEMORY_FLAG = "--memory"
_COMMAND = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"


def main(arguments: list[str]) -> None:
    """Print times, ratio and peak memory against the targets."""
    if arguments[:1] == [_MEMORY_FLAG]:
        _job(Path(arguments[1]), Path(arguments[2]))
        print(_peak_mb())
        return
    rounds = int(arguments[0]) if arguments else _ROUNDS
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        deck = write_deck(folder, _PAINTS)
        for texture in (FINE, SMOOTH):
            photo = write_photo(folder, texture)
            room = write_room(folder, photo)
            print(f"{photo.stat().st_size / 1e6:.1f} MB JPEG of 12 megapixels, {_PAINTS} paints, {rounds} rounds")
            _print_job(photo, room, deck, rounds)
            _print_cold(photo, room, deck)
        _print_stages(room, deck, rounds)
        _print_many(room, write_deck(folder, _MANY_PAINTS))
        _print_memory(room, deck)


def _job(room: Path, deck: Path) -> str:
    """From files to the content of result.json; the page and its pictures stay out."""
    result = service.rank(room, deck_path=deck).result
    return to_json(result)


def _print_job(photo: Path, room: Path, deck: Path, rounds: int) -> None:
    texts = {_job(room, deck), _job(room, deck)}
    assert len(texts) == 1, "the same inputs gave two results"
    decode, whole = [], []
    for _ in range(rounds):
        decode.append(_seconds(lambda: cv2.imread(str(photo))))
        whole.append(_seconds(lambda: _job(room, deck)))
    ratio = np.median(whole) / np.median(decode)
    print(f"cv2.imread                    {_times(decode)}")
    print(f"whole job, files to result    {_times(whole)}")
    print(f"ratio of medians {ratio:.2f}, of best {min(whole) / min(decode):.2f}   target <= {_RATIO_TARGET:g}")


def _print_cold(photo: Path, room: Path, deck: Path) -> None:
    """Print what a new process costs beyond its help: the command line as a user meets it, pictures and page too."""
    asked = ["shortlist", str(room), "--deck", str(deck), "--out", str(room.parent / "cold"), "-q"]
    job, bare, decode = [], [], []
    for _ in range(_COLD_ROUNDS):
        decode.append(_seconds(lambda: cv2.imread(str(photo))))
        bare.append(_seconds(lambda: _command("--help")))
        job.append(_seconds(lambda: _command(*asked)))
    ratio = (min(job) - min(bare)) / min(decode)
    print(f"cold: shortlist {1e3 * min(job):.0f} ms, help {1e3 * min(bare):.0f} ms at best; "
          f"difference over imread {ratio:.1f}   target <= {_COLD_TARGET:g}")  # fmt: skip


def _command(*arguments: str) -> None:
    subprocess.run([sys.executable, "-c", _COMMAND, *arguments], check=True, capture_output=True)


def _print_stages(room_path: Path, deck_path: Path, rounds: int) -> None:
    room, deck = read_room(room_path), service.load_deck(deck_path)
    measured = measure_room(room)
    surfaces = measured.surfaces
    roles = ("walls", "trim", "cabinets")
    question = ask(roles, surfaces, deck)
    print(f"  {len(question.givens.lab)} surface colours, {len(deck)} paints")
    stages: dict[str, Callable[[], object]] = {
        "read the room file": lambda: read_room(room_path),
        "read the deck": lambda: service.load_deck(deck_path),
        "measure the room": lambda: measure_room(room),
        "  of that: decode the photo": lambda: read_photo(room.path_of(room.photos[0])),
        "compare with the deck": lambda: ask(roles, surfaces, deck),
        "500 draws, three roles": lambda: [rank(question, role, draws=500) for role in roles],
        "what would settle it": lambda: what_would_settle(replace(question, roles=roles[:2]), measured.photos),
    }
    for name, stage in stages.items():
        print(f"  {name:<28}{_times([_seconds(stage) for _ in range(rounds)])}")
    from_measured = [
        _seconds(lambda: service.rank(room_path, deck_path=deck_path)) - _seconds(lambda: measure_room(room))
        for _ in range(rounds)
    ]
    print(f"  {'from measured to result':<28}{_times(from_measured)}")


def _print_many(room_path: Path, deck_path: Path) -> None:
    surfaces = measure_room(read_room(room_path)).surfaces
    deck = service.load_deck(deck_path)
    taken = [_seconds(lambda: _rank_walls(surfaces, deck)) for _ in range(5)]
    print(f"{_MANY_PAINTS} paints ranked for walls  {_times(taken)}   target < {1e3 * _RANKING_TARGET_S:.0f} ms")


def _rank_walls(surfaces: tuple[Surface, ...], deck: Deck) -> object:
    return rank(ask(["walls"], surfaces, deck), "walls", top=service.DEFAULT_TOP)


def _print_memory(room: Path, deck: Path) -> None:
    command = [sys.executable, "-m", "tests.benchmarks.speed", _MEMORY_FLAG, str(room), str(deck)]
    done = subprocess.run(command, check=True, capture_output=True, text=True, cwd=Path(__file__).parents[2])
    print(f"peak memory of a process that does the job {float(done.stdout):.0f} MB   target < {_MEMORY_TARGET_MB} MB")


def _peak_mb() -> float:
    """Return the peak resident memory of this process, MB.

    Linux hands the parent's peak on to ``getrusage`` of a child; its own stands in /proc.
    """
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return float(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _seconds(action: Callable[[], object]) -> float:
    start = time.perf_counter()
    action()
    return time.perf_counter() - start


def _times(seconds: list[float]) -> str:
    return f"median {1e3 * np.median(seconds):7.1f} ms, best {1e3 * min(seconds):7.1f} ms"


if __name__ == "__main__":
    main(sys.argv[1:])
