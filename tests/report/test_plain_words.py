"""Whole results as a householder reads them: words in front, numbers in facts, and each number that of the result."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from matcher import service
from matcher.colorimetry.lrv import lrv
from matcher.demo.location import demo_room
from matcher.description.examined import examine
from matcher.ranking.meeting import meet, part_of
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.paint_view import paint_view
from matcher.report.reader import advice_view, role_view, scheme_view, surface_view
from matcher.service import load_deck

# Degrees, differences and scores have no place in a sentence; nor has a number counted on a scale.
SCALES = re.compile(r"°|\bdE\d*\b|degree|\bfit\b|\bLRV\b|chroma|\bhue\b|agreement|Michelson|CIE|\d\.\d", re.IGNORECASE)
TYPED = {
    "boards": """
[room]
name = "Hall"
facing = "N"
latitude = 55.9
[wishes]
warmth = "warm"
roles = ["walls", "trim", "ceiling", "door"]
[pins]
trim = "LIGHTEST"
[[surfaces]]
name = "floor"
material = "timber"
colours = [
  {share = 0.5, lab = [58, 10.6, 24.6]}, {share = 0.3, lab = [64, 9.6, 23.1]}, {share = 0.2, lab = [52, 11.2, 23.5]},
]
[[surfaces]]
name = "tile"
material = "tile"
lab = [92, -1, 3]
""",
    "pink stone": """
[room]
name = "Bath"
facing = "S"
latitude = -33.9
lamps_k = 2700
[wishes]
warmth = "cool"
lrv = [30, 50]
roles = ["walls", "trim", "cabinets", "island"]
[[surfaces]]
name = "hearth"
material = "stone"
colours = [{share = 0.55, lab = [62, -12, 8]}, {share = 0.45, lab = [60, 12, 5]}]
sd = 3.0
""",
    "black and white": """
