"""A score's terms and what they come to, by what weights.py says of each number."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.lrv import lightness_from_lrv
from matcher.harmony.agreement import saturation
from matcher.harmony.ou_luo import hue_liking
from matcher.harmony.tint import tint_boundary
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.neighbours import pair_fit
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import Preferences, Setting, ask
from matcher.ranking.score import harmony_term, role_fit, score, standing, undertone_term, white_chroma, wish_term
from matcher.surfaces.surface import Surface
from tests.harmony.tints import soft
from tests.ranking.conftest import MakeDeck, MakeSurface


def _greys(make_deck: MakeDeck, *lrv: float) -> Deck:
    return make_deck(*[(level, 0, 0) for level in lightness_from_lrv(list(lrv))])


@pytest.mark.parametrize("pins", [{}, {"trim": 2}, {"trim": 2, "cabinets": 5, "ceiling": 9}])
def test_a_score_is_its_terms_by_their_weights(
    pins: dict[str, int], kitchen: tuple[Surface, ...], random_deck: Deck
) -> None:
    """Less for a misfit, for a neighbour that is chosen already and does not go with it, and for the worst clash: a
    paint unfit for its role keeps 0.3, a neighbour takes half at the most, a clash 0.3.
    """
    setting = Setting(Preferences("warm"), facing="E", latitude=53.4, lamps_k=2700, pins=pins)
    question = ask(["walls"], kitchen, random_deck, setting)
    found, own = score(question, "walls"), standing(question, "walls")
    shares = weights.TERM_WEIGHTS["walls"]
    fits = [
        pair_fit("walls", random_deck.lab, other, random_deck.lab[row])
        for other, row in pins.items()
        if other != "cabinets"
    ]
    if "cabinets" in pins:
        fits.append(pair_fit("cabinets", random_deck.lab[pins["cabinets"]], "walls", random_deck.lab))
    beside = np.mean(fits, axis=0) if fits else np.ones(600)
    terms = np.stack([found.harmony, found.undertone, found.contrast, own.light, own.wishes])
    whole = np.array([shares.harmony, shares.undertone, shares.contrast, shares.light, shares.wishes]) @ terms
    suited = 0.3 + 0.7 * own.counted * (0.5 + 0.5 * beside)
    np.testing.assert_allclose(found.score, whole * suited * (1 - 0.3 * found.clash), atol=1e-5)
    # The step asked for is 0.30 of a wall's contrast, the rest is whether it is a wall at all.
    assert (found.contrast <= own.fit * beside + 1e-6).all()
    assert (found.contrast >= 0.7 * own.fit * beside - 1e-6).all()
    assert own.light.min() < 0.9 < own.light.max()


def test_a_whole_contrast_is_one_and_no_hair_more(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Surfaces' weights are kept in single precision and may sum to more."""
    rng = np.random.default_rng(4)
    deck = make_deck((97, 0, 0), (97, 1, 3))
    for count in range(2, 12):
        room = [make_surface(f"s{place}", (1.0, 30, 0, 0), visibility=rng.uniform(0.1, 1)) for place in range(count)]
        assert score(ask(["door"], room, deck), "door").contrast.max() <= 1


