"""Every reason that can be given is in the table that wording is written from, with exactly those values."""

from __future__ import annotations

import re

import pytest

from matcher.paints.deck import Deck
from matcher.ranking import reasons, weights
from matcher.ranking.question import Preferences, Setting
from matcher.surfaces.surface import Surface
from tests.ranking.asking import shortlist

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
