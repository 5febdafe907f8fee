"""What the photo check says of the cards, against pictures whose cards are known (sample_photos, rendered)."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from matcher.photo.card_proposal import CardKind, CardProposal, propose_cards
from matcher.photo.cards_seen import cards_seen
from matcher.photo.reading import read_photo
from matcher.report.wording import finding_sentence

SAMPLES = Path(__file__).parents[2] / "sample_photos"
KITCHEN = SAMPLES / "kitchen"


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


def _likely(kind: CardKind, group: int | None = None) -> CardProposal:
    return CardProposal(((0, 0), (9, 0), (9, 9), (0, 9)), kind, 0.9, group)


@pytest.mark.parametrize(
    ("cards", "said"),
    [
        (
            [_likely("white card", 0), _likely("grey card", 0), _likely("black card", 0)],
            "A white, a grey and a black card seem to lie in the picture: outline all three",
        ),
        (
            [_likely("white card", 0), _likely("grey card", 0)],
            "A white card and a grey card seem to lie in the picture",
        ),
        ([_likely("grey card")], "One place looks like a neutral card: outline it if it is one"),
        ([_likely("grey card")] * 3, "3 places look like a neutral card: outline those that are"),
        ([_likely("chart 24")], "A chart of 24 patches seems to lie in the picture: outline it by its four corners"),
    ],
)
def test_cards_are_named_and_counted_in_good_grammar(cards: list[CardProposal], said: str) -> None:
    assert finding_sentence(cards_seen(cards)).startswith(said)


def test_no_likely_proposal_means_no_card() -> None:
    unlikely = CardProposal(((0, 0), (9, 0), (9, 9), (0, 9)), "grey card", 0.1)
    assert cards_seen([unlikely]).level == "warn"
    assert cards_seen([]).level == "warn"


@pytest.mark.parametrize(
    "stem", ["kitchen/corner_mixed", "kitchen/whole_led", "kitchen/tile_led", "kitchen/pendant_a", "sitting/whole_day"]
)
def test_cards_side_by_side_are_found_and_kept_together(stem: str) -> None:
    """Nine cards in three places, three beside tiles that look like cards, or three far off, seen at a slant."""
    truth = json.loads((SAMPLES / f"{stem}.truth.json").read_text())
    sets: dict[int, list[CardProposal]] = {}
    for proposal in propose_cards(read_photo(SAMPLES / f"{stem}.jpg")):
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
    assert sum(len(members) >= 3 for members in sets.values()) == len(places)


@pytest.mark.parametrize("stem", ["pendant_a", "cabinets_day"])
def test_no_set_is_seen_where_the_cards_were_painted_out(stem: str) -> None:
    """Tiles in the fall-off of a lamp, and fronts in its light and shade, are no cards."""
    truth = json.loads((KITCHEN / f"{stem}.truth.json").read_text())
    photo = read_photo(KITCHEN / f"{stem}.jpg")
    cards = np.zeros(photo.pixels.shape[:2], np.uint8)
    for card in truth["cards"]:
        cv2.fillPoly(cards, [np.array(card["outline"]).round().astype(np.int32)], 1)
    bare = cv2.inpaint(np.array(photo.pixels), cv2.dilate(cards, np.ones((13, 13), np.uint8)), 5, cv2.INPAINT_TELEA)
    assert cards_seen(propose_cards(replace(photo, pixels=bare))).level != "ok"
