"""Every number that a reason or a clash states is that of the paint or of the given it speaks of.

CIE numbers by coloraide, an independent library; chances by drawing (JCGM 101:2008) where the ranking reckons them.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.lrv import lightness_from_lrv
from matcher.harmony.undertone import undertone, undertones
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.called import UNCALLED
from matcher.ranking.clashes import lightness_clashes
from matcher.ranking.diversity import varied
from matcher.ranking.givens import gather
from matcher.ranking.judge import judge_measured
from matcher.ranking.light import away_from_sun, light_cost, room_light
from matcher.ranking.limits import Limits, allowed_paints, in_range
from matcher.ranking.meeting import called, meet, part_of, telling
from matcher.ranking.neighbours import pair_fit, related
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import Preferences, Setting, ask
from matcher.ranking.score import harmony_term, undertone_term, wish_term
from matcher.ranking.shortlist import Clash, Reason
from matcher.ranking.spread import within_lightness
from matcher.ranking.wanted import Wanted, wanted_paints
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores, shortlist
from tests.ranking.conftest import MakeDeck, MakeSurface

PINS = {"walls": 0, "trim": 1, "cabinets": 2}


def in_library(lab: np.ndarray) -> dict[str, float]:
    """LRV, C*ab and h_ab of a colour (3,)."""
    colour = Color("lab-d65", lab.tolist())
    _, chroma, hue = colour.convert("lch-d65").coords()
    return {"lrv": 100 * colour.convert("xyz-d65")["y"], "chroma": chroma, "hue_deg": hue}


def told(role: str, surfaces: tuple[Surface, ...], deck: Deck, wish: str) -> list[tuple[np.ndarray, Reason | Clash]]:
    """What is said of every paint, each with the paint's colour."""
    setting = Setting(Preferences(wish, (45, 80)), facing="N", lamps_k=2700.0, pins=PINS)
    return [
        (deck.lab[one.paint], fact)
        for one in shortlist(role, surfaces, deck, setting, top=0).candidates
        for fact in (*one.reasons, *one.clashes)
    ]


@pytest.fixture(scope="module")
def some_paints(random_deck: Deck, make_deck: MakeDeck) -> Deck:
    """A quarter of the deck, and whites beside the kitchen's tile."""
    return make_deck(*random_deck.lab[:150], (93, 1, 9), (92, -2, -5), (66, 2, 6), (88, 0.5, 5))


@pytest.mark.parametrize(("role", "wish"), [("walls", "cool"), ("cabinets", "warm")])
def test_numbers_are_those_of_the_paint_and_of_the_given(
    role: str, wish: str, kitchen: tuple[Surface, ...], some_paints: Deck
) -> None:
    givens = {surface.name: surface for surface in kitchen}
    families = {name: {undertone(each.lab).family for each in one.colours} for name, one in givens.items()}
    fits = {other: pair_fit(role, some_paints.lab, other, some_paints.lab[row]) for other, row in PINS.items()
            if related(role, other)}  # fmt: skip
    leans = dict(zip(map(tuple, some_paints.lab.tolist()), undertones(some_paints.lab), strict=True))
    rows = {lab: row for row, lab in enumerate(leans)}
    said = set()
    loudness: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for lab, fact in told(role, kitchen, some_paints, wish):
        values, paint = dict(fact.values), in_library(lab)
        names = (fact.surface,) if isinstance(fact, Clash) else fact.surfaces
        said.add(fact.kind)
        for key in paint.keys() & values.keys():
            assert values[key] == pytest.approx(paint[key], abs=1e-6), fact
        if "warmth" in values:
            assert values["warmth"] == pytest.approx(float(warmth(lab)))
        lean = leans[tuple(lab.tolist())]
        assert values.get("family", lean.family) == lean.family, fact
        assert values.get("visibility", lean.visibility) == pytest.approx(lean.visibility), fact
        assert values.get("role", role) == role
        assert values.get("wish", wish) == wish
        assert (values.get("low", 45), values.get("high", 80)) == (45, 80)
        if fact.kind.startswith("neighbour"):
            assert values["fit"] == pytest.approx(float(fits[names[0]][rows[tuple(lab.tolist())]]), abs=1e-6), fact
        if "part" in values:
            assert values["part"] == "field"
            assert values.get("surface_family", UNCALLED) in {*families[names[0]], UNCALLED}, fact
        if fact.kind in ("wish-warmth-met", "wish-warmth-missed"):
            towards = float(warmth(lab)) * (1 if wish == "warm" else -1)
            assert (fact.kind == "wish-warmth-met") == (towards > weights.WARM_FROM)
        if fact.kind in ("undertone-agrees", "undertone-opposes"):
            loudness.setdefault((fact.kind, names[0]), []).append((abs(values["agreement"]), fact.weight))
        if fact.kind == "near-miss-white":
            others = [in_library(colour.lab)["lrv"] for colour in givens[names[0]].colours]
            assert min(abs(paint["lrv"] - other - values["lrv_step"]) for other in others) < 1e-6
        elif "lrv_step" in values:
            other = givens[names[0]].lab if names[0] in givens else some_paints.lab[PINS[names[0]]]
            assert values["lrv_step"] == pytest.approx(paint["lrv"] - in_library(other)["lrv"], abs=1e-6), fact
        if "surface_hue_deg" in values:
            found = [
                colour.lab
                for colour in givens[names[0]].colours
                if in_library(colour.lab)["chroma"] == pytest.approx(values["surface_chroma"], abs=1e-6)
            ]
            assert [in_library(one)["hue_deg"] for one in found] == pytest.approx([values["surface_hue_deg"]], abs=1e-6)
            if isinstance(fact, Clash):
                both = (values["paint_warmth"], values["surface_warmth"])
                assert both == pytest.approx((float(warmth(lab)), float(warmth(found[0]))))
    # The plainer two undertones agree or fight beside a surface, the more it says for or against a paint.
    for pairs in loudness.values():
        assert len(pairs) > 3
        weights_said = [weight for _, weight in sorted(pairs)]
        assert weights_said == sorted(weights_said)
        assert weights_said[-1] > weights_said[0] + 0.02
    assert {"near-miss-white", "lighter-than-given", "neighbour-fits", "neighbour-fights"} <= said


