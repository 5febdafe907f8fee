"""Measure a whole room: every photo calibrated, every surface read wherever it is outlined, readings combined."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np

from matcher.calibration.cast import Cast
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate, with_believed_curve
from matcher.calibration.tone_curve import same_camera_curve
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem, SurfaceError
from matcher.photo.model import Finding, Photo
from matcher.photo.quality import check_photo
from matcher.photo.reading import read_photo
from matcher.room.measured import measured
from matcher.room.model import OutlinedSurface, PhotoEntry, RoomFile
from matcher.surfaces.card_noise import noise_left
from matcher.surfaces.combining import combine
from matcher.surfaces.instrument import InstrumentReading, instrument_surface, with_instrument
from matcher.surfaces.model import Surface
from matcher.surfaces.reading import Reading, read_surface
from matcher.surfaces.recall import Recall

Progress = Callable[[str], None]

# One worker checks photos aside, in image filters that run outside the interpreter's lock. Reading surfaces side by
# side was tried: it is many small steps that hold the lock, and was slower.
_WORKERS = 1
_PLENTY = 1000  # readings of one room


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
    """``surfaces`` in the order they first appear in the room file; ``instruments`` what instruments said of some."""

    surfaces: tuple[Surface, ...]
    photos: tuple[PhotoMeasurement, ...]
    instruments: tuple[InstrumentReading, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """What could be measured of a room, and why the rest could not; the ``problems`` of cards come first."""

    measurement: RoomMeasurement
    card_problems: tuple[Problem, ...]
    surface_problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Memories:
    """What a program that measures the same room again and again keeps: decoded photos are large, readings small."""

    photos: Recall
    readings: Recall


def measure_room(room: RoomFile, *, progress: Progress | None = None) -> RoomMeasurement:
    """Measure every surface of a room.

    Raises :class:`PhotoError`, :class:`CardError` or :class:`SurfaceError`, the last two with all problems at once.
    """
    survey = survey_room(room, progress=progress)
    if survey.card_problems:
        raise CardError.of(survey.card_problems)
    if survey.surface_problems:
        raise SurfaceError.of(survey.surface_problems)
    return survey.measurement


def survey_room(room: RoomFile, *, memories: Memories | None = None, progress: Progress | None = None) -> Survey:
    """Measure what can be measured; raises :class:`PhotoError` only.

    ``memories`` of earlier surveys save what has not changed since; a photo's file is taken never to change.
    """
    memories = memories or Memories(Recall(len(room.photos)), Recall(_PLENTY))
    with ThreadPoolExecutor(_WORKERS) as pool:
        shots = [_open(room, entry, pool, memories.photos, progress) for entry in room.photos]
        calibrations, card_problems = _calibrate(shots, memories.readings)
        readings: list[Reading] = []
        problems: dict[str, tuple[Problem, ...]] = {}
        for shot, calibration in zip(shots, calibrations, strict=True):
            if calibration is not None:
                found, unread = _read_surfaces(shot, calibration, memories.readings)
                readings += found
            else:
                # With references there, their own problems say why nothing was read.
                unread = {surface.name: () for surface in shot.entry.surfaces} if shot.entry.references else {}
            for name, several in unread.items():
                problems[name] = (*problems.get(name, ()), *several)
        photos = tuple(_measured(shot, c) for shot, c in zip(shots, calibrations, strict=True))
    surfaces, instruments, missing = _surfaces(room, readings, explained=set(problems))
    # Where an instrument read a surface, a photo that shows too little of it is no loss.
    known = {surface.name for surface in room.surfaces}
    unreadable = tuple(problem for name, several in problems.items() if name not in known for problem in several)
    return Survey(RoomMeasurement(surfaces, photos, instruments), (*card_problems, *missing), unreadable)


@dataclass(frozen=True, slots=True, eq=False)
class _Shot:
    """A decoded photo whose fitness is being checked meanwhile."""

    entry: PhotoEntry
    photo: Photo
    checking: Future[tuple[Finding, ...]]


def _open(room: RoomFile, entry: PhotoEntry, pool: Executor, recall: Recall, progress: Progress | None) -> _Shot:
    if progress:
        progress(f"Reading {entry.file}")
    path = room.path_of(entry)

    def read() -> tuple[Photo, Future[tuple[Finding, ...]]]:
        photo = read_photo(path)
        return photo, pool.submit(check_photo, photo)

    return _Shot(entry, *recall.of(path, read))


def _calibrate(shots: Sequence[_Shot], recall: Recall) -> tuple[list[PhotoCalibration | None], list[Problem]]:
    """Calibrate every photo with a reference; one without evidence of its tone curve borrows from the room's others."""
    found: list[PhotoCalibration | None] = []
    problems: list[Problem] = []
    for shot in shots:
        try:
            found.append(_own_calibration(shot, recall))
        except CardError as error:
            found.append(None)
            problems.extend(error.problems)
    curves = [c.curve for c in found if c is not None and c.curve.evidence]
    if not curves:
        return found, problems
    believed = same_camera_curve(curves)
    lent = tuple(believed.strength), tuple(believed.covariance.ravel())
    return [
        c
        if c is None or c.curve.evidence
        else recall.of(
            ("lent curve", shot.photo.path, shot.entry.references, lent),
            partial(with_believed_curve, c, shot.photo.colour_space, believed),
        )
        for shot, c in zip(shots, found, strict=True)
    ], problems


