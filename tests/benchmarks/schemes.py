"""How long a proved scheme takes: six roles, four surfaces and a random deck; with wishes, with one choice changed, and
with one and two rooms in view. Processor time of this process, from the measured surfaces on.

    python -m tests.benchmarks.schemes [PAINTS] [SEEDS]
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.ranking.limits import Contrast, Limits
from matcher.ranking.question import Question, Setting, ask
from matcher.scheme.build import build_scheme
from matcher.scheme.choosing import choose
from matcher.scheme.sightlines import SeenRoom
from matcher.surfaces.surface import Surface, SurfaceColour

Rows = Sequence[Sequence[float]]
ROLES = ("walls", "trim", "ceiling", "cabinets", "island", "accent")
KITCHEN: dict[str, Rows] = {
    "floor": [(1, 55, 14, 28)],
    "worktop": [(0.9, 86, 0, 1), (0.1, 66, 1.5, 6)],
    "tile": [(1, 74, 8, 10)],
    "hearth": [(0.7, 45, -1, 2), (0.3, 46, 12, 20)],
}
HALL: dict[str, Rows] = {"hall floor": [(1, 48, 22, 26)], "stair": [(1, 70, 5, 17)]}
STUDY: dict[str, Rows] = {"hearth": [(1, 28, 0, -1)], "carpet": [(1, 62, 2, 8)]}
WISHES = {
    "no wishes": Limits(),
    "an LRV and two contrasts": Limits(
        lrv={"cabinets": (5, 25)}, contrasts=(Contrast(("walls", "trim"), 20), Contrast(("walls", "cabinets"), 30))
    ),
    "three paints at most": Limits(most_paints=3),
    "wishes that fight": Limits(most_paints=1, contrasts=(Contrast(("walls", "trim"), 40),)),
}


def surfaces(rows: dict[str, Rows]) -> list[Surface]:
    """Return surfaces of (share, L, a, b) rows."""
    found, doubt = [], 0.5 * np.eye(3)
    for name, colours in rows.items():
        parts = tuple(SurfaceColour(np.array(lab, float), doubt, share, "field") for share, *lab in colours)
        mean = np.average([part.lab for part in parts], axis=0, weights=[part.share for part in parts])
        found.append(Surface(name, "other", parts, mean, doubt, 1 / len(rows), "instrument", True))
    return found


def random_deck(count: int, seed: int) -> Deck:
    """Return a deck of so many paints, half of them near-neutral, as a fan deck is."""
    rng = np.random.default_rng(seed)
    lightness = rng.beta(3, 1.5, count) * 78 + 18
    angle, chroma = rng.uniform(0, 2 * np.pi, count), rng.gamma(1.5, 6, count)
    lab = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle) + 3], axis=1)
    codes = tuple(f"p{row}" for row in range(count))
    return Deck("random", "", codes, codes, ("",) * count, lab, lrv(lab), np.zeros(count, bool), None)


def main(count: int = 3000, seeds: int = 5) -> None:
    """Print the median and the longest time of each case, and how many were proved."""
    print(f"{count} paints, {len(ROLES)} roles, {len(KITCHEN)} surfaces, {seeds} decks: median, longest, proved")
    decks = [random_deck(count, seed) for seed in range(seeds)]
    _whole(decks[0], Limits())  # imports and tables
    for name, limits in WISHES.items():
        _told(f"choice alone, {name}", [partial(_choice, deck, limits) for deck in decks])
        _told(f"whole scheme, {name}", [partial(_whole, deck, limits) for deck in decks])
    _told("whole scheme, one pin changed", [partial(_changed, deck) for deck in decks])
    for rooms, name in (((HALL,), "one room in view"), ((HALL, STUDY), "two rooms in view")):
        for one_trim in (False, True):
            said = f"whole scheme, {name}{', one trim' if one_trim else ''}"
            _told(said, [partial(_in_view, deck, rooms, one_trim=one_trim) for deck in decks])


def _choice(deck: Deck, limits: Limits) -> bool:
    return choose(_kitchen(deck, limits)).found.proven


def _whole(deck: Deck, limits: Limits) -> bool:
    return build_scheme(_kitchen(deck, limits)).optimal


def _kitchen(deck: Deck, limits: Limits) -> Question:
    return ask(ROLES, surfaces(KITCHEN), deck, Setting(limits=limits))


def _changed(deck: Deck) -> bool:
    question = _kitchen(deck, Limits())
    pinned = replace(question.setting, pins={"walls": int(np.argmin(np.abs(deck.lrv - 55)))})
    return build_scheme(replace(question, setting=pinned)).optimal


def _in_view(deck: Deck, rooms: Sequence[dict[str, Rows]], *, one_trim: bool) -> bool:
    seen = [
        SeenRoom(f"{place}.toml", str(place), "door", ask(("walls", "trim", "ceiling", "door"), surfaces(room), deck))
        for place, room in enumerate(rooms)
    ]
    return build_scheme(_kitchen(deck, Limits(one_trim=one_trim)), seen).optimal


def _told(name: str, runs: Sequence[Callable[[], bool]]) -> None:
    times, proved = [], 0
    for run in runs:
        start = time.process_time()
        proved += run()
        times.append(time.process_time() - start)
    print(f"{name:50} {statistics.median(times):6.2f} s {max(times):6.2f} s {proved} of {len(runs)}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
