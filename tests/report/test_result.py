"""result.json against the contract's shape, its ranges, and itself on a second run."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
import pytest
from pydantic import BaseModel, ConfigDict, Field

from matcher import service
from matcher.paints.reading import read_deck
from matcher.report.result import clash_entry
from matcher.surfaces import surface as measured
from tests.ranking.asking import shortlist

Unit = Annotated[float, Field(ge=0, le=1)]
Lrv = Annotated[float, Field(ge=0, le=100)]
Lab = tuple[Annotated[float, Field(ge=0, le=100)], float, float]
Hex = Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")]
Family = Literal["neutral", "red", "yellow-red", "yellow", "green-yellow", "green", "blue-green", "blue",
                 "purple-blue", "purple", "red-purple"]  # fmt: skip
Role = Literal["walls", "trim", "ceiling", "cabinets", "island", "accent", "door"]


class Model(BaseModel):
    """No key may be missing and none may be added."""

    model_config = ConfigDict(extra="forbid")


class Undertone(Model):
    family: Family
    strength: str
    hue_deg: Annotated[float, Field(ge=0, le=360)]
    chroma: Annotated[float, Field(ge=0)]
    visibility: Annotated[float, Field(ge=0)]


class Check(Model):
    check: str
    level: Literal["ok", "note", "warn", "fail"]
    message: Annotated[str, Field(min_length=5)]
    values: dict[str, float | str] = {}


class Cast(Model):
    gains: tuple[float, float, float]
    angle_deg: float
    residual_de00: float


class Photo(Model):
    file: str
    size: tuple[int, int]
    cast: Cast | None
    checks: list[Check]


class Colour(Model):
    share: Unit
    lab: Lab
    lrv: Lrv
    hex: Hex
    de00_sd: Annotated[float, Field(ge=0)]
    part: str
    designation: str
    undertone: Undertone
    warmth: Annotated[float, Field(ge=-1, le=1)]
    undertone_certainty: Unit
    leans: str
    spread: Annotated[list[Hex], Field(min_length=6, max_length=6)]


class Surface(Model):
    name: str
    material: str
    # Only where an instrument read it.
    source: Literal["instrument", "photo and instrument"] | None = None
    lrv: Lrv
    lrv_sd: Annotated[float, Field(ge=0)]
    lab: Lab
    own_card: bool
    colours: Annotated[list[Colour], Field(min_length=1)]


class Terms(Model):
    harmony: Unit
    undertone: Unit
    contrast: Unit
    light: Unit
    wishes: Unit


class Clash(Model):
    surface: str
    kind: Literal["warm-cool", "undertone", "lightness"]
    severity: Unit
    message: str
    probability: Unit


class Fact(Model):
    kind: str
    surface: str | None = None
    role: str | None = None
    favours: bool
    values: dict[str, float | str]


class Candidate(Model):
    rank: int
    code: str
    name: str
    lab: Lab
    hex: Hex
    lrv: Lrv
    score: Unit
    terms: Terms
    clashes: list[Clash]
    reasons: list[str]
    facts: list[Fact]
    stability: Unit
    tied_with: list[str]
    added_for: Literal["direction"] | None = None


class RolePaint(Model):
    code: str
    name: str
    hex: Hex
    lrv: Lrv
    reasons: list[str]
    facts: list[Fact]
    clashes: list[Clash] = []


class SchemeCheck(Model):
    rule: str
    roles: list[Role]
    value: float
    passes: bool


class Code(Model):
    code: str


class Alternative(Model):
    kind: str
    roles: dict[Role, Code]
    score: float
    trade: str


Companion = Literal["lighter", "darker", "partner"]


class TrimStep(Model):
    step: Literal["stark", "clean", "creamy"]
    code: str
    with_: Annotated[
        dict[str, Literal["sits", "contrasts", "yellows", "looks dirty"]], Field(alias="with", min_length=1)
    ]
    reasons: list[str]
    facts: list[Fact]


class WishEntry(Model):
    kind: str
    roles: list[Role]
    room: str = ""
    values: dict[str, float | str]
    message: str


class Wishes(Model):
    fight: list[WishEntry]
    given_up: list[WishEntry]


class OtherPaint(Model):
    code: str
    name: str
    hex: Hex
    lrv: Lrv


class OtherRoom(Model):
    file: str
    name: str
    through: str
    roles: dict[Role, OtherPaint]
    pinned: list[Role] = []
    checks: list[SchemeCheck]


class Scheme(Model):
    roles: dict[Role, RolePaint]
    score: Unit
    optimal: bool
    pinned: list[str] = []
    checks: list[SchemeCheck]
    alternatives: list[Alternative]
    companions: dict[Companion, str] = {}
    companion_reasons: dict[Companion, str] = {}
    companion_facts: dict[Companion, Fact] = {}
    trim_ladder: list[TrimStep] = []
    wishes: Wishes | None = None
    rooms: list[OtherRoom] = []


class RoleDoubt(Model):
    regret: Unit
    change: Unit


class SampleBoard(Model):
    kind: Literal["sample board"]
    message: str


class Action(Model):
    kind: Literal["grey card", "second photo", "three cards", "paint chips", "daylight", "chart", "instrument"]
    surface: str
    chips: list[str] = []
    gain: Unit
    change: Unit
    lrv_sd: Annotated[float, Field(ge=0)]
    lrv_sd_after: Annotated[float, Field(ge=0)]
    message: str
    why: str


class Advice(Model):
    stands: bool
    regret: Unit
    roles: dict[Role, RoleDoubt]
    next: Action | None
    photo: Action | None
    actions: list[Action | SampleBoard]


class Room(Model):
    name: str


class Deck(Model):
    name: str
    size: int
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Result(Model):
    format: Literal["givens-result/1"]
    room: Room
    deck: Deck
    photos: list[Photo]
    surfaces: list[Surface]
    shortlists: dict[Role, list[Candidate]]
    notes: dict[Role, list[str]] = {}
    scheme: Scheme
    warnings: list[str]


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for part in value.values():
            yield from numbers(part)
    elif isinstance(value, list):
        for part in value:
            yield from numbers(part)
    elif isinstance(value, float):
        yield value


def test_it_has_the_shape_of_the_contract(result: dict[str, object]) -> None:
    Result.model_validate(result)


def test_the_advice_has_its_shape(advice: dict[str, object]) -> None:
    Advice.model_validate(advice)


def test_every_number_is_finite(result: dict[str, object], advice: dict[str, object]) -> None:
    assert all(math.isfinite(value) for value in numbers([result, advice]))


def test_lists_are_sorted_and_shares_add_up(result: dict[str, object]) -> None:
    read = Result.model_validate(result)
    for candidates in read.shortlists.values():
        assert [candidate.rank for candidate in candidates] == list(range(1, len(candidates) + 1))
        scores = [candidate.score for candidate in candidates]
        assert scores == sorted(scores, reverse=True)
    for surface in read.surfaces:
        assert sum(colour.share for colour in surface.colours) == pytest.approx(1, abs=0.01)
    assert list(read.shortlists) == ["walls", "trim", "cabinets", "door"]


def test_the_same_inputs_give_the_same_bytes(room_path: Path) -> None:
    first, second = service.shortlist(room_path), service.shortlist(room_path)
    assert first.json == second.json
    assert first.page == second.page
    assert first.advice == second.advice
    assert json.loads(first.json) == first.result


def test_top_0_scores_every_paint(room_path: Path) -> None:
    answer = service.shortlist(room_path, top=0)
    for candidates in Result.model_validate(answer.result).shortlists.values():
        assert len({candidate.code for candidate in candidates}) == answer.result["deck"]["size"]


def test_a_clash_says_which_colour_of_the_surface_it_is_about(tmp_path: Path) -> None:
    """The main colour by the surface's name, a part by its own, one of several fields by its share.

    Which is meant comes from the ranking: a green paint fights the pink of this stone, a pink one its green.
    """
    pink, green = (60.0, 12.0, 5.0), (62.0, -12.0, 8.0)
    for part, name in (("vein", "the worktop\u2019s veining"), ("field", "45\u00a0% of the worktop")):
        surface = _stone((0.55, "field", green), (0.45, part, pink))
        messages = _messages(tmp_path / "deck.csv", surface)
        assert f" of {name}" in messages[0]
        assert " of the worktop" in messages[1]
        assert name not in messages[1]


def _stone(*colours: tuple[float, str, tuple[float, float, float]]) -> measured.Surface:
    doubt = np.eye(3)
    parts = tuple(measured.SurfaceColour(np.array(lab), doubt, share, part) for share, part, lab in colours)
    return measured.Surface("worktop", "stone", parts, parts[0].lab, doubt, 1.0, "photo", True)


def _messages(path: Path, surface: measured.Surface) -> list[str]:
    """What the first clash of undertones of a green and of a pink paint says."""
    path.write_text("code,name,L,a,b\ngreen,Green,70,-10,6\npink,Pink,70,10,4\n", encoding="utf-8")
    found = {c.paint: c for c in shortlist("walls", [surface], read_deck(path), top=0).candidates}
    entries = ([clash_entry(clash) for clash in found[row].clashes] for row in range(2))
    return [next(e["message"] for e in some if e["kind"] != "lightness") for some in entries]
