"""The whole-room photo in another paint: once from files, or step by step for an app that shows many paints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.service.chips import read_chip_colours
from matcher.service.decoder import get_ready
from matcher.service.paint import load_deck
from matcher.service.room_file import Json, Progress, silent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from matcher.colorimetry.spaces import Floats
    from matcher.photo.decoded import Finding
    from matcher.repaint.prepare import Prepared
    from matcher.surfaces.measure import PhotoMeasurement, RoomMeasurement

PREVIEW_SIDE = 1000  # pixels; quick enough to follow a hand, and sharp on a phone
_FORMAT = "givens-repaint/1"
_KINDS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG"}


@dataclass(frozen=True, slots=True)
class Repainted:
    """``picture`` is a file, upright, sRGB, at display size; ``result`` says what was painted and what to mind."""

    picture: bytes
    result: Json


def repaint(
    room_path: Path,
    role: str,
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    deck_path: Path | None = None,
    kind: str = "JPEG",
    out: Path | None = None,
    progress: Progress = silent,
) -> Repainted:
    """Repaint the area of ``role`` with a paint of the deck (``code``) or with CIELAB D65/2 ``lab``, one of the two.

    ``kind`` is JPEG or PNG; ``out`` is where it will be written, which no photo of the room may be. Raises a leaf of
    :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    get_ready()
    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.surfaces.measure import measure_room

    paint, reflectance = _paint(code, lab, deck_path)
    with unpacked(room_path) as path:
        room = read_room(path, lies_at=room_path)
        if out is not None:
            _refuse_photo(out, [room.path_of(entry) for entry in room.photos])
        _area_photo([(entry.file, entry.whole_room, entry.areas) for entry in room.photos], role)
        measurement = measure_room(room, progress=progress, paints=partial(read_chip_colours, room, deck_path))
    progress("Repainting")
    done = repaint_prepared(prepare_repaint(measurement, role), paint["lab"], reflectance, kind=kind)
    return Repainted(done.picture, {"format": _FORMAT, "room": {"name": room.room.name}, **done.result, "paint": paint})


def picture_kind(path: Path) -> str:
    """Return JPEG or PNG by the suffix of ``path``; raises :class:`matcher.errors.RequestError` for others."""
    from matcher.errors import Problem, RequestError

    kind = _KINDS.get(path.suffix.lower())
    if kind is None:
        raise RequestError(Problem(str(path), "a picture is written as JPEG or PNG", "End its name in .jpg or .png"))
    return kind


def prepare_repaint(measurement: RoomMeasurement, role: str, *, longest_side: int | None = None) -> Prepared:
    """Make the whole-room photo of a measured room ready for any paint on ``role``; slower than painting it.

    ``longest_side`` in pixels, such as ``PREVIEW_SIDE``, is for a smaller picture. Raises
    :class:`matcher.errors.RequestError` without an area of that role, :class:`matcher.errors.CardError` without a card.
    """
    import numpy as np

    from matcher.errors import CardError, Problem
    from matcher.repaint.prepare import prepare

    photos = measurement.photos
    number = _area_photo([(p.photo_entry.file, p.photo_entry.whole_room, p.photo_entry.areas) for p in photos], role)
    photo: PhotoMeasurement = photos[number]
    if photo.calibration is None or photo.calibration.guessed:
        remedy = "Outline a grey card in it under [[photos.references]], or take it again with one in it"
        raise CardError(Problem(photo.photo_entry.file, "no card tells the light in the photo to repaint", remedy))
    return prepare(
        photo.photo,
        photo.calibration,
        [area for area in photo.photo_entry.areas if area.role == role],
        outlined=photo.photo_entry.surfaces,
        measured={surface.name: surface for surface in measurement.surfaces},
        cards=[np.asarray(card, dtype=float) for card in photo.cards],
        longest_side=longest_side,
    )


def repaint_prepared(
    prepared: Prepared, lab: Sequence[float], reflectance: Floats | None = None, *, kind: str = "JPEG"
) -> Repainted:
    """Return the prepared photo with CIELAB D65/2 ``lab``, of ``reflectance`` (36,) where measured, on its area."""
    from matcher.repaint.apply import encoded, painted_light

    painted = painted_light(prepared, lab, reflectance)
    picture, size = _file_of(encoded(prepared, painted), prepared, kind)
    return Repainted(picture, {"size": size, **_said(prepared, lab, reflectance, painted)})


def repaint_together(
    parts: Sequence[tuple[Prepared, Sequence[float]]],
    reflectances: Sequence[Floats | None] | None = None,
    *,
    kind: str = "JPEG",
) -> Repainted:
    """Return one prepared photo with several roles painted, each with CIELAB D65/2 on its area; at least one.

    ``reflectances`` are those of the paints in the same order, (36,) each, None where it was not measured.
    ``result`` holds ``size`` and, as ``painted``, of each role what :func:`repaint_prepared` says of one.
    """
    from matcher.repaint.apply import painted_light
    from matcher.repaint.together import encoded_together

    known = reflectances or [None] * len(parts)
    painted = [painted_light(prepared, lab, one) for (prepared, lab), one in zip(parts, known, strict=True)]
    picture, size = _file_of(encoded_together(parts, painted), parts[0][0], kind)
    said = [_said(prepared, lab, one, light) for (prepared, lab), one, light in zip(parts, known, painted, strict=True)]
    return Repainted(picture, {"size": size, "painted": said})


