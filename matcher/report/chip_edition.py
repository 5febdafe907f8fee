"""Chips of another edition of the deck than the one that is ranked: how far each code has moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from matcher.colorimetry.difference import delta_e_2000
from matcher.photo.decoded import Finding
from matcher.report.result import check_entry
from matcher.report.sentences import CHIPS_AND_MORE, CHIPS_MOVED
from matcher.report.trade_words import colour_step_phrase, listed

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.room.contents import PhotoEntry
    from matcher.surfaces.told import PhotoTold

# dE00: less is the last digit that is printed.
_MOVED = 0.05
_MOST_NAMED = 5  # codes in a sentence: a strip of chips


def moved_chips(entry: PhotoEntry, deck: Deck) -> list[Finding]:
    """Return a finding for each code of the photo's chips that were measured as another colour than the deck's."""
    apart = {
        code: float(delta_e_2000(lab, deck.lab[deck.row_of[code]]))
        for code, lab in entry.chip_labs.items()
        if code in deck.row_of
    }
    return [
        Finding("chip of another edition", "note", (("de00", de00),), subject=code)
        for code, de00 in apart.items()
        if de00 >= _MOVED
    ]


def moved_chip_warnings(photos: Sequence[PhotoTold], deck: Deck) -> list[str]:
    """Return a sentence for each photo that has such chips."""
    found = [(photo.photo_entry.file, moved_chips(photo.photo_entry, deck)) for photo in photos]
    return [_sentence(PurePath(file).name, findings) for file, findings in found if findings]


def _sentence(photo: str, findings: Sequence[Finding]) -> str:
    codes = [finding.subject for finding in findings]
    if len(codes) > _MOST_NAMED:
        codes = [*codes[:_MOST_NAMED], CHIPS_AND_MORE.format(count=len(codes) - _MOST_NAMED)]
    step = colour_step_phrase(max(float(value) for finding in findings for _, value in finding.values))
    return CHIPS_MOVED[len(findings) > 1].format(photo=photo, codes=listed(codes), step=step)


def with_moved_chips(result: Mapping[str, Any], photos: Sequence[PhotoTold], deck: Deck) -> dict[str, Any]:
    """Return a result with the same among the checks of its photos and first among its warnings."""
    entries = [
        {**entry, "checks": [*entry["checks"], *map(check_entry, moved_chips(photo.photo_entry, deck))]}
        for entry, photo in zip(result["photos"], photos, strict=True)
    ]
    return {**result, "photos": entries, "warnings": [*moved_chip_warnings(photos, deck), *result["warnings"]]}
