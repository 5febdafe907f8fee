"""A shortlist as tiles to compare at a glance: what each is called, on which ground it is seen, one short reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matcher.service.live import LiveRanking

Group = Literal["first", "behind"]
Ground = Literal["ground", "pale"]

# The greys that swatches lie on, hex as the style sheet has them, the usual and the paler one; and how near in L* a
# paint melts into one (assumption).
_GREYS = ("#b9b9b9", "#e0e0e0")
MELTS_WITHIN = 10.0
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


def ground_of(lrv: float) -> Ground:
    """Return the ground that a paint of ``lrv`` 0..100 is seen on: the paler one where it melts into the usual one and
    stands out from the paler one more.

    >>> ground_of(48.0), ground_of(90.0), ground_of(64.0)
    ('pale', 'ground', 'ground')
    """
    from matcher.colorimetry.spaces import linear_srgb_to_xyz, srgb_decode

    own = _lightness(lrv / 100)
    greys = (float(linear_srgb_to_xyz([float(srgb_decode(int(grey[1:3], 16) / 255))] * 3)[1]) for grey in _GREYS)
    usual, pale = (abs(own - _lightness(luminance)) for luminance in greys)
    return "pale" if usual < MELTS_WITHIN and usual < pale else "ground"


def _lightness(luminance: float) -> float:
    """Return L* of Y 0..1 (CIE 015:2018, eq. 8.3)."""
    from matcher.colorimetry.spaces import WHITE_D65, xyz_to_lab

    return float(xyz_to_lab(luminance * WHITE_D65)[0])


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
