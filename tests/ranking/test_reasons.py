"""Every reason that can be given is in the table that wording is written from, with exactly those values."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from matcher.colorimetry.lrv import lightness_from_lrv, lrv
from matcher.harmony.agreement import deliberate_contrast
from matcher.harmony.tint import tint, visibility
from matcher.harmony.undertone import families
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck
from matcher.ranking import reasons, weights
from matcher.ranking.judge import accord, meant_step
from matcher.ranking.neighbours import pair_fit
from matcher.ranking.question import Preferences, Setting, ask
from matcher.ranking.rank import rank
from matcher.ranking.score import score
from matcher.ranking.wanted import Wanted, wanted_paints
from matcher.surfaces.surface import Surface
from tests.ranking.asking import shortlist
from tests.ranking.conftest import MakeDeck, MakeSurface

ROW = re.compile(r"^([a-z-]+) +([+-]) +(\w+) +(.+)$")
TABLE = {
    match[1]: (match[2] == "+", set(match[4].split(", ")))
    for match in map(ROW.match, (reasons.__doc__ or "").splitlines())
    if match and match[1] != "kind"
}


@pytest.mark.parametrize("role", weights.ROLES)
def test_kinds_and_values_are_those_of_the_table(role: str, kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    told = set()
    for facing, lamps_k in (("N", 2700.0), ("S", 6500.0)):
        listed = shortlist(
            role,
            kitchen,
            random_deck,
            Setting(
                Preferences("warm", (45, 80)),
                facing=facing,
                lamps_k=lamps_k,
                pins={"walls": 0, "trim": 1, "cabinets": 2},
            ),
            top=0,
        )
        for reason in (reason for candidate in listed.candidates for reason in candidate.reasons):
            favours, names = TABLE[reason.kind]
            assert reason.favours == favours
            # The word that the surface decides and the paint's visibility stand beside its hue, as the docstring says.
            words = {"surface_lean", "visibility"} if "surface_hue_deg" in names else set()
            assert {name for name, _ in reason.values} == names | words
            assert 0 <= reason.weight <= 1
            told.add(reason.kind)
    assert len(told) > 10


def test_reasons_come_strongest_first(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    for candidate in shortlist("walls", kitchen, random_deck).candidates:
        strengths = [reason.weight for reason in candidate.reasons]
        assert strengths == sorted(strengths, reverse=True)
        assert strengths


# How strongly each kind speaks by the numbers it states, before it is weighed by how much of a given is seen: as
# weights.py says of SPEAKS and what is added to it. A near miss and a colour too clean state no agreement.
STRENGTH: dict[str, Callable[[dict[str, Any]], float]] = {
    "undertone-agrees": lambda said: 0.5 + 0.8 * said["agreement"],
    "quiet-partner": lambda said: 0.5 + 0.8 * said["agreement"],
    "undertone-opposes": lambda said: 0.5 - 0.8 * said["agreement"],
    "deliberate-contrast": lambda said: 0.45,
    "given-accepts": lambda said: 0.4,
    "merges-with-given": lambda said: 0.5,
    "lighter-than-given": lambda said: 0.25,
    "darker-than-given": lambda said: 0.25,
    "neutral-paint": lambda said: 0.35,
    "harmony-above-grey": lambda said: 0.15 + 0.4 * said["relative_harmony"],
    "harmony-below-grey": lambda said: 0.15 - 0.4 * said["relative_harmony"],
    "unfit-for-role": lambda said: 1 - said["fit"],
    "warms-north-light": lambda said: 0.3,
    "changes-with-light": lambda said: 0.3 + 1 - said["keeps"],
    **dict.fromkeys(
        (
            "cold-in-north-light",
            "dull-in-north-light",
            "hot-in-sun",
            "glare-in-sun",
            "yellow-under-lamp",
            "cold-under-lamp",
        ),
        lambda said: 0.3 + said["cost"],
    ),
    "wish-warmth-met": lambda said: 0.4,
    "wish-warmth-missed": lambda said: 0.6,
    "wish-lrv-met": lambda said: 0.3,
    "wish-lrv-missed": lambda said: 0.6,
    "neighbour-fits": lambda said: 0.45,
    "neighbour-fights": lambda said: 0.8 - 0.5 * said["fit"],
}
ROOM = ((0.6, "floor", (55, 14, 28)), (0.3, "tile", (92, 0, 2)), (0.1, "worktop", (66, 2, 7)))


@pytest.fixture(scope="module")
def paints(make_deck: MakeDeck) -> Deck:
    """Whites, greys, muted and strong colours, a shade apart at the most."""
    rng = np.random.default_rng(31)
    angle, chroma = rng.uniform(0, 2 * np.pi, 160), rng.gamma(1.2, 8, 160)
    lightness = np.concatenate([rng.uniform(15, 97, 120), rng.uniform(88, 96, 40)])
    chroma[120:] *= 0.3
    return make_deck(*np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle) + 2], axis=1))


@pytest.mark.parametrize(
    ("role", "setting"),
    [
        ("walls", Setting(Preferences("cool", (45, 80)), facing="N", latitude=-35.0, pins={"trim": 3, "cabinets": 70})),
        ("walls", Setting(Preferences("warm"), facing="N", latitude=52.0, lamps_k=2700.0)),
        ("cabinets", Setting(Preferences(), lamps_k=6000.0, pins={"walls": 20})),
        ("trim", Setting(Preferences("either", (45, 80)), facing="S", pins={"walls": 40})),
    ],
)
def test_each_reason_speaks_as_strongly_as_its_kind_and_numbers_say(
    role: str, setting: Setting, make_surface: MakeSurface, paints: Deck
) -> None:
    """What is said of a given counts by how much of it is seen: four tenths anyhow, the rest by its visibility."""
    room = [make_surface(name, (1.0, *lab), visibility=part) for part, name, lab in ROOM]
    seen = {name: 0.4 + 0.6 * part for part, name, _ in ROOM}
    kinds = set()
    for one in shortlist(role, room, paints, setting, top=0, draws=2).candidates:
        for reason in one.reasons:
            kinds.add(reason.kind)
            assert reason.favours is TABLE[reason.kind][0]
            assert TABLE[reason.kind][1] == dict(reason.values).keys() - {"surface_lean", "visibility"} | (
                {"visibility"} & TABLE[reason.kind][1]
            )
            if reason.kind.startswith("neighbour"):
                step = paints.lrv[one.paint] - paints.lrv[setting.pins[reason.surfaces[0]]]
                assert dict(reason.values)["lrv_step"] == pytest.approx(step, abs=1e-6)
            if reason.kind in STRENGTH:
                whole = STRENGTH[reason.kind](dict(reason.values))
                by = seen.get(reason.surfaces[0], 1.0) if reason.surfaces else 1.0
                assert reason.weight == pytest.approx(min(max(whole, 0) * by, 1), abs=1e-5), reason
            else:
                assert 0.5 * seen[reason.surfaces[0]] < reason.weight <= 1, reason
    assert len(kinds) > 12


def _polar(lab: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """C*ab and h_ab of colours (..., 3), as CIE 15 defines them."""
    return np.hypot(lab[..., 1], lab[..., 2]), np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360


@pytest.mark.parametrize("role", ["walls", "trim", "door"])
def test_a_reason_is_told_where_its_ground_is_and_nowhere_else(
    role: str, make_surface: MakeSurface, paints: Deck
) -> None:
    """Of one given at a time, where nothing is crowded out, by functions that have tests of their own: whether a tint
    shows (ISCC-NBS), what two do to each other, what is meant as a contrast, and CIEDE2000's hue.
    """
    oak, marble, pink, greige, cherry = (55, 14, 28), (86, 0, 0.6), (78, 6, -1), (76, 1, 6), (42, 24, 17)
    told: Counter[str] = Counter()
    words = list(families(paints.lab))
    chroma, hue_deg = (each.tolist() for each in _polar(paints.lab))
    for lab in (oak, marble, pink, greige, cherry):
        candidates = shortlist(role, [make_surface("it", (1.0, *lab))], paints, top=0, draws=2).candidates
        given = tint(np.array(lab, dtype=float))
        own = tint(paints.lab)
        judged, meant = accord(own, given).total, deliberate_contrast(own, given)
        turned = (own.hue_deg - given.hue_deg + 180) % 360 - 180
        shows, plain = visibility(paints.lab), float(visibility(lab))
        fixed = [float(each) for each in _polar(np.array(lab))]
        for one in candidates:
            kinds = {reason.kind: dict(reason.values) for reason in one.reasons}
            told.update(kinds.keys())
            row, agreed = one.paint, judged[one.paint]
            numbers = {
                "chroma": chroma[row], "hue_deg": hue_deg[row], "visibility": shows[row], "lrv": paints.lrv[row],
                "surface_chroma": fixed[0], "surface_hue_deg": fixed[1], "surface_visibility": plain,
                "agreement": agreed,
            }  # fmt: skip
            for said in kinds.values():
                assert {key: said[key] for key in numbers.keys() & said.keys()} == pytest.approx(
                    {key: numbers[key] for key in numbers.keys() & said.keys()}, abs=1e-5
                )
                assert (said.get("family", words[row]), said.get("role", role)) == (words[row], role)
                assert said.get("part", "field") == "field"
            sure = min(abs(agreed - 0.22), abs(agreed + 0.15), abs(meant[row] - 0.6), abs(turned[row] - 45) / 90) > 1e-4
            # The gates 0.25 and 0.5 of a visibility: s^2 / (1 + s^2).
            tinted, leans = shows[row] > np.sqrt(1 / 3), shows[row] > 1
            if not sure or len(kinds) == weights.MOST_REASONS:
                continue
            assert ("neutral-paint" in kinds) == (not tinted)
            kin = tinted and agreed > 0.22
            assert ("quiet-partner" in kinds) == (kin and turned[row] > 45)
            assert ("undertone-agrees" in kinds) == (kin and turned[row] <= 45)
            assert ("deliberate-contrast" in kinds) == (meant[row] > 0.6 and abs(agreed) < 0.22)
            assert ("given-accepts" in kinds) == (leans and plain < np.sqrt(1 / 3))
            against = {"undertone-opposes", "near-miss-white", "cleaner-than-given", "rivals-given"} & kinds.keys()
            assert bool(against) == (agreed < -0.15)
            if "deliberate-contrast" in kinds:
                assert kinds["deliberate-contrast"]["hue_step_deg"] == pytest.approx(abs(turned[row]), abs=1e-3)
                assert kinds["deliberate-contrast"]["lightness_step"] == pytest.approx(paints.lab[row, 0] - lab[0])
            merges = "merges-with-given" in kinds
            assert merges == (role != "trim" and float(meant_step(paints.lab[[row]], np.array([lab]))[0, 0]) < 0.35)
            step = paints.lrv[row] - float(lrv(np.array(lab)))
            if not merges:
                kind = "lighter-than-given" if step > 0 else "darker-than-given"
                assert kinds[kind]["lrv_step"] == pytest.approx(step)
            else:
                assert kinds["merges-with-given"]["lrv_step"] == pytest.approx(step)
                steps = np.hypot(*(paints.lab[row, 1:] - lab[1:]))
                assert kinds["merges-with-given"]["chromatic_step"] == pytest.approx(steps)
    assert min(told[kind] for kind in ("quiet-partner", "undertone-agrees", "deliberate-contrast", "given-accepts")) > 2


def test_a_cleaner_paint_is_the_stronger_and_a_rival_is_not(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Common practice, no source: an orange beside a brown timber, and a brown as light as a strong terracotta."""
    kinds = {}
    for lab, fixed in (((56, 38, 50), (55, 14, 28)), ((52, 24, 29), (52, 26, 34))):
        (one,) = shortlist("cabinets", [make_surface("it", (1.0, *fixed))], make_deck(lab)).candidates
        kinds |= {
            reason.kind: dict(reason.values)
            for reason in one.reasons
            if reason.kind in ("cleaner-than-given", "rivals-given")
        }
    assert kinds["cleaner-than-given"]["chroma"] > kinds["cleaner-than-given"]["surface_chroma"]
    assert kinds["rivals-given"]["chroma"] < kinds["rivals-given"]["surface_chroma"]