[room]
name = "Study"
[wishes]
roles = ["walls", "accent"]
[[surfaces]]
name = "worktop"
material = "stone"
lab = [22, 0.2, -0.4]
[[surfaces]]
name = "sofa"
material = "textile"
lab = [40, 45, 30]
""",
}


def typed(name: str) -> str:
    deck = load_deck(None)
    return TYPED[name].replace("LIGHTEST", deck.codes[int(deck.lrv.argmax())])


@pytest.fixture(scope="module", params=["sample kitchen", *TYPED])
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Any]:
    """Return a result and the advice on it, of the sample kitchen or of a room whose colours are typed in."""
    if request.param in TYPED:
        path = tmp_path_factory.mktemp("typed") / "room.toml"
        path.write_text(typed(request.param), encoding="utf-8")
        ranked = service.rank(path)
    else:
        with demo_room() as path:
            ranked = service.rank(path)
    return ranked.result, ranked.advise()


def test_sentences_carry_no_scales(whole: tuple[dict[str, Any], Any]) -> None:
    result, _ = whole
    lists, scheme = result["shortlists"], result["scheme"]
    said = [text for paints in lists.values() for paint in paints for text in paint["reasons"]]
    said += [clash["message"] for paints in lists.values() for paint in paints for clash in paint["clashes"]]
    said += [text for paint in scheme["roles"].values() for text in paint["reasons"]]
    said += [other["trade"] for other in scheme["alternatives"]]
    said += [note for notes in result.get("notes", {}).values() for note in notes]
    for role, paints in lists.items():
        view = role_view(role, paints, result.get("notes", {}).get(role, ()))
        said += [view["intro"], *(paint["stability"] for paint in view["paints"])]
    view = scheme_view(scheme, load_deck(None))
    said += [view["intro"], *(check["text"] for check in view["checks"])]
    assert len(said) > 20
    codes = re.compile("|".join(map(re.escape, load_deck(None).codes)))  # in the list of close alternatives
    assert not [text for text in said if SCALES.search(codes.sub("", text))]


def test_numbers_in_sentences_are_those_of_the_result(whole: tuple[dict[str, Any], Any]) -> None:
    result, advice = whole
    for paints in result["shortlists"].values():
        for paint, shown in zip(paints, role_view("walls", paints)["paints"], strict=True):
            assert f"listed {100 * paint['stability']:.0f} times in 100" in shown["stability"]
            for clash in paint["clashes"]:
                chance = f"{100 * clash['probability']:.0f}"
                least = "less than 1" if chance == "0" and clash["probability"] else chance
                assert f"({least}\u00a0% likely" in clash["message"]
    lrvs = {role: f"{paint['lrv']:.1f}" for role, paint in result["scheme"]["roles"].items()}
    view = scheme_view(result["scheme"], load_deck(None))
    for text in (check["numbers"] for check in (*view["checks"], *view["contrasts"])):
        pair = re.search(r"LRV (\d+\.\d) and (\d+\.\d), (?:(\d+\.\d) points|the same)", text)
        if pair:
            assert {pair[1], pair[2]} <= set(lrvs.values())
            assert float(pair[3] or 0) == pytest.approx(abs(float(pair[1]) - float(pair[2])), abs=0.001)
    doubts = {}
    for number, surface in enumerate(result["surfaces"], start=1):
        half = max(int(f"{NINETY_PERCENT * surface['lrv_sd']:.0f}"), 1)
        doubts[surface["name"]] = half
        assert surface_view(number, surface)["sentence"].startswith(f"LRV {surface['lrv']:.0f} ± {half}, ")
    for action in advice["actions"]:
        if "why" in action:
            assert f"known to ±{doubts[action['surface']]}, would" in action["why"]
    assert "LRV" in " ".join(result["warnings"]) or not any("lie between" in text for text in result["warnings"])
    assert advice_view(advice)["what"]


def test_a_surface_is_called_by_one_word(whole: tuple[dict[str, Any], Any]) -> None:
    """Boards whose hues lie within twelve degrees of the main one share its word, in the table and in every fact."""
    result, _ = whole
    for surface in result["surfaces"]:
        main = surface["colours"][0]
        for colour in surface["colours"][1:]:
            hue = abs(main["undertone"]["hue_deg"] - colour["undertone"]["hue_deg"])
            certain = min(main["undertone_certainty"], colour["undertone_certainty"]) >= 0.7
            if min(hue, 360 - hue) <= 12 and certain and max(map(_chroma, (main, colour))) < 16:
                assert main["leans"].split()[-1] == colour["leans"].split()[-1]
        if surface["name"] == "floor":
            assert {colour["leans"] for colour in surface["colours"]} == {"strongly orange"}


def _chroma(colour: dict[str, Any]) -> float:
    return float(colour["undertone"]["chroma"])


def test_what_was_chosen_beforehand_is_said(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(typed("boards"), encoding="utf-8")
    result = service.rank(path).result
    deck = load_deck(None)
    assert result["scheme"]["pinned"] == ["trim"]
    intro = scheme_view(result["scheme"], deck)["intro"]
    assert "Already chosen: trim. For the rest, " in intro
    free = {**result["scheme"], "pinned": []}
    assert "Already chosen" not in scheme_view(free, deck)["intro"]
    # One role left to change is said to be why other schemes are few.
    first, *others = result["scheme"]["roles"]
    one_left = {**result["scheme"], "pinned": others}
    assert scheme_view(one_left, deck)["few"] == f"Only the {first} can still change: the rest was already chosen."
    assert scheme_view(free, deck)["few"] == ""
    every = {**result["scheme"], "pinned": list(result["scheme"]["roles"])}
    assert scheme_view(every, deck)["intro"].endswith("All of it was already chosen.")
    assert "the paints that pass the filter" in scheme_view(free, deck, filtered=True)["intro"]


def test_a_paint_examined_is_told_in_plain_words_and_pronounced_only_where_it_is_sure() -> None:
    """Over the demo deck, beside an orange floor and a tile whose lean is not known: scales stand in the details."""
    deck = load_deck(None)
    floor, tile = [55.0, 14.0, 28.0], [75.0, -4.0, 8.0]
    for row in range(0, len(deck), 9):
        lab, own = deck.lab[row], float(deck.lrv[row])
        met = [
            meet(lab, own, "floor", [part_of(floor, float(lrv(floor)), "#a07c55")]),
            meet(lab, own, "tile", [part_of(tile, float(lrv(tile)), "#b6bca9", certainty=0.5)]),
        ]
        found = examine(lab, lrv=own)
        view = paint_view(found, met, code=deck.codes[row], name=deck.names[row])
        said = [view["headline"], view["lede"], view["strip"]["said"], view["strip"].get("to", "")]
        said += [pair[part] for pair in view["pairs"] for part in ("label", "bold", "text")]
        said += [row[part] for row in view["means"] for part in ("term", "bold", "text")]
        assert not [text for text in said if SCALES.search(text)]
        assert not [text for text in said if "{" in text or "  " in text or text.startswith(" ")]
        pronounced = re.search("turns|side", view["headline"])
        assert not pronounced or found.lean.certainty >= 0.9
        assert ("likely" in view["headline"]) <= (0.7 <= found.lean.certainty < 0.9)
        assert "Not certain: the tile." in f"{view['means'][-1]['bold']} {view['means'][-1]['text']}"
