"""How close measured colours come to the truth: ``python -m tests.benchmarks.measurement [FOLDER ...]``.

Every photo with truth in the folders (by default every room of sample_photos) is measured as a room of its own, then
each room as a whole. Prints the whole table, then each case beside a straightforward pipeline and the target.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.room.reading import read_room
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Surface
from tests.benchmarks.straightforward import straightforward_labs
from tests.benchmarks.truth import TruePhoto, TrueSurface, room_text, truth_of_room, truths_in

SAMPLES = Path(__file__).parents[2] / "sample_photos"
# A colour below this share of the true outline is not asked for when colours are counted.
_COUNTED_SHARE = 0.025
_FEWEST_PLACES = 3  # places with cards, for leaving one out
# Shares are asked to be right to within this much: two colours closer than that may both be called the main one.
SHARE_TOLERANCE = 0.10
# Just noticeable difference in CIELAB: Mahy, Van Eycken & Oosterlinck 1994.
_TOLD_APART = 2.3


@dataclass(frozen=True, slots=True)
class Row:
    """One main colour, measured against its truth.

    ``de00`` and ``lrv_error`` are to the true colour of largest share, strictly. ``nearest_*`` are to the closest of
    the true colours that shares good to 0.10, as is asked of them, cannot rank: as large as the strict ones where
    the measurement is wrong, smaller where colours of nearly equal share changed places. ``told_apart_error`` counts
    true colours closer than a just noticeable difference as one. ``naive_*`` is what the straightforward pipeline made
    of the surface.
    """

    photo: str
    surface: str
    layout: str
    daylight: bool
    plain: bool
    de00: float
    nearest_de00: float
    lrv_error: float
    nearest_lrv_error: float
    doubt: float
    naive_de00: float
    naive_lrv_error: float
    share_error: float
    count_error: int
    told_apart_error: int

    @property
    def inside(self) -> bool:
        """Whether the stated 90 % interval of LRV holds the truth."""
        return abs(self.lrv_error) <= self.doubt


@dataclass(frozen=True, slots=True)
class Case:
    """``target`` is (dE00 median, dE00 90th percentile, LRV median, LRV 90th percentile); None where none is set."""

    name: str
    holds: Callable[[Row], bool]
    target: tuple[float, float, float, float] | None


def _own(row: Row) -> bool:
    return row.layout in ("grey card", "three cards")


def _three(row: Row) -> bool:
    return row.layout == "three cards"


CASES = (
    Case("card on it, daylight, plain curve", lambda r: _own(r) and r.daylight and r.plain, (2.5, 5, 1.5, 4)),
    Case("card on it, lamps", lambda r: _own(r) and not r.daylight, (3.5, 7, 2, 6)),
    Case("  of these plain curve", lambda r: _own(r) and not r.daylight and r.plain, None),
    Case("  of these S curve, three cards", lambda r: _three(r) and not r.daylight and not r.plain, None),
    Case("  of these S curve, grey alone", lambda r: _own(r) and not (_three(r) or r.daylight or r.plain), None),
    Case("three cards on it, S curve", lambda r: _three(r) and not r.plain, (3, 5.5, 1.4, 5)),
    Case("three cards on it", _three, (2.5, 5, 1.2, 3.5)),
    Case("grey card on it, either curve", lambda r: _own(r) and not _three(r), (3.5, 7, 2.5, 9)),
    Case("card elsewhere only", lambda r: r.layout == "elsewhere", (6, 12, 7, 20)),
    Case("cards on all others, own left out", lambda r: r.layout == "left out", None),
    Case("everything as photographed", lambda r: r.layout != "left out", None),
)


def main(arguments: Sequence[str]) -> None:
    """Measure every photo in the folders named, or in every sample room."""
    folders = [Path(a) for a in arguments] or sorted({p.parent for p in SAMPLES.glob("*/*.truth.json")})
    truths = [truth for folder in folders for truth in truths_in(folder) if truth.cards]
    print(HEADER)
    rows = [row for truth in truths for row in measure_photo(truth)]
    print("\nCards of one surface left out in turn")
    rows += [row for truth in truths for row in measure_without(truth)]
    summarise(f"{len(truths)} photos, each a room of its own", rows)
    rooms = [room for folder in folders for room in sorted(folder.glob("*.toml"))]
    if rooms:
        print(f"\nRooms as a whole: readings of all photos combined\n{HEADER}")
        summarise(f"{len(rooms)} rooms as a whole", [row for room in rooms for row in measure_whole_room(room)])


HEADER = (
    f"{'photo':<44} {'surface':<9} {'cards':<11} {'light':<10} {'tone':<5} {'share':>5} {'truth L a b':>20}  "
    f"{'found L a b':>20} {'share':>5} {'part':<6} {'dE00':>5} {'nearest':>7} {'LRV off':>7} {'nearest':>7} "
    f"{'90 % +-':>7} {'in':<3} {'colours':<8} {'plain way: dE00':>15} {'LRV off':>7}"
)


def measure_without(truth: TruePhoto) -> Iterable[Row]:
    """Yield a row for each surface of a photo with cards on three or more, measured as if its own were not there."""
    lying_on = {card[3] for card in truth.cards}
    if len(lying_on) < _FEWEST_PLACES:
        return
    naive = straightforward_labs(truth)
    for surface in truth.surfaces:
        if surface.name in lying_on:
            others = replace(truth, cards=tuple(card for card in truth.cards if card[3] != surface.name))
            title = f"{truth.path.parent.name}/{truth.path.stem}"
            row = _row(title, surface, _measured(others)[surface.name], naive[surface.name], others)
            yield replace(row, layout="left out")


def _measured(truth: TruePhoto) -> dict[str, Surface]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "room.toml"
        path.write_text(room_text(truth), encoding="utf-8")
        return {s.name: s for s in measure_room(read_room(path)).surfaces}


def measure_photo(truth: TruePhoto) -> Iterable[Row]:
    """Yield a row for each surface of one photo, and print it."""
    surfaces = _measured(truth)
    naive = straightforward_labs(truth)
    for surface in truth.surfaces:
        yield _row(
            f"{truth.path.parent.name}/{truth.path.stem}", surface, surfaces[surface.name], naive[surface.name], truth
        )


def measure_whole_room(path: Path) -> Iterable[Row]:
    """Yield a row for each surface of a room file whose photos have truth, and print it."""
    room = read_room(path)
    files = {entry.file for entry in room.photos}
    truths = [truth for truth in truths_in(path.parent) if truth.path.name in files]
    expected = truth_of_room(truths)
    whole = next((t for t in truths if room.path_of(room.photos[0]).name == t.path.name), truths[0])
    naive = straightforward_labs(whole)
    for surface in measure_room(room).surfaces:
        if surface.name in expected:
            shot = max(truths, key=lambda t: ("elsewhere", "grey card", "three cards").index(t.layout(surface.name)))
            missing = np.full(3, np.nan)
            yield _row(
                f"{path.parent.name}/{path.stem}",
                expected[surface.name],
                surface,
                naive.get(surface.name, missing),
                shot,
            )


def _row(title: str, truth: TrueSurface, found: Surface, naive: Floats, shot: TruePhoto) -> Row:
    main, expected = found.colours[0], truth.colours[0]
    lab = np.asarray(expected.lab)
    tied = [c for c in truth.colours if c.share >= expected.share - SHARE_TOLERANCE]
    nearest = min(tied, key=lambda c: float(delta_e_2000(main.lab, np.array(c.lab))))
    row = Row(
        photo=title,
        surface=truth.name,
        layout=shot.layout(truth.name),
        daylight=shot.daylight,
        plain=shot.plain,
        de00=float(delta_e_2000(main.lab, lab)),
        nearest_de00=float(delta_e_2000(main.lab, np.array(nearest.lab))),
        lrv_error=float(lrv(main.lab)) - expected.lrv,
        nearest_lrv_error=float(lrv(main.lab)) - nearest.lrv,
        doubt=NINETY_PERCENT * lrv_sd(main.lab, main.covariance),
        naive_de00=float(delta_e_2000(naive, lab)),
        naive_lrv_error=float(lrv(naive)) - expected.lrv,
        share_error=main.share - expected.share,
        count_error=len(found.colours) - sum(c.share >= _COUNTED_SHARE for c in truth.colours),
        told_apart_error=len(found.colours) - _told_apart(truth),
    )
    count = len(found.colours)
    print(
        f"{title:<44} {truth.name:<9} {row.layout:<11} {'+'.join(shot.lights):<10} {'plain' if shot.plain else 'S':<5}"
        f" {expected.share:5.2f} {_text(lab):>20}  {_text(main.lab):>20} {main.share:5.2f} {main.part:<6}"
        f" {row.de00:5.1f} {row.nearest_de00:7.1f} {row.lrv_error:+7.1f} {row.nearest_lrv_error:+7.1f}"
        f" {row.doubt:7.1f}"
        f" {'yes' if row.inside else 'NO':<3} {f'{count} of {count - row.count_error}':<8}"
        f" {row.naive_de00:15.1f} {row.naive_lrv_error:+7.1f}"
    )
    return row


def _text(lab: Floats) -> str:
    return " ".join(f"{part:6.1f}" for part in lab)


def _told_apart(truth: TrueSurface) -> int:
    """Return how many of the true colours an eye tells apart from every larger one."""
    kept: list[tuple[float, float, float]] = []
    for colour in truth.colours:
        differs = all(float(delta_e_2000(np.array(colour.lab), np.array(k))) >= _TOLD_APART for k in kept)
        if colour.share >= _COUNTED_SHARE and differs:
            kept.append(colour.lab)
    return len(kept)


def summarise(title: str, rows: Sequence[Row]) -> None:
    """Print median / 90th percentile of each case, beside the straightforward pipeline and the target."""
    print(f"\n{title}: main colour of each surface, median / 90th percentile")
    print(
        f"{'case':<36} {'n':>3}  {'dE00':>12} {'nearest':>12} {'LRV off':>13} {'nearest':>13} {'in 90 %':>8}"
        f" {'share off':>10} {'colours +-1':>12} {'(told apart)':>12}"
        f"   {'plain way dE00':>14} {'LRV off':>13}   target dE00, LRV"
    )
    for case in CASES:
        chosen = [row for row in rows if case.holds(row)]
        if chosen:
            print(_summary_line(case, chosen))


def _summary_line(case: Case, rows: Sequence[Row]) -> str:
    inside = np.mean([row.inside for row in rows])
    share = np.median([abs(row.share_error) for row in rows])
    count = np.mean([abs(row.count_error) <= 1 for row in rows])
    told_apart = np.mean([abs(row.told_apart_error) <= 1 for row in rows])
    return (
        f"{case.name:<36} {len(rows):>3}  {_spread([r.de00 for r in rows]):>12}"
        f" {_spread([r.nearest_de00 for r in rows]):>12} {_spread([r.lrv_error for r in rows]):>13}"
        f" {_spread([r.nearest_lrv_error for r in rows]):>13} {inside:>8.0%}"
        f" {share:>10.3f} {count:>12.0%} {told_apart:>12.0%}   {_spread([r.naive_de00 for r in rows]):>14}"
        f" {_spread([r.naive_lrv_error for r in rows]):>13}   {_target(case)}"
    )


def _spread(values: Sequence[float]) -> str:
    size = np.abs(np.asarray(values))
    return f"{np.nanmedian(size):.2f} / {np.nanquantile(size, 0.9):.2f}"


def _target(case: Case) -> str:
    if case.target is None:
        return ""
    de_median, de_high, lrv_median, lrv_high = case.target
    return f"{de_median:g} / {de_high:g}, {lrv_median:g} / {lrv_high:g}"


if __name__ == "__main__":
    main(sys.argv[1:])