def _file_of(values: NDArray[Any], prepared: Prepared, kind: str) -> tuple[bytes, list[int]]:
    """Return a picture file of file values (H, W, 3) of the photo, sRGB, and its width and height."""
    from matcher.photo.display import to_srgb
    from matcher.photo.pixels import as_eight_bits
    from matcher.report.output import picture_file

    pixels = to_srgb(as_eight_bits(values), prepared.colour_space)
    return picture_file(pixels, kind), [pixels.shape[1], pixels.shape[0]]


def _said(prepared: Prepared, lab: Sequence[float], reflectance: Floats | None, painted: NDArray[np.float32]) -> Json:
    """Return what is said of a role's area in CIELAB D65/2 ``lab``, ``painted`` (N, 3) in linear RGB."""
    from matcher.colorimetry.lrv import lrv
    from matcher.repaint.doubt import picture_doubt
    from matcher.repaint.findings import repaint_findings
    from matcher.report.numbers import rounded, rounded_lab
    from matcher.report.result import check_entry

    doubt = picture_doubt(prepared, lab, reflectance)
    findings: Sequence[Finding] = repaint_findings(prepared, painted, doubt, float(lrv(lab)))
    old = prepared.old
    return {
        "role": prepared.role,
        "share_of_picture": rounded(prepared.picture_share, 4),
        "old_paint": {
            "lab": rounded_lab(old.lab),
            "lrv": rounded(float(lrv(old.lab)), 2),
            "lrv_range": [rounded(doubt.old_low, 2), rounded(doubt.old_high, 2)],
            "measured": old.measured,
        },
        "brightness_range": [rounded(doubt.darker, 3), rounded(doubt.brighter, 3)],
        "checks": [check_entry(finding) for finding in findings],
    }


def write_picture(picture: bytes, path: Path) -> Path:
    """Write a picture file to ``path``, whole or not at all."""
    from matcher.report.output import write_folder

    return write_folder(path.parent, {path.name: picture})[0]


def _refuse_photo(out: Path, photos: Sequence[Path]) -> None:
    from matcher.errors import Problem, RequestError
    from matcher.opening import is_file

    if is_file(out) and any(out.samefile(photo) for photo in photos):
        raise RequestError(Problem(str(out), "is a photo of this room, which would be lost", "Name another file"))


def _paint(code: str | None, lab: Sequence[float] | None, deck_path: Path | None) -> tuple[Json, Floats | None]:
    """Return code, name, CIELAB, LRV and hex of what is asked for, and its reflectance (36,) where the deck has it."""
    from matcher.colorimetry.lrv import lrv
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.description.asked import checked_lab, find_paints
    from matcher.errors import Problem, RequestError
    from matcher.report.numbers import rounded, rounded_lab

    if (code is None) == (lab is None):
        raise RequestError(
            Problem("paint", "one paint is needed", "Give the code of a paint or CIELAB, one of the two")
        )
    name, reflectance = "", None
    if code is not None:
        deck = load_deck(deck_path)
        row = find_paints(deck, [code])[0]
        colour, name = [float(part) for part in deck.lab[row]], deck.names[row]
        reflectance = deck.measured(row)
    else:
        colour = checked_lab(lab or ())
    entry = {
        "code": code or "",
        "name": name,
        "lab": rounded_lab(colour),
        "lrv": rounded(float(lrv(colour)), 2),
        "hex": lab_to_hex(colour),
    }
    return entry, reflectance


def photo_to_repaint(photos: Sequence[tuple[bool, bool]]) -> int | None:
    """Return which photo is repainted, told of each whether it shows the whole room and whether an area to paint is
    outlined in it: the one of the whole room, or else the only one with an area, or else the only one.
    """
    whole = [number for number, (is_whole, _) in enumerate(photos) if is_whole]
    outlined = [number for number, (_, has_area) in enumerate(photos) if has_area]
    candidates = whole or outlined or list(range(len(photos)))
    return candidates[0] if len(candidates) == 1 else None


def _area_photo(photos: Sequence[tuple[str, bool, Sequence[Any]]], role: str) -> int:
    """Return the number of the photo to repaint, of (file, whole_room, areas), with an area of that role."""
    from matcher.errors import Problem, RequestError

    number = photo_to_repaint([(is_whole, bool(areas)) for _, is_whole, areas in photos])
    if number is None:
        what = f"{len(photos)} photos and none is the picture to repaint" if photos else "there is no photo to repaint"
        raise RequestError(Problem("photos", what, "Write whole_room = true for the photo to repaint"))
    file, _, areas = photos[number]
    roles = sorted({area.role for area in areas})
    if role not in roles:
        remedy = f"Outlined are: {', '.join(roles)}" if roles else "Outline it under [[photos.areas]]"
        raise RequestError(Problem(file, f"no area of the role {role!r} is outlined", remedy))
    return number
