"""Which chip a surface comes nearest to in each photo that chips lie on it in: numbers in the result, then words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.report.sentences import CHIP_COMPARED, CHIP_IN_PHOTO
from matcher.report.trade_words import beside_chip_phrase, sentence_case

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.surfaces.told import PhotoTold

Json = Mapping[str, Any]


def nearest_chip_entries(photos: Sequence[PhotoTold]) -> dict[str, list[dict[str, Any]]]:
    """Return for each surface that chips lie on, by name, an entry a photo: ``photo``, the values of
    :class:`matcher.surfaces.nearest_chip.NearestChip`, and the chip's ``hex`` where it has a colour of its own.
    """
    found: dict[str, list[dict[str, Any]]] = {}
    for photo in photos:
        own = photo.photo_entry.chip_labs
        for finding in photo.findings:
            if finding.check == "nearest chip":
                values = dict(finding.values)
                entry = {"photo": photo.photo_entry.file, **values}
                if values["code"] in own:
                    entry["hex"] = lab_to_hex(own[str(values["code"])])
                found.setdefault(finding.subject, []).append(entry)
    return found


def nearest_chip_views(surface: Json, deck: Deck) -> list[dict[str, str]]:
    """Return the comparisons of a surface of the result in words, each with the chip's ``code``, ``name`` and ``hex``
    as the deck has them, or as the chip itself has it.
    """
    entries = surface.get("nearest_chips", ())
    return [
        {
            "code": entry["code"],
            "name": deck.names[deck.row_of[entry["code"]]],
            "hex": entry.get("hex") or lab_to_hex(deck.lab[deck.row_of[entry["code"]]]),
            "sentence": f"{sentence_case(_said(entry, several=len(entries) > 1))}.",
            "compared": CHIP_COMPARED.format(photo=PurePath(entry["photo"]).name),
        }
        for entry in entries
        if entry["code"] in deck.row_of
    ]


def _said(entry: Json, *, several: bool) -> str:
    phrase = beside_chip_phrase(entry)
    return CHIP_IN_PHOTO.format(photo=PurePath(entry["photo"]).name, phrase=phrase) if several else phrase
