"""Quantities and the painter's schedule of a room: the contract's numbers, every role a row, and a CSV to buy from."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from matcher.errors import RequestError, RoomFileError
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.quantities import order
from matcher.report.sentences import LITRES_BASIS, ORDER_OF_WORK, PREPARATION, SURFACES
from matcher.room.contents import RoomFile
from matcher.service.quantities import cautions, schedule_csv, schedule_of
from matcher.surfaces.surface import Surface, SurfaceColour

CODES = {"walls": "demo-84", "trim": "demo-38", "ceiling": "demo-38", "door": "demo-38"}
SIZES = {"units": "metres", "length": 4.2, "width": 3.1, "height": 2.4, "openings": 4.5, "trim": 14.0, "door": 3.4}


def _room(sizes: dict[str, Any] | None, **room: Any) -> RoomFile:
    return RoomFile.model_validate({"room": {"name": "Hazel Close", "kind": "kitchen", **room}, "sizes": sizes})


def _surface(name: str, lab: tuple[float, float, float]) -> Surface:
    colour, doubt = np.array(lab), np.eye(3)
    part = SurfaceColour(lab=colour, covariance=doubt, share=1.0, part="field")
    return Surface(name, "paint", (part,), colour, doubt, visibility=1.0, source="photo", has_own_card=True)


def _plain(tins: str) -> str:
    return re.sub(r"\s", "", tins).replace("\N{MULTIPLICATION SIGN}", "x")


@pytest.fixture(scope="module")
def deck() -> Deck:
    return demo_deck()


def test_quantities_are_those_of_the_contract(deck: Deck) -> None:
    found = schedule_of(_room(SIZES, country="GB"), CODES, deck, [])["quantities"]
    assert [one["role"] for one in found] == ["walls", "trim", "ceiling", "door"]
    row = deck.row_of["demo-84"]
    assert deck.coverage is not None
    coverage = float(deck.coverage[row])
    walls = found[0]
    assert (walls["code"], walls["area_m2"], walls["coats"]) == ("demo-84", 30.54, 2)
    # The least is what the deck states; the most a sixth less far, and a tenth over.
    assert walls["litres"][0] == pytest.approx(30.54 * 2 / coverage, abs=0.002)
    assert walls["litres"][1] == pytest.approx(30.54 * 2 / (0.85 * coverage) * 1.1, abs=0.002)
    assert deck.tins is not None
    for one in found:
        held = sum(tin["litres"] * tin["count"] for tin in one["tins"])
        sold = deck.tins[deck.row_of[one["code"]]]
        assert {tin["litres"] for tin in one["tins"]} <= set(sold)
        assert one["litres"][0] < one["litres"][1] <= held < one["litres"][1] + min(sold)


def test_a_room_in_feet_and_gallons(deck: Deck) -> None:
    plain = replace(deck, tins=None, coverage=None, sheen=None)
    sizes = {"units": "feet", "length": 10, "width": 15, "height": 8, "openings": 72}
    painters = schedule_of(_room(sizes, country="US", built=1990), {"walls": "demo-84"}, plain, [])
    assert painters["system"] == "US"
    (walls,) = painters["quantities"]
    assert walls["area_m2"] == pytest.approx(328 * 0.09290304, abs=0.005)
    assert walls["m2_per_litre"] == pytest.approx([7.36, 9.82], abs=0.01)  # 300 and 400 square feet a gallon
    (row,) = painters["rows"]
    assert row["area"] == "328 ft²"
    # Two coats of 328 square feet at 400 and, a tenth over, at 300.
    assert row["litres_text"] == "1.6 to 2.4 gal"
    assert _plain(row["tins_text"]) == "2x1gal+2x1qt"
    assert any("300 to 400 ft² a gallon" in note for note in painters["footnotes"])
    # The year is past the country's own: nothing is to be tested.
    assert painters["order"][0]["kind"] == "clear-mask"


def test_what_was_measured_under_the_paint_counts(deck: Deck) -> None:
    white, red = "demo-1", _surface("Walls", (46.0, 50.0, 30.0))
    (unknown,), (known,) = (
        schedule_of(_room(SIZES), {"walls": white}, deck, surfaces)["quantities"] for surfaces in ([], [red])
    )
    assert (unknown["ground"], known["ground"]) == ("assumed", "measured")
    assert unknown["coats_range"][0] < known["coats_range"][0] or unknown["coats_range"][1] > known["coats_range"][1]
    (row,) = schedule_of(_room(SIZES), {"walls": white}, deck, [])["rows"]
    assert any("nobody measured" in note for note in row["notes"])


def test_one_tin_for_two_surfaces_of_one_paint_and_sheen(deck: Deck) -> None:
    painters = schedule_of(_room(SIZES), CODES, deck, [])
    assert [(one["code"], one["roles"]) for one in painters["purchases"]] == [
        ("demo-84", ["walls"]), ("demo-38", ["trim", "door"]), ("demo-38", ["ceiling"]),
    ]  # fmt: skip
    rows = {row["role"]: row for row in painters["rows"]}
    assert rows["door"]["tins"] == []
    assert rows["door"]["tins_text"] == "with skirting, frames and other trim"
    needed = sum(one["litres"][1] for one in painters["quantities"] if one["role"] in ("trim", "door"))
    assert sum(tin["litres"] * tin["count"] for tin in rows["trim"]["tins"]) >= needed


def test_a_role_without_a_size_is_measured_on_site(deck: Deck) -> None:
    painters = schedule_of(_room({"units": "metres", "walls": 12}), CODES, deck, [])
    assert [one["role"] for one in painters["quantities"]] == ["walls"]
    ceiling = next(row for row in painters["rows"] if row["role"] == "ceiling")
    assert (ceiling["area"], ceiling["litres"], ceiling["tins"], ceiling["tins_text"]) == (
        "measure on site",
        None,
        [],
        "",
    )
    assert ceiling["coats"] >= 2


def test_a_room_without_sizes_has_a_schedule_without_quantities(deck: Deck) -> None:
    painters = schedule_of(_room(None), CODES, deck, [])
    assert painters["quantities"] == painters["purchases"] == []
    assert len(painters["rows"]) == len(CODES)
    assert not any("estimate" in note for note in painters["footnotes"])


def test_sizes_that_contradict_each_other_and_a_paint_that_is_not_there(deck: Deck) -> None:
    with pytest.raises(RoomFileError, match="is missing beside length"):
        schedule_of(_room({"units": "metres", "length": 4}), CODES, deck, [])
    with pytest.raises(RequestError, match="nowhere"):
        schedule_of(_room(SIZES), {"walls": "nowhere"}, deck, [])


def test_the_sheen_is_asked_for_in_gloss_units(deck: Deck) -> None:
    rows = {row["role"]: row for row in schedule_of(_room(SIZES), {**CODES, "door": "demo-84"}, deck, [])["rows"]}
    assert rows["walls"]["sheen_text"] == "5 to 25 gloss units at 60° (velvet, eggshell or satin)"
    assert rows["ceiling"]["sheen_text"] == "up to 5 gloss units at 60° (matt or velvet)"
    assert rows["walls"]["sheen"] == {"gloss_60": [5.0, 25.0], "paint_gloss_60": 5.0, "fits": True}
    assert "The deck has this colour at 5 gloss units: order it in the sheen above" in rows["door"]["notes"]
    assert "The deck does not say its sheen: name the gloss units when ordering" in rows["trim"]["notes"]


def test_order_and_preparation(deck: Deck) -> None:
    painters = schedule_of(_room(SIZES, country="GB", built=1931), CODES, deck, [_surface("worktop", (60, 0, 0))])
    steps = [(step["kind"], step.get("role")) for step in painters["order"]]
    assert steps[0] == ("test-lead", None)
    assert ("fill-sand-wet", None) in steps
    assert [role for _, role in steps if role] == ["ceiling", "walls", "trim", "door"]
    assert steps[-1] == ("unmask", None)
    assert "Walls: two coats." in [step["text"] for step in painters["order"]]
    assert [entry["kind"] for entry in painters["preparation"]] == [
        "grease", "damp", "key-gloss", "sealant", "air", "keep",
    ]  # fmt: skip
    assert painters["stays"] == ["worktop"]
    assert "Not to be painted: worktop. Mask all of it." in painters["footnotes"]


def test_the_csv_is_one_table_to_buy_and_start_from(deck: Deck) -> None:
    painters = schedule_of(_room(SIZES, country="GB", built=1931), CODES, deck, [])
    rows = list(csv.DictReader(io.StringIO(schedule_csv(painters), newline="")))
    assert list(rows[0]) == [
        "surface", "code", "name", "sheen", "coats", "area", "quantity", "tins", "order of work", "preparation",
        "notes",
    ]  # fmt: skip
    assert [row["surface"] for row in rows] == [*(SURFACES[role] for role in CODES), "Whole room"]
    walls, *_, whole = rows
    assert (walls["code"], walls["coats"], walls["area"]) == ("demo-84", "2", "30.5 m²")
    assert walls["quantity"] == "5.6 to 7.2 L"
    assert _plain(walls["tins"]) == "1x5L+3x0.75L"
    assert walls["order of work"] == "7. Walls: two coats."
    assert "stain-blocking" in walls["preparation"]
    assert whole["order of work"].startswith("1. Have old paint tested for lead.")
    assert "Primer, for bare and stained places: " in whole["notes"]
    assert None not in rows[0]


@pytest.mark.parametrize("name", ["=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1+1", "\r=1+1"])
def test_a_name_that_looks_like_a_formula_stays_text(deck: Deck, name: str) -> None:
    """What may begin a formula in a spreadsheet: OWASP, "CSV Injection"."""
    painters = schedule_of(_room(SIZES), {"walls": deck.codes[0]}, replace(deck, names=(name, *deck.names[1:])), [])
    assert next(csv.DictReader(io.StringIO(schedule_csv(painters), newline="")))["name"] == f"'{name}"


def test_a_code_that_is_a_negative_number_stays_one(deck: Deck) -> None:
    numbered = replace(deck, codes=("-12", *deck.codes[1:]))
    painters = schedule_of(_room(SIZES), {"walls": "-12"}, numbered, [])
    assert next(csv.DictReader(io.StringIO(schedule_csv(painters))))["code"] == "-12"


def test_cautions_of_a_room_are_those_of_its_house() -> None:
    old, new = (cautions(_room(None, country="US", built=built)) for built in (1950, 1990))
    assert old[0]["kind"] == "lead"
    assert old[0]["values"]["before"] == 1978
    assert "lead" not in {entry["kind"] for entry in new}
    assert all(entry["title"] and entry["text"] for entry in old)


def test_every_step_preparation_and_source_has_words() -> None:
    """The tables in the docstring of the module that orders the work."""
    kinds = set(re.findall(r"^([a-z-]+)  +\S", order.__doc__ or "", re.MULTILINE)) - {"step", "preparation"}
    assert kinds | {"fill-sand-wet"} == set(ORDER_OF_WORK) | set(PREPARATION)
    assert set(order.PREPARED_ROLES) <= set(PREPARATION)
    assert set(LITRES_BASIS) == {"deck", "guidance"}
