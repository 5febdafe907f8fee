"""What the photo check says of the cards, against pictures whose cards are known (sample_photos, rendered)."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from matcher.photo.card_proposal import CardProposal, propose_cards
from matcher.photo.cards_seen import cards_seen
from matcher.photo.reading import read_photo

KITCHEN = Path(__file__).parents[2] / "sample_photos" / "kitchen"


@pytest.mark.parametrize("stem", ["tile_led", "worktop_led", "cabinets_day", "whole_day", "tile_day", "cabinets_led"])
def test_cards_seen_are_the_cards_that_lie_there(stem: str) -> None:
    truth = json.loads((KITCHEN / f"{stem}.truth.json").read_text())
    there = {card["kind"] for card in truth["cards"]}
    finding = cards_seen(propose_cards(read_photo(KITCHEN / f"{stem}.jpg")))
    # A pale tile beside a lone card may pass for a second card, never for a whole set.
    assert finding.level == ("ok" if len(there) == 3 else "note")


def test_one_card_is_enough_where_there_is_no_tone_curve() -> None:
    likely = CardProposal(((0, 0), (9, 0), (9, 9), (0, 9)), "grey card", 0.9)
    assert (cards_seen([likely]).check, cards_seen([likely]).level) == ("cards", "note")
    assert cards_seen([likely], tone_known=True).level == "ok"
    assert cards_seen([], tone_known=True).level == "warn"


def test_no_likely_proposal_means_no_card() -> None:
    unlikely = CardProposal(((0, 0), (9, 0), (9, 9), (0, 9)), "grey card", 0.1)
    assert cards_seen([unlikely]).level == "warn"
    assert cards_seen([]).level == "warn"


@pytest.mark.parametrize("stem", ["corner_mixed", "whole_led", "tile_led"])
def test_cards_side_by_side_are_found_and_kept_together(stem: str) -> None:
    """Nine cards in three places, or three beside tiles that look like cards."""
    truth = json.loads((KITCHEN / f"{stem}.truth.json").read_text())
    sets: dict[int, list[CardProposal]] = {}
    for proposal in propose_cards(read_photo(KITCHEN / f"{stem}.jpg")):
        if proposal.group is not None:
            sets.setdefault(proposal.group, []).append(proposal)
    places = {card["on"] for card in truth["cards"]}
    found = set()
    for members in sets.values():
        on = {
            (card["kind"], card["on"])
            for member in members
            for card in truth["cards"]
            if np.linalg.norm(np.mean(member.outline, axis=0) - np.mean(card["outline"], axis=0)) < 15
            and card["kind"] == member.kind
        }
        if len(members) == 3 and len(on) == 3:
            found |= {place for _, place in on}
    assert found == places
