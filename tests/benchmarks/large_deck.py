"""A hundred thousand paints and a million: how long, and how much memory, as CSV and as Parquet.

    python -m tests.benchmarks.large_deck [PAINTS ...]

Prints a table: seconds of processor (our own and the workers') and peak memory, a process each. "read" and "ranked" are
parts of one process: a deck read, and ranked for three roles beside four surfaces, scheme included; what a process does
once (importing, tables) is done before. All other lines are whole commands, starting up included: ``givens shortlist``
on a room of four surfaces whose light is known, so that every paint is looked at hour by hour; the deck checked and
described; one paint described, its neighbours found. The last column is what the largest deck takes in terms of the
smallest, a paint: 1 is linear. Exits with 1 where a line is above 1.3, or above 2 GB, or reading takes longer than
ranking.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.large_job import colours

SIZES = (100_000, 1_000_000)
_KINDS = (".csv", ".parquet")
_MOST, _MOST_MB = 1.3, 2000.0
_GIVENS = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"
_PART, _JOB = "tests.benchmarks.large_deck", "givens shortlist"
_COMMANDS = {
    _JOB: ("shortlist", "ROOM", "--deck", "DECK", "--out", "OUT", "-q"),
    "givens deck check": ("deck", "check", "DECK"),
    "givens deck describe": ("deck", "describe", "DECK", "--json"),
    "givens paint describe": ("paint", "describe", "P77", "--deck", "DECK"),
    "givens paint near": ("paint", "near", "P77", "--deck", "DECK"),
}
_ROOM = """[room]
name = "Large"
facing = "N"
lamps_k = 2700
[wishes]
roles = ["walls", "trim", "cabinets"]
"""
# A pale stone with a vein, oak, a plain tile, a green textile: invented.
_SURFACES = (
    ("worktop", "stone", "colours = [{share = 0.8, lab = [86.0, 0.0, 1.0]}, {share = 0.2, lab = [64.0, -0.5, -2.0]}]"),
    ("floor", "timber", "lab = [55.0, 14.0, 28.0]"),
    ("tile", "tile", "lab = [92.0, -1.0, 4.0]"),
    ("sofa", "textile", "lab = [48.0, -4.0, 9.0]"),
)

Figures = dict[str, tuple[float, float]]


def write(folder: Path, paints: int) -> dict[str, Path]:
    """Write the same deck as CSV and as Parquet: invented paints, mostly muted."""
    import pyarrow as pa
    from pyarrow import csv, parquet

    lab = colours(paints)
    table = pa.table(
        {
            "code": [f"P{number}" for number in range(paints)],
            "name": [f"Paint number {number}" for number in range(paints)],
            **{name: lab[:, axis].round(2) for axis, name in enumerate("Lab")},
            "collection": [f"Collection {number % 40}" for number in range(paints)],
        }
    )
    found = {kind: folder / f"{paints}{kind}" for kind in _KINDS}
    csv.write_csv(table, found[".csv"], csv.WriteOptions(quoting_style="none"))
    parquet.write_table(table, found[".parquet"])
    return found


def job(path: Path) -> tuple[float, float]:
    """Return the seconds of processor that reading and ranking take."""
    import numpy as np

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


def measured(folder: Path, deck: Path, warm: Path) -> Figures:
    """Return seconds and megabytes of every line of the table, each in a process of its own."""
    words = {"ROOM": str(folder / "room.toml"), "DECK": str(deck), "OUT": str(folder / "out")}
    said, _, peak = _run(sys.executable, "-m", _PART, "part", str(warm), str(deck))
    read, ranked = map(float, said.split())
    found = {"read": (read, peak), "ranked": (ranked, peak)}
    for name, command in _COMMANDS.items():
        _, seconds, peak = _run(sys.executable, "-c", _GIVENS, *(words.get(word, word) for word in command))
        found[name] = seconds, peak
    return found


def _run(*command: str) -> tuple[str, float, float]:
    """Return what a command printed, at most its last thousand letters, its seconds and its peak, MB: no less than what
    this process held when it began the other.
    """
    with tempfile.TemporaryFile() as out:
        process = subprocess.Popen(command, stdout=out)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            raise subprocess.CalledProcessError(process.returncode, command)
        out.seek(max(0, out.seek(0, os.SEEK_END) - 1000))
        return out.read().decode(), used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main(sizes: list[int]) -> int:
    """Print the table; return 1 where a line takes more than it may."""
    amiss = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        surfaces = (f'[[surfaces]]\nname = "{name}"\nmaterial = "{kind}"\n{text}\n' for name, kind, text in _SURFACES)
        (folder / "room.toml").write_text(_ROOM + "".join(surfaces), encoding="utf-8")
        warm = write(folder, 1000)
        found: dict[tuple[int, str], Figures] = {}
        for paints in sizes:
            for kind, deck in write(folder, paints).items():
                found[paints, kind] = measured(folder, deck, warm[kind])
        least, most = min(sizes), max(sizes)
        heads = "".join(f"{f'{paints:,}':>20}" for paints in sizes)
        print(f"{'paints':34}{heads}{'a paint':>9}")
        for kind in _KINDS:
            for line in found[most, kind]:
                columns = [found[paints, kind][line] for paints in sizes]
                small, large = found[least, kind][line], found[most, kind][line]
                ratio = large[0] / small[0] * least / most
                shown = "".join(f"{f'{seconds:.2f} s {peak:.0f} MB':>20}" for seconds, peak in columns)
                print(f"{f'{line} {kind[1:]}':34}{shown}{ratio:9.2f}")
                amiss += [f"{line} {kind}"] if ratio > _MOST or large[1] > _MOST_MB else []
            figures = found[most, kind]
            amiss += [f"read {kind} is slower than ranked"] if figures["read"][0] > figures["ranked"][0] else []
    print("amiss:", "; ".join(amiss) or "nothing")
    return 1 if amiss else 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["part"]:
        job(Path(sys.argv[2]))
        print(*job(Path(sys.argv[3])))
    else:
        sys.exit(main([int(text) for text in sys.argv[1:]] or list(SIZES)))
