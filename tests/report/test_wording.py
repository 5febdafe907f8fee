"""Every kind of fact has its sentence, filled with the values that its maker says it carries."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import get_args

import numpy as np
import pytest

from matcher.description.lean_word import lean_word
from matcher.harmony.undertone import strength_of
from matcher.instrument import understood as instrument
from matcher.instrument.understood import Remark
from matcher.photo.decoded import Finding
from matcher.ranking import reasons
from matcher.ranking.shortlist import Clash, Reason
from matcher.report import wording
from matcher.report.cautions import GLOSSARY
from matcher.report.paint_sentences import LEAN_STRENGTHS
from matcher.report.sentences import (
    ALTERNATIVES,
    CHECK_NUMBERS,
    CHECKS,
    CLASHES,
    COMPANION_FACTS,
    COMPANIONS,
    FINDINGS,
    NO_COMPANION,
    NO_TRIM_STEP,
    READINGS,
    REASONS,
    TRADES,
    TRIM_STEPS,
    TRIM_VERDICTS,
    WISHES,
)
from matcher.report.warnings import measurement_warnings
from matcher.report.wording import (
    check_numbers,
    check_sentence,
    clash_sentence,
    companion_sentence,
    finding_sentence,
    given_up_sentence,
    note_sentence,
    reason_sentence,
    remark_sentence,
    trade_sentence,
    trim_sentence,
    wish_phrase,
)
from matcher.scheme import alternatives, checks, companions, wishes
from matcher.scheme.scheme import AskedFor, GivenUp, Step, Verdict
from matcher.surfaces.contradiction import Contradiction
from matcher.surfaces.measure import RoomMeasurement

# kind, +/-, surfaces, values: the rows of the table in matcher/ranking/reasons.py.
TABLE = re.findall(r"^([a-z-]+) +([+-]) +(given|none|role) +([a-z_, ]+?)(?: \(|$)", reasons.__doc__ or "", re.MULTILINE)
WORDS = {
    "family": "yellow",
    "surface_family": "yellow-red",
    "part": "vein",
    "role": "trim",
    "wish": "warm",
    "away_side": "north",
}


def reason(kind: str, sign: str, surfaces: str, values: str) -> Reason:
    names = values.split(",")
    filled = tuple((name.strip(), WORDS.get(name.strip(), 64.0)) for name in names)
    return Reason(kind, sign == "+", filled, () if surfaces == "none" else ("worktop",), 0.5)


def test_the_table_is_read_whole() -> None:
    # That a paint stands for others is a fact about the deck, not about the room.
    assert {row[0] for row in TABLE} == {kind.partition(",")[0] for kind in REASONS} - {"stands-for"}


@pytest.mark.parametrize("row", TABLE, ids=[row[0] for row in TABLE])
def test_every_reason_has_a_sentence(row: tuple[str, str, str, str]) -> None:
    text = reason_sentence(reason(*row))
    assert "{" not in text
    if row[2] == "given":
        assert "worktop" in text
    # The numbers stand in the facts beside it: no degrees, no differences, no scale units in a sentence.
    assert not re.search(r"\d|°|dE|LRV|chroma|scale|\bfit\b", text)


def test_trade_words() -> None:
    """One word for both is said once; two words are both said."""
    values = (
        ("family", "yellow"),
        ("hue_deg", 64.2),
        ("surface_family", "yellow"),
        ("surface_hue_deg", 70.9),
        ("surface_chroma", 28.0),
        ("part", "board"),
        ("agreement", 0.4),
    )
    said = reason_sentence(Reason("undertone-agrees", True, values, ("floor",), 0.5))
    assert said == "leans yellow like the floor"
    kin = (*values[:2], ("surface_family", "yellow-red"), *values[3:])
    said = reason_sentence(Reason("undertone-agrees", True, kin, ("floor",), 0.5))
    assert said == "its yellow goes with the orange of the floor"


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (0.4, "as light as the worktop"),
        (-2.0, "as dark as the worktop"),
        (6.0, "a step lighter than the worktop"),
        (-21.3, "clearly darker than the worktop"),
        (60.0, "far lighter than the worktop"),
    ],
)
def test_a_step_in_lightness_is_said_by_its_size(step: float, said: str) -> None:
    kind = "lighter-than-given" if step >= 0 else "darker-than-given"
    assert reason_sentence(Reason(kind, True, (("lrv_step", step),), ("worktop",), 0.3)) == said


@pytest.mark.parametrize("key", list(CLASHES))
def test_every_clash_has_a_sentence_that_names_the_surface(key: str) -> None:
    kind, _, cause = key.partition(" ")
    values: tuple[tuple[str, float | str], ...] = (("lightness_step", 3.0), ("chromatic_step", 2.0))
    if cause:
        values = (
            ("cause", cause),
            ("agreement", -0.5),
            ("surface_family", "yellow-red"),
            ("surface_hue_deg", 63.0),
            ("surface_chroma", 8.0),
            ("paint_warmth", -0.3),
            ("surface_warmth", 0.6),
        )
    text = clash_sentence(Clash("floor", kind, 0.5, 0.8, values))  # type: ignore[arg-type]  # kinds come from the keys
    assert "the floor" in text
    assert "80\u00a0%" in text


@pytest.mark.parametrize("text", [*REASONS.values(), *CLASHES.values()])
def test_surfaces_are_no_subjects_as_some_are_plural(text: str) -> None:
    """Else the cabinets leans, or the tile lean."""
    assert not re.search(r"(?<!of )\{(given|surface)\} (is|leans|takes|has|fights|goes|looks|pulls)\b", text)


def test_every_companion_and_every_step_of_the_trim_ladder_has_its_words() -> None:
    """The tables in the two modules that make them."""
    kinds = set(re.findall(r"^(companion-[a-z]+) ", companions.__doc__ or "", re.MULTILINE))
    assert kinds == set(COMPANION_FACTS) == {f"companion-{kind}" for kind in (*COMPANIONS, *NO_COMPANION)}
    said = companion_sentence(Reason("companion-lighter", True, (("lrv_step", 21.0),), ("walls",), 1.0))
    assert said == "leans as the walls do, and is clearly lighter than they are"
    assert set(get_args(Step)) == set(TRIM_STEPS) == set(NO_TRIM_STEP)
    verdicts = {f"trim-{word.replace(' ', '-')}" for word in get_args(Verdict)}
    assert {key.partition(",")[0] for key in TRIM_VERDICTS} == verdicts


@pytest.mark.parametrize(
    ("kind", "values", "said"),
    [
        ("trim-sits", {"apart": 1.0}, "the same colour as the tile: only the sheen tells them apart"),
        ("trim-sits", {"apart": 6.0}, "sits with the tile"),
        ("trim-contrasts", {"lrv_step": 30.0}, "far lighter than the tile"),
        ("trim-contrasts", {"lrv_step": -12.0}, "clearly darker than the tile"),
        ("trim-yellows", {"sufferer": "trim"}, "looks yellowed beside the tile"),
        ("trim-yellows", {"sufferer": "other"}, "makes the tile look yellowed"),
        ("trim-looks-dirty", {"sufferer": "other"}, "makes the tile look dirty"),
    ],
)
def test_what_a_trim_does_beside_a_surface(kind: str, values: dict[str, float | str], said: str) -> None:
    assert trim_sentence(Reason(kind, True, tuple(values.items()), ("tile",), 1.0)) == said


def test_trim_reads_as_trim_against_the_walls() -> None:
    fact = Reason("trim-contrasts", True, (("lrv_step", 30.0),), ("walls",), 1.0)
    assert trim_sentence(fact) == "far lighter than the walls, so that it reads as trim"


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        (AskedFor("contrast", ("walls", "trim"), (("least", 10.0), ("most", 100.0))), "at least 10 points"),
        (AskedFor("contrast", ("walls", "trim"), (("least", 0.0), ("most", 30.0))), "at most 30 points"),
        (AskedFor("lrv", ("walls",), (("low", 40.0), ("high", 60.0)), "Hall"), "from 40 to 60 in Hall"),
        (AskedFor("most-paints", ("walls", "trim"), (("most", 1.0),)), "a single paint"),
    ],
)
def test_a_wish_is_said_with_its_numbers(wish: AskedFor, said: str) -> None:
    assert said in wish_phrase(wish)
    assert wish_phrase(wish) in given_up_sentence(GivenUp((wish, wish), (wish,)))


def test_every_wish_has_its_words() -> None:
    """The table in the module that makes them."""
    kinds = set(re.findall(r"^([a-z-]+) +(?:role|two|trims)", wishes.__doc__ or "", re.MULTILINE))
    assert kinds == {key.partition(",")[0] for key in WISHES}


def test_what_nothing_sits_with_is_named_one_two_or_all() -> None:
    names = ("floor", "tile", "stone")
    one, two, every = (note_sentence(Reason("nothing-sits", False, (), names[:count], 1.0)) for count in (1, 2, 3))
    assert one.startswith("Nothing in this deck sits with the floor.")
    assert "the floor and the tile pull apart" in two
    assert "the floor, the tile and the stone pull apart" in every


def test_a_finding_about_a_place_names_it() -> None:
    check = next(iter(FINDINGS))
    finding = Finding(check, "ok", (("name", "sRGB"), ("source", "camera tag")), subject="worktop card")
    assert finding_sentence(finding).startswith("worktop card: ")


def test_every_check_and_trade_of_the_scheme_has_a_sentence() -> None:
    """The tables in the two modules that make them."""
    rules = re.findall(r"^([a-z-]+) +[a-z/, ]+  +\S", checks.__doc__ or "", re.MULTILINE)
    assert set(rules) - {"rule"} == set(CHECKS)
    # The docstring may break a line after a hyphen.
    text = (alternatives.__doc__ or "").replace("-\n", "-")
    kinds = set(re.findall(r"``(trade-[a-z]+)``", text))
    assert kinds == set(TRADES)
    assert {kind.removeprefix("trade-") for kind in kinds} == set(ALTERNATIVES)


@pytest.mark.parametrize("rule", list(CHECKS))
def test_a_check_names_both_roles_and_keeps_its_number_behind_them(rule: str) -> None:
    for passes in (True, False):
        # Through a doorway a rule speaks of one role in two rooms.
        through = rule.startswith("through-")
        roles = ["walls", "walls"] if through else ["door", "walls"]
        check = {"rule": rule, "roles": roles, "value": 31.0, "passes": passes, "room": "Hall"}
        said = check_sentence(check)
        assert "walls" in said
        assert ("Hall" if through else "door") in said
        assert not re.search(r"31|dE|LRV|agreement|points|%", said)
        assert "31" in check_numbers(check, {"door": 80.0, "walls": 49.0})


@pytest.mark.parametrize(
    ("value", "passes", "said"),
    [
        (0.26, True, "go together"),
        (-0.02, True, "neither go together nor fight"),
        # As the result rounds it, the bound itself: only the check knows on which side it was.
        (-0.15, True, "neither go together nor fight"),
        (-0.15, False, "fight"),
    ],
)
def test_how_two_undertones_get_on_is_said_in_words(value: float, passes: bool, said: str) -> None:
    """The bounds of matcher/ranking/weights.py."""
    check = {"rule": "undertones-kin", "roles": ["trim", "walls"], "value": value, "passes": passes}
    assert check_sentence(check) == f"the undertones of trim and walls {said}"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (18.24, "clearly lighter than the walls"),
        (-3.1, "a step darker than the walls, where a clear step lighter was asked for"),
        (0.0, "as light as the walls, where a clear step lighter was asked for"),
    ],
)
def test_a_step_of_lightness_says_which_way_it_goes(value: float, said: str) -> None:
    check = {"rule": "trim-lighter-than-walls", "roles": ["trim", "walls"], "value": value, "passes": value >= 10}
    assert check_sentence(check) == f"the trim is {said}"


def test_a_difference_is_that_of_the_numbers_beside_it() -> None:
    """As they are, 78.44 and 14.95 lie 63.49 apart; as they are printed 63.4."""
    check = {"rule": "contrast-lrv-points", "roles": ["door", "walls"], "value": 63.49, "passes": True}
    assert "LRV 78.4 and 15.0, 63.4 points apart" in check_numbers(check, {"door": 78.44, "walls": 14.96})


def test_a_share_that_rounds_to_nothing_is_not_nothing() -> None:
    black = Finding("clipping", "warn", (("black", 0.004),))
    assert finding_sentence(black).startswith("Less than 1\u00a0% of the picture is pure black")


def test_a_minus_is_a_minus_and_a_hyphen_a_hyphen() -> None:
    check = {"rule": "undertones-kin", "roles": ["trim", "walls"], "value": -0.31, "passes": False}
    assert "agreement \u22120.31 (" in check_numbers(check, {})
    edge = Clash("blue-grey floor", "lightness", 0.5, 0.8, (("lightness_step", -0.2), ("chromatic_step", -2.0)))
    assert "hardly darker than the blue-grey floor and" in clash_sentence(edge)


SCALES = {"LRV": "LRV", "agreement": "Agreement", "dE00": "dE00"}


@pytest.mark.parametrize(("scale", "title"), SCALES.items())
def test_every_scale_that_a_sentence_counts_on_is_explained(scale: str, title: str) -> None:
    assert any(re.search(rf"\b{scale}\b", text) for text in CHECK_NUMBERS.values()) or scale == "LRV"
    assert title in {entry.title for entry in GLOSSARY}


def test_a_trade_says_what_it_gives_without_a_minus_sign() -> None:
    values = (("lrv_step", -9.0), ("warmth_step", 0.1), ("chroma_step", 1.0), ("score_cost", 0.04))
    assert trade_sentence(Reason("trade-darker", False, values, ("walls",), 0.1)) == (
        "the walls a little darker: suits the room a little less"
    )


@pytest.mark.parametrize(
    ("chroma", "hue_deg", "word"),
    [(8.0, 58.0, "pink-beige"), (8.0, 75.0, "beige"), (31.0, 72.0, "orange"), (30.0, 55.0, "pinkish orange")],
)
def test_yellow_red_is_worded_by_hue_and_chroma(chroma: float, hue_deg: float, word: str) -> None:
    """ISCC-NBS calls tinted greys up to 7YR pinkish; the words themselves are common practice, no source."""
    assert lean_word("yellow-red", hue_deg, chroma) == word


def finding_calls() -> list[ast.Call]:
    """Return every ``Finding(...)`` in the package whose first argument is written out."""
    package = Path(wording.__file__).parents[1]
    texts = (path.read_text(encoding="utf-8") for path in sorted(package.rglob("*.py")))
    calls = (
        node
        # Only what speaks of it is parsed.
        for text in texts
        if "Finding" in text
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Finding"
    )
    return [call for call in calls if isinstance(call.args[0], ast.Constant)]


def constant(node: ast.expr) -> str:
    assert isinstance(node, ast.Constant)
    return str(node.value)


def test_every_finding_has_a_sentence_and_every_sentence_a_finding() -> None:
    assert {constant(call.args[0]) for call in finding_calls()} == set(FINDINGS)


class Written:
    """Stands for a value of any kind: whatever the sentence asks for, a number or a word."""

    def __format__(self, spec: str) -> str:
        return "written"


# The few others choose a level or gather values first.
WRITTEN_OUT = [
    call
    for call in finding_calls()
    if isinstance(call.args[1], ast.Constant) and all(isinstance(values, ast.Tuple) for values in call.args[2:3])
]


@pytest.mark.parametrize("call", WRITTEN_OUT, ids=[f"{constant(c.args[0])} {c.lineno}" for c in WRITTEN_OUT])
def test_a_finding_carries_what_its_sentence_says(call: ast.Call) -> None:
    values = [pair for tuple_ in call.args[2:3] if isinstance(tuple_, ast.Tuple) for pair in tuple_.elts]
    names = [constant(pair.elts[0]) for pair in values if isinstance(pair, ast.Tuple)]
    finding = Finding(
        constant(call.args[0]),
        constant(call.args[1]),  # type: ignore[arg-type]  # read from the package
        tuple((name, Written()) for name in names),  # type: ignore[misc]
    )
    assert finding_sentence(finding)


def test_photos_that_contradict_each_other_are_named_with_what_to_do() -> None:
    found = RoomMeasurement((), (), contradictions=(Contradiction("worktop", ("rooms/a.jpg", "b.jpg"), 14.2),))
    (said,) = measurement_warnings(found)
    assert said.startswith("Worktop: a.jpg and b.jpg contradict each other: they differ by a large step.")
    assert "take out the photo that is wrong" in said


REMARKS = re.findall(r"^    ([a-zA-Z ]+?)  +([a-z_, ]+)$", instrument.__doc__ or "", re.MULTILINE)


def test_the_remarks_on_readings_are_read_whole() -> None:
    assert {kind.strip() for kind, _ in REMARKS} == set(READINGS)


@pytest.mark.parametrize(("kind", "names"), REMARKS)
def test_every_remark_on_a_reading_has_a_sentence(kind: str, names: str) -> None:
    words = {"where": "line 3", "light": "D65", "other": "D50", "order": "L* a* b*"}
    values = tuple((name.strip(), words.get(name.strip(), 2.0)) for name in names.split(","))
    if kind == "observer assumed":
        values = tuple((name, 10.0 if name == "other" else value) for name, value in values)
    text = remark_sentence(Remark(kind, values))
    assert text[0].isupper() or text[0].isdigit()
    assert "{" not in text


def test_a_lean_is_as_strong_in_a_sentence_as_it_is_in_the_result() -> None:
    """Whatever is more than barely there has one strength; none is said of what a colour alone does not show."""
    as_strong = {"slightly": "slight", "clearly": "clear", "strongly": "strong"}
    for seen in np.arange(0.05, 6, 0.1):
        said = next(word for limit, word in LEAN_STRENGTHS if seen < limit)
        found = strength_of(float(seen))
        assert found == as_strong[said] if seen > 1 else said == "barely" and found in ("none", "slight")
