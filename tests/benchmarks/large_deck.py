"""A hundred thousand paints and a million: read, and ranked for three roles beside four surfaces, scheme included.

    python -m tests.benchmarks.large_deck

Prints seconds of processor for each part and peak memory, a process each, from CSV and from Parquet, and how the
million stands to ten times the hundred thousand. What a process does once (importing, tables) is done before.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

SIZES = (100_000, 1_000_000)


def write(folder: Path, paints: int) -> tuple[Path, Path]:
    """Write the same deck as CSV and as Parquet."""
    import pyarrow as pa
    from pyarrow import csv, parquet

    rng = np.random.default_rng(0)
    table = pa.table(
        {
            "code": [f"P{number}" for number in range(paints)],
            "name": [f"Paint number {number}" for number in range(paints)],
            "L": np.round(rng.uniform(20, 97, paints), 2),
            "a": np.round(rng.normal(2, 10, paints), 2),
            "b": np.round(rng.normal(8, 14, paints), 2),
            "collection": [f"Collection {number % 40}" for number in range(paints)],
        }
    )
    plain, packed = folder / f"{paints}.csv", folder / f"{paints}.parquet"
    csv.write_csv(table, plain, csv.WriteOptions(quoting_style="none"))
    parquet.write_table(table, packed)
    return plain, packed


def job(path: Path) -> tuple[float, float]:
    """Return the seconds of processor that reading and ranking take."""
    from matcher.paints.reading import read_deck
    from matcher.ranking.paint_columns import paints_of
    from matcher.ranking.question import ask
    from matcher.ranking.rank import rank
    from matcher.scheme.build import build_scheme
    from tests.benchmarks.edition import ROLES, surfaces_of

    begun = time.process_time()
    deck = read_deck(path)
    read = time.process_time()
    question = ask(ROLES, surfaces_of(np.random.default_rng(1)), deck, paints=paints_of(deck))
    for role in question.roles:
        rank(question, role)
    build_scheme(question)
    return read - begun, time.process_time() - read


def main() -> None:
    """Print a line for each deck."""
    with tempfile.TemporaryDirectory() as place:
        small = write(Path(place), 1000)
        found: dict[tuple[int, str], tuple[float, float]] = {}
        for paints in SIZES:
            for path in write(Path(place), paints):
                warm = next(one for one in small if one.suffix == path.suffix)
                command = [sys.executable, "-m", "tests.benchmarks.large_deck", str(warm), str(path)]
                said = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
                read, ranked, peak = (float(word) for word in said)
                found[paints, path.suffix] = read, ranked
                print(f"{paints:>9,} {path.suffix:8} read {read:5.2f} s, ranked {ranked:5.2f} s, peak {peak:5.0f} MB")
        for suffix in (".csv", ".parquet"):
            read, ranked = (large / small / 10 for small, large in zip(*(found[n, suffix] for n in SIZES), strict=True))
            print(f"{suffix[1:]:8} a million to ten times a hundred thousand: read {read:.2f}, ranked {ranked:.2f}")


if __name__ == "__main__":
    if sys.argv[1:]:
        job(Path(sys.argv[1]))
        took = job(Path(sys.argv[2]))
        print(*took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
    else:
        main()
