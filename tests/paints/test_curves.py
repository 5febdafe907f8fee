"""A deck's reflectances: its own where it has them, recovered once where it has none."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from matcher.colorimetry.illuminants import names, tristimulus_weights
from matcher.paints.curves import deck_curves
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.service.paint import describe_deck


def drawn_deck(count: int) -> Deck:
    """A deck of muted colours, none with a spectrum."""
    rng = np.random.default_rng(3000)
    chroma, hue = np.abs(rng.normal(0, 14, count)), rng.uniform(0, 2 * np.pi, count)
    lab = np.stack([rng.uniform(15, 95, count), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    texts = tuple(f"p{number}" for number in range(count))
    return replace(
        demo_deck(), sha256=f"drawn {count}", codes=texts, names=texts, collections=("",) * count,
        lab=lab, lrv=np.zeros(count), exterior=np.zeros(count, dtype=bool), reflectance=None,
    )  # fmt: skip


def test_three_thousand_paints_take_a_moment_and_24_lights_less() -> None:
    tristimulus_weights("D65")
    lights = [tristimulus_weights(name) for name in names()[:24]]
    deck = drawn_deck(3000)
    begun = time.process_time()
    curves = deck_curves(deck)
    recovered = time.process_time()
    seen = [curves.look(weights) for weights in lights]
    looked = time.process_time()
    assert deck_curves(replace(deck, name="the same file again")) is curves
    assert np.isfinite(np.array(seen)).all()
    assert recovered - begun < 2.0
    assert looked - recovered < 0.3


def test_some_paints_of_a_deck_are_not_taken_for_the_deck() -> None:
    deck = drawn_deck(6)
    kept = np.array([False, True, False, True, False, False])
    deck_curves(deck)
    np.testing.assert_allclose(deck_curves(deck.only(kept)).reflectance, deck_curves(deck).reflectance[kept], atol=1e-6)


def test_described_by_lamplight_from_its_own_spectrum_where_it_has_one(tmp_path: Path) -> None:
    """0.25 at all wavelengths is a grey under every lamp; oak without one gets lighter by an LED."""
    bands = ",".join(f"spectral:{nm}" for nm in range(380, 731, 10))
    rows = ["x1,Measured,57.08,0,0," + ",".join(["0.25"] * 36), "x2,Not measured,55,14,28," + "," * 35]
    path = tmp_path / "deck.csv"
    path.write_text("\n".join([f"code,name,L,a,b,{bands}", *rows]))
    measured, recovered = describe_deck(path, lights=["LED-B1"])
    assert np.abs(measured["lights"]["LED-B1"]["lab"][1:]).max() < 0.02
    # L 58.2 by the lamp's own white, by another implementation of the smoothest curve.
    assert recovered["lights"]["LED-B1"]["lab"][0] > 57
