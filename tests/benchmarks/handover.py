"""How long the sheets take and how true their swatches are: ``python -m tests.benchmarks.handover [ROUNDS]``.

The sample kitchen is measured and ranked once; then its client's document is made again and again, and drawn by PDFium.
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import replace

import numpy as np
from coloraide import Color

from matcher import service
from matcher.demo.location import demo_room
from matcher.handover.client import client_pdf
from matcher.handover.contents import Contents, Letterhead
from matcher.handover.schedule import schedule_pdf
from matcher.service.handover import contents_of
from tests.handover import pdf

_ROUNDS = 9
_TIME_TARGET_S, _SIZE_TARGET_MB, _COLOUR_TARGET_DE00 = 0.5, 3.0, 0.5


def worst_swatch(contents: Contents, file: bytes) -> float:
    """Return how far the worst paint or colour that stays is off on the scheme's page, dE00."""
    pixels, counts = np.unique(pdf.rendered(file, 1, 2.0).reshape(-1, 3), axis=0, return_counts=True)
    drawn = [Color("srgb", (rgb / 255).tolist()) for rgb in pixels[counts >= 400]]
    labs = [contents.labs[paint["code"]] for paint in contents.roles.values()]
    labs += [tuple(colour["lab"]) for surface in contents.stays for colour in surface["colours"]]
    return max(min(Color("lab-d65", lab).delta_e(colour, method="2000") for colour in drawn) for lab in labs)


def main() -> None:
    """Print the figures beside their targets."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else _ROUNDS
    with demo_room() as room:
        contents = contents_of(service.rank(room), letterhead=Letterhead("Example Colour Practice"), invented=True)
    times: dict[str, list[float]] = {"client.pdf": [], "schedule.pdf": []}
    client = b""
    for number in range(rounds):
        # Each round another room: typst keeps what it laid out once.
        there = replace(contents, result={**contents.result, "room": {"name": f"Kitchen {number}"}})
        start = time.perf_counter()
        client = client_pdf(there).pdf
        middle = time.perf_counter()
        schedule_pdf(there)
        times["client.pdf"].append(middle - start)
        times["schedule.pdf"].append(time.perf_counter() - middle)
    for name, taken in times.items():
        print(f"{name}: first {taken[0]:.2f} s, median {statistics.median(taken):.2f} s (target {_TIME_TARGET_S} s)")
    print(f"client.pdf: {len(pdf.texts(client))} pages, {len(client) / 1e6:.2f} MB (target {_SIZE_TARGET_MB} MB)")
    print(f"worst swatch: dE00 {worst_swatch(contents, client):.2f} (target {_COLOUR_TARGET_DE00})")


if __name__ == "__main__":
    main()
