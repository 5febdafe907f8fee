"""Cards that contradict each other, on numbers that were put there."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from matcher.calibration.agreement import disagreements, out_of_order
from matcher.calibration.patch import Patch
from tests.calibration.made_patches import STRAIGHT, made

WHERE = ("room.toml: photo.jpg: white card", "room.toml: photo.jpg: grey card", "room.toml: photo.jpg: black card")


def shares(*patches: Patch) -> dict[str, float]:
    """Of every kind of finding the share it states, against its one subject."""
    return {f.check: float(dict(f.values)["share"]) for f in disagreements(patches, STRAIGHT)}


def test_every_pair_that_lies_the_other_way_round_is_named_once_whatever_the_order() -> None:
    """0.86 over 0.18 over 0.04 in one light cannot be 0.1, 0.2, 0.3: three pairs, each told at the lighter card."""
    cards = [made(0.1, 0.86), made(0.2, 0.18), made(0.3, 0.04)]
    for order in permutations(range(3)):
        found = out_of_order([cards[i] for i in order], STRAIGHT, [WHERE[i] for i in order])
        assert sorted((p.where, p.what) for p in found) == sorted(
            (WHERE[light],
             f"it is said to reflect {cards[light].reflectance:g} but is darker in the photo than"
             f" {WHERE[dark].rpartition(': ')[2]} beside it, said to reflect {cards[dark].reflectance:g}")
            for light, dark in ((0, 1), (0, 2), (1, 2))
        )  # fmt: skip
        assert all("in the same light" in p.remedy for p in found)


@pytest.mark.parametrize(
    ("level", "reflectance", "said"),
    [
        (0.14, 0.86, True), (0.17, 0.86, False),  # a little darker is a shadow's doing
        (0.14, 0.30, True), (0.14, 0.24, False),  # cards of about one reflectance may lie so
    ],
)  # fmt: skip
def test_only_what_one_light_cannot_do_is_out_of_order(level: float, reflectance: float, said: bool) -> None:
    cards = [made(level, reflectance), made(0.2, 0.18)]
    assert bool(out_of_order(cards, STRAIGHT, WHERE[:2])) == said
    assert not out_of_order(cards, STRAIGHT, [WHERE[0], WHERE[0]])
    apart = [made(level, reflectance, on="worktop"), made(0.2, 0.18, on="floor")]
    assert not out_of_order(apart, STRAIGHT, WHERE[:2])


def test_the_three_channels_count_together() -> None:
    cards = [made((0.3, 0.03, 0.03), 0.86), made(0.2, 0.18)]  # 0.12 at the mean
    assert len(out_of_order(cards, STRAIGHT, WHERE[:2])) == 1


def test_cards_of_one_reflectance_differ_by_what_was_put_there() -> None:
    """The share is that of the two farthest apart; cards that reflect 3 % more or less count as alike, 11 % not."""
    assert shares(made(0.2), made(0.25), made(0.26)) == {"cards contradict": pytest.approx(0.3, abs=5e-4)}
    assert shares(made(0.26), made(0.2)) == {"cards contradict": pytest.approx(0.3, abs=5e-4)}
    assert shares(made(0.26, 0.185), made(0.2)) == {"cards contradict": pytest.approx(0.3, abs=5e-4)}
    assert shares(made(0.26, 0.2), made(0.2)) == {}
    assert shares(made(0.2), made(0.25)) == {"cards contradict": pytest.approx(0.25, abs=5e-4)}
    assert shares(made(0.2), made(0.23)) == {}  # 0.2 of the logarithm is the limit (assumption), 0.15 that of colour
    assert shares(made(0.2), made(0.26, on="floor")) == {}
    assert shares(made(0.2)) == {}


def test_cards_differ_in_colour_by_what_was_put_there() -> None:
    """Against green and against what each reflects: whatever the light and the cards' own greys, tints too."""
    light = np.array([0.9, 0.7, 0.5])
    grey, white = made(0.18 * light, 0.18), made(0.75 * light, 0.75)
    assert shares(grey, white) == {}
    for channel, factor in ((0, 1.25), (0, 0.8), (2, 1.25), (2, 0.8)):
        tinted = 0.75 * light * np.where(np.arange(3) == channel, factor, 1.0)
        assert shares(grey, made(tinted, 0.75)) == {"card not grey": pytest.approx(0.25, abs=5e-4)}
        assert shares(grey, made(tinted, 0.75, tint=tinted / light)) == {}
    assert shares(grey, made(0.75 * light * [1.1, 1.0, 0.9], 0.75)) == {}
    assert shares(grey, made(0.75 * light * [1.0, 1.1, 1.0], 0.75)) == {}
    assert shares(grey, made(0.75 * light * [1.2, 1.0, 1.0], 0.75)) == {"card not grey": pytest.approx(0.2, abs=5e-4)}
    green = made(0.75 * light * [1.0, 1.25, 1.0], 0.75)  # green is what both others are held against
    assert shares(grey, green) == {"card not grey": pytest.approx(0.25, abs=5e-4)}


def test_of_colour_black_cards_and_chips_say_nothing() -> None:
    grey, odd = made(0.18, 0.18), np.array([0.5, 0.25, 0.25])
    assert "card not grey" in shares(grey, made(odd, 0.3))
    assert shares(grey, made(0.1 * odd, 0.03)) == {}
    assert shares(grey, made(odd, 0.3, colour_sd=0.05)) == {}


def test_a_finding_names_the_surface_or_else_the_cards() -> None:
    (on,) = disagreements([made(0.2), made(0.26)], STRAIGHT)
    assert (on.check, on.level, on.subject) == ("cards contradict", "warn", "worktop")
    loose = [made(0.2, on=None), made(0.26, on=None, kind="paint chip"), made(0.26, on=None)]
    (of,) = disagreements(loose, STRAIGHT)
    assert of.subject == "grey card and paint chip"
    colour = disagreements([made(0.2), made((0.3, 0.2, 0.2), 0.3)], STRAIGHT)
    assert [(f.check, f.level, f.subject) for f in colour] == [("card not grey", "warn", "worktop")]
