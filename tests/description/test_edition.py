"""What two editions of a deck have in common and what not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color

from matcher.description.edition import compare_editions, farthest, nearest_rows
from matcher.paints.deck import Deck
from tests.description.decks import deck_of


def edition(*paints: tuple[str, str, tuple[float, float, float]]) -> Deck:
    codes, names, labs = zip(*paints, strict=True)
    return replace(deck_of(*labs, names=names), codes=codes)


OLD = edition(
    ("A", "Alder", (60.0, 5.0, 10.0)),
    ("B", "Birch", (61.0, 5.0, 10.0)),
    ("C", "Clay", (40.0, 20.0, 20.0)),
    ("D", "Dusk", (30.0, 0.0, -10.0)),
)


def test_gone_new_moved_and_renamed() -> None:
    new = edition(
        ("B", "Birch", (61.0, 5.0, 10.0)),
        ("D", "Dusk", (32.0, 0.0, -10.0)),
        ("X", "Other clay", (40.0, 20.0, 20.0)),
        ("Y", "Clay", (40.0, 20.0, 20.0)),
        ("Z", "Zinc", (80.0, 0.0, 0.0)),
    )
    found = compare_editions(OLD, new)
    assert [(gone.code, gone.nearest, gone.renamed) for gone in found.gone] == [("A", "B", False), ("C", "Y", True)]
    assert found.new == ("X", "Y", "Z")
    assert [moved.code for moved in found.moved] == ["D"]
    # CIEDE2000 by coloraide, another library.
    apart = Color("lab-d65", OLD.lab[0].tolist()).delta_e(Color("lab-d65", new.lab[0].tolist()), method="2000")
    assert found.gone[0].de00 == pytest.approx(apart, abs=1e-6)
    assert found.moved[0].visible
    assert found.gone[1].de00 == 0
    assert not found.gone[1].visible
    assert not found.codes_changed


def test_the_same_colours_under_new_codes_are_told() -> None:
    found = compare_editions(OLD, replace(OLD, codes=tuple(f"2-{code}" for code in OLD.codes)))
    assert all(gone.renamed and gone.nearest == f"2-{gone.code}" for gone in found.gone)
    assert found.codes_changed


def test_an_edition_that_tells_less_is_said_to() -> None:
    spectra = replace(OLD, reflectance=np.full((4, 36), 0.5), sheen=np.ones(4), collections=("x",) * 4)
    assert compare_editions(spectra, OLD).lacks == ("collections", "reflectance", "sheen")
    assert compare_editions(OLD, spectra).lacks == ()


def test_the_nearest_is_the_nearest_of_all() -> None:
    """Against every pair worked out; blues too, where CIEDE2000 turns."""
    from matcher.colorimetry.difference import delta_e_2000

    rng = np.random.default_rng(0)
    lab, others = (np.column_stack([rng.uniform(0, 100, n), rng.normal(0, 40, (n, 2))]) for n in (200, 700))
    every = np.asarray(delta_e_2000(lab[:, None], others[None]))
    rows, apart = nearest_rows(lab, others)
    assert apart == pytest.approx(every.min(axis=1), abs=1e-9)
    assert (rows == every.argmin(axis=1)).all()
    assert nearest_rows(others[:1], np.repeat(others[:1], 3, axis=0))[0].tolist() == [0]
    # Few paints, far from everything: no bound is known.
    rows, apart = nearest_rows(lab, others[:3])
    assert (rows == every[:, :3].argmin(axis=1)).all()


def test_no_pair_is_farther_apart_by_cielab_than_the_search_goes() -> None:
    """Half a million pairs, near and far, by colour-science's CIEDE2000."""
    from matcher.colorimetry.colour_library import colour_library

    rng = np.random.default_rng(1)
    lab = np.column_stack([rng.uniform(0, 100, 500_000), rng.uniform(-128, 128, (500_000, 2))])
    step = rng.normal(0, 1, lab.shape) * 10 ** rng.uniform(-2, 2, (len(lab), 1))
    other = np.clip(lab + step, [0, -128, -128], [100, 128, 128])
    share = np.linalg.norm(other - lab, axis=1) / farthest(
        lab, np.asarray(colour_library().delta_E(lab, other, method="CIE 2000"))
    )
    assert share.max() < 1
    assert share.max() > 0.3
