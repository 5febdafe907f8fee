"""Which two or three paints to paint on boards: where the doubt of what was measured leaves the choice to the eye."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import hex_to_lab
from matcher.description.comparison import compare_colours
from matcher.handover.contents import Json, Sample

MOST = 3
# dE00 from which two boards are worth painting both: from here a step reads as meant from across a room (assumption, as
# in matcher/report/sentences.py, COLOUR_STEPS).
_WORTH_BOTH = 3.0
# Below this the list might not have held the paint, had the surfaces been measured again. Assumption.
_STABLE_FROM = 0.7


def samples_of(result: Json, main_role: str) -> tuple[Sample, ...]:
    """Return the boards to paint, the main role's first; two or three unless the scheme has a single paint."""
    roles = result["scheme"]["roles"]
    chosen = roles[main_role]
    found = [Sample(chosen["code"], main_role, "chosen")]
    # One place is kept for the next role, which is to be looked at touching the first.
    others = [role for role in roles if roles[role]["code"] != chosen["code"]]
    room_for_ties = MOST - 1 if others else MOST
    for sample in [*_tied(result, main_role), *_of_others(result, main_role, others)]:
        ties = sum(each.kind == "tied" for each in found)
        if sample.kind == "tied" and ties + 1 >= room_for_ties:
            continue
        if sample.code not in [each.code for each in found] and len(found) < MOST:
            found.append(sample)
    return tuple(found)


def _tied(result: Json, role: str) -> Iterator[Sample]:
    """Yield the paints that nothing measured parts from the one in the scheme and that look different, best first."""
    chosen = result["scheme"]["roles"][role]
    if role in result["scheme"].get("pinned", ()):
        return
    candidates = result["shortlists"].get(role, ())
    tied = next((each["tied_with"] for each in candidates if each["code"] == chosen["code"]), ())
    kept = [hex_to_lab(chosen["hex"])]
    for candidate in candidates:
        lab = hex_to_lab(candidate["hex"])
        if candidate["code"] in tied and all(float(delta_e_2000(lab, other)) >= _WORTH_BOTH for other in kept):
            kept.append(lab)
            seen = compare_colours(kept[0], lab)
            words = (("lighter", seen.lighter), ("warmer", seen.warmer), ("greener", seen.greener))
            opposite = {"lighter": "darker", "warmer": "cooler", "greener": "pinker"}
            differs = tuple(word if side == "b" else opposite[word] for word, side in words if side is not None)
            yield Sample(candidate["code"], role, "tied", chosen["code"], differs)


def _of_others(result: Json, main_role: str, others: list[str]) -> Iterator[Sample]:
    """Yield the other roles' paints, those whose choice is least sure first."""
    chosen = result["scheme"]["roles"][main_role]["code"]

    def stability(role: str) -> float:
        code = result["scheme"]["roles"][role]["code"]
        found = [each["stability"] for each in result["shortlists"].get(role, ()) if each["code"] == code]
        return float(found[0]) if found else 1.0

    for role in sorted(others, key=stability):
        kind = "doubtful" if stability(role) < _STABLE_FROM else "beside"
        yield Sample(result["scheme"]["roles"][role]["code"], role, kind, chosen if kind == "beside" else "")
