"""Which cards a photo seems to hold: white, grey and black side by side show the tone curve, and so does a chart."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.photo.card_proposal import CardProposal
from matcher.photo.model import Finding

# Assumption: on the practice and sample photos nearly every true card stands above it and nearly no other patch.
_LIKELY = 0.25
_KINDS = ("white card", "grey card", "black card")


def cards_seen(proposals: Sequence[CardProposal], *, tone_known: bool = False) -> Finding:
    """Return which kinds of card are likely there, where some lie side by side; what a card alone is cannot be told.

    ``tone_known``: the file has no tone curve to find, so that one card will do.
    """
    likely = [p for p in proposals if p.confidence >= _LIKELY]
    if not likely:
        return Finding("cards", "warn")
    if any(p.kind == "chart 24" for p in likely):
        return Finding("cards", "ok", (("found", "a chart of 24 patches"), ("all", "it by its four corners")))
    if tone_known:
        return Finding("card is enough", "ok")
    together = any(p.group is not None for p in likely)
    found = [kind for kind in _KINDS if together and any(p.kind == kind for p in likely)]
    if len(found) == len(_KINDS):
        return Finding("cards", "ok", (("found", "a white, a grey and a black card"), ("all", "all three")))
    return Finding("cards", "note", (("found", " and ".join(found) if len(found) > 1 else "single card"),))
