"""Descriptions against the published names and notations of the check colours."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.description.asked import checked_lab, find_paints, hex_colour
from matcher.description.colour import describe_colours
from matcher.errors import RequestError
from matcher.paints.reading import demo_deck


@pytest.mark.parametrize(
    ("lab", "name"),
    [
        # ISCC-NBS (Kelly & Judd 1976) names of these Munsell notations, taken through illuminant C.
        ([76.0, 1.5, -3.0], "light purplish gray"),
        ([76.0, 1.0, 6.0], "yellowish gray"),
        ([55.0, 14.0, 28.0], "light brown"),
    ],
)
def test_designation_iscc_nbs(lab: list[float], name: str) -> None:
    assert describe_colours([lab])[0].designation == name


def test_a_spectrum_in_the_deck_is_used_for_the_lights() -> None:
    """A reflectance flat at 0.5 stays neutral under any lamp, whatever the colour beside it says."""
    flat = np.full((1, 36), 0.5)
    seen = describe_colours([[76.0, 4.0, -4.0]], lights=("A",), reflectance=flat)[0].lights[0]
    assert np.hypot(*seen.lab[1:]) < 0.3


def test_without_a_spectrum_the_colour_under_d65_is_itself() -> None:
    seen = describe_colours([[76.0, 4.0, -4.0]], lights=("D65",))[0].lights[0]
    assert np.abs(seen.lab - [76.0, 4.0, -4.0]).max() < 0.05


def test_unknown_codes_are_named_all_at_once() -> None:
    with pytest.raises(RequestError) as caught:
        find_paints(demo_deck(), ["demo-1", "nope", "neither"])
    assert [problem.what.split()[-1] for problem in caught.value.problems] == ["'nope'", "'neither'"]


@pytest.mark.parametrize("lab", [(float("nan"), 0, 0), (101, 0, 0), (50, 200, 0), (50, 0, float("inf"))])
def test_impossible_lab_is_refused(lab: tuple[float, float, float]) -> None:
    with pytest.raises(RequestError, match="no surface colour"):
        checked_lab(lab)


@pytest.mark.parametrize("text", ["", "#12345", "#gggggg", "12345678"])
def test_impossible_hex_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match="six hex digits"):
        hex_colour(text)
