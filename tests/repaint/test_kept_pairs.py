"""The pairs kept in sample_photos: repainted, against the room rendered in the new paint (sample_photos/README.md)."""

from __future__ import annotations

import json

import pytest

from matcher.repaint.apply import apply
from matcher.room.reading import read_room
from tests.benchmarks.repainting import SAMPLES, Pair, card_way, pairs_in, prepared_of, ratio_way, truth_of

# dE00, mean over the area. Asked for is a median of 3; these two came to 2.3 and 2.4.
_MOST = 3.0


def kept() -> list[tuple[Pair, str]]:
    """Return each pair with the room file that holds its first picture; the last picture of a pair has none."""
    found = []
    for pair in pairs_in(SAMPLES):
        file = json.loads(pair.before.read_text(encoding="utf-8"))["file"]
        rooms = [p for p in sorted(pair.before.parent.glob("*.toml")) if f'"{file}"' in p.read_text(encoding="utf-8")]
        found += [(pair, str(path)) for path in rooms]
    return found


def test_two_pairs_are_kept() -> None:
    assert {pair.role for pair, _ in kept()} == {"cabinets", "walls"}


@pytest.mark.parametrize(("pair", "room"), kept(), ids=[pair.title for pair, _ in kept()])
def test_closer_to_the_truth_than_both_simple_ways(pair: Pair, room: str) -> None:
    truth = truth_of(pair)
    prepared, _ = prepared_of(read_room(room), pair.role)
    off = truth.off(apply(prepared, pair.new))
    assert off < _MOST
    assert off < min(truth.off(ratio_way(pair, truth)), truth.off(card_way(pair, truth)))
