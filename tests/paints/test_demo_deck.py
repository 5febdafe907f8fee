"""The invented deck: reproducible, laid out as a fan deck is, every undertone among its near-neutrals."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import numpy as np

import matcher.paints.reading as reading
from matcher.colorimetry.munsell import hue_family, munsell
from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.reading import demo_deck, read_deck

DATA = Path(reading.__file__).parent / "data"
QUIET = ("Invented whites", "Invented greys", "Invented greiges", "Invented beiges", "Invented taupes")


def test_the_script_writes_the_same_bytes(tmp_path: Path) -> None:
    copy = tmp_path / "demo_deck.csv"
    runpy.run_path(str(DATA / "make_demo_deck.py"))["main"](copy)
    assert copy.read_bytes() == (DATA / "demo_deck.csv").read_bytes()


def test_size_and_share_of_quiet_colours() -> None:
    deck = demo_deck()
    assert 320 <= len(deck) <= 420
    quiet = np.isin(deck.collections, QUIET)
    assert 0.5 <= quiet.mean() <= 0.75
    assert np.hypot(*deck.lab[quiet, 1:].T).max() < 21


def test_near_neutrals_of_every_munsell_hue_family() -> None:
    deck = demo_deck()
    quiet = deck.lab[np.isin(deck.collections, QUIET)]
    hue, _, chroma = munsell(quiet)
    families = [hue_family(float(one)) for one in hue[chroma > 0.3]]
    assert set(families) >= {
        "red",
        "yellow-red",
        "yellow",
        "green-yellow",
        "green",
        "blue-green",
        "blue",
        "purple-blue",
        "purple",
        "red-purple",
    }


def test_every_strip_runs_from_light_to_deep() -> None:
    deck = demo_deck()
    strips: dict[str, list[float]] = {}
    for code, collection, lightness in zip(deck.codes, deck.collections, deck.lab[:, 0], strict=True):
        if collection != "Invented strong":
            strips.setdefault(code.split(".")[0], []).append(float(lightness))
    assert all(values == sorted(values, reverse=True) for values in strips.values())


def test_names_are_one_coined_word_and_a_number_and_collections_say_invented() -> None:
    deck = demo_deck()
    assert all(re.fullmatch(r"[A-Z][a-z]{4,8} \d", name) for name in deck.names)
    assert all(collection.startswith("Invented ") for collection in deck.collections)
    assert all(re.fullmatch(r"iv\d\d\.\d", code) for code in deck.codes)


def test_a_screen_can_show_every_colour(tmp_path: Path) -> None:
    deck = demo_deck()
    rows = "".join(f"{code},x,{lab_to_hex(lab)}\n" for code, lab in zip(deck.codes, deck.lab, strict=True))
    path = tmp_path / "hex.csv"
    path.write_text("code,name,hex\n" + rows)
    # 8 bits a channel: half a step is 0.5 dE at the worst (dark colours).
    np.testing.assert_allclose(read_deck(path).lab, deck.lab, atol=0.6)