def test_harmony_is_said_to_be_above_or_below_a_grey_as_it_is(make_surface: MakeSurface, some_paints: Deck) -> None:
    """Beside one surface and with nothing wished there is room for it among the reasons."""
    oak = make_surface("floor", (1.0, 55, 14, 28))
    facts = [fact for one in shortlist("door", [oak], some_paints, top=0).candidates for fact in one.reasons]
    found = [fact for fact in facts if fact.kind.startswith("harmony")]
    assert {fact.kind for fact in found} == {"harmony-above-grey", "harmony-below-grey"}
    for fact in found:
        above = dict(fact.values)["relative_harmony"] > 0
        assert (fact.kind == "harmony-above-grey") == fact.favours == above


def test_a_merging_lightness_is_told_from_the_nearer_of_mean_and_main_colour(make_surface: MakeSurface) -> None:
    """From afar a surface is its mean (62), from close by its ground (70): L* plus half the chromatic difference."""
    givens = gather([make_surface("stone", (0.6, 70, 1, 4), (0.4, 50, 1, 4))])
    labs = np.array([[62.6, 2.2, 5.6], [69.5, 2.6, 2.8]])  # 1.2 and 1.6 units apart in colour: 3, 4 and 5
    near_mean, near_main = lightness_clashes("cabinets", labs, np.zeros((2, 1)), givens)
    for (clash,), step, chromatic in ((near_mean, 0.6, 2.0), (near_main, -0.5, 2.0)):
        values = dict(clash.values)
        assert values["lightness_step"] == pytest.approx(step, abs=1e-9)
        assert values["chromatic_step"] == pytest.approx(chromatic, abs=1e-9)
        assert clash.surface == "stone"


@pytest.mark.parametrize("paint", [[67.0, 1.0, 4.0], [64.0, 1.0, 5.0], [69.0, 1.0, 10.0], [65.0, 1.0, 12.0]])
def test_the_chance_of_a_merge_is_that_of_drawn_surfaces(paint: list[float], make_surface: MakeSurface) -> None:
    """Reckoned along the straight line, up to an eighth off where the colours are nearly the same; drawn, it is
    the share of surfaces nearer than the middle of what parts two.
    """
    sd = 1.5
    surface = make_surface("stone", (1.0, 70, 1, 4), sd=sd)
    ((clash,),) = lightness_clashes("cabinets", np.array([paint]), np.zeros((1, 1)), gather([surface]))
    drawn = np.random.default_rng(8).normal([70.0, 1.0, 4.0], sd, (20000, 3)) - paint
    apart = np.abs(drawn[:, 0]) + 0.5 * np.hypot(drawn[:, 1], drawn[:, 2])
    share = float(np.mean(apart < sum(weights.SEPARATION) / 2))
    assert clash.probability == pytest.approx(share, abs=0.14)


