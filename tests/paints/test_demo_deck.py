"""The invented deck: reproducible, laid out as a fan deck is, every undertone among its near-neutrals."""

from __future__ import annotations

import re
import runpy
from itertools import islice
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
    """Strips follow one another: within a collection lightness rises where the next one begins only."""
    deck = demo_deck()
    steps: dict[str, list[int]] = {}
    for collection in {*deck.collections} - {"Invented strong"}:
        lightness = deck.lab[np.array(deck.collections) == collection, 0]
        begins = np.flatnonzero(np.diff(lightness) > 0) + 1
        steps[collection.split()[1]] = list(np.diff([0, *begins, len(lightness)]))
    quiet = {"greys": [7] * 7, "greiges": [7] * 6, "beiges": [7] * 5, "taupes": [7] * 4}
    assert steps == {"whites": [5] * 12, **quiet, "muted": [6] * 16}


def test_a_code_is_a_running_number_and_collections_say_invented() -> None:
    deck = demo_deck()
    assert list(deck.codes) == [f"demo-{number}" for number in range(1, len(deck) + 1)]
    assert all(collection.startswith("Invented ") for collection in deck.collections)


def test_names_are_one_coined_word_each_and_differ_in_their_first_letters() -> None:
    deck = demo_deck()
    assert all(re.fullmatch(r"[A-Z][a-z]{5,7}", name) for name in deck.names)
    assert len({name[:4] for name in deck.names}) == len(deck)
    assert list(deck.names) == (DATA / "demo_names.txt").read_text(encoding="utf-8").split()


def test_a_name_keeps_clear_of_the_lists() -> None:
    names = runpy.run_path(str(DATA / "coin_names.py"))["names"]

    def coined(words: list[str], common: list[str]) -> list[str]:
        return [name.casefold() for name in islice(names(words, common), 20)]

    free = coined([], [])
    word = free[2]
    assert coined([word], [])[:19] == [other for other in free if other != word]
    swapped = word[1] + word[0] + word[2:]
    for near in (word, word[1:], word + "s", word[:-1] + "z", swapped, word[:4], word[-4:]):
        assert word not in coined([], [near])
    for far in ("z" + word + "z", word[:3], word[::-1]):
        assert word in coined([], [far])


def test_a_screen_can_show_every_colour(tmp_path: Path) -> None:
    deck = demo_deck()
    rows = "".join(f"{code},x,{lab_to_hex(lab)}\n" for code, lab in zip(deck.codes, deck.lab, strict=True))
    path = tmp_path / "hex.csv"
    path.write_text("code,name,hex\n" + rows)
    # 8 bits a channel: half a step is 0.5 dE at the worst (dark colours).
    np.testing.assert_allclose(read_deck(path).lab, deck.lab, atol=0.6)