def _own_calibration(shot: _Shot, recall: Recall) -> PhotoCalibration | None:
    references = shot.entry.references
    if not references:
        return None
    return recall.of(
        ("calibration", shot.photo.path, references), lambda: calibrate(shot.photo, references, shot.entry.file)
    )


def _measured(shot: _Shot, calibration: PhotoCalibration | None) -> PhotoMeasurement:
    if calibration is None:
        missing = Finding("no card", "warn" if shot.entry.surfaces else "note")
        return PhotoMeasurement(shot.entry, shot.photo, None, (*shot.checking.result(), missing))
    return PhotoMeasurement(shot.entry, shot.photo, calibration, (*shot.checking.result(), *calibration.findings))


def _read_surfaces(
    shot: _Shot, calibration: PhotoCalibration, recall: Recall
) -> tuple[list[Reading], dict[str, tuple[Problem, ...]]]:
    """Return the readings of a photo, and what was wrong with each surface that gave none."""
    cards = [np.asarray(r.outline, dtype=float) for r in shot.entry.references]
    readings: list[Reading] = []
    problems: dict[str, tuple[Problem, ...]] = {}
    for surface in shot.entry.surfaces:
        try:
            readings.append(_read(shot, calibration, surface, cards, recall))
        except SurfaceError as error:
            problems[surface.name] = error.problems
    return readings, problems


def _read(
    shot: _Shot, calibration: PhotoCalibration, surface: OutlinedSurface, cards: Sequence[Floats], recall: Recall
) -> Reading:
    entry = shot.entry
    # The calibration is the recalled one where nothing about it changed, so that its identity stands for its content.
    key = ("surface", id(calibration), surface, entry.whole_room)
    calibration_then, reading = recall.of(
        key,
        lambda: (
            calibration,
            read_surface(
                shot.photo,
                calibration,
                surface,
                cards=cards,
                noise_left=_noise_left(shot, calibration, recall),
                whole_room=entry.whole_room,
                where=entry.file,
            ),
        ),
    )
    assert calibration_then is calibration
    return reading


def _noise_left(shot: _Shot, calibration: PhotoCalibration, recall: Recall) -> Floats:
    references = shot.entry.references
    return recall.of(
        ("noise", shot.photo.path, references), lambda: noise_left(shot.photo, references, calibration.noise)
    )


def _surfaces(
    room: RoomFile, readings: Sequence[Reading], *, explained: set[str]
) -> tuple[tuple[Surface, ...], tuple[InstrumentReading, ...], tuple[Problem, ...]]:
    """Combine the readings of each surface and what instruments said; name what no reading was made of.

    ``explained`` are surfaces of which it is known already why a photo gave no reading.
    """
    names = list(dict.fromkeys(s.name for p in room.photos for s in p.surfaces))
    unread = [n for n in names if not any(r.name == n for r in readings)]
    instruments = {m.name: measured(m, room.folder) for m in room.surfaces}
    missing = tuple(
        Problem(f"surface {name}", "no photo of it has a neutral reference in it",
                "Outline the grey card as a reference, or take the photo again with a card lying on the surface")
        for name in unread if name not in instruments and name not in explained
    )  # fmt: skip
    weights = {name: _visible_area([r for r in readings if r.name == name]) for name in names if name not in unread}
    typical = float(np.median(list(weights.values()))) if weights else 1.0
    weights |= {name: typical for name in instruments if name not in weights}
    total = sum(weights.values())
    surfaces, said = [], []
    for name, weight in weights.items():
        own = [r for r in readings if r.name == name]
        if name not in instruments:
            surfaces.append(combine(own, weight / total))
            continue
        surface, reading = (
            with_instrument(combine(own, weight / total), instruments[name])
            if own
            else instrument_surface(instruments[name], weight / total)
        )
        surfaces.append(surface)
        said.append(reading)
    return tuple(surfaces), tuple(said), missing


def _visible_area(readings: Sequence[Reading]) -> float:
    """Return the part of the picture a surface takes: in the whole-room photo where it is outlined there."""
    whole = [r for r in readings if r.whole_room] or list(readings)
    return float(np.mean([r.area / r.photo_area for r in whole]))
