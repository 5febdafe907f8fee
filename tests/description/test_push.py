"""What a surface is said to do to a paint: only what shows, in the trade's direction, and no more surely than that."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.description.push import Beside, Push, pushes

# Common practice, no published source: which way a consultant says that a neighbour pushes a quiet paint, at like
# lightness; words that the trade uses for one direction are parted by a bar.
JUDGED = [
    ([65.0, 0.0, 0.0], [58.0, 14.0, 32.0], "pushes", "blue"),  # a plain grey beside orange oak
    ([62.0, 1.5, -3.0], [58.0, 14.0, 32.0], "brings-out", "blue|violet"),  # a violet-grey turns lilac beside it
    ([62.0, -1.0, -4.0], [58.0, 14.0, 32.0], "brings-out", "blue"),  # a blue-grey beside it
    ([62.0, 0.5, 8.0], [58.0, 14.0, 32.0], "quietens", "blue"),  # a greige loses yellow beside it
    ([62.0, 0.0, 0.0], [60.0, -25.0, 15.0], "pushes", "mauve|violet"),  # a grey beside strong green
    ([62.0, 4.0, -1.0], [60.0, -25.0, 15.0], "brings-out", "mauve|violet"),  # a mauve-grey beside it
]


def push(paint: list[float], surface: list[float], *, known: bool = True) -> Push:
    lab = np.array(surface)
    return pushes(paint, [Beside("floor", lab, lab[None], known)])[0]


@pytest.mark.parametrize(("paint", "surface", "kind", "towards"), JUDGED)
def test_the_trade_says_the_same(paint: list[float], surface: list[float], kind: str, towards: str) -> None:
    found = push(paint, surface)
    assert (found.kind, found.claim) == (kind, "will")
    assert found.towards in towards.split("|")
    assert found.seen[0] >= 1


def test_nothing_is_claimed_below_what_shows() -> None:
    """Stronger and stronger surfaces: silence, "may" from the middle of the range, "will" from its weak end."""
    claims = []
    for chroma in np.linspace(0, 40, 81):
        found = push([60.0, 0.0, 0.0], [60.0, 0.45 * chroma, 0.9 * chroma])
        if found.claim is None:
            assert found.seen[0] < 1
        else:
            assert (found.seen[0] >= 1) == (found.claim == "will")
            assert found.seen[1] > 1
        claims.append(found.claim)
    assert list(dict.fromkeys(claims)) == [None, "may", "will"]


@pytest.mark.parametrize("surface", [[0.0, 0.0, 0.0], [86.0, 0.0, 1.0], [20.0, 6.0, 9.0], [76.0, 1.0, 6.0]])
def test_black_white_dark_and_quiet_surfaces_push_no_pale_grey(surface: list[float]) -> None:
    assert push([85.0, 0.0, 0.0], surface).claim is None


def test_a_surface_whose_lean_is_not_known_is_not_said_to_push() -> None:
    assert push([65.0, 0.0, 0.0], [58.0, 14.0, 32.0], known=False).claim is None


def test_where_the_two_accounts_part_nothing_is_said() -> None:
    """A paint of the floor's hue and twice its chroma: its opposite pulls one way, away from it is the other."""
    assert push([60.0, 24.0, 60.0], [58.0, 14.0, 32.0]).claim is None


def test_a_lean_that_is_turned_round_is_not_quietened() -> None:
    assert push([62.0, 0.2, 1.2], [60.0, 16.0, 34.0]).kind == "pushes"


def test_a_golden_wall_loses_yellow() -> None:
    found = push([62.0, 4.0, 17.0], [58.0, 14.0, 32.0])
    assert (found.kind, found.lean) == ("quietens", "yellow")
    assert push([60.0, 0.0, 0.0], [55.0, 0.0, -40.0]).towards in ("yellow", "orange")


def test_the_strongest_comes_first_and_colours_outside_the_gamut_do_no_harm() -> None:
    beside = [
        Beside(str(at), np.array(lab), np.array([lab])) for at, lab in enumerate(([60.0, 3.0, 6.0], [58.0, 14.0, 32.0]))
    ]
    assert [one.surface for one in pushes([62.0, 0.0, 0.0], beside)] == ["1", "0"]
    for paint, surface in (([0.0, 0.0, 0.0], [55.0, 14.0, 28.0]), ([30.0, 120.0, -120.0], [5.0, -100.0, 90.0])):
        assert np.isfinite(push(paint, surface).seen).all()
    assert pushes([62.0, 0.0, 0.0], []) == ()
