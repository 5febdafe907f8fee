"""What no single key can tell: files that exist, outlines inside their photo, names that agree.

These checks walk the file as it was parsed and skip what is malformed, so that they speak in the same go as the
checks of single keys.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeGuard

from pydantic import ValidationError

from matcher.errors import Problem, ReadingError
from matcher.opening import is_file
from matcher.room.contents import MeasuredSurface
from matcher.room.measured import measured as read_measured
from matcher.room.outline import FARTHEST_PX, Points, outside_fault
from matcher.room.photo_size import upright_size
from matcher.room.size_checks import size_problems

Table = dict[str, Any]
_MOST_NAMED = 30  # surfaces listed where one is not known
_MOST_SAID = 200  # letters of a name, which may lead through folders


def cross_problems(
    raw: Table, folder: Path, *, own: Path | None = None, beside: Path | None = None
) -> Iterator[Problem]:
    """Yield every problem between parts of the file ``raw``, whose photos are relative to ``folder``; ``own`` is where
    it lies itself, ``beside`` the folder that other rooms are relative to, where that is another.
    """
    photos, measured = tables(raw, "photos"), tables(raw, "surfaces")
    for index, photo in enumerate(photos):
        yield from _photo_problems(f"photos[{index}]", photo, folder)
    yield from _name_problems(photos, measured)
    yield from _reading_problems(measured, folder)
    if isinstance(raw.get("sizes"), dict):
        yield from size_problems(raw["sizes"])
    yield from _room_problems(tables(raw, "rooms"), beside or folder, own)
    if sum(photo.get("whole_room") is True for photo in photos) > 1:
        yield Problem("photos", "more than one has whole_room = true", "Keep it for the picture to repaint and show.")
    if not measured and not any(tables(photo, "surfaces") for photo in photos):
        yield Problem(
            "photos",
            "no surface is outlined and none is measured",
            "Outline at least one under [[photos.surfaces]], or give its reading under [[surfaces]].",
        )


def tables(table: Table, key: str) -> list[Table]:
    """Return the array of tables at ``key``, an empty table for each entry that is none, [] where it is no array."""
    entries = table.get(key)
    return [entry if isinstance(entry, dict) else {} for entry in entries] if isinstance(entries, list) else []


def _photo_problems(where: str, photo: Table, folder: Path) -> Iterator[Problem]:
    file = photo.get("file")
    if not isinstance(file, str) or not file:
        return
    path = folder / file
    if not is_file(path):
        yield Problem(f"{where}.file", f"there is no file {_said(file)!r}", f"It is looked for in {folder.resolve()}.")
        return
    if not os.access(path, os.R_OK):
        yield Problem(f"{where}.file", f"{_said(file)!r} may not be read", f"Change its rights in {folder.resolve()}.")
        return
    size = upright_size(path)
    if size is None:
        yield Problem(
            f"{where}.file", f"{_said(file)} is not a picture that can be read", "Use the photo as the camera wrote it."
        )
        return
    for key, points in _outlines(photo):
        fault = outside_fault(points, size)
        if fault:
            yield Problem(f"{where}.{key}", fault, "Outlines are in pixels of the full-size photo held upright.")


def _room_problems(rooms: list[Table], folder: Path, own: Path | None) -> Iterator[Problem]:
    known: dict[Path, str] = {}
    for index, room in enumerate(rooms):
        file, where = room.get("file"), f"rooms[{index}].file"
        if not isinstance(file, str) or not file:
            continue
        path = folder / file
        if not is_file(path):
            looked = f"It is looked for in {folder.resolve()}."
            yield Problem(where, f"there is no room file {_said(file)!r}", looked)
            continue
        place = path.resolve()
        if own is not None and place == own.resolve():
            yield Problem(where, "is this room itself", "Name the file of the room that is seen from here.")
        elif place in known:
            yield Problem(where, f"is the room of {known[place]}", "Name each room that is seen from here once.")
        known.setdefault(place, f"rooms[{index}]")


def _outlines(photo: Table) -> Iterator[tuple[str, Points]]:
    """Yield key path and points of every well-formed outline of a photo."""
    for kind in ("references", "surfaces", "areas"):
        for index, entry in enumerate(tables(photo, kind)):
            named = [("outline", entry.get("outline"))]
            for several in ("outlines", "holes"):
                parts = entry.get(several)
                named += [(f"{several}[{i}]", part) for i, part in enumerate(parts if isinstance(parts, list) else [])]
            yield from ((f"{kind}[{index}].{key}", points) for key, points in named if _is_outline(points))


def _is_outline(points: object) -> TypeGuard[Points]:
    return isinstance(points, list) and all(
        isinstance(point, list) and len(point) == 2 and all(map(_is_pixel, point)) for point in points
    )


def _is_pixel(value: object) -> bool:
    # What is no number, or beyond any picture, is said by the check of its key.
    return type(value) in (int, float) and -FARTHEST_PX <= value <= FARTHEST_PX  # type: ignore[operator]  # a number, by the first half


def _name_problems(photos: list[Table], measured: list[Table]) -> Iterator[Problem]:
    materials: dict[str, tuple[str, object]] = {}
    for where, surface in _outlined(photos):
        name, material = surface.get("name"), surface.get("material")
        if not isinstance(name, str):
            continue
        first_where, first_material = materials.setdefault(name, (where, material))
        if material != first_material:
            yield Problem(
                f"{where}.material",
                f"{_said(name)!r} is {_said(material)} here and {_said(first_material)} in {first_where}",
                "The same name is the same surface: give it one material, or another name.",
            )
    for index, surface in enumerate(measured):
        name = surface.get("name")
        if not isinstance(name, str):
            continue
        where, material = materials.get(name, ("", None))
        if where.startswith("surfaces["):
            yield Problem(
                f"surfaces[{index}].name",
                f"{_said(name)!r} is there already, in {where}",
                "Give one surface one entry: several spots of it go into one file, or into colours.",
            )
        elif where and surface.get("material") != material:
            yield Problem(
                f"surfaces[{index}].material",
                f"{_said(name)!r} is {_said(surface.get('material'))} here and {_said(material)} in {where}",
                "The same name is the same surface: give it one material, or another name.",
            )
        materials[name] = (f"surfaces[{index}]", None)
    yield from _reference_problems(photos, materials)


def _reading_problems(measured: list[Table], folder: Path) -> Iterator[Problem]:
    """Yield what is wrong with the files of instruments; keys that are wrong themselves are said elsewhere."""
    for index, table in enumerate(measured):
        if not isinstance(table.get("file"), str):
            continue
        try:
            read_measured(MeasuredSurface.model_validate(table), folder)
        except ValidationError:
            continue
        except ReadingError as error:
            for problem in error.problems:
                place = "" if problem.where in ("reading", "") else f"{problem.where}: "
                yield Problem(f"surfaces[{index}].file", f"{place}{problem.what}", problem.remedy)


def _said(value: object) -> str:
    text = str(value)
    return text if len(text) <= _MOST_SAID else text[:_MOST_SAID] + "..."


def _outlined(photos: list[Table]) -> Iterator[tuple[str, Table]]:
    for index, photo in enumerate(photos):
        for place, surface in enumerate(tables(photo, "surfaces")):
            yield f"photos[{index}].surfaces[{place}]", surface


def _reference_problems(photos: list[Table], known: dict[str, tuple[str, object]]) -> Iterator[Problem]:
    names = (
        ", ".join(map(_said, sorted(known)[:_MOST_NAMED])) + (", and more" if len(known) > _MOST_NAMED else "")
        or "none"
    )
    for index, photo in enumerate(photos):
        for place, reference in enumerate(tables(photo, "references")):
            on = reference.get("on")
            if isinstance(on, str) and on not in known:
                yield Problem(
                    f"photos[{index}].references[{place}].on",
                    f"there is no surface {_said(on)!r}",
                    f"Surfaces: {names}.",
                )
