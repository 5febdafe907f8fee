"""The colours of a room's paint chips: from the deck that is ranked, or their own where they are of another edition."""

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

    Lab = tuple[float, float, float]


def chip_colours(room: RoomFile, deck: Deck) -> Paints:
    """Return the deck's colour of every chip in the room's photos that states none itself.

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
    """Return the same from a deck file, which is read only where a chip needs it."""
    from matcher.service.paint import load_deck

    return chip_colours(room, load_deck(deck_path)) if any(_chips(room)) else {}


def known_chip_colours(room: RoomFile, deck: Deck) -> Paints:
    """Return the deck's colour of those chips it has and that state none themselves: a room outlives a deck."""
    return {code: deck.lab[deck.row_of[code]] for _, code in _chips(room) if code in deck.row_of}


def labs_by_photo(room: RoomFile, paints: Paints, shas: Mapping[str, str]) -> dict[tuple[str, str], Lab]:
    """Return what a room's chips are measured as: CIELAB by the photo's hash (``shas`` by name) and the code.

    ``paints`` is what the deck says of those that state nothing themselves.
    """
    found: dict[tuple[str, str], Lab] = {}
    for photo in room.photos:
        for chip in photo.references:
            code = chip.paint or ""
            lab = photo.chip_labs.get(code, paints.get(code))
            if lab is not None and photo.file in shas:
                lightness, a, b = map(float, lab)
                found[shas[photo.file], code] = (lightness, a, b)
    return found


def chip_labs(room: RoomFile, paints: Paints) -> dict[str, Lab]:
    """Return the same by code, and by photo and code where photos differ."""
    by_code: dict[str, dict[str, Lab]] = {}
    for (file, code), lab in labs_by_photo(room, paints, {photo.file: photo.file for photo in room.photos}).items():
        by_code.setdefault(code, {})[file] = lab
    labs: dict[str, Lab] = {}
    for code, of_photos in by_code.items():
        first, *others = of_photos.values()
        same = all(lab == first for lab in others)
        labs |= {code: first} if same else {f"{file}: {code}": lab for file, lab in of_photos.items()}
    return labs


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
    return any(marked_chips(document))


def marked_chips(document: Mapping[str, Any]) -> Iterator[tuple[str, str, Mapping[str, Any]]]:
    """Yield photo, code and entry of every chip of a room document whose paint is chosen."""
    for photo in document.get("photos", ()):
        for reference in photo.get("references", ()):
            if reference.get("paint"):
                yield str(photo.get("file")), str(reference["paint"]), reference


def stated_chips(document: Mapping[str, Any]) -> set[tuple[str, str]]:
    """Return photo and code of the chips whose entry states a colour: it holds for all of that code in the photo."""
    return {(file, code) for file, code, chip in marked_chips(document) if chip.get("lab") is not None}


def _chips(room: RoomFile) -> Iterator[tuple[str, str]]:
    """Yield where each chip stands in the room file whose colour the deck has to tell, and its code."""
    for index, photo in enumerate(room.photos):
        own = photo.chip_labs
        for place, reference in enumerate(photo.references):
            if reference.paint is not None and reference.paint not in own:
                yield f"photos[{index}].references[{place}].paint", reference.paint
