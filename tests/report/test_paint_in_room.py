"""A paint examined in a room never says otherwise than the room's own shortlist."""

from __future__ import annotations

from pathlib import Path

from matcher import service
from matcher.report.paint_in_room import paint_in_room


def test_what_it_does_to_what_stays_is_what_the_shortlist_says(room_path: Path) -> None:
    """Over the deck: a clash of undertones found there is "against" here, and what is not one is not."""
    ranked = service.rank(room_path, top=0)
    deck, surfaces = ranked.deck, ranked.result["surfaces"]
    sure = {one["name"] for one in surfaces if all(colour["undertone_certainty"] >= 0.9 for colour in one["colours"])}
    assert len(sure) >= 2
    fought = told = 0
    for paint in ranked.result["shortlists"]["walls"][::11]:
        clashes = [clash for clash in paint["clashes"] if clash["kind"] != "lightness"]
        view = paint_in_room(deck, deck.row_of[paint["code"]], surfaces, None)
        says = next(row for row in view["means"] if row["term"] == "With what stays")
        against = says["bold"] if says["bold"].startswith("Against it") else ""
        strong = {clash["surface"] for clash in clashes if clash["severity"] > 0.06} & sure
        fought, told = fought + len(strong), told + sum(f"the {name}" in against for name in strong)
        quiet = sure - {clash["surface"] for clash in clashes}
        assert not [name for name in quiet if f"the {name}" in against], (paint["code"], against)
        assert ("Nothing that stays fights it" in view["advice"]) <= (not against)
    assert fought > 4
    assert told == fought
