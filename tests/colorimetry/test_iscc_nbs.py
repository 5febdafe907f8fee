"""The ISCC-NBS blocks against NBS Special Publication 440: whole, no gap, no overlap, its centroids where they lie."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from matcher.colorimetry.iscc_nbs import block_indices, blocks, designation, designations
from matcher.colorimetry.munsell import hue_number, munsell
from matcher.colorimetry.spaces import hex_to_lab

CENTROIDS = Path(__file__).parents[1] / "data" / "iscc_nbs_centroids.csv"


def name_at(hue: str, value: float, chroma: float) -> str:
    (index,) = block_indices([hue_number(hue)], [value], [chroma])
    return blocks()[index].name


def test_all_267_names_are_there_once_each() -> None:
    named = {(block.number, block.name) for block in blocks()}
    assert sorted(number for number, _ in named) == list(range(1, 268))
    assert len({name for _, name in named}) == 267


def test_blocks_tile_the_munsell_solid_without_gap_or_overlap() -> None:
    # Between any two neighbouring limits of the charts there is at least one sample.
    table = blocks()
    hues = np.arange(0.5, 100, 1)
    values = np.arange(0.25, 10, 0.5)
    limits = np.array(sorted({block.chroma_from for block in table}))
    chromas = np.append((limits[1:] + limits[:-1]) / 2, limits[-1] + 3)
    assert {block.value_from % 0.5 for block in table} == {0}
    assert {block.hue_from % 1 for block in table} == {0}
    hue, value, chroma = (grid.ravel() for grid in np.meshgrid(hues, values, chromas))
    count = np.zeros(hue.size, dtype=int)
    for block in table:
        width = (block.hue_to - block.hue_from) % 100 or 100
        count += (
            ((hue - block.hue_from) % 100 < width)
            & (block.value_from < value)
            & (value < block.value_to)
            & (block.chroma_from < chroma)
            & (chroma < block.chroma_to)
        )
    assert (count == 1).all()


def test_a_point_on_a_boundary_belongs_to_the_higher_side() -> None:
    """Looked up in the charts one block after the other; hue runs upwards, through 100 where need be."""
    table = blocks()
    hues = np.array(sorted({block.hue_from for block in table} | {0.0, 0.25, 99.75}))
    values = np.array(sorted({block.value_from for block in table} | {0.25, 0.75}))
    chromas = np.array(sorted({block.chroma_from for block in table}))
    hue, value, chroma = (grid.ravel() for grid in np.meshgrid(hues, values, chromas))
    holds = np.array(
        [
            ((hue - block.hue_from) % 100 < ((block.hue_to - block.hue_from) % 100 or 100))
            & (block.value_from <= value)
            & (value < block.value_to)
            & (block.chroma_from <= chroma)
            & (chroma < block.chroma_to)
            for block in table
        ]
    )
    assert (holds.sum(axis=0) == 1).all()
    assert block_indices(hue, value, chroma) == holds.argmax(axis=0).tolist()


@pytest.mark.parametrize(
    ("hues", "chromas", "stems"),
    # SP 440's tinted greys: hue range, chroma range, and the names at value 9, 7.5, 5.5 and 3.5.
    [
        (("9.5RP", "0.5R"), (0.5, 1.5), ("pinkish white", "pinkish gray", "purplish gray", "dark purplish gray")),
        (("1.5R", "9.5R"), (0.5, 1.5), ("pinkish white", "pinkish gray", "reddish gray", "dark reddish gray")),
        (("1.5YR", "1.5YR"), (0.5, 1.5), ("pinkish white", "pinkish gray", "reddish gray", "brownish gray")),
        (("2.5YR", "4.5YR"), (0.5, 1.5), ("pinkish white", "pinkish gray", "light brownish gray", "brownish gray")),
        (("5.5YR", "6.5YR"), (0.5, 1.2), ("pinkish white", "pinkish gray", "light brownish gray", "brownish gray")),
        (("7.5YR", "7.5YR"), (0.7, 1.2), ("yellowish white", "yellowish gray", "light brownish gray", "brownish gray")),
        (("8.5YR", "3.5Y"), (0.7, 1.2), ("yellowish white", "yellowish gray", "light brownish gray", "brownish gray")),
        (("4.5Y", "8.5Y"), (0.7, 1.5), ("yellowish white", "yellowish gray", "light olive gray", "olive gray")),
        (("9.5Y", "3.5GY"), (0.5, 1.2), ("yellowish white", "yellowish gray", "light olive gray", "olive gray")),
        (
            ("4.5GY", "9.5BG"),
            (0.5, 1.2),
            ("greenish white", "light greenish gray", "greenish gray", "dark greenish gray"),
        ),
        (("0.5B", "8.5PB"), (0.5, 1.5), ("bluish white", "light bluish gray", "bluish gray", "dark bluish gray")),
        (
            ("9.5PB", "8.5RP"),
            (0.5, 1.5),
            ("purplish white", "light purplish gray", "purplish gray", "dark purplish gray"),
        ),
    ],
)
def test_tinted_greys_nbs_special_publication_440(
    hues: tuple[str, str], chromas: tuple[float, float], stems: tuple[str, ...]
) -> None:
    inside = (chromas[0] + 0.01, chromas[1] - 0.01)
    for hue in hues:
        for value, name in zip((9, 7.5, 5.5, 3.5), stems, strict=True):
            assert {name_at(hue, value, chroma) for chroma in inside} == {name}
            plain = ("white", "light gray", "medium gray", "dark gray")[(9, 7.5, 5.5, 3.5).index(value)]
            if value > 4.5:
                assert name_at(hue, value, chromas[0] - 0.01) == plain
                assert name_at(hue, value, 2.01) not in {name, plain}


def test_yellowish_greys_reach_chroma_2_from_8yr_to_9y() -> None:
    for hue in ("8.5YR", "8.5Y"):
        assert name_at(hue, 7.5, 1.99) == "yellowish gray"
        assert name_at(hue, 9, 1.99) == "yellowish white"


@pytest.mark.parametrize(
    ("value", "name"), [(9, "white"), (7, "light gray"), (5, "medium gray"), (3, "dark gray"), (2, "black")]
)
def test_plain_greys_split_at_2_5_4_5_6_5_and_8_5(value: float, name: str) -> None:
    assert name_at("5B", value, 0.3) == name_at("5Y", value, 0.3) == name


@pytest.mark.parametrize(
    ("lab", "name"),
    # Worked out by hand on the charts from notations computed by colour-science.
    [
        ((76, 1.5, -3), "light purplish gray"),
        ((76, -1, -4), "light bluish gray"),
        ((76, 4, -4), "very pale purple"),
        ((76, 1, 6), "yellowish gray"),
        ((76, 5, 8), "grayish yellowish pink"),
        ((76, -4, 4), "light greenish gray"),
        ((55, 14, 28), "light brown"),
        ((85, 0, 1), "light gray"),
        ((60, -1, -3), "bluish gray"),
    ],
)
def test_designations_of_everyday_surfaces(lab: tuple[float, ...], name: str) -> None:
    assert designation(lab) == name


def test_centroids_of_nbs_special_publication_440_bear_their_names() -> None:
    with CENTROIDS.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    labs = np.array([hex_to_lab(row["srgb"]) for row in rows])
    right = np.array([found == row["name"] for found, row in zip(designations(labs), rows, strict=True)])
    assert len(rows) == 267
    # The file clips vivid and deep colours to sRGB and rounds to 8 bits, which moves 38 of them over a border; 64
    # (brownish gray) is there with the colour of 23. Near-neutrals, where the names matter here, are hit but for 3.
    assert right.mean() >= 0.85
    near_neutral = munsell(labs)[2] <= 2.5
    assert near_neutral.sum() >= 60
    assert (~right[near_neutral]).sum() <= 3


def test_nan_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        designation([np.nan, 0, 0])
