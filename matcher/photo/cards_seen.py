"""Which cards a photo seems to hold: white, grey and black side by side show the tone curve, and so does a chart."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.photo.card_proposal import LIKELY, CardProposal
from matcher.photo.decoded import Finding

_KINDS = ("white card", "grey card", "black card")


def cards_seen(proposals: Sequence[CardProposal], *, tone_known: bool = False) -> Finding:
    """Return which kinds of card are likely there, where some lie side by side; what a card alone is cannot be told.

    ``tone_known``: the file has no tone curve to find, so that one card will do.
    """
    likely = [p for p in proposals if p.confidence >= LIKELY]
    if not likely:
        return Finding("cards", "warn")
    if any(p.kind == "chart 24" for p in likely):
        return Finding("cards", "ok", (("found", "a chart of 24 patches seems"), ("all", "it by its four corners")))
    if tone_known:
        return Finding("card is enough", "ok")
    sets = [{p.kind for p in likely if p.group == group} for group in {p.group for p in likely if p.group is not None}]
    if any(kinds.issuperset(_KINDS) for kinds in sets):
        return Finding("cards", "ok", (("found", "a white, a grey and a black card seem"), ("all", "all three")))
    found = [f"a {kind}" for kind in _KINDS if any(kind in kinds for kinds in sets)]
    if found:
        return Finding("cards", "note", (("seem", f"{' and '.join(found)} seem to lie in the picture: outline both"),))
    places = "one place looks" if len(likely) == 1 else f"{len(likely)} places look"
    which = "it if it is one" if len(likely) == 1 else "those that are"
    return Finding("cards", "note", (("seem", f"{places} like a neutral card: outline {which}"),))