def test_a_step_in_lightness_is_told_of_the_main_given_alone_where_there_are_many(
    make_surface: MakeSurface, paints: Deck
) -> None:
    """Of one or two givens each is told of; of more the one that is seen most. No step at all is as good as lighter."""
    for count, seen, expected in (
        (1, (0.6,), {"floor"}), (2, (0.6, 0.3), {"floor", "tile"}), (3, (0.6, 0.3, 0.1), {"floor"}),
        (3, (0.2, 0.1, 0.7), {"worktop"}),
    ):  # fmt: skip
        room = [
            make_surface(name, (1.0, *lab), visibility=part)
            for part, (_, name, lab) in zip(seen, ROOM[:count], strict=True)
        ]
        told = {
            reason.surfaces[0] for one in shortlist("walls", room, paints, top=0, draws=2).candidates
            for reason in one.reasons if reason.kind in ("lighter-than-given", "darker-than-given")
        }  # fmt: skip
        assert told == expected


def test_the_colour_that_a_reason_speaks_of_is_the_one_that_matters(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """Against a paint speaks what fights it by as much as it shows; for it what agrees by as much as it counts. A fleck
    of a hundredth and a half does neither.
    """
    beige, violet = (78.0, 3, 12), (70.0, 7, -9)
    for share, opposes in ((0.3, True), (0.015, False)):
        stone = make_surface("stone", (1 - share, *beige), (share, *violet), sd=0.2)
        (one,) = shortlist("walls", [stone], make_deck((80, 2.5, 9))).candidates
        said = {reason.kind: dict(reason.values) for reason in one.reasons}
        assert said["undertone-agrees"]["surface_chroma"] == pytest.approx(np.hypot(3, 12))
        assert ("undertone-opposes" in said) == opposes
        if opposes:
            assert said["undertone-opposes"]["surface_chroma"] == pytest.approx(np.hypot(7, 9))


def test_of_two_that_agree_or_fight_it_is_the_one_that_counts_for_more(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """A paint's kin of seven tenths before one of three, and a fight of the whole before a sharper one of a fleck."""
    kin = make_surface("stone", (0.7, 78, 2.2, 9), (0.3, 70, 2.5, 10), sd=0.2)
    (one,) = shortlist("walls", [kin], make_deck((84, 2, 8.5))).candidates
    (agrees,) = [dict(reason.values) for reason in one.reasons if reason.kind == "undertone-agrees"]
    assert agrees["surface_chroma"] == pytest.approx(np.hypot(2.2, 9))
    foes = make_surface("stone", (0.975, 76, 2.4, 7.5), (0.025, 66, 8, 22), sd=0.2)
    (one,) = shortlist("walls", [foes], make_deck((70, 3.2, -3.6))).candidates
    (opposes,) = [dict(reason.values) for reason in one.reasons if reason.kind == "undertone-opposes"]
    assert opposes["surface_chroma"] == pytest.approx(np.hypot(2.4, 7.5))


@pytest.mark.parametrize(
    ("latitude", "facing", "side"), [(None, "N", "north"), (0.4, "N", "north"), (52, "N", "north"), (-34, "S", "south")]
)
def test_the_side_away_from_the_sun_is_the_one_away_from_the_equator(
    latitude: float | None, facing: str, side: str, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    deck = make_deck((80, -2, -8), (84, 2, 16), (30, 0, 0))
    setting = Setting(facing=facing, latitude=latitude)
    found = shortlist("walls", [make_surface("it", (1.0, 60, 0, 0))], deck, setting, top=0).candidates
    sides = [
        dict(reason.values)["away_side"]
        for one in found
        for reason in one.reasons
        if "away_side" in dict(reason.values)
    ]
    assert set(sides) == (set() if latitude == 0.4 else {side})


def test_a_warm_paint_is_praised_in_a_sunless_room_alone(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Where less than half of the sun there is comes in, and of what is twice as warm as counts as warm."""
    deck = make_deck((84, 0.5, 3.5), (84, 0.3, 2.2), (84, -2, -8))
    by_lab = np.asarray(warmth(deck.lab))
    assert 0.3 > by_lab[0] > 0.2 > by_lab[1] > 0.05
    stone = [make_surface("it", (1.0, 60, 0, 0))]
    for facing, praised in (("N", [0]), ("NE", [0]), ("E", []), ("S", [])):
        found = shortlist("walls", stone, deck, Setting(facing=facing, latitude=52.0), top=0).candidates
        told = [one.paint for one in found for reason in one.reasons if reason.kind == "warms-north-light"]
        assert told == praised, facing


def test_wishes_are_told_as_met_or_missed(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Warm and cool of any role, lightness of walls; the bounds are within; a wish for either is none."""
    deck = make_deck((84, 2, 16), (84, -2, -8), (84, 0, 0))
    stone = [make_surface("it", (1.0, 60, 0, 0))]
    exactly = float(deck.lrv[0])
    expected = {"warm": ["met", "missed", "missed"], "cool": ["missed", "met", "missed"], "either": [], "both": []}
    for wish, verdicts in expected.items():
        for role in ("walls", "door"):
            for range_, lightness in (((exactly, 90), "met"), ((10, exactly), "met"), ((10, exactly - 1), "missed")):
                setting = Setting(Preferences(wish, range_))
                found = {one.paint: one.reasons for one in shortlist(role, stone, deck, setting, top=0).candidates}
                said = [{reason.kind for reason in found[row]} for row in range(3)]
                for row, verdict in enumerate(verdicts):
                    assert f"wish-warmth-{verdict}" in said[row]
                assert any(kind.startswith("wish-warmth") for kind in said[0]) == bool(verdicts)
                assert {kind for kind in said[0] if kind.startswith("wish-lrv")} == (
                    {f"wish-lrv-{lightness}"} if role == "walls" else set()
                )


def test_who_wishes_for_warm_is_told_it_of_what_is_found_as_warm(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """What a person finds who looks for warm paints, or cool ones, and what meets that wish in a list: the same."""
    angle = np.random.default_rng(14).uniform(0, 2 * np.pi, 90)
    chroma = np.linspace(0.2, 3, 90)
    deck = make_deck(*np.stack([np.full(90, 84.0), chroma * np.cos(angle), chroma * np.sin(angle)], axis=1))
    stone = [make_surface("it", (1.0, 60, 0, 0))]
    for wish in ("warm", "cool"):
        found = shortlist("door", stone, deck, Setting(Preferences(wish)), top=0, draws=1).candidates
        met = sorted(one.paint for one in found if "wish-warmth-met" in {reason.kind for reason in one.reasons})
        assert met == np.flatnonzero(wanted_paints(deck, Wanted(warmth=wish))).tolist()
        assert 20 < len(met) < 70
        assert np.abs(np.abs(np.asarray(warmth(deck.lab))) - 0.1).min() < 0.02


@pytest.mark.parametrize(("role", "half"), [("walls", 30.0), ("trim", 71.0), ("ceiling", 66.0)])
def test_a_paint_is_told_to_be_unfit_where_it_is_less_than_half_of_what_is_asked(
    role: str, half: float, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """Greys about the middle of where a role's lightness comes in: LRV 10 to 50, 62 to 80, 56 to 76. A soft step is a
    half there, and 0.46 and 0.54 at a fortieth of the way to either side.
    """
    wide = {"walls": 40, "trim": 18, "ceiling": 20}[role]
    lightness = lightness_from_lrv([half - wide / 40, half + wide / 40])
    deck = make_deck(*[(level, 0, 0) for level in lightness])
    found = shortlist(role, [make_surface("it", (1.0, 20, 0, 0))], deck, top=0, draws=1).candidates
    told = [one.paint for one in found if "unfit-for-role" in {reason.kind for reason in one.reasons}]
    assert told == [0]


def test_what_changes_with_the_light_is_told_of_what_keeps_less_than_seven_tenths(
    make_surface: MakeSurface, paints: Deck
) -> None:
    """Of how well a paint keeps its character in the room's light (tests/light), and of no other."""
    setting = Setting(facing="N", latitude=52.0, lamps_k=2700.0)
    question = ask(["door"], [make_surface("it", (1.0, 60, 0, 0))], paints, setting)
    told = {
        one.paint: any(reason.kind == "changes-with-light" for reason in one.reasons)
        for one in rank(question, "door", top=0, draws=1).candidates
        if len(one.reasons) < weights.MOST_REASONS
    }
    keeps = {row: float(question.keeps[row]) for row in told}
    assert told == {row: kept < 0.7 for row, kept in keeps.items()}
    assert sum(0.6 < kept < 0.7 for kept in keeps.values()) > 1 < sum(0.7 < kept < 0.85 for kept in keeps.values())


@pytest.mark.parametrize(
    ("facing", "lamps_k", "effects"),
    [
        (
            "N",
            2700.0,
            {"cold-in-north-light": "cold", "dull-in-north-light": "dull", "yellow-under-lamp": "lamp_yellow"},
        ),
        ("S", 6500.0, {"hot-in-sun": "hot", "glare-in-sun": "glare", "cold-under-lamp": "lamp_cold"}),
    ],
)
def test_small_effects_of_light_and_of_harmony_are_not_told(
    facing: str, lamps_k: float, effects: dict[str, str], make_surface: MakeSurface, paints: Deck
) -> None:
    """Of the light what takes less than four hundredths off its term, of published harmony what is within six of a
    grey's, either way.
    """
    setting = Setting(facing=facing, latitude=52.0, lamps_k=lamps_k)
    question = ask(["walls"], [make_surface("it", (1.0, 60, 0, 0))], paints, setting)
    found = score(question, "walls")
    cost = found.by_itself.light_cost
    relative = 0.5 * np.arctanh(2 * found.harmony - 1)
    near = [0, 0]
    for one in rank(question, "walls", top=0, draws=1).candidates:
        told = {reason.kind for reason in one.reasons}
        if len(one.reasons) == weights.MOST_REASONS:
            continue
        for kind, name in effects.items():
            size = float(getattr(cost, name)[one.paint])
            assert (kind in told) == (size >= 0.04), (kind, size)
            near[0] += 0.03 < size < 0.052
        size = float(relative[one.paint])
        assert any(kind.startswith("harmony") for kind in told) == (abs(size) >= 0.06), size
        near[1] += 0.046 < abs(size) < 0.078
    assert min(near) > 2


def test_a_neighbour_is_told_of_where_a_paint_fits_it_well_or_fights_it(
    make_surface: MakeSurface, paints: Deck
) -> None:
    """From three quarters of a fit on, and below a half; between the two there is nothing to say."""
    room = [make_surface("it", (1.0, 60, 0, 0))]
    pins = {"trim": int(np.argmax(paints.lrv)), "cabinets": int(np.argsort(paints.lrv)[40])}
    fits = {other: pair_fit("walls", paints.lab, other, paints.lab[row]) for other, row in pins.items()}
    told = {"neighbour-fits": 0, "neighbour-fights": 0, "": 0}
    for one in shortlist("walls", room, paints, Setting(pins=pins), top=0, draws=1).candidates:
        if len(one.reasons) == weights.MOST_REASONS:
            continue
        for other in pins:
            fit = float(fits[other][one.paint])
            expected = "neighbour-fits" if fit >= 0.75 else "neighbour-fights" if fit < 0.5 else ""
            said = {reason.kind for reason in one.reasons if reason.surfaces == (other,)}
            assert said == ({expected} if expected else set()), fit
            told[expected] += abs(fit - 0.75) < 0.12 or abs(fit - 0.5) < 0.1
    assert min(told.values()) > 2, told
