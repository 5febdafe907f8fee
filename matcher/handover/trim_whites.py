"""The ladder of trim whites (``trim_ladder`` of the result): the step that was taken, and one that looked amiss."""

from __future__ import annotations

from matcher.handover import words
from matcher.handover.contents import Contents, Json, TurnedDown

_AMISS = ("yellows", "looks dirty")


def step_sentence(contents: Contents, role: str) -> str:
    """Return which step of the ladder a role's paint is, "" where it is none of them."""
    code = contents.roles[role]["code"]
    step = next((each["step"] for each in _ladder(contents) if each["code"] == code), None) if role == "trim" else None
    return "" if step is None else words.TRIM_STEPS[step]


def turned_down_white(contents: Contents) -> TurnedDown | None:
    """Return the first step that looks amiss beside something that stays or another role, but the one in use."""
    chosen = contents.roles.get("trim", {}).get("code")
    for step in _ladder(contents):
        for (beside, verdict), reason in zip(step["with"].items(), step.get("reasons", ()), strict=False):
            known = beside in contents.roles or any(beside == surface["name"] for surface in contents.stays)
            if verdict in _AMISS and known and step["code"] != chosen:
                return TurnedDown(
                    code=step["code"],
                    name=contents.names.get(step["code"], step["code"]),
                    lab=contents.labs[step["code"]],
                    surface=beside,
                    clash="",
                    fact=None,
                    text=words.TRIM_TURNED_DOWN.format(step=step["step"], reason=reason),
                )
    return None


def _ladder(contents: Contents) -> list[Json]:
    ladder: list[Json] = contents.result["scheme"].get("trim_ladder", [])
    return ladder