def test_surfaces_that_nobody_weighed_are_seen_alike(make_surface: MakeSurface) -> None:
    """Visibilities are shares of what is seen: they sum to one whatever they were."""
    for visibility in (0.0, 0.2, 3.0):
        names = ("floor", "tile", "worktop")
        givens = gather([make_surface(name, (1.0, 60, 2, 8), visibility=visibility) for name in names])
        np.testing.assert_allclose(givens.visibility, 1 / 3, atol=1e-7)


def test_a_step_counts_in_lightness_and_half_as_much_in_colour(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Six L* part two as twelve units of a* and b* do, whichever way they go."""
    givens = gather([make_surface("stone", (1.0, 60, 2, 8))])
    paints = paints_of(make_deck((66, 2, 8), (54, 2, 8), (60, 14, 8), (60, 2, -4), (60, 2, 20)))
    (judged,) = judge_measured(paints, givens)
    np.testing.assert_allclose(judged.step[:, 0], judged.step[0, 0], atol=1e-5)
    assert 0 < float(judged.step[0, 0]) < 1


@pytest.mark.parametrize(("count", "most"), [(8, 3), (16, 6)])
def test_one_side_gives_way_where_another_is_as_good(count: int, most: int) -> None:
    """Three places of eight for one side of the hue circle, as the module says, while nothing surely leads."""
    words = ["yellow"] * 20 + ["green"] * 20 + ["blue"] * 20
    listed, _ = varied(range(60), words, np.zeros((60, 60), dtype=bool), (), count)
    assert [sum(words[row] == word for row in listed) for word in ("yellow", "green", "blue")] == [
        most, most, count - 2 * most
    ]  # fmt: skip
    surely = np.zeros((60, 60), dtype=bool)
    surely[:20, 20:] = True
    assert varied(range(60), words, surely, (), count)[0] == list(range(count))


def test_what_a_client_will_not_have_is_kept_from_every_list(random_deck: Deck) -> None:
    """Every limit at once: rows, families of hue and LRV as printed, to a tenth."""
    paints = paints_of(random_deck)
    of_family = np.array([each.family for each in undertones(random_deck.lab)])
    printed = np.round(random_deck.lrv, 1)
    limits = Limits(avoid=frozenset({0, 7}), avoid_families=frozenset({"yellow", "red"}), lrv={"trim": (40.0, 80.0)})
    others = ~np.isin(np.arange(600), [0, 7]) & ~np.isin(of_family, ["yellow", "red"])
    inside = (printed >= 40) & (printed <= 80)
    np.testing.assert_array_equal(allowed_paints(limits, paints, "walls"), others)
    np.testing.assert_array_equal(allowed_paints(limits, paints, "trim"), others & inside)
    assert 0 < (others & inside).sum() < others.sum() < 600


def test_an_lrv_is_kept_as_it_is_printed() -> None:
    """To a tenth: 25.04 is printed 25.0, and 25.06 is not."""
    lrv = np.array([24.94, 24.96, 25.0, 40.0, 40.04, 40.06])
    assert in_range((25.0, 40.0), lrv).tolist() == [24.9 < float(f"{each:.1f}") < 40.1 for each in lrv]


def test_a_list_keeps_to_the_limits_while_any_paint_does(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    first = shortlist("walls", kitchen, random_deck).candidates[0].paint
    without = Setting(limits=Limits(avoid=frozenset({first}), lrv={"walls": (55.0, 75.0)}))
    listed = [one.paint for one in shortlist("walls", kitchen, random_deck, without).candidates]
    assert len(listed) == 8
    assert first not in listed
    assert np.all((random_deck.lrv[listed] > 54.9) & (random_deck.lrv[listed] < 75.1))
    # Where nothing keeps to them all are listed, as the scheme then says.
    none = Setting(limits=Limits(lrv={"walls": (99.9, 100.0)}))
    assert shortlist("walls", kitchen, random_deck, none).candidates[0].paint == first


def test_some_paints_have_the_curves_of_those_rows(random_deck: Deck) -> None:
    paints, rows = paints_of(random_deck), np.array([5, 2, 99])
    np.testing.assert_array_equal(paints.take(rows).curves(), paints.curves()[rows])


def test_a_match_tells_as_much_as_what_is_quiet_and_a_lean_not_known_least() -> None:
    """Of those that neither fight nor agree the one that says more comes first; what is not sure comes last."""
    marble, paint = [85.0, 0.0, 1.0], [76.0, 1.5, -3.0]
    quiet = meet(paint, 49.9, "quiet", [part_of(marble, 66.0, "#d5d4d2")])
    match = meet(paint, 49.9, "match", [part_of(paint, 49.9, "#b9b9c2")])
    unsure = meet(paint, 49.9, "unsure", [part_of([55.0, 14.0, 28.0], 22.9, "#a07c55", certainty=0.2)])
    assert [one.kind for one in (quiet, match, unsure)] == ["quiet", "match", "unsure"]
    louder, stiller = sorted((quiet, match), key=lambda one: -abs(one.agreement))
    assert telling([unsure, stiller, louder]) == (louder, stiller, unsure)
    assert telling([replace(quiet, agreement=0.2), replace(match, agreement=0.1)])[0].kind == "quiet"
    assert telling([replace(quiet, agreement=0.1), replace(match, agreement=0.2)])[0].kind == "match"


def test_terms_are_what_their_scales_say(make_deck: MakeDeck) -> None:
    """Half for no opinion, none and whole at the ends; a wished LRV is missed wholly by 20 points, by 10 half."""
    np.testing.assert_allclose(harmony_term(np.array([-50.0, 0.0, 50.0])), [0, 0.5, 1], atol=1e-9)
    np.testing.assert_allclose(undertone_term(np.array([-9.0, 0.0, 9.0])), [0, 0.5, 1], atol=1e-9)
    lightness = lightness_from_lrv([30.0, 40.0, 50.0, 60.0, 70.0, 90.0])
    paints = paints_of(make_deck(*[(level, 0, 0) for level in lightness]))
    found = wish_term("walls", paints, Preferences(lrv_range=(50, 60)))
    np.testing.assert_allclose(found, [0, 0.5, 1, 1, 0.5, 0], atol=1e-6)
    assert wish_term("door", paints, Preferences(lrv_range=(50, 60))).tolist() == [1] * 6


def test_light_and_dark_are_asked_of_large_areas_alone(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    """A dark door in the north is no dull room."""
    deck = make_deck((40, 1, 5), (45, -2, 6))
    for role, dull in (("walls", True), ("ceiling", True), ("trim", False), ("door", False)):
        found = scores(role, kitchen, deck, Setting(facing="N")).by_itself.light_cost.dull
        assert (found > 0).tolist() == [dull, dull], role


def test_what_is_said_of_lightness_parts_even_two_paints(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    """What holds of both is no reason for one of them; of one paint alone it is told."""
    light, dark = (93, 0, 3), (35, 0, 3)
    alike = shortlist("walls", kitchen[:1], make_deck(light, (90, 2, 8))).candidates
    told_of_lightness = {"lighter-than-given", "darker-than-given"}
    assert not told_of_lightness & {reason.kind for one in alike for reason in one.reasons}
    apart = shortlist("walls", kitchen[:1], make_deck(light, dark), top=0).candidates
    assert told_of_lightness <= {reason.kind for one in apart for reason in one.reasons}


def test_old_paint_goes_and_what_is_no_role_stays(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    walls, floor = make_surface("Walls", (1.0, 80, 0, 5)), make_surface("floor", (1.0, 55, 14, 28))
    question = ask(["walls"], [walls, floor], make_deck((76, 1, 6)))
    assert question.going == (walls,)
    assert question.givens.surfaces == (floor,)


def test_a_trim_may_be_plainly_darker_than_the_wall_and_not_a_little(make_deck: MakeDeck) -> None:
    """White trim, black trim, and one that only looks like a mistake: common practice, no published source."""
    wall = np.array([80.0, 0.0, 3.0])
    white, black, muddy = pair_fit("trim", np.array([[95.0, 0, 3], [30.0, 0, 1], [77.0, 0, 3]]), "walls", wall)
    assert white > black > 0.3 > muddy
    assert float(pair_fit("walls", wall, "trim", np.array([30.0, 0, 1]))) == pytest.approx(float(black))


def test_drawn_lightness_stays_between_black_and_white() -> None:
    kept = within_lightness(np.array([[-4.0, 3, -2], [0.4, 0, 0], [99.7, 1, 1], [108.0, 0, 4]]))
    np.testing.assert_allclose(kept, [[0, 3, -2], [0.4, 0, 0], [99.7, 1, 1], [100, 0, 4]], rtol=1e-6)
    assert kept.dtype == np.float32


def test_within_the_tropics_facing_says_less_and_on_the_equator_nothing() -> None:
    """The sun's declination is 23.4 degrees at most: there it stands on both sides of a house in the year."""
    assert away_from_sun("N", 11.7) == pytest.approx(0.5)
    assert away_from_sun("S", -11.7) == pytest.approx(0.5)
    assert [away_from_sun(facing, 50.0) for facing in ("N", "E", "S")] == pytest.approx([1, 0, -1])
    assert away_from_sun("N", 0.0) == 0


def test_light_takes_off_only_what_it_does_to_a_paint(make_deck: MakeDeck) -> None:
    """Dull and glaring are questions of large areas; each effect lowers the term; what is warm is never cold."""
    paints = paints_of(make_deck((40, 1, 5), (97, 0, 2), (80, 1, -6), (80, 4, 30)))

    def cost(facing: str | None, kelvin: float | None, large: bool) -> dict[str, list[bool]]:
        found = light_cost(room_light(facing, 52.0, kelvin), paints.lab, paints.lrv, paints.warmth, large=large)
        total = sum(np.asarray(getattr(found, name)) for name in found.__slots__)
        np.testing.assert_allclose(found.term(), np.clip(1 - total, 0, 1), atol=1e-12)
        return {name: (np.asarray(getattr(found, name)) > 1e-9).tolist() for name in found.__slots__}

    nothing, cold, yellow = [False] * 4, [False, False, True, False], [False, False, False, True]
    plain = dict.fromkeys(("cold", "dull", "hot", "glare", "lamp_yellow", "lamp_cold"), nothing)
    assert cost(None, None, True) == plain
    assert cost("N", None, True) == {**plain, "cold": cold, "dull": [True, False, False, False]}
    assert cost("N", None, False) == {**plain, "cold": cold}
    assert cost("S", None, True) == {**plain, "hot": yellow, "glare": [False, True, False, False]}
    assert cost(None, 2700.0, False) == {**plain, "lamp_yellow": yellow}
    assert cost(None, 6500.0, False) == {**plain, "lamp_cold": cold}


def test_a_lean_is_called_by_name_only_where_it_is_sure() -> None:
    lab = [55.0, 14.0, 28.0]
    assert called(part_of(lab, 22.9, "#a07c55", certainty=0.9)) == "yellow-red"
    assert called(part_of(lab, 22.9, "#a07c55", certainty=0.3)) == ""


def test_wanted_paints_meet_every_wish_at_once(random_deck: Deck) -> None:
    """Each is what was asked by coloraide's LRV and by the warmth of published models, and nothing such is left out."""
    lrv = np.array([in_library(lab)["lrv"] for lab in random_deck.lab])
    warm = np.asarray(warmth(random_deck.lab))
    inside = (lrv >= 20) & (lrv <= 60)
    assert wanted_paints(random_deck, Wanted()).all()
    # From and to: both ends are wanted.
    ends = tuple(np.sort(random_deck.lrv)[[5, 9]].tolist())
    assert wanted_paints(random_deck, Wanted((ends[0], ends[1]))).sum() == 5
    np.testing.assert_array_equal(wanted_paints(random_deck, Wanted(lrv=(20, 60))), inside)
    np.testing.assert_array_equal(wanted_paints(random_deck, Wanted((20, 60), warmth="warm")), inside & (warm > 0.1))
    np.testing.assert_array_equal(wanted_paints(random_deck, Wanted((20, 60), warmth="cool")), inside & (warm < -0.1))
    reds = wanted_paints(random_deck, Wanted(families=frozenset({"red"})))
    both = wanted_paints(random_deck, Wanted((20, 60), frozenset({"red"}), "warm"))
    np.testing.assert_array_equal(both, inside & reds & (warm > 0.1))
    assert 0 < both.sum() < reds.sum()
    hue = np.array([in_library(lab)["hue_deg"] for lab in random_deck.lab])[reds]
    assert 0 < reds.sum() < 150
    # Munsell's red lies about CIELAB 25 degrees, a fifth of the circle wide with its neighbours.
    assert np.all(np.abs((hue - 25 + 180) % 360 - 180) < 36)
    assert not wanted_paints(random_deck, Wanted(lrv=(101, 102))).any()
