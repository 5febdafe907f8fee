"""What one room may hold: over each limit one message that names it, up to it time and memory in proportion."""

from __future__ import annotations

import json
import math
import time
import tracemalloc
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import RoomFileError
from matcher.room.draft import checked_draft
from matcher.room.outline import MOST_POINTS, outline_fault
from matcher.room.reading import read_room, room_of

Points = list[list[float]]
HEAD = '[room]\nname = "x"\n'
PHOTO = '[[photos]]\nfile = "whole.png"\n'
SURFACE = '[[photos.surfaces]]\nname = "s"\nmaterial = "stone"\n'


def ring(count: int) -> Points:
    angles = (2 * math.pi * number / count for number in range(count))
    return [[round(100 + 90 * math.cos(angle), 3), round(50 + 45 * math.sin(angle), 3)] for angle in angles]


OVER: dict[str, tuple[str, str]] = {
    "points": (f"{HEAD}{PHOTO}{SURFACE}outline = {ring(12_000)}", "outline: has 12,000 points, more than 2,000"),
    "outlines": (
        f"{HEAD}{PHOTO}{SURFACE}outlines = {[ring(4)] * 501}",
        "photos[0]: has 501 outlines, more than 500",
    ),
    "photos": (HEAD + PHOTO * 501, "photos: has 501 entries, more than 500"),
    "surfaces": (HEAD + "[[surfaces]]\n" * 501, "surfaces: has 501 entries, more than 500"),
    "references": (HEAD + PHOTO + "[[photos.references]]\n" * 501, "photos[0].references: has 501 entries"),
    "areas": (HEAD + PHOTO + "[[photos.areas]]\n" * 501, "photos[0].areas: has 501 entries"),
    "keys": (HEAD + "".join(f"k{number} = 1\n" for number in range(200)), "room: has 201 keys, more than 100"),
    "roles": (f"{HEAD}[wishes]\nroles = {['walls'] * 3000}", "wishes.roles: has 3,000 entries, more than 2,000"),
    "dotted keys": (f"a{'.a' * 20_000} = 1", "a key of more than 20 parts"),
    "lists": (f"a = {'[' * 100_000}", "nested too deeply"),
    "bytes": ("# \n" * 3_400_000, "is 10.2 MB, more than the 10 MB that a room file may have"),
}


@pytest.mark.parametrize(("text", "words"), OVER.values(), ids=OVER.keys())
def test_over_a_limit_there_is_one_message(write: Callable[[str], Path], text: str, words: str) -> None:
    with pytest.raises(RoomFileError) as refused:
        read_room(write(text))
    (problem,) = refused.value.problems
    assert words in str(problem)
    assert problem.remedy


def test_an_outline_at_the_limit_is_read(write: Callable[[str], Path]) -> None:
    room = read_room(write(f"{HEAD}{PHOTO}{SURFACE}outline = {ring(MOST_POINTS)}"))
    assert len(room.photos[0].surfaces[0].polygons[0]) == MOST_POINTS


def test_a_room_kept_as_tables_has_the_same_limits() -> None:
    photo = {"file": "a.jpg", "surfaces": [{"name": "s", "material": "stone", "outline": ring(2001)}]}
    document: dict[str, Any] = {"room": {"name": "x"}, "photos": [photo]}
    for reading in (checked_draft, lambda given: room_of(given, {})):
        with pytest.raises(RoomFileError, match=r"surfaces\[0\]\.outline: has 2,001 points, more than 2,000"):
            reading(document)
    photo["surfaces"] = [{"name": "s", "material": "stone", "outlines": [ring(MOST_POINTS)] * 51}]
    with pytest.raises(RoomFileError, match="photos: has 102,000 points in all outlines, more than 100,000"):
        room_of(document, {})
    deep: dict[str, Any] = {"room": {"name": "x", "kind": json.loads("[" * 500 + "]" * 500)}}
    with pytest.raises(RoomFileError, match="is nested more than 20 deep"):
        checked_draft(deep)


def test_a_file_with_a_thousand_mistakes_names_the_first_and_says_there_are_more(write: Callable[[str], Path]) -> None:
    with pytest.raises(RoomFileError) as refused:
        read_room(write(f"{HEAD}[wishes]\nroles = {['wals'] * 1500}"))
    assert len(refused.value.problems) == 201
    assert "there are more mistakes" in str(refused.value.problems[-1])


def test_a_key_of_many_letters_is_shown_shortened(write: Callable[[str], Path]) -> None:
    with pytest.raises(RoomFileError) as refused:
        read_room(write(f'{HEAD}"{"k" * 500_000}" = 1'))
    assert len(str(refused.value)) < 1000


def test_the_check_of_crossings_is_bounded_in_memory_and_time() -> None:
    """All edges long and side by side: no two boxes lie apart, which is the worst there is."""
    half = MOST_POINTS // 2
    there = [(float(number), 1000.0 * (number % 2)) for number in range(half)]
    points = [*there, *((x + 0.25, y + 5000) for x, y in reversed(there))]
    tracemalloc.start()
    begun = time.perf_counter()
    assert outline_fault(points) is None
    taken, peak = time.perf_counter() - begun, tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert taken < 5
    assert peak < 60_000_000


def cross_properly(one: tuple[Points, Points], other: tuple[Points, Points]) -> bool:
    """Tell by exact arithmetic whether two edges cross inside both (the textbook test by four orientations)."""

    def turn(a: Any, b: Any, c: Any) -> int:
        value = (Fraction(b[0]) - Fraction(a[0])) * (Fraction(c[1]) - Fraction(a[1])) - (
            Fraction(b[1]) - Fraction(a[1])
        ) * (Fraction(c[0]) - Fraction(a[0]))
        return (value > 0) - (value < 0)

    return turn(*one, other[0]) * turn(*one, other[1]) < 0 and turn(*other, one[0]) * turn(*other, one[1]) < 0


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=14))
def test_the_first_crossing_is_that_of_exact_arithmetic_over_all_pairs(points: list[tuple[int, int]]) -> None:
    edges = list(zip(points, [*points[1:], points[0]], strict=True))
    crossing = next(
        (
            (first, second)
            for (first, one), (second, other) in combinations(enumerate(edges), 2)
            if cross_properly(one, other)  # type: ignore[arg-type]  # whole numbers are numbers
        ),
        None,
    )
    fault = outline_fault([(float(x), float(y)) for x, y in points])
    if crossing is None:
        assert fault is None or "encloses no area" in fault
    else:
        first, second = crossing
        words = f"crosses itself: the edge after point {first + 1} and the edge after point {second + 1}"
        assert fault is not None
        assert words in fault


def test_many_random_edges_name_the_first_crossing_in_blocks() -> None:
    rng = np.random.default_rng(5)
    points = [(float(x), float(y)) for x, y in rng.integers(0, 1000, (900, 2))]
    edges = list(zip(points, [*points[1:], points[0]], strict=True))
    expected = next(
        second
        for second in range(1, 900)
        if cross_properly(edges[0], edges[second])  # type: ignore[arg-type]
    )
    assert f"the edge after point 1 and the edge after point {expected + 1}" in str(outline_fault(points))
