"""A shortlist as tiles to compare at a glance: what each is called, on which ground it is seen, one short reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.report.ground import Ground as Ground
from matcher.report.ground import ground_of as ground_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matcher.service.live import LiveRanking

Group = Literal["first", "behind"]
# The kind of the fact that names the paints which another stands for, and its value.
_STANDS_FOR, _CODES = "stands-for", "codes"


@dataclass(frozen=True, slots=True)
class Tile:
    """A ``paint`` of a shortlist in words (matcher/report/reader.py): ``group`` "first" where nothing that is measured
    parts it from the best; ``ground`` it is seen on; ``reason`` in a few words; ``close`` codes almost the same.
    """

    paint: Mapping[str, Any]
    group: Group
    ground: Ground
    reason: str
    close: tuple[str, ...]

    @property
    def code(self) -> str:
        """The paint's code."""
        return str(self.paint["code"])

    @property
    def clash(self) -> str:
        """The heading of what speaks loudest against it, "" where nothing clashes."""
        return str(self.paint["clashes"][0]["title"]) if self.paint["clashes"] else ""


def tiles_of(ranked: LiveRanking, role: str) -> tuple[Tile, ...]:
    """Return the shortlist of a role in its order; those equal to the best by what is measured come first."""
    paints: Sequence[Mapping[str, Any]] = ranked.roles[role]["paints"]
    if not paints:
        return ()
    equal = {paints[0]["code"], *paints[0].get("tied_with", ())}
    ordered = sorted(paints, key=lambda paint: paint["code"] not in equal)
    said: set[str] = set()
    return tuple(
        Tile(
            paint=paint,
            group="first" if paint["code"] in equal else "behind",
            ground=ground_of(paint["lrv"]),
            reason=_reason(paint, said),
            close=_close(paint),
        )
        for paint in ordered
    )


def _reason(paint: Mapping[str, Any], said: set[str]) -> str:
    """Return the weightiest reason that no tile before it gave: what all have in common tells none from the others."""
    from matcher.report.wording import short_reason

    speaking = [fact for fact in paint["facts"] if fact["favours"] and fact["kind"] != _STANDS_FOR]
    reasons = [short_reason(fact) for fact in speaking]
    chosen = next((reason for reason in reasons if reason not in said), reasons[0] if reasons else "")
    said.add(chosen)
    return chosen


def _close(paint: Mapping[str, Any]) -> tuple[str, ...]:
    codes = [str(fact["values"][_CODES]) for fact in paint["facts"] if fact["kind"] == _STANDS_FOR]
    return tuple(code for line in codes for code in line.split(", "))
