"""Measure a whole room: every photo calibrated, every surface read wherever it is outlined, readings combined."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from matcher.calibration.cast import Cast
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate, with_believed_curve
from matcher.calibration.tone_curve import same_camera_curve
from matcher.errors import CardError, Problem, SurfaceError
from matcher.photo.model import Finding, Photo
from matcher.photo.quality import check_photo
from matcher.photo.reading import read_photo
from matcher.room.model import MeasuredSurface, PhotoEntry, RoomFile
from matcher.surfaces.combining import combine, make_surface
from matcher.surfaces.model import Surface, SurfaceColour
from matcher.surfaces.reading import Reading, read_surface

Progress = Callable[[str], None]

# One worker checks photos aside, in image filters that run outside the interpreter's lock. Reading surfaces side by
# side was tried: it is many small steps that hold the lock, and was slower.
_WORKERS = 1


@dataclass(frozen=True, slots=True, eq=False)
class PhotoMeasurement:
    """One photo of the room and what its cards tell (None without a card).

    ``findings`` come beside those of ``photo``: its fitness and what its cards tell.
    """

    photo_entry: PhotoEntry
    photo: Photo
    calibration: PhotoCalibration | None
    findings: tuple[Finding, ...]

    @property
    def cast(self) -> Cast | None:
        """The cast the cards show."""
        return self.calibration.cast if self.calibration else None


@dataclass(frozen=True, slots=True, eq=False)
class RoomMeasurement:
    """``surfaces`` in the order they first appear in the room file."""

    surfaces: tuple[Surface, ...]
    photos: tuple[PhotoMeasurement, ...]


def measure_room(room: RoomFile, *, progress: Progress | None = None) -> RoomMeasurement:
    """Measure every surface of a room.

    Raises :class:`PhotoError`, :class:`CardError` or :class:`SurfaceError`, the last two with all problems at once.
    """
    with ThreadPoolExecutor(_WORKERS) as pool:
        shots = [_open(room, entry, pool, progress) for entry in room.photos]
        calibrations = _calibrate(shots)
        readings: list[Reading] = []
        problems: list[Problem] = []
        for shot, calibration in zip(shots, calibrations, strict=True):
            if calibration is not None:
                found, unread = _read_surfaces(shot, calibration)
                readings += found
                problems += unread
        if problems:
            raise SurfaceError.of(problems)
        photos = tuple(_measured(shot, c) for shot, c in zip(shots, calibrations, strict=True))
    return RoomMeasurement(_surfaces(room, readings), photos)


@dataclass(frozen=True, slots=True, eq=False)
class _Shot:
    """A decoded photo whose fitness is being checked meanwhile."""

    entry: PhotoEntry
    photo: Photo
    checking: Future[tuple[Finding, ...]]


def _open(room: RoomFile, entry: PhotoEntry, pool: Executor, progress: Progress | None) -> _Shot:
    if progress:
        progress(f"Reading {entry.file}")
    photo = read_photo(room.path_of(entry))
    return _Shot(entry, photo, pool.submit(check_photo, photo))


def _calibrate(shots: Sequence[_Shot]) -> list[PhotoCalibration | None]:
    """Calibrate every photo with a reference; one without evidence of its tone curve borrows from the room's others."""
    found: list[PhotoCalibration | None] = []
    problems: list[Problem] = []
    for shot in shots:
        try:
            found.append(
                calibrate(shot.photo, shot.entry.references, shot.entry.file) if shot.entry.references else None
            )
        except CardError as error:
            problems.extend(error.problems)
    if problems:
        raise CardError.of(problems)
    curves = [c.curve for c in found if c is not None and c.curve.evidence]
    if not curves:
        return found
    believed = same_camera_curve(curves)
    return [
        with_believed_curve(c, shot.photo.colour_space, believed) if c is not None and not c.curve.evidence else c
        for shot, c in zip(shots, found, strict=True)
    ]


def _measured(shot: _Shot, calibration: PhotoCalibration | None) -> PhotoMeasurement:
    if calibration is None:
        missing = Finding("no card", "warn" if shot.entry.surfaces else "note")
        return PhotoMeasurement(shot.entry, shot.photo, None, (*shot.checking.result(), missing))
    return PhotoMeasurement(shot.entry, shot.photo, calibration, (*shot.checking.result(), *calibration.findings))


def _read_surfaces(shot: _Shot, calibration: PhotoCalibration) -> tuple[list[Reading], list[Problem]]:
    entry = shot.entry
    cards = [np.asarray(r.outline, dtype=float) for r in entry.references]
    readings: list[Reading] = []
    problems: list[Problem] = []
    for surface in entry.surfaces:
        try:
            readings.append(
                read_surface(
                    shot.photo, calibration, surface, cards=cards, whole_room=entry.whole_room, where=entry.file
                )
            )
        except SurfaceError as error:
            problems.extend(error.problems)
    return readings, problems


def _surfaces(room: RoomFile, readings: Sequence[Reading]) -> tuple[Surface, ...]:
    """Combine the readings of each surface; add the instrument readings."""
    names = list(dict.fromkeys(s.name for p in room.photos for s in p.surfaces))
    unread = [n for n in names if not any(r.name == n for r in readings)]
    instruments = {m.name: m for m in room.surfaces}
    missing = [n for n in unread if n not in instruments]
    if missing:
        raise CardError.of(
            Problem(f"surface {name}", "no photo of it has a neutral reference in it",
                    "Outline the grey card as a reference, or take the photo again with a card lying on the surface")
            for name in missing
        )  # fmt: skip
    weights = {name: _visible_area([r for r in readings if r.name == name]) for name in names if name not in unread}
    typical = float(np.median(list(weights.values()))) if weights else 1.0
    weights |= {name: typical for name in instruments if name not in weights}
    total = sum(weights.values())
    surfaces = []
    for name, weight in weights.items():
        if name in instruments:
            surfaces.append(_instrument_surface(instruments[name], weight / total))
        else:
            surfaces.append(combine([r for r in readings if r.name == name], weight / total))
    return tuple(surfaces)


def _visible_area(readings: Sequence[Reading]) -> float:
    """Return the part of the picture a surface takes: in the whole-room photo where it is outlined there."""
    whole = [r for r in readings if r.whole_room] or list(readings)
    return float(np.mean([r.area / r.photo_area for r in whole]))


def _instrument_surface(measured: MeasuredSurface, visibility: float) -> Surface:
    covariance = np.eye(3) * measured.sd**2
    colours = tuple(
        SurfaceColour(np.asarray(c.lab, dtype=float), covariance, c.share, "field" if i == 0 else "second")
        for i, c in enumerate(sorted(measured.shares, key=lambda c: -c.share))
    )
    return make_surface(
        measured.name, measured.material, colours, visibility=visibility, source="instrument", has_own_card=False
    )
