"""Changed photos through the one door: ``python -m tests.fuzz.photos SECONDS [SEED [DECODER ...]]``.

Every file has to be read, or refused by one message; whatever else happens is a failure: another error, a mistake of
our own in the worker, more memory or time than a file may take. Prints how many of each there were, keeps the files
that failed in a folder that it names, and exits with 1 when there are any.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp

from matcher.errors import GivensError, PhotoError
from matcher.photo.memory_need import hard_limit, memory_for, seconds_for
from matcher.photo.reading import read_photo
from tests.fuzz.mutation import changed
from tests.fuzz.sound_files import sound_files
from tests.photo.bombs import peak_mb

# What a worker has before its first job, and what numpy and the decoders' libraries add to it.
_WORKER_MB = 75
_MOST_MB = _WORKER_MB + hard_limit(memory_for(0)) / 2**20
_MOST_S = seconds_for(0) + 4
_BREAKDOWN = "made its decoder break down"


@dataclass(slots=True)
class Tally:
    """What became of the files, in numbers; ``failures`` in words, one each."""

    counts: Counter[str] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)
    slowest_s: float = 0.0
    peak_mb: float = 0.0


def fuzz(seconds: float, seed: int, decoders: Sequence[str], keep: Path | None = None) -> Tally:
    """Send changed files through the door for ``seconds``, the decoders in turn; the same seed gives the same files."""
    rng, tally = random.Random(seed), Tally()
    files = [(decoder, name, data) for decoder, named in sound_files().items() for name, data in named.items()]
    chosen = [entry for entry in files if not decoders or entry[0] in decoders]
    until = time.monotonic() + seconds
    with TemporaryDirectory() as folder:
        while time.monotonic() < until:
            decoder, name, data = chosen[sum(tally.counts.values()) % len(chosen)]
            path = Path(folder) / name
            path.write_bytes(changed(data, rng))
            fault = _fault(path, tally)
            if fault:
                tally.counts["failed"] += 1
                tally.failures.append(f"{decoder}: {name}: {fault}")
                if keep:
                    (keep / f"{tally.counts['failed']} {name}").write_bytes(path.read_bytes())
    return tally


def _fault(path: Path, tally: Tally) -> str:
    """Read one file, count it, and return what was wrong with that, or nothing."""
    start = time.monotonic()
    try:
        photo = read_photo(path)
    except PhotoError as error:
        outcome, fault = _refusal(path, error)
    except (GivensError, ArithmeticError, LookupError, ValueError, TypeError, OSError, RuntimeError) as error:
        return f"{type(error).__name__}: {error}"
    else:
        shape, fits = photo.pixels.shape, min(photo.full_size) >= 64
        outcome, fault = "read", "" if len(shape) == 3 and shape[2] == 3 and fits else f"pixels of {shape}"
    taken, peak = time.monotonic() - start, peak_mb()
    tally.slowest_s, tally.peak_mb = max(tally.slowest_s, taken), max(tally.peak_mb, peak)
    if taken > _MOST_S:
        fault = fault or f"took {taken:.1f} s"
    if peak > _MOST_MB:
        fault = fault or f"a worker took {peak:.0f} MB"
    if not fault:
        tally.counts[outcome] += 1
    return fault


def _refusal(path: Path, error: PhotoError) -> tuple[str, str]:
    what = str(error)
    if len(error.problems) != 1 or error.problems[0].where != str(path) or not error.problems[0].remedy or "\n" in what:
        return "", f"no clear message: {what!r}"
    said = error.problems[0].what
    if said.startswith(_BREAKDOWN):
        # Without a signal it was an error of Python: one that our own code has to know.
        return "refused, the worker crashed", "" if "(" in said else said
    if said.startswith("takes more than"):
        return f"refused, too much {'memory' if 'memory' in said else 'time'}", ""
    return "refused", ""


def main(arguments: list[str]) -> int:
    """Fuzz, print, and return the exit code."""
    seconds, seed = float(arguments[0]), int(arguments[1]) if len(arguments) > 1 else 1
    keep, failed = Path(mkdtemp(prefix="fuzz-photos-")), False
    for decoder in arguments[2:] or sound_files():
        share = seconds if arguments[2:] else seconds / len(sound_files())
        tally = fuzz(share, seed, [decoder], keep)
        counts = ", ".join(f"{count} {name}" for name, count in sorted(tally.counts.items()))
        print(f"{decoder:8} {counts}; slowest {tally.slowest_s:.2f} s, peak {tally.peak_mb:.0f} MB", flush=True)
        for failure in tally.failures[:20]:
            print(f"  {failure}", flush=True)
        failed = failed or bool(tally.failures)
    if failed:
        print(f"kept in {keep}")
    return int(failed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
