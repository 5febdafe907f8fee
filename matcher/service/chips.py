"""The colours of a room's paint chips, from the deck that is ranked."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.calibration.paint_chip import Paints
    from matcher.colorimetry.spaces import Floats
    from matcher.errors import Problem
    from matcher.paints.deck import Deck
    from matcher.room.contents import RoomFile
    from matcher.surfaces.shots import Outline


def chip_colours(room: RoomFile, deck: Deck) -> Paints:
    """Return the deck's colour of every chip in the room's photos.

    Raises :class:`matcher.errors.RequestError` with every code that the deck does not have.
    """
    from matcher.description.asked import find_paints
    from matcher.errors import GivensError, RequestError

    colours: dict[str, Floats] = {}
    problems: list[Problem] = []
    for where, code in _chips(room):
        try:
            (row,) = find_paints(deck, [code], where=where)
        except GivensError as error:
            problems += error.problems
            continue
        colours[code] = deck.lab[row]
    if problems:
        raise RequestError(*problems)
    return colours


def read_chip_colours(room: RoomFile, deck_path: Path | None) -> Paints:
    """Return the same from a deck file, which is read only where the room has a chip."""
    from matcher.service.paint import load_deck

    return chip_colours(room, load_deck(deck_path)) if any(_chips(room)) else {}


def known_chip_colours(room: RoomFile, deck: Deck) -> Paints:
    """Return the deck's colour of those chips it has: a room outlives a deck."""
    return {code: deck.lab[deck.row_of[code]] for _, code in _chips(room) if code in deck.row_of}


def chips_without_paint(document: Mapping[str, Any], files: Container[str]) -> list[Problem]:
    """Return a line for each photo among ``files`` in which chips are outlined whose paint is not chosen yet."""
    from matcher.errors import Problem

    problems = []
    for photo in document.get("photos", ()):
        unnamed = sum(map(_is_unnamed, photo.get("references", ())))
        if unnamed and photo.get("file") in files:
            one, many = (
                "a paint chip has no paint yet and is left out",
                "paint chips have no paint yet and are left out",
            )
            what, remedy = (
                (one, "Choose its paint from the deck; a strip of several can be split.")
                if unnamed == 1
                else (f"{unnamed} {many}", "Choose their paints from the deck.")
            )
            problems.append(Problem(str(photo["file"]), what, remedy))
    return problems


def outlines_without_paint(document: Mapping[str, Any]) -> dict[str, list[Outline]]:
    """Return by photo where chips lie whose paint is not chosen yet: they tell nothing, but hide what they lie on."""
    from matcher.room.outline import outline_fault

    found: dict[str, list[Outline]] = {}
    for photo in document.get("photos", ()):
        for reference in photo.get("references", ()):
            if _is_unnamed(reference):
                try:
                    outline = tuple((float(x), float(y)) for x, y in reference.get("outline", ()))
                except (TypeError, ValueError):
                    continue
                if outline_fault(outline) is None:
                    found.setdefault(str(photo.get("file")), []).append(outline)
    return found


def _is_unnamed(reference: Mapping[str, Any]) -> bool:
    return reference.get("kind") == "paint chip" and not reference.get("paint")


def has_chips(document: Mapping[str, Any]) -> bool:
    """Tell whether a chip is marked in a photo of a room document, finished or not."""
    photos = document.get("photos", ())
    return any(reference.get("paint") for photo in photos for reference in photo.get("references", ()))


def _chips(room: RoomFile) -> Iterator[tuple[str, str]]:
    """Yield where each chip stands in the room file, and its code."""
    for index, photo in enumerate(room.photos):
        for place, reference in enumerate(photo.references):
            if reference.paint is not None:
                yield f"photos[{index}].references[{place}].paint", reference.paint
