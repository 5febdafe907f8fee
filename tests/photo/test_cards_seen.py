"""What the photo check says of the cards, against pictures whose cards are known (sample_photos, rendered)."""

from __future__ import annotations

import json
from pathlib import Path

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