def test_some_paints_stand_as_they_do_among_all(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    setting = Setting(Preferences("cool"), facing="E", latitude=53.4, lamps_k=2700, pins={"trim": 3})
    question = ask(["walls"], kitchen, random_deck, setting)
    rows = np.array([7, 3, 599, 41])
    some, every = standing(question, "walls", rows), standing(question, "walls").take(rows)
    for name in ("fit", "counted", "light", "keeps", "wishes"):
        np.testing.assert_allclose(getattr(some, name), getattr(every, name), atol=1e-12)
    np.testing.assert_allclose(some.beside["trim"], every.beside["trim"], atol=1e-6)


def test_harmony_is_spread_over_half_a_unit_and_undertones_are_in_proportion() -> None:
    """tanh of the relative harmony over 0.5; by agreement: kin of 0.6 is worth 0.95, a full fight (-0.75) nothing."""
    np.testing.assert_allclose(harmony_term(np.array([-0.5, 0.25])), [0.5 - np.tanh(1) / 2, 0.5 + np.tanh(0.5) / 2])
    np.testing.assert_allclose(undertone_term(np.array([0.6, -0.2, -0.75])), [0.95, 0.35, 0], atol=1e-12)


def test_a_wish_for_warm_or_cool_is_half_met_by_a_neutral(make_deck: MakeDeck) -> None:
    """Missed wholly from a warmth of 0.6 to the other side."""
    rng = np.random.default_rng(5)
    deck = make_deck((70, 0, 0), *np.column_stack([np.full(60, 70), *rng.uniform(-12, 12, (2, 60))]))
    by_lab, paints = np.asarray(warmth(deck.lab)), paints_of(deck)
    for wish, side in (("warm", 1), ("cool", -1)):
        found = wish_term("door", paints, Preferences(wish))
        np.testing.assert_allclose(found, soft(side * by_lab, -0.6, 0.6), atol=1e-9)
        assert float(found[0]) == pytest.approx(0.5)
    assert (np.abs(by_lab) > 0.6).any()
    assert wish_term("door", paints, Preferences("either")).tolist() == [1] * 61


def test_a_wish_for_light_walls_counts_with_what_is_wished_of_warmth(
    kitchen: tuple[Surface, ...], make_deck: MakeDeck
) -> None:
    """Of greys a wish for warm is half met, at 10 points from the range another half of that is lost; of the walls
    alone.
    """
    question = ask(
        ["walls", "door"], kitchen, _greys(make_deck, 30, 40, 50, 60, 70), Setting(Preferences("warm", (50, 60)))
    )
    np.testing.assert_allclose(score(question, "walls").by_itself.wishes, [0, 0.25, 0.5, 0.5, 0.25], atol=1e-6)
    np.testing.assert_allclose(score(question, "door").by_itself.wishes, [0.5] * 5, atol=1e-6)


def test_walls_are_light_to_mid_and_quiet(make_deck: MakeDeck) -> None:
    """LRV from 10 in, from 50 in full, to 90; chroma to 5 in full and none from 16. What is none of that still counts
    0.8, and 0.4 where it is shrill, of chroma 60.
    """
    greys = paints_of(_greys(make_deck, 5, 10, 30, 50, 70, 90, 97))
    fit, counted = role_fit("walls", greys, Preferences())
    expected = soft(greys.lrv, 10, 50) * soft(greys.lrv, 104, 90)
    np.testing.assert_allclose(fit, expected, atol=1e-9)
    np.testing.assert_allclose(counted, 0.8 + 0.2 * expected, atol=1e-9)
    chroma = np.array([0.0, 5, 10.5, 16, 36, 48, 60, 80])
    tinted = paints_of(make_deck(*[(80, each * 0.6, each * 0.8) for each in chroma]))
    level = soft(tinted.lrv, 10, 50)
    fit, counted = role_fit("walls", tinted, Preferences())
    np.testing.assert_allclose(fit, level * soft(chroma, 16, 5), atol=1e-9)
    least = 0.8 - 0.4 * soft(chroma, 36, 60)
    np.testing.assert_allclose(counted, least + (1 - least) * fit, atol=1e-9)


def test_who_names_an_lrv_for_the_walls_wants_that(make_deck: MakeDeck) -> None:
    """In full within it, missed wholly by 20 points; of no other role, and colour is asked as before."""
    paints = paints_of(_greys(make_deck, 5, 15, 20, 30, 40, 50, 65))
    wish = Preferences(lrv_range=(20, 40))
    within = soft(paints.lrv, 0, 20) * soft(paints.lrv, 60, 40)
    np.testing.assert_allclose(role_fit("walls", paints, wish), [within, within], atol=1e-9)
    for role in ("cabinets", "trim", "accent"):
        np.testing.assert_array_equal(role_fit(role, paints, wish), role_fit(role, paints, Preferences()))
    strong = paints_of(make_deck((60, 36, 48), (60, 24, 32), (60, 0, 0)))
    fit, counted = role_fit("walls", strong, Preferences(lrv_range=(20, 40)))
    assert fit.tolist() == [0, 0, 1]
    loud = float(soft(40, 36, 60))
    np.testing.assert_allclose(counted, [0.4, 0.8 - 0.4 * loud, 1], atol=1e-9)


def test_a_near_black_is_an_accent_and_no_other_grey_is(make_deck: MakeDeck) -> None:
    """From LRV 12 down, in full from 6; of other roles it is what it is."""
    greys = paints_of(_greys(make_deck, 3, 6, 9, 12, 40))
    np.testing.assert_allclose(role_fit("accent", greys, Preferences())[0], soft(greys.lrv, 12, 6), atol=1e-9)
    assert role_fit("walls", greys, Preferences())[0][:2].tolist() == [0, 0]
    assert role_fit("door", greys, Preferences())[0].tolist() == [1] * 5


def test_how_much_chroma_a_white_may_carry_goes_by_its_hue(make_deck: MakeDeck) -> None:
    """By the table, read at coloraide's hue: most at yellow, least at blue, the same at nought and a full turn."""
    rng = np.random.default_rng(6)
    deck = make_deck(*np.column_stack([np.full(80, 93), *rng.uniform(-8, 8, (2, 80))]))
    hue = [Color("lab-d65", lab.tolist()).convert("lch-d65")["h"] for lab in deck.lab]
    expected = np.interp(hue, weights.WHITE_HUE_DEG, weights.WHITE_CHROMA)
    np.testing.assert_allclose(white_chroma(paints_of(deck)), expected, atol=1e-7)
    # A trim may carry all of it, and is none from 2.4 times that.
    whites = make_deck(*[(95, 0, 6.26 * part) for part in (0.5, 0.99, 1.7, 2.41)])
    for role in ("trim", "ceiling"):
        fit = role_fit(role, paints_of(whites), Preferences())[0]
        assert fit[:2].tolist() == pytest.approx([1, 1], abs=1e-3)
        assert float(fit[2]) == pytest.approx(0.5, abs=0.02)
        assert fit[3] == 0


@pytest.mark.parametrize(("role", "low", "high"), [("trim", 62, 80), ("ceiling", 56, 76)])
def test_trim_and_ceiling_are_white(role: str, low: float, high: float, make_deck: MakeDeck) -> None:
    """In full from LRV 80, or 76 overhead, and none from 62 or 56 down (common practice, no source)."""
    greys = paints_of(_greys(make_deck, 40, low, low + 4, 69, high - 3, high, 95))
    fit, counted = role_fit(role, greys, Preferences())
    np.testing.assert_allclose(fit, soft(greys.lrv, low, high), atol=1e-9)
    np.testing.assert_array_equal(counted, fit)
    np.testing.assert_array_equal(role_fit(role, paints_of(make_deck((90, 70, 40))), Preferences()), 0)


@pytest.mark.parametrize(("role", "full", "none"), [("cabinets", 12, 46), ("island", 28, 60), ("door", 42, 75)])
def test_doors_may_be_of_any_lightness_and_not_of_any_strength(
    role: str, full: float, none: float, make_deck: MakeDeck
) -> None:
    """Strong colour tires on a whole run of doors, less on one piece, least on a single door."""
    greys = paints_of(_greys(make_deck, 2, 20, 60, 97))
    assert role_fit(role, greys, Preferences())[0].tolist() == [1] * 4
    chroma = np.array([full - 2, full, 0.7 * full + 0.3 * none, 0.3 * full + 0.7 * none, none, 90.0])
    deck = paints_of(make_deck(*[(50, 0.6 * each, 0.8 * each) for each in chroma]))
    for found in role_fit(role, deck, Preferences()):
        np.testing.assert_allclose(found, soft(chroma, none, full), atol=1e-9)


def test_an_accent_is_a_colour_and_not_a_pale_one(make_deck: MakeDeck) -> None:
    """LRV to 32 in full and none from 68; chroma from 5, in full from 14, as strong as looks so at its lightness, to 40
    and none from 75.
    """
    level = lightness_from_lrv([20.0, 32, 45, 60, 68])
    by_lrv = paints_of(make_deck(*[(each, 15, 20) for each in level]))
    np.testing.assert_allclose(role_fit("accent", by_lrv, Preferences())[0], soft(by_lrv.lrv, 68, 32), atol=1e-9)
    chroma = np.array([36.0, 40, 50, 65, 75, 80])
    strong = paints_of(make_deck(*[(50, 0.6 * each, 0.8 * each) for each in chroma]))
    for found in role_fit("accent", strong, Preferences()):
        np.testing.assert_allclose(found, soft(chroma, 75, 40), atol=1e-9)
    chroma = np.array([2.0, 5, 7, 10, 16])
    weak = paints_of(make_deck(*[(45, 0.6 * each, 0.8 * each) for each in chroma]))
    expected = soft(saturation(weak.tint), 5, 14)
    np.testing.assert_allclose(role_fit("accent", weak, Preferences())[0], expected, atol=1e-6)
    assert expected[0] == 0 < expected[1] < expected[2] < 0.99


@pytest.mark.parametrize(
    ("role", "share"),
    [("walls", 0.3), ("cabinets", 0.45), ("island", 0.5), ("accent", 0.6), ("door", 0.35), ("trim", 0), ("ceiling", 0)],
)
def test_so_much_of_a_contrast_is_a_step_from_what_stays(
    role: str, share: float, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """A paint that merges, four units off in colour and half a unit in lightness, loses that much, one that steps away
    nothing; of a white trim or ceiling no step is asked.
    """
    fixed, near, far = {
        "accent": ((45, 18, 13), (45.5, 14, 15.5), (20, 14, 15.5)),
        "trim": ((93.5, -3, 3), (94, 0, 0.3), (99, 0, 0.3)),
    }.get("trim" if share == 0 else role, ((84, -1, 4), (84.5, 1.5, 0.5), (60, 1, 3)))
    question = ask([role], [make_surface("it", (1.0, *fixed))], make_deck(near, far))
    found = score(question, role)
    np.testing.assert_allclose(found.contrast / found.by_itself.fit, [1 - share, 1], atol=1e-6)


def test_a_hue_that_is_liked_anyhow_counts_by_three_tenths(random_deck: Deck) -> None:
    """Ou & Luo 2006, HSY of the colour less that of a grey as light (tests/harmony/test_ou_luo.py holds the model)."""
    grey = np.stack([random_deck.lab[:, 0], *np.zeros((2, len(random_deck.lab)))], axis=1)
    expected = 0.3 * (hue_liking(random_deck.lab) - hue_liking(grey))
    np.testing.assert_allclose(paints_of(random_deck).liking, expected, atol=1e-5)


def test_what_a_white_may_carry_goes_with_where_its_tint_shows(make_deck: MakeDeck) -> None:
    """Against the ISCC-NBS boundary of a tint: a white of any hue stays below that, by less than a third; a cream goes
    beyond it, by a quarter at the most. The table goes once round, which np.interp asks to rise, and ends as it begins.
    """
    assert (weights.WHITE_HUE_DEG[0], weights.WHITE_HUE_DEG[-1]) == (0, 360)
    assert weights.WHITE_CHROMA[0] == weights.WHITE_CHROMA[-1]
    assert (np.diff(weights.WHITE_HUE_DEG) > 0).all()
    hue = np.arange(0.0, 360, 5)
    angle = np.radians(hue)
    carried = white_chroma(
        paints_of(make_deck(*np.stack([0 * hue + 92, 3 * np.cos(angle), 3 * np.sin(angle)], axis=1)))
    )
    share = carried / tint_boundary(hue, 92.0)
    cream, other = (hue >= 60) & (hue <= 105), (hue <= 50) | (hue >= 120)
    assert 1.05 < share[cream].min() <= share[cream].max() < 1.25
    assert 0.7 < share[other].min() <= share[other].max() < 1.05
    blue = (hue >= 200) & (hue <= 300)
    assert (share[blue] > 0.8).all()
    assert (share[blue] < 0.9).all()
